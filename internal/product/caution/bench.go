package caution

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
)

// tightest returns the promise on a setpoint that bounds it most closely, half its width
// and the voltage at which it is judged.
func (r *report) tightest() (name string, half, at float64, leaf product.Leaf) {
	for n, p := range r.Promises.All() {
		if p.Study.Text != "setpoint" || !p.Within.Set() || p.Within.Dim != quantity.Voltage {
			continue
		}
		if h := (p.Within.High - p.Within.Low) / 2; name == "" || h < half {
			name, half, leaf = n, h, p.Within.Leaf
			at = r.levelOf(p.Quantity.Text)
		}
	}
	return name, half, at, leaf
}

// levelOf returns the voltage that a quantity of the setpoint study is about.
func (r *report) levelOf(name string) float64 {
	g := &r.Regulation
	for prefix, v := range map[string]float64{
		"float": g.Float.Level.Value, "absorption": g.Absorption.Level.Value,
		"load-disconnect": g.LoadDisconnect.Value, "load-reconnect": g.LoadReconnect.Value,
	} {
		if strings.HasPrefix(name, prefix) && v > 0 {
			return v
		}
	}
	return r.NominalVoltage.Value
}

// meters returns the meters that trim units or took readings, and when last.
func (r *report) meters() (used []string, last map[string]product.Date) {
	last = map[string]product.Date{}
	add := func(name string) {
		if _, seen := last[name]; !seen && r.Meters.Get(name) != nil {
			used = append(used, name)
			last[name] = product.Date{}
		}
	}
	if r.Sense.Trimmed.By.Meter != "" {
		add(r.Sense.Trimmed.By.Meter)
	}
	for _, reading := range r.Folder.Records.Readings {
		name := reading.Meter.Text
		if name == "" {
			continue
		}
		add(name)
		if seen, ok := last[name]; ok && reading.Date.Day.After(seen.Day) {
			last[name] = reading.Date
		}
	}
	return used, last
}

// meterTooCoarse compares the meter's expanded uncertainty, k = 2, of a rectangular
// limit of error with half the width of the bound.
func meterTooCoarse(r *report) {
	promise, half, at, leaf := r.tightest()
	if promise == "" {
		return
	}
	used, _ := r.meters()
	for _, name := range used {
		v := r.Meters.Get(name).Voltage
		if !v.Set() || !v.Accuracy.Set() {
			continue
		}
		u := 2 * v.Accuracy.Limit(at, v.Digit.Value) / math.Sqrt(3) // JCGM 100, 4.3.7
		if above(u, half/4) {
			r.say(fmt.Sprintf("%s measures %s with an uncertainty of %s; promise %s allows %s either way, and a quarter of that is the usual most", name, volts(at), quantity.Format(u, quantity.Voltage, "", -2), promise, volts(half)),
				"use a better meter, or allow for it in the bound", v.Accuracy.Leaf, leaf)
		}
	}
}

func meterUnchecked(r *report) {
	used, last := r.meters()
	for _, name := range used {
		check := r.Meters.Get(name).LastCheck
		if reading := last[name]; check.Set() && reading.Set() && reading.Day.After(check.Day.AddDate(1, 0, 0)) {
			r.say(fmt.Sprintf("%s was last checked on %s and was still read on %s: its accuracy is stated for a year", name, check.Text, reading.Text), "check it against a second meter or a reference", check.Leaf, reading.Leaf)
		}
	}
}

// gauge returns how a meter measures quantities of a dimension; nil if it does not.
func gauge(m *product.Meter, dim quantity.Dimension) *product.Gauge {
	switch dim {
	case quantity.Voltage:
		return &m.Voltage
	case quantity.Current:
		return &m.Current
	case quantity.TemperaturePoint:
		return &m.Temperature
	}
	return nil
}

// beyond reports whether a value lies outside what a meter measures of its kind.
func (r *report) beyond(meter string, v product.Quantity) (g *product.Gauge, out bool) {
	m := r.Meters.Get(meter)
	if m == nil || !v.Set() {
		return nil, false
	}
	g = gauge(m, v.Dim)
	return g, g != nil && g.Range.Set() && (below(v.Low, g.Range.Low) || above(v.High, g.Range.High))
}

// meterRange asks of what a meter is said to have measured outside its range, readings
// of one range together.
func meterRange(r *report) {
	const why = "its accuracy is not stated there"
	for _, at := range r.Sense.Trimmed.At.Items {
		if g, out := r.beyond(r.Sense.Trimmed.By.Meter, at); out {
			r.say(fmt.Sprintf("units are trimmed at %s with %s, whose range is %s: %s", at.Text, r.Sense.Trimmed.By.Meter, g.Range.Text, why), "trim with a meter for it", at.Leaf, g.Range.Leaf)
		}
	}
	type group struct {
		count int
		first *product.Reading
	}
	groups := map[*product.Gauge]group{}
	var order []*product.Gauge
	readings := r.Folder.Records.Readings
	for i := range readings {
		g, out := r.beyond(readings[i].Meter.Text, readings[i].Value.Quantity)
		if !out {
			continue
		}
		if groups[g].first == nil {
			groups[g] = group{first: &readings[i]}
			order = append(order, g)
		}
		groups[g] = group{groups[g].count + 1, groups[g].first}
	}
	for _, g := range order {
		first := groups[g].first
		more := ""
		if n := groups[g].count - 1; n > 0 {
			more = fmt.Sprintf(" and %d more like it", n)
		}
		r.say(fmt.Sprintf("%s of %s%s: %s measures %s, and %s", first.Value.Text, first.Date.Text, more, first.Meter.Text, g.Range.Text, why), "check what was read, and by which meter", first.Value.Leaf, g.Range.Leaf)
	}
}
