package figure

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Scale says how an axis spreads its values.
type Scale uint8

// Values that a scale cannot show are left out.
const (
	Linear  Scale = iota
	Log           // of values above 0
	Weibull       // ln(-ln(1-p)) of fractions 0 < p < 1, on which a Weibull distribution over the logarithm of age is a straight line; written in %
	Dates         // of days since 1970-01-01 UTC, from the year 1 to 9999; ticks at years, quarters, months or days
	Hours         // of hours of a day, from 0 to 24; ticks at quarters of it, at hours, or at minutes
	Items         // of things numbered from 1, with half a place beside the first and the last; ticks at whole numbers only
)

// The days of the years 1 to 9999.
const firstDay, lastDay = -719162, 2932896

// place returns where a value stands on paper, in units of the scale's own; ok is false for what it cannot show.
func (s Scale) place(v float64) (u float64, ok bool) {
	switch {
	case !finite(v):
		return 0, false
	case s == Log:
		return math.Log10(v), v > 0 && finite(1/v)
	case s == Weibull:
		return math.Log(-math.Log1p(-v)), v > 0 && v < 1 // IEC 61649:2008, the paper's ordinate
	case s == Dates:
		return v, v >= firstDay && v <= lastDay
	case s == Hours:
		return v, v >= 0 && v <= 24
	}
	return v, true
}

// value is the inverse of place.
func (s Scale) value(u float64) float64 {
	switch s {
	case Log:
		return math.Pow10(int(math.Floor(u))) * math.Exp((u-math.Floor(u))*math.Ln10)
	case Weibull:
		return -math.Expm1(-math.Exp(u))
	}
	return u
}

// tick is a place on an axis that has a number.
type tick struct {
	at   float64 // on the scale
	text string
	rank int // where there is no room for all, those of rank 0 are written first
}

// percents are the ticks of a probability plot (common practice, no source), the first to be written first.
var percents = []float64{50, 10, 1, 90, 0.1, 99, 5, 20, 2, 0.5, 0.2, 0.01, 99.9, 0.001, 99.99}

// weibullTicks returns the ticks from low to high on the scale, rising.
func weibullTicks(low, high float64) []tick {
	var out []tick
	for i, p := range percents {
		if u, _ := Weibull.place(p / 100); u >= low-1e-9 && u <= high+1e-9 {
			out = append(out, tick{u, short(p), i})
		}
	}
	return rising(out)
}

// logTicks returns powers of ten with 2 and 5 times them, and powers only, ever fewer, where these would be more than 40.
func logTicks(low, high float64) []tick {
	var out []tick
	by := max(1, int((high-low)/14))
	for e := int(math.Floor(low)); float64(e) <= high; e++ {
		for _, f := range []int{1, 2, 5} {
			u, _ := Log.place(float64(f))
			if u += float64(e); u < low-1e-9 || u > high+1e-9 || by > 1 && (f > 1 || e%by != 0) {
				continue
			}
			rank := 0
			if f > 1 {
				rank = 1
			}
			out = append(out, tick{u, minus(short(multiple(1, f, e))), rank})
		}
	}
	return out
}

// hourSteps are the steps, in minutes, that an axis of hours takes.
var hourSteps = []int{1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440}

// hourTicks returns the fewest minutes apart that keep to about want ticks.
func hourTicks(low, high float64, want int) []tick {
	step := hourSteps[len(hourSteps)-1]
	for _, m := range hourSteps {
		if (high-low)*60/float64(m) <= float64(max(want, 1)) {
			step = m
			break
		}
	}
	var out []tick
	for n := int(math.Ceil(low*60/float64(step)-1e-9)) * step; float64(n) <= high*60+1e-9 && len(out) < 100; n += step {
		text := strconv.Itoa(n / 60)
		if step < 60 {
			text = clock(float64(n) / 60)
		}
		out = append(out, tick{float64(n) / 60, text, 0})
	}
	return out
}

// longName is how much of an item's name is written, in characters.
const longName = 14

