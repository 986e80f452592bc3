package returns

import (
	"fmt"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/statistics/survival"
)

func (r *Result) figures() (out []page.Figure) {
	if r.Known {
		c := figure.Curve{X: figure.Axis{Name: "age", Unit: "months"}, Y: figure.Axis{Name: "came back", Unit: "%"}}
		c.Series = append(c.Series, r.series("all", &r.All))
		if n := len(r.Revisions); n > 1 && n <= 5 {
			for i := range r.Revisions {
				if g := &r.Revisions[i]; g.Name != "" && g.Back.Best > 0 {
					s := r.series("revision "+g.Name, g)
					s.Low, s.High = nil, nil
					c.Series = append(c.Series, s)
				}
			}
		}
		if len(c.Series[0].X) > 1 {
			out = append(out, page.Figure{Plot: c, Caption: fmt.Sprintf("The part that came back up to an age (Kaplan and Meier), all units with the limits at %s.", percent(r.Input.Confidence))})
		}
	}
	if f := r.probability(); f != nil {
		out = append(out, *f)
	}
	if len(r.Reasons) > 0 {
		b := figure.Bars{Axis: figure.Axis{Name: "came back", Unit: "units"}}
		for i, s := range r.Reasons {
			if i == 10 {
				break
			}
			name := s.Name
			if s.Found == NoFault {
				name += " (no fault found)"
			}
			b.Rows = append(b.Rows, figure.BarRow{Name: name, Parts: []float64{s.Count.Best}, Low: s.Count.Low, High: s.Count.High, Text: s.Count.String()})
		}
		out = append(out, page.Figure{Plot: b, Caption: "What they came back for, the commonest first."})
	}
	if named := r.namedBatches(); len(named) > 1 && len(named) <= 60 {
		b := figure.Bars{Axis: figure.Axis{Name: "came back", Unit: "%"}}
		for _, g := range named {
			b.Rows = append(b.Rows, figure.BarRow{
				Name: g.Name, Parts: []float64{100 * g.Share.Best}, Low: 100 * g.Share.Low, High: 100 * g.Share.High,
				Text: fmt.Sprintf("%s of %s", g.Back, g.Sold),
			})
		}
		out = append(out, page.Figure{Plot: b, Caption: "The part of each batch that came back, with its exact limits, in the order in which they were made. Later batches have been out for less time."})
	}
	if len(r.Months) > 1 {
		s, axis, since := figure.Series{Name: "still to come"}, figure.Axis{Name: "from today", Unit: "months"}, 0.0
		if last, ended := r.Ended(); ended {
			axis.Name, since = "after the end of sale", float64(r.Input.Today-last)*daySeconds
		}
		for _, m := range r.Months {
			s.X, s.Mid = append(s.X, (since+m.Until)/month), append(s.Mid, m.Mean)
			s.Low, s.High = append(s.Low, m.Low), append(s.High, m.High)
		}
		out = append(out, page.Figure{
			Plot:    figure.Curve{X: axis, Y: figure.Axis{Name: "returns to come", Unit: "units"}, Series: []figure.Series{s}},
			Caption: "Returns still to come, added up, with the interval in which their number will lie.",
		})
	}
	return out
}

// series is the curve of a group, in % over months.
func (r *Result) series(name string, g *Group) figure.Series {
	s := figure.Series{Name: name, Step: true, X: []float64{0}, Mid: []float64{0}, Low: []float64{0}, High: []float64{0}}
	curve := r.Curve
	if g != &r.All {
		c, err := survival.KaplanMeier(r.Input.lives(g.units, anyReturn, middle))
		if err != nil {
			return s
		}
		curve = c
	}
	add := func(age float64) {
		e, err := curve.At(age, r.Input.Confidence)
		if err != nil || e.Survival.None != "" || age/month <= s.X[len(s.X)-1] {
			return
		}
		best := 100 * (1 - e.Survival.Value)
		low, high := best, best
		if e.Low.None == "" && e.High.None == "" {
			low, high = 100*(1-e.High.Value), 100*(1-e.Low.Value)
		}
		s.X, s.Mid, s.Low, s.High = append(s.X, age/month), append(s.Mid, best), append(s.Low, low), append(s.High, high)
	}
	for _, step := range curve.Steps {
		add(step.Age)
	}
	add(curve.Last)
	return s
}
