package curve

import (
	"fmt"
	"math"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// doubts says what the log leaves open.
func (r *Result) doubts() {
	in := &r.Input
	say := func(text, remedy string) {
		r.Warnings = append(r.Warnings, page.Note{Text: text, Remedy: remedy, From: in.From})
	}
	if !in.Gauge.Known() {
		say("the accuracy of the meter of the battery's voltage is not known: nothing limits how far off the levels are, so that they judge no promise",
			"name the meter in the run, and its accuracy in bench/meters.toml")
	}
	if len(r.Plateaus) == 0 {
		say("no level was held for long enough to tell it", "log a day on which the battery is full, with the load off")
	}
	if in.Current == nil && in.Panel == nil {
		say("whether the panel charged was told by the battery's voltage alone", "log the charge current or the panel's voltage too")
	}
	if in.Temperature == nil && in.Compensation != 0 {
		say("the levels follow a temperature that was not logged", "log the temperature where the sensor sits")
	}
	for i := range r.Plateaus {
		r.plateauDoubts(&r.Plateaus[i], say)
	}
}

func (r *Result) plateauDoubts(p *Plateau, say func(text, remedy string)) {
	in := &r.Input
	const few, many, wide = 10, 0.1, 10.0 // independent values, part of the rows, K (common practice)
	if p.Level.SD == 0 {
		say(fmt.Sprintf("%s: all %d values read alike: the last digit hides how it moves", p.Name, p.Rows), "log one digit more")
	} else if p.Level.Independent < few {
		say(fmt.Sprintf("%s: the %d values follow each other so closely that they tell no more than %.0f would", p.Name, p.Rows, max(p.Level.Independent, 1)), "log it for longer")
	}
	if all := p.Rows + p.Left; float64(p.Left) > many*float64(all) {
		say(fmt.Sprintf("%s: %d of %d values lie far from the level and were left out", p.Name, p.Left, all), "look at the figure: clouds, a load, or two levels?")
	}
	rest := math.Hypot(p.Level.Accuracy, math.Hypot(p.Level.Noise, p.Level.Resolution))
	if !p.Alias.Believed(2 * rest) {
		remedy := "average over 0.1 s or more before the meter, with a resistor and a capacitor, and write averaging = … in the run"
		if !p.Alias.Known {
			remedy = "write battery_resistance and lead in [sense], or log the charge current"
		}
		say(p.Name+": "+p.Alias.Says(in.Pulse), remedy)
	}
	if p.Drift != nil && p.Drift.Span < wide {
		say(fmt.Sprintf("%s: the temperature moved by %s only, which tells little of how the level follows it",
			p.Name, quantity.Format(p.Drift.Span, quantity.TemperatureDifference, "K", 1)), "log days that differ by 10 K or more")
	}
}

// volts writes a voltage to the millivolt.
func volts(v float64) string { return quantity.Format(v, quantity.Voltage, "V", 3) }
