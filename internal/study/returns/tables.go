package returns

import (
	"fmt"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/statistics/survival"
)

func maybeRange(f *survival.Fit) string {
	low, high := "no lower limit", "no upper limit"
	if f.ShapeLow.None == "" {
		low = fmt.Sprintf("%.2f", f.ShapeLow.Value)
	}
	if f.ShapeHigh.None == "" {
		high = fmt.Sprintf("%.2f", f.ShapeHigh.Value)
	}
	return low + " to " + high
}

func (r *Result) tables() (out []page.Table) {
	out = append(out, r.reasonTable())
	for _, t := range []struct {
		title, unknown string
		groups         []Group
	}{{"By revision", "not known", r.Revisions}, {"By channel", "not noted", r.Channels}, {"By batch", "not known", r.Batches}} {
		if len(t.groups) > 1 {
			out = append(out, groupTable(t.title, t.unknown, t.groups))
		}
	}
	if f := r.Fit; f != nil && r.Known {
		t := page.Table{Title: "Fits to the ages", Head: []string{"", "best", "low", "high"}, Align: "lrrr"}
		maybe := func(m survival.Maybe, unit float64, digits int) string {
			if m.None != "" {
				return "open"
			}
			return fmt.Sprintf("%.*f", digits, m.Value/unit)
		}
		t.Rows = append(t.Rows,
			[]string{"Weibull shape", fmt.Sprintf("%.2f", f.Shape), maybe(f.ShapeLow, 1, 2), maybe(f.ShapeHigh, 1, 2)},
			[]string{"Weibull scale, years", fmt.Sprintf("%.0f", f.Scale/year), maybe(f.ScaleLow, year, 0), maybe(f.ScaleHigh, year, 0)})
		if e := r.Rate; e != nil {
			t.Rows = append(t.Rows, []string{"constant rate, % a year", fmt.Sprintf("%.2f", 100*e.Rate*year), maybe(e.Low, 0.01/year, 2), maybe(e.High, 0.01/year, 2)})
		}
		t.Note = "A scale far beyond the oldest unit describes the ages seen and says nothing about so long a life."
		out = append(out, t)
	}
	if len(r.Months) > 0 {
		t := page.Table{Title: "Still to come, from today up to the end of", Head: []string{"month", "on average", "low", "high"}, Align: "rrrr"}
		for i, m := range r.Months {
			if (i+1)%3 == 0 || i == len(r.Months)-1 || i == 0 {
				t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), fmt.Sprintf("%.1f", m.Mean), group(m.Low), group(m.High)})
			}
		}
		t.Note = "Limits are of the number that will come, not of its mean."
		out = append(out, t)
	}
	return out
}

func groupTable(title, unknown string, groups []Group) page.Table {
	t := page.Table{Title: title, Head: []string{"", "sold", "came back", "with a fault", "share", "low", "high", "a year", "p"}, Align: "lrrrrrrrr"}
	for i := range groups {
		g := &groups[i]
		p := "not compared"
		if g.P >= 0 {
			p = fmt.Sprintf("%.2g", g.P)
		}
		t.Rows = append(t.Rows, []string{
			g.label(unknown), g.Sold.String(), g.Back.String(), g.Fault.String(), percent(g.Share.Best), percent(g.Share.Low), percent(g.Share.High), percent(g.PerSecond.Best * year), p,
		})
	}
	t.Note = "p: how often ages as different from those of all others would turn up if they were alike (log-rank, adjusted for the number of rows after Holm); from 0.05 on, alike as far as can be told."
	return t
}

func (r *Result) reasonTable() page.Table {
	t := page.Table{Title: "What they came back for", Head: []string{"reason", "found", "times", "cost"}, Align: "llrr"}
	for _, s := range r.Reasons {
		found, cost := []string{"not looked at", "fault", "no fault"}[s.Found], "not noted"
		if s.Cost > 0 {
			cost = r.money(s.Cost)
		}
		t.Rows = append(t.Rows, []string{s.Name, found, s.Count.String(), cost})
	}
	t.Note = "Cost: what was noted, and the minutes at what an hour is worth. How long a return was on its way no record tells; the day of the fault in a note would."
	return t
}

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
		s := figure.Series{Name: "still to come"}
		for _, m := range r.Months {
			s.X, s.Mid = append(s.X, m.Until/month), append(s.Mid, m.Mean)
			s.Low, s.High = append(s.Low, m.Low), append(s.High, m.High)
		}
		out = append(out, page.Figure{
			Plot:    figure.Curve{X: figure.Axis{Name: "from today", Unit: "months"}, Y: figure.Axis{Name: "returns to come", Unit: "units"}, Series: []figure.Series{s}},
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
		c, err := survival.KaplanMeier(r.Input.lives(g.units, anyReturn))
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
