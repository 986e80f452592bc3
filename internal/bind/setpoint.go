// Package bind fills the inputs of studies from a product, each with the file and line that it
// came from, and does nothing else.
package bind

import (
	"hindwatt/internal/product"
	"hindwatt/internal/study/setpoint"
)

// Setpoint returns the input of the setpoint study, without conditions. An installation's own
// leads replace those that the leaflet asks for; "" is no installation.
func Setpoint(p *product.Product, installation string) setpoint.Input {
	r, s := &p.Regulation, &p.Sense
	in := setpoint.Input{
		Method:  choice(r.Method),
		Sampled: choice(s.Sampled),
		Sensor:  choice(s.Sensor),

		Absorption:         level(r.Absorption),
		Float:              level(r.Float),
		LoadDisconnect:     Value(r.LoadDisconnect),
		LoadReconnect:      Value(r.LoadReconnect),
		Compensation:       Value(r.TemperatureCompensation),
		CompensationLimits: Value(r.CompensationLimits),

		Top: Value(s.Top), Bottom: Value(s.Bottom),
		Bits:         setpoint.Count{N: s.Bits.N, From: from(s.Bits.Leaf)},
		Offset:       Value(s.Offset),
		Nonlinearity: Value(s.Nonlinearity),
		Leakage:      Value(s.Leakage),
		Ageing:       Value(s.Ageing),

		SensorError:       Value(s.SensorError),
		BoardRise:         Value(s.BoardRise),
		BatteryRise:       Value(s.BatteryRise),
		Lead:              lead(s.Lead),
		BatteryResistance: Value(s.BatteryResistance),

		CurrentAtAbsorption: Value(r.CurrentAtAbsorption),
		CurrentAtFloat:      Value(r.CurrentAtFloat),
		OnCurrent:           Value(p.Current),
		LoadCurrent:         Value(r.LoadCurrent),

		Trim:      trim(p),
		Meter:     bestMeter(p),
		Indicator: indicator(p.Indicator),
	}
	in.Reference, in.ReferenceIsSupply = reference(s)
	if i := p.Installations.Get(installation); i != nil && i.Lead.Battery.Set() {
		in.Lead = lead(i.Lead.Battery)
	}
	if s.Unknown.Set() {
		in.Unknown.From = from(s.Unknown.Leaf)
		for _, name := range s.Unknown.Items {
			in.Unknown.Names = append(in.Unknown.Names, name.Text)
		}
	}
	return in
}

// reference is the converter's own, or the supply that stands for it.
func reference(s *product.Sense) (*setpoint.Value, bool) {
	switch {
	case s.Reference.Supply:
		return Value(s.Supply), true
	case s.Reference.Set():
		return &setpoint.Value{Quantity: s.Reference.Quantity, From: from(s.Reference.Leaf)}, false
	}
	return nil, false
}

func lead(l product.Lead) *setpoint.Lead {
	if !l.Set() {
		return nil
	}
	return &setpoint.Lead{Length: Value(l.Length), Area: Value(l.Area), Contacts: Value(l.Contacts), From: from(l.Leaf)}
}

func trim(p *product.Product) *setpoint.Trim {
	t := &p.Sense.Trimmed
	if !t.Set() || t.None {
		return nil
	}
	out := &setpoint.Trim{
		Temperature: Value(t.Temperature), Method: choice(t.Method), Step: Value(t.Step), From: from(t.Leaf),
		Instrument: setpoint.Instrument{Accuracy: t.By.Accuracy.Accuracy, Digit: Value(t.Digit), From: from(t.By.Leaf)},
	}
	if name := t.By.Meter; name != "" {
		out.Instrument = setpoint.Instrument{Name: name, From: from(t.By.Leaf)}
		if meter := p.Meters.Get(name); meter != nil {
			out.Instrument.Accuracy = meter.Voltage.Accuracy.Accuracy
			out.Instrument.Digit = Value(meter.Voltage.Digit)
			out.Instrument.From = from(meter.Voltage.Leaf)
		}
	}
	for _, at := range t.At.Items {
		out.At = append(out.At, setpoint.Value{Quantity: at.Quantity, From: from(at.Leaf)})
	}
	return out
}

// bestMeter is the bench's voltmeter with the smallest error at the label's voltage, for what a
// trim would buy; nil if there is none.
func bestMeter(p *product.Product) *setpoint.Instrument {
	var best *setpoint.Instrument
	least := 0.0
	for name, meter := range p.Meters.All() {
		if !meter.Voltage.Set() {
			continue
		}
		limit := meter.Voltage.Accuracy.Limit(p.NominalVoltage.Value, meter.Voltage.Digit.Value)
		if best == nil || limit < least {
			least = limit
			best = &setpoint.Instrument{
				Name: name, Accuracy: meter.Voltage.Accuracy.Accuracy, Digit: Value(meter.Voltage.Digit), From: from(meter.Voltage.Leaf),
			}
		}
	}
	return best
}

func indicator(i product.Indicator) *setpoint.Indicator {
	if !i.Set() {
		return nil
	}
	out := &setpoint.Indicator{
		Kind: choice(i.Kind), Step: Value(i.Step), Rounding: choice(i.Rounding), Range: Value(i.Range), From: from(i.Leaf),
	}
	for _, t := range i.Thresholds.Items {
		out.Thresholds = append(out.Thresholds, setpoint.Value{Quantity: t.Quantity, From: from(t.Leaf)})
	}
	return out
}

func level(l product.Level) *setpoint.Value {
	if !l.Set() {
		return nil
	}
	return &setpoint.Value{Quantity: l.Level, From: from(l.Leaf)}
}

func choice(w product.Word) setpoint.Choice { return setpoint.Choice{Text: w.Text, From: from(w.Leaf)} }
