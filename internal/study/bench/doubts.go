package bench

import (
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// ambient is the mean, the lowest and the highest of the readings.
func (in *Input) ambient() Interval {
	at := make([]float64, len(in.Readings))
	for i, r := range in.Readings {
		at[i] = r.ambient()
	}
	return Interval{Best: mean(at), Low: slices.Min(at), High: slices.Max(at)}
}

// doubts are those about single readings, each said once with the first reading that it is about.
func (in *Input) doubts() []page.Note {
	all := len(in.Readings)
	var notes []page.Note
	about := func(doubtful func(Reading) bool, text, remedy string) {
		count, from := 0, ""
		for _, r := range in.Readings {
			if doubtful(r) {
				if count == 0 {
					from = r.From
				}
				count++
			}
		}
		if count > 0 {
			notes = append(notes, page.Note{Text: fmt.Sprintf(text, of(count, all)), Remedy: remedy, From: from})
		}
	}
	for _, name := range in.unrated() {
		about(func(r Reading) bool { return r.Meter == nil && r.Unrated == name },
			name+"'s accuracy for a "+in.Readings[0].Value.Dim.Name()+" is not given, and it took %s: nothing limits how far off they are",
			"write accuracy = … for it under [meter."+name+"] in bench/meters.toml")
	}
	about(func(r Reading) bool { return r.Meter == nil && r.Unrated == "" },
		"the accuracy of the meter is not known for %s: nothing limits how far off they are",
		"name the meter with meter=…, its accuracy in bench/meters.toml")
	about(func(r Reading) bool { return r.Meter != nil && !r.Meter.Known() },
		"the accuracy of the meter counts last digits of unknown size for %s: nothing limits how far off they are",
		"write the size of the last digit in bench/meters.toml: digit = …")
	about(func(r Reading) bool { return r.Ambient == nil },
		"the ambient was not noted for %s: 25 °C is assumed",
		"note it with ambient=…")
	return notes
}

// unrated are the meters that are named without their accuracy, in the order of the readings.
func (in *Input) unrated() (names []string) {
	for _, r := range in.Readings {
		if r.Meter == nil && r.Unrated != "" && !slices.Contains(names, r.Unrated) {
			names = append(names, r.Unrated)
		}
	}
	return names
}

// of words a part of all readings.
func of(count, all int) string {
	switch {
	case all == 1:
		return "the reading"
	case count == all:
		return fmt.Sprintf("all %d readings", all)
	}
	return fmt.Sprintf("%d of %d readings", count, all)
}

// scatterDoubts are those about how the units differ.
func (r *Result) scatterDoubts() []page.Note {
	s := r.sample
	if r.Units < 2 {
		return nil
	}
	var notes []page.Note
	switch {
	case s.scatter() == 0:
		notes = append(notes, page.Note{
			Text:   fmt.Sprintf("the %d units read alike, and how finely they were read is not known: their spread has no limit", r.Units),
			Remedy: "write the size of the meter's last digit in bench/meters.toml: digit = …; or read with one digit more",
		})
	case s.sd < s.own:
		notes = append(notes, page.Note{
			Text:   fmt.Sprintf("the %d units differ by less than the readings' own spread and last digit: %s is taken as their spread", r.Units, r.size(s.own)),
			Remedy: "read with a meter that shows one digit more",
		})
	}
	groups := r.groupDoubts()
	notes = append(notes, groups...)
	if p, tested := r.normal(); tested && p < doubtful && len(groups) == 0 {
		notes = append(notes, page.Note{
			Text:   fmt.Sprintf("the %d units do not look like one normal lot (Anderson and Darling's test, p = %.2g), on which the share of units rests", r.Units, p),
			Remedy: "look at the readings: two lots of a part, two revisions, or a slip of the pen?",
			From:   "docs/models.md [R12]",
		})
	}
	return notes
}

// normal tests whether the units look like a normal population; tested is false where they are too few, or
// read too coarsely, to see.
func (r *Result) normal() (p float64, tested bool) {
	if r.Units < normalFrom || r.sample.sd < coarse*r.sample.own || r.sample.sd == 0 {
		return 0, false
	}
	_, p = normality(r.sample.column(func(u *unit) float64 { return u.value }))
	return p, true
}

// Doubts are those that depend on the bound that is asked for: a meter too coarse to judge it. A bound with
// one side has no width to compare with.
func (r *Result) Doubts(min, max float64) []page.Note {
	half, limit := (max-min)/2, r.sample.limit()
	if !(half > 0) || math.IsInf(half, 1) || limit <= quarter*half {
		return nil
	}
	from := ""
	if len(r.sample.meters) > 0 {
		from = r.sample.meters[0].From
	}
	return []page.Note{{
		Text: fmt.Sprintf("the meter may be off by ±%s, %.0f %% of the ±%s that is promised",
			r.size(limit), 100*limit/half, r.size(half)),
		Remedy: fmt.Sprintf("read with a meter within ±%s, a quarter of it", r.size(rounded(quarter*half))),
		From:   from,
	}}
}

// rounded is x > 0 down to its first digit, so that what is asked for is easy to say.
func rounded(x float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(x)+1e-12))
	return math.Floor(x/unit*(1+1e-9)) * unit
}

// dim is the dimension of a deviation: of a temperature, a difference.
func (r *Result) dim() quantity.Dimension {
	d := r.Input.Readings[0].Value.Dim
	d.Point = d.Point && r.Input.Target == nil
	return d
}

// size words how large a difference is, with two digits at most.
func (r *Result) size(x float64) string {
	d := r.Input.Readings[0].Value.Dim
	d.Point = false
	unit := r.Input.Unit
	if u, _, ok := quantity.UnitDimension(unit); !ok || u != d {
		unit = ""
	}
	if shown, err := (quantity.Quantity{Value: x, Dim: d}).In(unit); err == nil && shown != 0 {
		if first := rounded(math.Abs(shown)); math.Abs(shown)-first < 1e-9*first {
			return quantity.Format(x, d, unit, -1)
		}
	}
	return quantity.Format(x, d, unit, -2)
}
