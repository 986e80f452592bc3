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
