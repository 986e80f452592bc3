package bind

import (
	"hindwatt/internal/hardware"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
	"hindwatt/internal/study/rating"
)

// Rating returns the input of the rating study, without conditions. An installation's leads and elevation count; "" is none.
func Rating(p *product.Product, installation string) rating.Input {
	in := rating.Input{
		Design:     Hardware(p, installation).Steady(),
		Label:      Value(p.Current),
		Battery:    level(p.Regulation.Absorption),
		Resistance: Value(p.Sense.BatteryResistance),
		StandbyDay: Value(p.Standby.ByDay), StandbyNight: Value(p.Standby.ByNight),
	}
	if i := p.Installations.Get(installation); i != nil {
		in.Altitude = Value(i.Elevation)
	}
	for name, part := range p.Parts.All() {
		if part.Mosfet == nil && part.Diode == nil {
			continue
		}
		c := hardware.Component{Part: name, Kind: part.Kind.Text, At: from(part.Leaf)}
		datasheet(&c, part)
		in.Others = append(in.Others, c.Steady())
	}
	return in
}

// RatingReading turns a reading of a rating into what the study takes, its quantity given.
func RatingReading(name string, r product.Reading) rating.Reading {
	return rating.Reading{Quantity: name, Value: r.Value.Value, Air: r.Ambient.Value, Current: r.ChargeCurrent.Value, Load: r.LoadCurrent.Value}
}

// Moved is a reading as it says something about another quantity or place: its value there, and how much a change of what was
// read weighs there. The meter's limits and its last digit weigh as much.
func Moved(r bench.Reading, value, slope float64) bench.Reading {
	half := r.Value.StandardUncertainty() * slope
	moved := r
	moved.Value.Value, moved.Value.Spread, moved.Value.SD = value, 0, 0
	moved.Value.Low, moved.Value.High = value, value
	if half > 0 {
		moved.Value.Spread, moved.Value.SD = quantity.Normal, half
	}
	if m := r.Meter; m != nil {
		limit := m.Accuracy.Limit(r.Value.Value, m.Digit)
		there := *m
		there.Accuracy.Relative, there.Accuracy.Digits = 0, 0
		there.Accuracy.Absolute.Value = limit * slope
		there.Digit = m.Digit * slope
		moved.Meter = &there
	}
	return moved
}
