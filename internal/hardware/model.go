package hardware

import (
	"hindwatt/internal/numeric"
	"hindwatt/internal/physics/circuit"
	"hindwatt/internal/physics/conductor"
	"hindwatt/internal/physics/heat"
)

// model is what a component does in the network, at any temperature.
type model struct {
	*fixed
	kind   string
	copper bool    // its resistance follows copper
	base   float64 // Ω at 20 °C of copper, at any temperature of a resistor
	curve  *circuit.DiodeFit
	scale  float64 // on the drop of the curve
	shift  float64 // V/K, of this unit's drop beside that of the curve
	on     circuit.Channel
	edge   float64 // s, of both edges together
}

// fit finds the curve of a junction from the data sheet.
func (m *model) fit(c *Component) error {
	m.kind = c.Kind
	var err error
	switch {
	case c.Diode != nil:
		m.curve, err = diodeCurve(c.Diode)
	case c.Mosfet != nil:
		m.curve, err = bodyCurve(c.Mosfet)
	}
	if err != nil {
		return refused(c.Name, err)
	}
	return nil
}

// derive works out what depends on the values of this unit.
func (m *model) derive(c *Component, x *fixed) (err error) {
	m.fixed, m.scale, m.shift = x, 1, 0
	switch c.Kind {
	case "wire":
		class := conductor.Class5
		if c.Wire.Class == 2 {
			class = conductor.Class2
		}
		m.copper = true
		m.base, _, err = conductor.Resistance(x.area, x.length, class, copperReference)
	case "track":
		m.copper = true
		m.base, err = conductor.TrackResistance(x.width, x.thickness, x.length, copperReference)
	case "diode":
		m.scale = x.drop
		if c.Diode.Tempco != nil {
			m.shift = x.tempco - c.Diode.Tempco.Value
		}
	case "fuse":
		m.copper, m.base = true, x.resistance
	case "mosfet":
		m.scale = x.drop / m.curve.Drop
		m.on = channel(x)
		m.edge = edges(x)
	default:
		m.base = x.resistance
	}
	if err != nil {
		return refused(c.Name, err)
	}
	if bad := x.negative(); bad != "" {
		return &InputError{c.Name, bad + " is below 0", "want 0 or more"}
	}
	return nil
}

// negative names a value that cannot be below 0 and is.
func (x *fixed) negative() string {
	for _, v := range []struct {
		name  string
		value float64
	}{{"resistance", x.resistance}, {"series", x.series}, {"leakage", x.leakage}, {"current", x.current}, {"drop", x.drop}, {"length", x.length},
		{"junction_to_ambient", x.toAmbient}, {"junction_to_case", x.toCase}} {
		if v.value < 0 {
			return v.name
		}
	}
	return ""
}

// resistance returns that of what is not a junction, at a temperature.
func (m *model) ohms(t float64) float64 {
	switch {
	case m.kind == "mosfet":
		if r, ok, err := m.on.OnResistance(m.drive, min(max(t, 150), 600)); ok && err == nil {
			return r
		}
		return circuit.MostResistance // its drive does not turn it on: Check says so
	case m.kind == "thermistor":
		return m.base * numeric.Exp(m.beta*(1/t-1/reference25)) // [U3] IEC 60539-1, B value
	case m.copper:
		return m.base * max(0.01, 1+copperTempco*(t-copperReference)) // [U2] IEC 60228 annex B
	}
	return m.base
}

// slope returns how a resistance grows, Ω/K.
func (m *model) slope(t float64) float64 {
	switch {
	case m.kind == "mosfet":
		const h = 0.5
		return (m.ohms(t+h) - m.ohms(t-h)) / (2 * h)
	case m.copper:
		return m.base * copperTempco
	}
	return 0
}

// mostLeak bounds a leakage, A: no part that leaks as much is left, and its heat has run away long before.
const mostLeak = 1000.0

// leak returns the reverse current at the rated voltage and a temperature.
func (m *model) leak(t float64) float64 {
	return min(m.leakage*numeric.Exp(min(m.growth()*(t-reference25), 60)), mostLeak) // [U4]
}

// growth is the exponent of the leakage, 1/K.
func (m *model) growth() float64 {
	if m.exponent > 0 {
		return m.exponent
	}
	return leakExponent
}

// leaks is by how much more leaks at one temperature than at another.
func (m *model) leaks(from, to float64) float64 {
	if from == to {
		return 1
	}
	return numeric.Exp(min(m.growth()*(to-from), 400)) // [U4]
}

// edges returns how long the plateau of a mosfet's gate lasts, both edges together [U6].
func edges(x *fixed) float64 {
	if x.charge <= 0 || x.gate <= 0 {
		return 0
	}
	rise, _ := heat.EdgeTime(x.charge, x.gate, x.drive, x.plateau)
	fall, _ := heat.EdgeTime(x.charge, x.gate, 0, x.plateau)
	return rise + fall
}

// forward returns the drop of a junction at a current above 0 and a temperature.
func (m *model) forward(i, t float64) float64 {
	j := m.junction(t)
	if i <= 0 || j.Saturation <= 0 {
		return 0
	}
	return j.Emission*numeric.Log(i/j.Saturation+1) + i*j.Series
}
