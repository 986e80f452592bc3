package promise

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
)

var marks = map[Kind]figure.MarkKind{
	Calculated: figure.Calculated,
	Measured:   figure.Measured,
	Recorded:   figure.Recorded,
}

// Published puts the report on a page to hand on; made is the line at its foot. Rows of the records
// are counted on it, never quoted.
func (r *Report) Published(made string) page.Site {
	site := r.Site()
	site.Made = made
	site.Advice = slices.Concat(r.Warnings, r.Advice)
	if len(r.Rows) > 0 {
		site.Advice = slices.Insert(site.Advice, 0, page.Note{Text: "Some rows of the records are wrong or contradict each other.", Remedy: "hindwatt check lists them"})
	}
	return site
}

// Site puts the report on a page for the maker.
func (r *Report) Site() page.Site {
	site := page.Site{
		Product: r.Product, Subtitle: r.Subtitle, Invented: r.Invented,
		Cautions: r.Cautions, Advice: slices.Concat(r.Rows, r.Warnings, r.Advice), Pages: r.Pages,
	}
	for _, p := range r.Promises {
		site.Promises = append(site.Promises, p.page())
	}
	return site
}

func (p Judged) page() page.Promise {
	out := page.Promise{
		Name: p.Name, Label: p.Label, Verdict: string(p.Verdict), StandsOn: p.standsOn(),
		Bound: p.boundSentence(), Why: p.Says, Lacks: p.Lacks, Safety: p.Safety, PageID: p.PageID,
		Axis: p.Axis, Strip: p.Plot(),
	}
	for _, d := range p.Disagree {
		if d.Says != "" {
			out.Disagree = append(out.Disagree, d.Says)
			continue
		}
		s := d.scale(&p)
		out.Disagree = append(out.Disagree, fmt.Sprintf("%s and %s disagree on the %s at %s: by %s, between %s and %s",
			d.A, d.B, d.of(), d.Conditions, s.signed(d.Difference), s.signed(d.Low), s.signed(d.High)))
	}
	for _, e := range p.Evidence {
		out.Evidence = append(out.Evidence, p.evidenceRow(e))
	}
	return out
}

func (p Judged) evidenceRow(e Evidence) page.Evidence {
	s := scaleOf(p.Dim, p.Unit, e.spread())
	row := page.Evidence{
		Kind: marks[e.Kind], Carried: e.Carried, Value: s.text(e.Best), Interval: s.interval(e.Interval),
		Conditions: e.Conditions, Basis: e.Basis,
	}
	switch {
	case e.End != nil:
		row.Value, row.Interval = e.End.text(), e.End.Case
		if e.End.Margin != nil {
			row.Interval += "; margin " + e.End.marginText()
		}
	case e.NoFigure:
		row.Value, row.Interval = "never", e.Note
	}
	if e.Inside != nil {
		row.Interval += "; " + insideText(*e.Inside)
	}
	if e.Units > 0 {
		row.Units = units(e.Units)
	}
	row.From = places(e.From)
	return row
}

// places writes files and lines shortly: "records/readings.csv:17-20, 34".
func places(from []string) string {
	lines := map[string][]int{}
	var files []string
	for _, f := range from {
		file, line, _ := strings.Cut(f, ":")
		n, err := strconv.Atoi(line)
		if !slices.Contains(files, file) {
			files = append(files, file)
		}
		if err == nil {
			lines[file] = append(lines[file], n)
		}
	}
	for i, file := range files {
		at := lines[file]
		slices.Sort(at)
		at = slices.Compact(at)
		var runs []string
		for len(at) > 0 {
			n := 1
			for n < len(at) && at[n] == at[0]+n {
				n++
			}
			run := strconv.Itoa(at[0])
			if n > 1 {
				run += "-" + strconv.Itoa(at[n-1])
			}
			runs, at = append(runs, run), at[n:]
		}
		if len(runs) > 0 {
			files[i] += ":" + strings.Join(runs, ", ")
		}
	}
	return strings.Join(files, "; ")
}

// spread is the size by which the digits of a figure are chosen.
func (e Evidence) spread() float64 {
	switch {
	case e.OpenLow && e.OpenHigh:
		return e.Best / 10
	case e.OpenLow:
		return (e.High - e.Best) / 2
	case e.OpenHigh:
		return (e.Best - e.Low) / 2
	}
	return (e.High - e.Low) / 4
}

func units(n int) string { return fmt.Sprintf("%d %s", n, plural(n, "unit", "units")) }

func (p Judged) boundSentence() string {
	switch {
	case p.BoundText == "":
		return ""
	case !p.EachUnit:
		return p.BoundText
	}
	return fmt.Sprintf("%s, for %s of the units, at %s confidence", p.BoundText, asked(p.Proportion), asked(p.Confidence))
}

// Plot is the promise as a strip or, where it bounds an end, as boxes; nil without a bound.
func (p Judged) Plot() figure.Plot {
	switch {
	case len(p.Bound.Ends) > 0:
		return p.ends()
	case p.Bound.Min != nil || p.Bound.Max != nil:
		return p.strip()
	}
	return nil
}

func (p Judged) strip() figure.Strip {
	s := scale{dim: p.Dim, unit: p.Unit}
	strip := figure.Strip{Quantity: p.Axis, Unit: p.Unit, Min: s.side(p.Bound.Min), Max: s.side(p.Bound.Max)}
	for _, e := range p.Evidence {
		if e.NoFigure {
			continue
		}
		label := e.Conditions
		if e.Carried { // to the conditions that the calculation's mark names
			label = "carried over"
		}
		if e.Units > 0 {
			label = units(e.Units) + ", " + label
		}
		strip.Marks = append(strip.Marks, figure.Mark{
			Kind: marks[e.Kind], Carried: e.Carried, Best: s.number(e.Best), Low: s.number(e.Low), High: s.number(e.High),
			OpenLow: e.OpenLow, OpenHigh: e.OpenHigh, Label: label,
		})
	}
	return strip
}
