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
	p.Figures, p.Tables = r.figures(), []page.Table{r.table()}
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

// shown is most of the points of one controller that are drawn.
const shown = 400

// figures draw what was read of both, and the difference with and without what the meters may be off by.
func (r *Result) figures() (all []page.Figure) {
	d := r.Input.Dim
	in := func(x float64, d quantity.Dimension) float64 {
		if v, err := (quantity.Quantity{Value: x, Dim: d}).In(r.Input.Unit); err == nil {
			return v
		}
		return x
	}
	spans, how := r.Input.Spans, "in turn"
	if r.Input.Side != nil {
		spans, how = r.Input.Side[:], "side by side"
	}
	if len(spans) > 0 {
		series := []figure.Series{{Name: r.Input.Names[0], Points: true}, {Name: r.Input.Names[1], Points: true}}
		rows := [2]int{}
		for k, s := range spans {
			rows[who(r.Input, k)] += len(s.Value)
		}
		first := spans[0].Time[0]
		for k, s := range spans {
			at := who(r.Input, k)
			times := s.Time
			if r.Input.Side != nil {
				times = spans[0].Time
			}
			for i := 0; i < len(s.Value); i += 1 + rows[at]/shown {
				series[at].X, series[at].Mid = append(series[at].X, (times[i]-first)/60), append(series[at].Mid, in(s.Value[i], d))
			}
		}
		all = append(all, page.Figure{
			Caption: page.Capital(fmt.Sprintf("%s and %s, %s, as they were read.", r.Input.Names[0], r.Input.Names[1], how)),
			Plot: figure.Curve{X: figure.Axis{Name: "time since the first row", Unit: "min"}, Y: figure.Axis{Name: r.Input.Quantity, Unit: r.Input.Unit}, Series: series,
				Source: r.Input.From},
		})
	}
	d.Point = false
	mark := func(i fit.Interval, label string) figure.Mark {
		return figure.Mark{Kind: figure.Measured, Best: in(i.Best, d), Low: in(i.Low, d), High: in(i.High, d), OpenLow: i.OpenLow, OpenHigh: i.OpenHigh, Label: label}
	}
	return append(all, page.Figure{
		Caption: page.Capital(fmt.Sprintf("%s less %s, with limits: above with the meters' errors, below without.", r.Input.Names[1], r.Input.Names[0])),
		Plot: figure.Strip{Quantity: "difference of " + r.Input.Quantity, Unit: r.Input.Unit,
			Marks: []figure.Mark{mark(r.Difference, "with the meters' errors"), mark(r.WithoutMeter, "without the meters' errors")}},
	})
}

// who is whose the k-th span is.
func who(in Input, k int) int {
	if in.Side != nil {
		return k
	}
	return in.Spans[k].Who
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
