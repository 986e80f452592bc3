package returns

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/quantity"
)

// percent writes a share with two digits that mean something.
func percent(share float64) string {
	switch p := 100 * share; {
	case p == 0:
		return "0 %"
	case p < 0.01:
		return "under 0.01 %"
	case p < 0.1:
		return fmt.Sprintf("%.2f %%", p)
	case p < 10 || p > 99 && p < 100:
		return fmt.Sprintf("%.1f %%", p)
	default:
		return fmt.Sprintf("%.0f %%", p)
	}
}

func limits(i Interval, write func(float64) string) string {
	if i.Open {
		return "at least " + write(i.Low)
	}
	return strings.TrimSuffix(write(i.Low), " %") + " to " + write(i.High)
}

func shareText(i Interval) string { return percent(i.Best) + " (" + limits(i, percent) + ")" }

func (c Count) String() string {
	if c.exact() {
		return group(c.Best)
	}
	return group(c.Low) + " to " + group(c.High)
}

// few writes a number with its word: "1 row is", "3 rows are".
func few(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return group(float64(n)) + " " + more
}

// group writes a whole number with its thousands apart: "1,410".
func group(n float64) string {
	s := fmt.Sprintf("%.0f", math.Round(n))
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

func units(c Count) string {
	if c.exact() && c.Best == 1 {
		return "unit"
	}
	return "units"
}

// oneIn words a probability of the search: "3 of 1,000".
func oneIn(p float64) string {
	if n := math.Round(1000 * p); n >= 1 {
		return group(n) + " of 1,000"
	}
	return "fewer than 1 of 1,000"
}

func (d Day) String() string { return d.Time().Format("2 January 2006") }

// span words a period by its months: "March to May 2023".
func months(from, until Day) string {
	a, b := from.Time(), until.Time()
	switch {
	case a.Year() == b.Year() && a.Month() == b.Month():
		return a.Format("January 2006")
	case a.Year() == b.Year():
		return a.Format("January") + " to " + b.Format("January 2006")
	}
	return a.Format("January 2006") + " to " + b.Format("January 2006")
}

// ageText words an age: "14 months".
func ageText(seconds float64) string {
	switch m := seconds / month; {
	case m < 2:
		return fmt.Sprintf("%.0f days", seconds/daySeconds)
	case m < 36:
		return fmt.Sprintf("%.0f months", m)
	}
	return fmt.Sprintf("%.1f years", seconds/year)
}

func (r *Result) money(v float64) string {
	unit := r.Input.Currency
	if unit == "" && r.Input.Hour != nil {
		unit = r.Input.Hour.Currency
	}
	return quantity.Format(v, quantity.Money, unit, 2)
}

func (g *Group) label(unknown string) string {
	if g.Name == "" {
		return unknown
	}
	return g.Name
}
