package setpoint

import (
	"context"
	"fmt"

	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics/single"
)

// Changes ranks which one input would have to be another, and how far beyond its tolerance, for a quantity to be off its
// calculated mean at a point by so much.
//
//	by  V, the measured less the calculated mean
//
// Steps and roundings stay within their halves. Inputs that are written without a spread are taken as they are.
func (r *Result) Changes(ctx context.Context, name string, at Point, by float64) ([]single.Change, error) {
	a, err := r.ready(name, 1, 1)
	if err != nil {
		return nil, err
	}
	c, where := r.chain, r.chain.place(a, at)
	if never := c.never(a, []place{where}); never != "" {
		return nil, fmt.Errorf("setpoint: %s has no figure: %s", name, never)
	}
	list := c.spreading()
	inputs := make([]single.Input, len(list))
	for i, v := range list {
		inputs[i] = c.changeable(&r.Input, v)
	}
	return single.Find(ctx, c.probe().value(a, where)+by, inputs, func() (single.Figure, error) {
		p := c.probe()
		return func(i int, x float64) (float64, error) {
			p.reset()
			if i >= 0 {
				p.set(list[i], x)
			}
			return p.value(a, where), nil
		}, nil
	})
}

// bounded are variables that cannot go beyond their limits, being parts of a step.
var bounded = map[variable]bool{step: true, rounding: true, trimDigit: true, trimStep: true, trimConverterStep: true, trimDigit2: true, trimStep2: true, trimConverterStep2: true}

// usualSDs is how many standard deviations count as the tolerance of an input without limits: 95 %.
const usualSDs = 1.959964

// changeable makes an input of a variable.
func (c *chain) changeable(in *Input, v variable) single.Input {
	d := c.draws[v]
	low, high := d.ends(usualSDs)
	out := single.Input{Name: in.name(v), From: d.from, Value: d.value, Tolerance: (high - low) / 2, Show: in.shows(v)}
	switch {
	case bounded[v]:
		out.Low, out.High = low, high
	case low > 0: // a resistance, a voltage or a length does not change its sign
		const least, most = 1e-3, 1e6
		out.Low, out.High = least*d.value, most*d.value
	}
	return out
}

// shows words a value of a variable.
func (in *Input) shows(v variable) func(float64) string {
	written := map[variable]*Value{top: in.Top, bottom: in.Bottom, reference: in.Reference, leakage: in.Leakage, sensorError: in.SensorError,
		compensation: in.Compensation, boardRise: in.BoardRise, batteryRise: in.BatteryRise, batteryResistance: in.BatteryResistance,
		currentAtAbsorption: in.CurrentAtAbsorption, currentAtFloat: in.CurrentAtFloat, onCurrent: in.OnCurrent, loadCurrent: in.LoadCurrent,
		settingAbsorption: in.Absorption, settingFloat: in.Float, settingDisconnect: in.LoadDisconnect, settingReconnect: in.LoadReconnect}
	if in.Lead != nil {
		written[leadLength], written[leadArea], written[contacts] = in.Lead.Length, in.Lead.Area, in.Lead.Contacts
	}
	if q := written[v]; q != nil {
		return func(x float64) string { return quantity.Format(x, q.Quantity.Dim, q.Quantity.Unit, -3) }
	}
	switch v {
	case topDrift, bottomDrift, referenceDrift:
		return func(x float64) string { return fmt.Sprintf("%+.0f ppm/K", 1e6*x) }
	case offset, nonlinearity, step, trimNonlinearity, trimConverterStep, trimNonlinearity2, trimConverterStep2:
		return func(x float64) string { return fmt.Sprintf("%+.2f LSB", x) }
	case trimMeter:
		return func(x float64) string {
			if x == 0 {
				return "no error"
			}
			return fmt.Sprintf("%+.1f times its limit", x)
		}
	case trimTemperature:
		return func(x float64) string { return quantity.Format(x, quantity.TemperaturePoint, "°C", 1) }
	}
	return nil
}

// Shift is how far a quantity moves at a point where one input, by the name that Changes gives it, has another value, V.
func (r *Result) Shift(name string, at Point, input string, to float64) (float64, error) {
	a, err := r.ready(name, 1, 1)
	if err != nil {
		return 0, err
	}
	v, known := r.Input.find(input)
	if !known {
		return 0, fmt.Errorf("setpoint: no input is called %q", input)
	}
	p, where := r.chain.probe(), r.chain.place(a, at)
	now := p.value(a, where)
	p.set(v, to)
	return p.value(a, where) - now, nil
}
