package bench

import (
	"hindwatt/internal/page"
	"hindwatt/internal/statistics/fit"
)

// Heading is how each page of the bench begins.
func Heading() page.Page {
	return page.Page{ID: "bench", Question: "What did the bench say?", Short: "On the bench"}
}

// PageOf is what the pages of all kinds of runs begin with; meters are those that the log was taken with, nil ones left out.
func PageOf(answer []string, warnings []page.Note, how []page.Method, meters ...*Meter) page.Page {
	p := Heading()
	p.Answer, p.Warnings, p.How = answer, warnings, how
	for _, m := range meters {
		if m != nil {
			p.AddInputs(page.Input{Name: "meter " + m.Name, Text: m.Accuracy.String(), From: m.From, Note: "its error is the same, unknown, for the whole log"})
		}
	}
	return p
}

// Ends words the limits of an interval: "1.2 V to 1.4 V", "at least 1.2 V", "no limits".
func Ends(i fit.Interval, show func(float64) string) string {
	switch {
	case i.OpenLow && i.OpenHigh:
		return "no limits"
	case i.OpenLow:
		return "at most " + show(i.High)
	case i.OpenHigh:
		return "at least " + show(i.Low)
	}
	return show(i.Low) + " to " + show(i.High)
}

// LimitsTable begins a table of figures with their limits.
func LimitsTable(title string) page.Table {
	return page.Table{Title: title, Head: []string{"", "best", "low", "high"}, Align: "lrrr"}
}

// LimitsRow is a figure in such a table.
func LimitsRow(name string, i fit.Interval, show func(float64) string) []string {
	low, high := show(i.Low), show(i.High)
	if i.OpenLow {
		low = "open"
	}
	if i.OpenHigh {
		high = "open"
	}
	return []string{name, show(i.Best), low, high}
}
