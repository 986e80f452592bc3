package accounts

import (
	"slices"
	"time"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
)

func dayOf(t time.Time) float64 { return float64(t.Unix()) / 86400 }

// plots draws the money over time and by kind, the hour's pay by year, and the hours by kind.
func (r *Result) plots() (out []page.Figure) {
	add := func(p figure.Plot, caption string) { out = append(out, page.Figure{Plot: p, Caption: caption}) }
	if len(r.Cumulative) > 1 {
		c, caption := r.gathered()
		add(c, caption)
	}
	if len(r.Lines) > 0 {
		add(r.byKind(), "What came in, what it went on, and what is left for the hours.")
	}
	if c, n := r.paidByYear(); n > 1 && !r.spreadOverYears() {
		add(c, "What one hour paid in each year, the hours of design left out, with its 95 % interval where something is remembered.")
	}
	if len(r.Worked) > 0 {
		add(r.hoursByKind(), "Where the hours went.")
	}
	return out
}

// gathered is the cumulative money, with the month in which it turned.
func (r *Result) gathered() (figure.Curve, string) {
	s, zero := figure.Series{Name: "gathered"}, 0.0
	var shown []Point // as in the table of months
	for _, end := range r.stretches() {
		shown = append(shown, r.Cumulative[end-1])
	}
	for _, c := range shown {
		s.X, s.Mid = append(s.X, dayOf(c.At)), append(s.Mid, c.Mid)
		s.Low, s.High = append(s.Low, c.Low), append(s.High, c.High)
	}
	c := figure.Curve{
		Title: "Money gathered", X: figure.Axis{Name: "end of month", Scale: figure.Dates}, Y: figure.Axis{Name: "money in less money out", Unit: r.Currency},
		Series: []figure.Series{s}, Level: &zero, LevelText: "nothing gained",
	}
	caption := "What had come in less what had gone out by the end of each month, with its 95 % interval."
	if k, ok := r.turned(); ok && k > 0 {
		at := along(shown, r.Cumulative[k].At)
		c.Marks = []figure.CurveMark{{X: dayOf(at.At), Mark: figure.Mark{
			Kind: figure.Recorded, Best: at.Mid, Low: at.Low, High: at.High, Label: "turned in " + r.Months[k].First.Format("January 2006"),
		}}}
		caption += " The mark is the end of the month in which it turned."
	}
	return c, caption
}

// along is where the drawn line stands at a day.
func along(points []Point, at time.Time) Point {
	i := slices.IndexFunc(points, func(p Point) bool { return !p.At.Before(at) })
	if i <= 0 {
		return points[max(i, 0)]
	}
	a, b := points[i-1], points[i]
	w := at.Sub(a.At).Hours() / b.At.Sub(a.At).Hours()
	between := func(from, to float64) float64 { return from + w*(to-from) }
	return Point{At: at, Mid: between(a.Mid, b.Mid), Low: between(a.Low, b.Low), High: between(a.High, b.High)}
}

// byKind is the build-up from what came in down to what is left.
func (r *Result) byKind() figure.Bars {
	bars := figure.Bars{Title: "Money by kind", Axis: figure.Axis{Name: "money", Unit: r.Currency}, Running: true}
	left := 0.0
	for _, l := range r.Lines {
		v := l.Best.Float64()
		if !l.In {
			v = -v
		}
		left += v
		bars.Rows = append(bars.Rows, figure.BarRow{Name: l.Kind, Parts: []float64{v}, Text: r.money(v)})
	}
	if r.Net.None == "" {
		left = r.Net.Best
	}
	bars.Rows = append(bars.Rows, figure.BarRow{Name: "left", Total: true, Text: r.money(left)})
	return bars
}

// paidByYear sets each year's hour's pay against what an hour would have paid elsewhere; n counts the years that have one.
func (r *Result) paidByYear() (bars figure.Bars, n int) {
	bars = figure.Bars{Title: "What an hour paid, by year", Axis: figure.Axis{Name: "an hour paid", Unit: r.Currency + "/h"}}
	for _, y := range r.Years {
		if y.Paid.None != "" {
			continue
		}
		n++
		row := figure.BarRow{Name: y.name(), Parts: []float64{y.Paid.Best * 3600}, Text: r.hourly(y.Paid.Best)}
		if y.Paid.Low < y.Paid.High {
			row.Low, row.High = y.Paid.Low*3600, y.Paid.High*3600
		}
		bars.Rows = append(bars.Rows, row)
	}
	if h := r.Input.Hour; h != nil && h.Currency == r.Currency {
		bars.Rows = append(bars.Rows, figure.BarRow{Name: "elsewhere", Total: true, Parts: []float64{h.Value * 3600}, Text: r.hourly(h.Value)})
	}
	return bars, n
}

func (r *Result) hoursByKind() figure.Bars {
	bars := figure.Bars{Title: "Hours by kind", Axis: figure.Axis{Name: "time", Unit: "h"}}
	for _, w := range r.Worked {
		row := figure.BarRow{Name: w.Group + calculated(w.Calculated, w.Recorded), Parts: []float64{w.Best / 3600}, Text: hoursText(w.Best)}
		if w.Low < w.High {
			row.Low, row.High = w.Low/3600, w.High/3600
		}
		bars.Rows = append(bars.Rows, row)
	}
	return bars
}
