package production

import (
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
)

// figures are the build-up of the cost, the minutes by step, the cost over batch sizes, and learning.
func (r *Result) figures() []page.Figure {
	var list []page.Figure
	if r.Unit.Total > 0 {
		list = append(list, page.Figure{Plot: r.buildUp(), Caption: "What one costs to make, part by part."})
	}
	if r.Unit.Time > 0 {
		list = append(list, page.Figure{Plot: r.minuteBars(), Caption: "The minutes of one good unit, step by step."})
	}
	if !r.isFlat() {
		list = append(list, page.Figure{Plot: r.sizeCurve(), Caption: fmt.Sprintf("What one costs in batches of other sizes; now they are of %d.", r.Batch)})
	}
	if f := r.Fit; f != nil {
		list = append(list, page.Figure{Plot: r.learningCurve(), Caption: fmt.Sprintf("Time of one unit, batch by batch, and the curve through them: each doubling takes it to %s.", percent(f.Rate))})
	}
	return list
}

// buildUp draws the parts of the cost, each from where the last ended.
func (r *Result) buildUp() figure.Bars {
	build := figure.Bars{Title: "What one good unit costs", Axis: figure.Axis{Name: "cost of one", Unit: r.Currency}, Running: true, Source: "production.toml"}
	for _, p := range r.parts() {
		build.Rows = append(build.Rows, figure.BarRow{Name: p.name, Parts: []float64{p.value}, Text: r.money(p.value)})
	}
	cost := r.Quantities["unit-cost"]
	total := figure.BarRow{Name: "to make", Parts: []float64{cost.Best}, Total: true, Text: r.money(cost.Best), OpenHigh: len(r.Incomplete) > 0}
	if cost.Low < cost.High {
		total.Low, total.High = cost.Low, cost.High
	}
	build.Rows = append(build.Rows, total)
	return build
}

func (r *Result) minuteBars() figure.Bars {
	bars := figure.Bars{Title: "Where the minutes go", Axis: figure.Axis{Name: "time of a good unit", Unit: "min"}, Parts: []string{"work", "set-up", "rework"}, Source: "production.toml"}
	for _, s := range r.Steps {
		bars.Rows = append(bars.Rows, figure.BarRow{Name: s.Name, Parts: []float64{s.Work / 60, s.Setup / 60, s.Rework / 60}, Text: minutes(s.Sum())})
	}
	return bars
}

// sizeCurve draws the cost from a quarter of the usual batch to four of them; the table has all.
func (r *Result) sizeCurve() figure.Curve {
	used, never := figure.Series{Name: "left-over used later"}, figure.Series{Name: "never used"}
	for _, s := range r.Sizes {
		if s.Units < r.Batch/4 || s.Units > max(4*r.Batch, 10) {
			continue
		}
		used.X, used.Mid = append(used.X, float64(s.Units)), append(used.Mid, s.Cost)
		used.Low, used.High = append(used.Low, s.Low), append(used.High, s.High)
		never.X, never.Mid = append(never.X, float64(s.Units)), append(never.Mid, s.NeverUsed)
	}
	c := figure.Curve{Title: "Cost over batch size", X: figure.Axis{Name: "units of a batch", Scale: figure.Log},
		Y: figure.Axis{Name: "cost of one", Unit: r.Currency}, Series: []figure.Series{used}, Source: "production.toml"}
	if r.leavesOver() {
		c.Series = append(c.Series, never)
	}
	return c
}

// leavesOver reports whether any batch leaves money in stock.
func (r *Result) leavesOver() bool {
	return slices.ContainsFunc(r.Sizes, func(s Size) bool { return s.Tied > 0.005 })
}

// learningCurve draws the batches and the curve through them.
func (r *Result) learningCurve() figure.Curve {
	recorded, fitted := figure.Series{Name: "recorded", Points: true}, figure.Series{Name: "curve"}
	b := math.Log2(r.Fit.Rate)
	for i, x := range r.Fit.Middles {
		recorded.X, recorded.Mid = append(recorded.X, x), append(recorded.Mid, r.Lots[i].Each/60)
		fitted.X, fitted.Mid = append(fitted.X, x), append(fitted.Mid, r.Fit.First*math.Pow(x, b)/60)
	}
	return figure.Curve{Title: "Learning", X: figure.Axis{Name: "units made", Scale: figure.Log},
		Y: figure.Axis{Name: "time of one", Unit: "min", Scale: figure.Log}, Series: []figure.Series{recorded, fitted}, Source: "records/hours.csv"}
}
