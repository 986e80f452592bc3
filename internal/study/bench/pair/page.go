package pair

import (
	"fmt"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics/fit"
	"hindwatt/internal/study/bench"
)

// Page words the answer.
func (r *Result) Page() page.Page {
	p := bench.PageOf([]string{r.Answer()}, r.Warnings, r.how(), r.Input.Meters[0], r.Input.Meters[1])
	p.Figures, p.Tables = []page.Figure{r.figure()}, []page.Table{r.table()}
	if c := r.Charge; c != nil {
		show := func(x float64) string { return quantity.Format(x, quantity.Charge, "Ah", 3) }
		p.Answer = append(p.Answer, fmt.Sprintf("In %.1f h that is %s of charge (%s to %s), %s less %s.", r.Duration/3600, show(c.Best), show(c.Low), show(c.High),
			r.Input.Names[1], r.Input.Names[0]))
	}
	return p
}

func (r *Result) table() page.Table {
	t := bench.LimitsTable(r.Input.Names[1] + " less " + r.Input.Names[0] + ", " + r.Input.Quantity)
	row := func(name string, i fit.Interval) { t.Rows = append(t.Rows, bench.LimitsRow(name, i, r.fine)) }
	row("difference", r.Difference)
	row("without the meters' errors", r.WithoutMeter)
	t.Rows = append(t.Rows, []string{"before any correction", r.size(r.Uncorrected), "", ""})
	if r.Effective > 1 {
		t.Note = fmt.Sprintf("The readings count for %.0f independent ones.", r.Effective)
	}
	return t
}

// figure draws the difference, with and without what the meters may be off by, about zero.
func (r *Result) figure() page.Figure {
	var zero float64
	d := r.Input.Dim
	d.Point = false
	in := func(x float64) float64 {
		if v, err := (quantity.Quantity{Value: x, Dim: d}).In(r.Input.Unit); err == nil {
			return v
		}
		return x
	}
	mark := func(at float64, i fit.Interval, label string) figure.CurveMark {
		return figure.CurveMark{X: at, Mark: figure.Mark{Kind: figure.Measured, Best: in(i.Best), Low: in(i.Low), High: in(i.High),
			OpenLow: i.OpenLow, OpenHigh: i.OpenHigh, Label: label}}
	}
	return page.Figure{
		Caption: fmt.Sprintf("%s less %s, with limits: 1 with the meters' errors, 2 without.", r.Input.Names[1], r.Input.Names[0]),
		Plot: figure.Curve{X: figure.Axis{Name: "interval"}, Y: figure.Axis{Name: "difference of " + r.Input.Quantity, Unit: r.Input.Unit},
			Marks: []figure.CurveMark{mark(1, r.Difference, "difference"), mark(2, r.WithoutMeter, "without meters")},
			Level: &zero, LevelText: "no difference", Source: r.Input.From},
	}
}

func (r *Result) how() []page.Method {
	text, equation := "Two readings by hand, one less the other [D1].", "d = y2 - y1"
	switch {
	case r.Input.Side != nil:
		text, equation = "The difference row by row, less what goes with the sun about its mean [D2].", "y2 - y1 = d + β·(sun - mean)"
	case r.Input.Spans != nil:
		text, equation = "One regression over all spans takes out what goes with the sun, and a steady drift [D3]; residuals that follow each other are whitened.",
			"y = level + d·(second) + β·(sun - mean) + γ·(t - mean)"
	}
	return []page.Method{
		{Text: text, Equation: equation},
		{Text: "The error of one meter cancels but for its part of the difference, and the last digits [D4].", Source: "JCGM 100:2008, 4.3.7 and 5.2"},
	}
}
