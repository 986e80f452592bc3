package iv

import (
	"math"

	"hindwatt/internal/physics/panel"
	"hindwatt/internal/study/bench"
)

// A setup is a curve with the conditions that it was measured at.
type setup struct {
	curve                   panel.Curve
	temperature, irradiance float64
}

// offsets are the setup as measured, and one for each thing that may be off, moved by its standard uncertainty.
type offsets struct {
	best  setup
	moved []setup
}

// of is the standard uncertainty that all these leave a figure [I4]: JCGM 100:2008, 5.1.3 note 2.
func (o offsets) of(f func(setup) float64) float64 {
	best, square := f(o.best), 0.0
	for _, m := range o.moved {
		if d := f(m) - best; math.Abs(d) <= math.MaxFloat64 {
			square += d * d
		}
	}
	return math.Sqrt(square)
}

// off fits again for each of them: a meter's part of the reading, and the rest of its limits, the same for all
// readings by it and rectangular; the temperature; the irradiance.
func (r *Result) off(s *sweep) (offsets, error) {
	in := &r.Input
	o := offsets{best: setup{curve: r.Curve, temperature: in.temperature()}}
	if in.Irradiance != nil {
		o.best.irradiance = in.Irradiance.Value
	}
	again := func(change func(*panel.Reading)) error {
		moved := *s
		moved.readings = append([]panel.Reading(nil), s.readings...)
		for i := range moved.readings {
			change(&moved.readings[i])
		}
		moved.start = parametersOf(r.Curve)
		f, err := moved.fit()
		if err == nil {
			at := o.best
			at.curve = curveOf(f.At)
			o.moved = append(o.moved, at)
		}
		return err
	}
	for _, m := range []struct {
		meter *bench.Meter
		value func(*panel.Reading) *float64
	}{
		{in.VoltageMeter, func(q *panel.Reading) *float64 { return &q.Voltage }},
		{in.CurrentMeter, func(q *panel.Reading) *float64 { return &q.Current }},
	} {
		if !m.meter.Known() {
			continue
		}
		part := m.meter.Accuracy.Relative / math.Sqrt(3)
		rest := m.meter.Accuracy.Limit(0, m.meter.Digit) / math.Sqrt(3)
		if part > 0 {
			if err := again(func(q *panel.Reading) { *m.value(q) *= 1 + part }); err != nil {
				return o, err
			}
		}
		if rest > 0 {
			if err := again(func(q *panel.Reading) { *m.value(q) += rest }); err != nil {
				return o, err
			}
		}
	}
	warmer, brighter := o.best, o.best
	warmer.temperature += u(in.Temperature)
	brighter.irradiance += u(in.Irradiance)
	o.moved = append(o.moved, warmer, brighter)
	return o, nil
}

// reference carries a curve over to 1000 W/m² and 25 °C: what a panel whose parameters there are 1 becomes at the
// conditions of the sweep is what each is to be divided by [I3].
func (in *Input) reference(c setup) panel.Panel {
	p := panel.Panel{Cells: max(1, in.Cells)}
	if in.Amorphous {
		p.Gap = amorphousGap
	}
	p.Reference = panel.Curve{Photocurrent: 1, Saturation: 1, Thermal: 1, Series: c.curve.Series, Shunt: 1}
	p.Tempco = currentTempco
	factor := p.At(c.irradiance, c.temperature)
	p.Reference = panel.Curve{
		Photocurrent: c.curve.Photocurrent / factor.Photocurrent, Saturation: c.curve.Saturation / factor.Saturation,
		Thermal: c.curve.Thermal / factor.Thermal, Series: c.curve.Series, Shunt: c.curve.Shunt / factor.Shunt,
	}
	p.Tempco = currentTempco * p.Reference.Photocurrent
	return p
}
