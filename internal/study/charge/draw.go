package charge

import (
	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

// A unit is what differs from one installed system to another, and what is not known of it.
type unit struct {
	error      float64 // V, by which it holds the battery off its targets
	panel      float64 // factor on the photocurrent
	gassing    float64 // factor on the gassing current
	capacity   float64 // factor
	resistance float64 // factor
	standby    float64 // quantile 0..1 of the standby as written
	soiling    float64 // likewise
}

// A variable is one of them.
type variable struct {
	name string
	q    quantity.Quantity // of a factor: its limits
	log  bool              // a factor about 1, even by its logarithm
	from string

	normal, fixed bool // its quantiles are those of a normal distribution; it does not vary
	set           func(u *unit, x float64)
}

// variables lists what is drawn, in a fixed order. Estimates are marked so.
func (in *Input) variables() []variable {
	factor := func(name string, v *Value, spread float64, log bool, set func(u *unit, x float64)) variable {
		if v != nil && v.Quantity.Spread != quantity.Exact && v.Quantity.Value > 0 {
			q := v.Quantity
			one := quantity.Quantity{Value: 1, Low: q.Low / q.Value, High: q.High / q.Value, SD: q.SD / q.Value, Spread: q.Spread}
			return variable{name: name, q: one, from: v.From, set: set, normal: one.Spread == quantity.Normal}
		}
		q := quantity.Quantity{Value: 1, Low: 1 - spread, High: 1 + spread, Spread: quantity.Limits}
		if log {
			q.Low = 1 / (1 + spread)
		}
		return variable{name: name, q: q, log: log, from: "estimate", set: set}
	}
	written := func(name string, set func(u *unit, x float64), values ...*Value) variable {
		out := variable{name: name, q: quantity.Quantity{Value: 0.5, Low: 0, High: 1, Spread: quantity.Limits}, fixed: true, set: set}
		for _, v := range values {
			if v != nil && v.Quantity.Spread != quantity.Exact {
				out.fixed, out.normal, out.from = false, v.Quantity.Spread == quantity.Normal, v.From
			}
		}
		return out
	}
	list := []variable{
		factor("panel.peak_power", in.Panel.PeakPower, 0.03, false, func(u *unit, x float64) { u.panel = x }),
		factor("battery.gassing", in.Battery.Gassing, 1, true, func(u *unit, x float64) { u.gassing = x }),
		factor("battery.capacity", in.Battery.Capacity, 0.05, false, func(u *unit, x float64) { u.capacity = x }),
		factor("battery.resistance", in.Battery.Resistance, 0.25, true, func(u *unit, x float64) { u.resistance = x }),
		written("standby", func(u *unit, x float64) { u.standby = x }, in.Regulation.StandbyDay, in.Regulation.StandbyNight),
		written("panel.soiling", func(u *unit, x float64) { u.soiling = x }, in.Panel.Soiling),
	}
	if e := in.Regulation.Error; e != nil {
		list = append(list, variable{name: "setpoint", q: e.Quantity, from: e.From, set: func(u *unit, x float64) { u.error = x }, normal: e.Quantity.Spread == quantity.Normal})
	}
	return list
}

// nominal is the unit with everything as written.
func (in *Input) nominal() unit {
	u := unit{panel: 1, gassing: 1, capacity: 1, resistance: 1, standby: 0.5, soiling: 0.5}
	if e := in.Regulation.Error; e != nil {
		u.error = e.Quantity.Value
	}
	return u
}

// drawPath marks the streams of units.
const drawPath = 1 << 40

// units draws as many, stratified (McKay, Beckman and Conover, Technometrics 21, 1979) [CH2].
func (in *Input) units(n int) []unit {
	out := make([]unit, n)
	for i := range out {
		out[i] = in.nominal()
	}
	for k, v := range in.variables() {
		stream := numeric.NewStream(in.Seed, uint64(k), drawPath)
		p := make([]float64, n)
		for i := range p {
			p[i] = (float64(i) + stream.Float64()) / float64(n)
		}
		numeric.Shuffle(&stream, p)
		for i := range out {
			v.set(&out[i], v.at(p[i]))
		}
	}
	return out
}

// at returns the p-quantile of the variable.
func (v *variable) at(p float64) float64 {
	if v.log {
		low, high := numeric.Log(v.q.Low), numeric.Log(v.q.High)
		return numeric.Exp(low + float64((high-low)*p))
	}
	return quantile(v.q, p)
}

// quantile returns the p-quantile of a quantity as written; a range and limits are rectangular (JCGM 100, 4.3.7).
func quantile(q quantity.Quantity, p float64) float64 {
	switch q.Spread {
	case quantity.Normal:
		return q.Value + float64(q.SD*statistics.NormalQuantile(min(max(p, 1e-9), 1-1e-9)))
	case quantity.Exact:
		return q.Value
	}
	return q.Low + float64((q.High-q.Low)*p)
}

// drawn returns the p-quantile of a value; otherwise where it is not given.
func drawn(v *Value, p, otherwise float64) float64 {
	if v == nil {
		return otherwise
	}
	return quantile(v.Quantity, p)
}

func value(v *Value, otherwise float64) float64 {
	if v == nil {
		return otherwise
	}
	return v.Quantity.Value
}
