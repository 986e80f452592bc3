package bind

import (
	"math"
	"strings"
	"time"

	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
)

// Plain makes "setpoint.load_disconnect" and "setpoint.load-disconnect" the same.
func Plain(name string) string { return strings.ReplaceAll(name, "_", "-") }

// Readings returns the readings of one thing ("setpoint.float") that were made on the product as
// it is laid out: on its revision. A folder without revisions has one kind of unit, so all count;
// a variant that was never made has none.
func Readings(p *product.Product, what string) []product.Reading {
	var out []product.Reading
	for _, r := range p.Folder.Records.Readings {
		if Plain(r.What.Text) == Plain(what) && Belongs(p, r) {
			out = append(out, r)
		}
	}
	return out
}

// Belongs reports whether a reading was made on the product as it is laid out, as Readings says.
func Belongs(p *product.Product, r product.Reading) bool {
	revisions := p.Folder.Revisions()
	if len(revisions) == 0 {
		return p.Variant == "" && r.Revision.Text != Other
	}
	return isMade(p, revisions) && RevisionOf(p.Folder, r) == p.RevisionName()
}

func isMade(p *product.Product, revisions []product.Revision) bool {
	for _, r := range revisions {
		if r.Variant == p.Variant {
			return true
		}
	}
	return false
}

// RevisionOf returns the name of the revision on which a reading was made: as given, or as its
// serial's row of made.csv gives it, or by the serial, or by the day on which the unit was made,
// or by the day of the reading. It is "" if none of these tells.
func RevisionOf(f *product.Folder, r product.Reading) string {
	if r.Revision.Set() {
		return r.Revision.Text
	}
	made := r.Date.Day
	if serial := r.Serial.Text; serial != "" {
		for _, m := range f.Records.Made {
			if m.Serial.Text != serial {
				continue
			}
			if m.Revision.Set() {
				return m.Revision.Text
			}
			made = m.Date.Day
		}
		if revision, ok := f.Revision(time.Time{}, serial); ok {
			return revision.Name
		}
	}
	revision, _ := f.Revision(made, "")
	return revision.Name
}

// Bench turns a reading into one of the bench study.
func Bench(p *product.Product, r product.Reading) bench.Reading {
	out := bench.Reading{
		Value: r.Value.Quantity.Quantity, Serial: r.Serial.Text, Date: r.Date.Text, Basis: r.Basis.Text, From: from(r.Leaf),
	}
	if r.Ambient.Set() {
		ambient := r.Ambient.Quantity
		out.Ambient = &ambient
	}
	out.Batch = batchOf(p.Folder, r.Serial.Text)
	out.Meter = benchMeter(p, r.Meter.Text, r.Value.Dim, lastDigit(r.Value.Quantity))
	if out.Meter == nil {
		out.Unrated = r.Meter.Text
		return out
	}
	if r.Value.Dim.Point { // a part of the reading is a part of its degrees Celsius
		a := &out.Meter.Accuracy
		a.Absolute.Value += a.Relative * math.Abs(r.Value.Value-zeroCelsius)
		a.Absolute.Dim, a.Relative = quantity.TemperatureDifference, 0
	}
	return out
}

// batchOf is the batch that a unit was made in, "" if its row does not say.
func batchOf(f *product.Folder, serial string) string {
	if serial == "" {
		return ""
	}
	for _, m := range f.Records.Made {
		if m.Serial.Text == serial {
			return m.Batch.Text
		}
	}
	return ""
}

const zeroCelsius = 273.15 // K

// gaugeOf is the gauge of a meter that measures a dimension; nil if none does.
func gaugeOf(m *product.Meter, d quantity.Dimension) *product.Gauge {
	switch d {
	case quantity.Voltage:
		return &m.Voltage
	case quantity.Current:
		return &m.Current
	case quantity.TemperaturePoint:
		return &m.Temperature
	}
	return nil
}

// lastDigit is what the last digit of a reading counts, as it is written: 10 mV for "27.34 V". It
// stands for the meter's where that is not given.
func lastDigit(q product.Quantity) float64 {
	number := strings.TrimLeft(q.Text, "+-")
	number = number[:len(number)-len(strings.TrimLeft(number, "0123456789."))]
	_, decimals, _ := strings.Cut(number, ".")
	_, unit, ok := quantity.UnitDimension(q.Unit)
	if number == "" || !ok {
		return 0
	}
	return unit * math.Pow10(-len(decimals))
}

// TestMeter is what units are tested with; nil if the folder does not say.
func TestMeter(p *product.Product) (*bench.Meter, error) {
	name := p.Production.Test.Meter
	if !name.Set() {
		return nil, nil
	}
	m := benchMeter(p, name.Text, quantity.Voltage, 0)
	if m == nil {
		return nil, name.Fault("gives no accuracy for a voltage", "want a meter of bench/meters.toml with voltage = { accuracy = …, digit = … }")
	}
	return m, nil
}
