package pair

import (
	"fmt"
	"math"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

func (r *Result) doubt() {
	in := &r.Input
	note := func(text, remedy string) {
		r.Warnings = append(r.Warnings, page.Note{Text: text, Remedy: remedy, From: in.From})
	}
	switch a, b := in.Meters[0], in.Meters[1]; {
	case !a.Known() || !b.Known():
		note("the accuracy of a meter is not known: nothing limits how far off the difference is", "name the meter and its accuracy in bench/meters.toml")
	case a.Name != b.Name:
		note("two meters were used: their errors do not cancel", "read both with one meter")
	}
	if in.Hand != nil {
		note("two readings by hand say nothing of how the sun changed between them", "read in turn several times, or log both")
	}
	if n := len(in.Spans); n == 2 {
		note("each controller was connected once: a drift of the sun or of the battery cannot be told from the difference", "go back to the first once more: A-B-A")
	}
	if in.Hand == nil && r.SunSlope == nil {
		note("the sun was not logged: only a steady drift is taken out", "log the irradiance, or the short-circuit current of a small panel beside it")
	}
	if value, alike := in.alike(); alike {
		show := r.worded(value, 3)
		note(fmt.Sprintf("all readings of the %s are %s: the last digit hides what differs", in.Quantity, show), "read with one digit more, and look whether the logger took that column")
	}
	if r.Effective < 10 && in.Hand == nil {
		note(fmt.Sprintf("the readings follow each other so closely that they count for %.0f independent ones", r.Effective), "alternate more often, over a longer time")
	}
}

// alike reports whether all that was logged of both is one value.
func (in *Input) alike() (value float64, yes bool) {
	spans := in.Spans
	if in.Side != nil {
		spans = in.Side[:]
	}
	for i, s := range spans {
		for j, v := range s.Value {
			if i == 0 && j == 0 {
				value = v
			}
			if v != value {
				return 0, false
			}
		}
	}
	return value, len(spans) > 0
}

// Answer words who held the lower level, and whether that is real.
func (r *Result) Answer() string {
	d := r.Difference
	lower, higher := r.Input.Names[0], r.Input.Names[1]
	if d.Best < 0 {
		lower, higher = higher, lower
	}
	low, high := math.Min(math.Abs(d.Low), math.Abs(d.High)), math.Max(math.Abs(d.Low), math.Abs(d.High))
	switch {
	case d.OpenLow || d.OpenHigh:
		return fmt.Sprintf("%s read %s lower than %s in %s, with no limits to how far that may be wrong.", lower, r.size(math.Abs(d.Best)), higher, r.Input.Quantity)
	case r.Real:
		return fmt.Sprintf("%s was lower than %s in %s by %s (%s to %s): the difference is real.", lower, higher, r.Input.Quantity, r.fine(math.Abs(d.Best)), r.fine(low), r.fine(high))
	}
	return fmt.Sprintf("%s and %s cannot be told apart in %s: %s less %s is between %s and %s.", r.Input.Names[0], r.Input.Names[1], r.Input.Quantity,
		r.Input.Names[1], r.Input.Names[0], r.fine(d.Low), r.fine(d.High))
}

// size words a difference with two digits.
func (r *Result) size(x float64) string { return r.worded(x, -2) }

// fine words it with as many decimals as its limits have meaning for.
func (r *Result) fine(x float64) string {
	width := r.Difference.High - r.Difference.Low
	if r.Difference.OpenLow || r.Difference.OpenHigh || !(width > 0) {
		return r.size(x)
	}
	return r.worded(x, int(min(max(-math.Floor(math.Log10(width/3)), 0), 6)))
}

func (r *Result) worded(x float64, decimals int) string {
	d := r.Input.Dim
	d.Point = false
	unit := r.Input.Unit
	if u, _, ok := quantity.UnitDimension(unit); !ok || u != d {
		unit = ""
	}
	return quantity.Format(x, d, unit, decimals)
}
