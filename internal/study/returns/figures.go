package returns

import (
	"fmt"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/statistics/survival"
)

const mostBars = 60 // batches in one drawing

func (r *Result) figures() (out []page.Figure) {
	for _, f := range []*page.Figure{r.curves(), r.probability(), r.pareto(), r.strip(), r.fan()} {
		if f != nil {
			out = append(out, *f)
		}
	}
	return out
}

// curves are those of all units, of the run of batches that stands out, and of each revision.
func (r *Result) curves() *page.Figure {
	if !r.Known {
		return nil
	}
	c := figure.Curve{X: figure.Axis{Name: "age", Unit: "months"}, Y: figure.Axis{Name: "came back", Unit: "%"}, Series: []figure.Series{r.series("all", &r.All)}}
	if len(c.Series[0].X) < 2 {
		return nil
	}
	add := func(name string, g *Group) {
		s := r.series(name, g)
		s.Low, s.High = nil, nil
		c.Series = append(c.Series, s)
	}
	if b := r.Found.Best; b != nil && b.P < 0.05 {
		named := r.namedBatches()
		run, name := &Group{}, "batch "+named[b.First].Name
		if b.First != b.Last {
			name = fmt.Sprintf("%s to %s", named[b.First].Name, named[b.Last].Name)
		}
		for _, g := range named[b.First : b.Last+1] {
			run.units = append(run.units, g.units...)
		}
		add(name, run)
	}
	if n := len(r.Revisions); n > 1 && n <= 4 {
		for i := range r.Revisions {
			if g := &r.Revisions[i]; g.Name != "" && g.Back.Best > 0 {
				add("revision "+g.Name, g)
			}
		}
	}
	said := fmt.Sprintf("The part that came back up to an age (Kaplan and Meier), all units with the limits at %s.", percent(r.Input.Confidence))
	if r.Vague > 0 {
		said += " Ages known between limits stand at their middle."
	}
	return &page.Figure{Plot: c, Caption: said}
}

// pareto is the reasons, those without a fault after the others.
func (r *Result) pareto() *page.Figure {
	if len(r.Reasons) == 0 {
		return nil
	}
	b := figure.Bars{Axis: figure.Axis{Name: "came back", Unit: "units"}}
	said := "What they came back for, the commonest first; those in which no fault was found last."
	for i, s := range r.Reasons {
		if i == 10 {
			said = fmt.Sprintf("The 10 commonest of %d reasons that they came back for.", len(r.Reasons))
			break
		}
		name := s.Name
		if s.Found == NoFault {
			name += " (no fault found)"
		}
		b.Rows = append(b.Rows, figure.BarRow{Name: name, Parts: []float64{s.Count.Best}, Low: s.Count.Low, High: s.Count.High, Text: s.Count.String()})
	}
	return &page.Figure{Plot: b, Caption: said}
}

// strip is the share of each batch.
func (r *Result) strip() *page.Figure {
	named := r.namedBatches()
	if len(named) < 2 || len(named) > mostBars {
		return nil
	}
	b := figure.Bars{Axis: figure.Axis{Name: "came back", Unit: "%"}}
	for _, g := range named {
		b.Rows = append(b.Rows, figure.BarRow{
			Name: g.Name, Parts: []float64{100 * g.Share.Best}, Low: 100 * g.Share.Low, High: 100 * g.Share.High,
			Text: fmt.Sprintf("%s of %s", g.Back, g.Sold),
		})
	}
	return &page.Figure{Plot: b, Caption: "The part of each batch that came back, with its exact limits, in the order in which they were made. Later batches have been out for less time."}
}

// fan is what is to come, added up.
func (r *Result) fan() *page.Figure {
	if len(r.Months) < 2 || r.Coming.Open {
		return nil
	}
	axis, since := figure.Axis{Name: "from " + r.Input.Today.String(), Unit: "months"}, 0.0
	if last, ended := r.Ended(); ended {
		axis.Name, since = "after the end of sale", float64(r.Input.Today-last)*daySeconds
	}
	s := figure.Series{Name: "still to come", X: []float64{since / month}, Mid: []float64{0}, Low: []float64{0}, High: []float64{0}}
	for _, m := range r.Months {
		s.X, s.Mid = append(s.X, (since+m.Until)/month), append(s.Mid, m.Mean)
		s.Low, s.High = append(s.Low, m.Low), append(s.High, m.High)
	}
	return &page.Figure{
		Plot:    figure.Curve{X: axis, Y: figure.Axis{Name: "returns to come", Unit: "units"}, Series: []figure.Series{s}},
		Caption: "Returns still to come, added up, with the interval in which their number will lie.",
	}
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