func clipped(names []string) []string {
	out := slices.Clone(names)
	for i, name := range out {
		if r := []rune(name); len(r) > longName {
			out[i] = strings.TrimRight(string(r[:longName-1]), " ") + "…"
		}
	}
	return out
}

// itemTicks returns whole numbers, a round number of them apart, or the names of the things where there are any.
func itemTicks(low, high float64, want int, names []string) []tick {
	by := 1.0
	for _, by = range []float64{1, 2, 5, 10, 20, 50, 100, 1000, 10000} {
		if (high-low)/by <= float64(max(want, 1)) {
			break
		}
	}
	var out []tick
	for at := math.Ceil(low/by) * by; at <= high && len(out) < 100; at += by {
		text := short(at)
		if i := int(at) - 1; i >= 0 && i < len(names) {
			text = names[i]
		} else if len(names) > 0 || at < 1 {
			continue
		}
		out = append(out, tick{at, text, 0})
	}
	return out
}

// clock writes hours of a day: "5:30".
func clock(hours float64) string {
	minutes := int(math.Round(hours * 60))
	return strconv.Itoa(minutes/60) + ":" + strconv.Itoa(100 + minutes%60)[1:]
}

func rising(ticks []tick) []tick {
	slices.SortFunc(ticks, func(a, b tick) int {
		if a.at < b.at {
			return -1
		}
		return 1
	})
	return ticks
}

// dayTime returns the moment of a number of days since 1970-01-01 UTC.
func dayTime(days float64) time.Time { return time.Unix(int64(math.Round(days*86400)), 0).UTC() }

func days(t time.Time) float64 { return float64(t.Unix()) / 86400 }

// months are the steps, in months, that a calendar axis takes.
var months = []int{1, 3, 6, 12, 24, 60, 120, 240, 600, 1200, 2400, 6000, 12000, 24000, 60000, 120000}

// nameless is the year that stands for any: the days since its beginning are the days since 1970-01-01.
const nameless = 1970

// dateTicks returns at most about want ticks: the fewest months apart that keep to it, or days where the axis holds less than two months.
func dateTicks(low, high float64, want int) []tick {
	first := dayTime(low)
	if high-low < 62 {
		return dayTicks(low, high, want)
	}
	step := months[len(months)-1]
	for _, m := range months {
		if (high-low)/(365.2425/12*float64(m)) <= float64(max(want, 1)) {
			step = m
			break
		}
	}
	var out []tick
	n := (first.Year()*12 + int(first.Month()) - 1) / step * step
	for ; len(out) < 100; n += step {
		at := days(time.Date(n/12, time.Month(n%12+1), 1, 0, 0, 0, 0, time.UTC))
		if at > high {
			break
		}
		if at >= low {
			out = append(out, tick{at, dateText(at, step), 0})
		}
	}
	return out
}

// dayTicks returns whole days, a round number of them apart.
func dayTicks(low, high float64, want int) []tick {
	by := 1.0
	for _, by = range []float64{1, 2, 5, 10, 20, 40} {
		if (high-low)/by <= float64(max(want, 1)) {
			break
		}
	}
	var out []tick
	for at := math.Ceil(low); at <= high; at += by {
		out = append(out, tick{at, dateText(at, 0), 0})
	}
	return out
}

// dateText writes a date as exactly as a step in months needs it: "2021", "Mar 2023", "5 Mar 2023"; of the year without a name, days 0 to 364, "Mar".
func dateText(at float64, step int) string {
	t := dayTime(at)
	switch year := strconv.Itoa(t.Year()); {
	case t.Year() == nameless && step == 0:
		return strconv.Itoa(t.Day()) + " " + t.Month().String()[:3]
	case t.Year() == nameless:
		return t.Month().String()[:3]
	case step == 0:
		return strconv.Itoa(t.Day()) + " " + t.Month().String()[:3] + " " + year
	case step%12 != 0:
		return t.Month().String()[:3] + " " + year
	default:
		return year
	}
}
