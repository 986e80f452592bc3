package hardware

import (
	"hindwatt/internal/numeric"
	"hindwatt/internal/physics/circuit"
)

// A body diode's drop is taken at bodyCurrent, or at the rated current if that is less, and falls by bodyTempco: a silicon junction.
// Common practice.
const (
	bodyCurrent = 10.0  // A
	bodyTempco  = -2e-3 // V/K
)

// diodeCurve fits a junction to the drops of a data sheet. A series resistance that the sheet names is taken off first.
func diodeCurve(d *Diode) (*circuit.DiodeFit, error) {
	series := 0.0
	if d.Series != nil {
		series = d.Series.Value
	}
	data := circuit.DiodeData{Forward: make([]circuit.Point, len(d.Drops))}
	for i, p := range d.Drops {
		data.Forward[i] = circuit.Point{Current: p.Current, Voltage: p.Voltage - series*p.Current, Temperature: p.Temperature}
	}
	if d.Tempco != nil {
		data.Tempco = d.Tempco.Value
	}
	fit, err := circuit.FitDiode(data)
	for err == nil && fit.Ideality > leastIdeality && d.overtakes(fit) {
		data.Ideality = max(leastIdeality, 0.95*fit.Ideality)
		fit, err = circuit.FitDiode(data)
	}
	return fit, err
}

// leastIdeality is that of an ideal junction.
const leastIdeality = 1.0

// overtakes reports whether a fitted junction lets more through in reverse than the sheet's leakage. A few points of a forward curve
// cannot tell a high ideality from a series resistance, and a high ideality comes with a large saturation current: the leakage decides.
func (d *Diode) overtakes(fit *circuit.DiodeFit) bool {
	if d.Leakage == nil {
		return false
	}
	growth := leakExponent
	if d.LeakageExponent != nil {
		growth = d.LeakageExponent.Value
	}
	for _, t := range []float64{reference25, hot} {
		if fit.At(t).Saturation > 0.1*d.Leakage.Value*numeric.Exp(growth*(t-reference25)) {
			return true
		}
	}
	return false
}

// bodyCurve is the body diode of a mosfet.
func bodyCurve(m *Mosfet) (*circuit.DiodeFit, error) {
	at, drop := bodyCurrent, bodyDrop
	if m.Current != nil {
		at = min(at, m.Current.Value)
	}
	if m.BodyDrop != nil {
		drop = m.BodyDrop.Value
	}
	return circuit.FitDiode(circuit.DiodeData{Forward: []circuit.Point{{Current: at, Voltage: drop}}, Tempco: bodyTempco})
}

// junction is the forward curve at a temperature, with this unit's drop.
func (m *model) junction(t float64) circuit.Diode {
	j := m.curve.At(t)
	j.Series += m.series
	if m.shift != 0 {
		j.Saturation *= numeric.Exp(-m.shift * (t - reference25) / j.Emission)
	}
	j.Emission *= m.scale
	j.Series *= m.scale
	return j
}

// diode is a junction at a temperature, with its leakage and breakdown.
func (m *model) diode(t float64) circuit.Diode {
	j := m.junction(t)
	volts := m.rated
	if volts == 0 {
		volts = m.breakdown
	}
	if m.leakage > 0 && volts > 0 {
		j.Leakage = circuit.Leakage{Current: max(0, m.leak(t)-j.Saturation), Voltage: volts}
	}
	if m.breakdown > 0 {
		j.Breakdown = circuit.Breakdown{Voltage: m.breakdown}
	}
	return j
}

// clamp is a suppressor; its resistance follows from clamping voltage and current.
func (m *model) clamp() circuit.Clamp {
	c := circuit.Clamp{Breakdown: circuit.Breakdown{Voltage: m.breakdown}}
	if m.peak > 0 && m.clamping > m.breakdown {
		c.Series = (m.clamping - m.breakdown) / m.peak
	}
	return c
}

// hot is the temperature to which an on-resistance's coefficient is followed, K: sheets give it for 25 to 100 °C.
const hot = 373.15

// channel is a mosfet's on-resistance over drive and temperature.
func channel(x *fixed) circuit.Channel {
	c := circuit.Channel{Resistance: x.resistance, Drive: x.given, Threshold: x.threshold}
	if grown := 1 + x.tempco*(hot-reference25); grown >= 1 {
		c.HotFactor, c.HotTemperature = grown, hot
	}
	return c
}
