package returns

import (
	"fmt"
	"slices"

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
	add := func(title, unknown string, groups []Group) {
		if len(groups) > 1 {
			out = append(out, groupTable(title, unknown, groups))
		}
	}
	add("By revision", "not known", r.Revisions)
	add("By channel", "not noted", r.Channels)
	if r.Table != nil {
		out = append(out, lifeRows(r.Table))
	}
	if r.Fit != nil && r.Known {
		out = append(out, r.fitTable())
	}
	if r.Periods != nil {
		out = append(out, r.periodTable())
	}
	if len(r.Months) > 0 {
		out = append(out, r.monthTable())
	}
	add("By batch", "not known", r.Batches)
	return out
}

func maybeText(m survival.Maybe, unit float64, digits int) string {
	if m.None != "" {
		return "open"
	}
	if m.Value/unit >= 1000 {
		return "over 1,000"
	}
	return fmt.Sprintf("%.*f", digits, m.Value/unit)
}

func fits(title string, f *survival.Fit, e *survival.RateFit) page.Table {
	t := page.Table{Title: title, Head: []string{"", "best", "low", "high"}, Align: "lrrr"}
	if f != nil {
		t.Rows = append(t.Rows,
			[]string{"Weibull shape", fmt.Sprintf("%.2f", f.Shape), maybeText(f.ShapeLow, 1, 2), maybeText(f.ShapeHigh, 1, 2)},
			[]string{"Weibull scale, years", maybeText(survival.Maybe{Value: f.Scale}, year, 0), maybeText(f.ScaleLow, year, 0), maybeText(f.ScaleHigh, year, 0)})
	}
	if e != nil {
		t.Rows = append(t.Rows, []string{"constant rate, % a year", fmt.Sprintf("%.2f", 100*e.Rate*year), maybeText(e.Low, 0.01/year, 2), maybeText(e.High, 0.01/year, 2)})
	}
	return t
}

func (r *Result) periodTable() page.Table {
	p := r.Periods
	if p.None != "" {
		t := fits("Fit to sales and returns by period", nil, &p.Rate)
		t.Note = "No shape: " + p.None + "."
		return t
	}
	t := fits("Fits to sales and returns by period", &p.Weibull, &p.Rate)
	t.Note = "At the best values of counts. No age is known; how returns followed the sales stands for it."
	return t
}

func (r *Result) fitTable() page.Table {
	t := fits("Fits to the ages", r.Fit, r.Rate)
	t.Note = fmt.Sprintf("Against a constant rate p = %.2g (likelihood ratio). A scale far beyond the oldest unit describes the ages seen and says nothing about so long a life.", r.Belief.Exponential)
	return t
}

// lifeRows is the life table by months of age.
func lifeRows(l *survival.Table) page.Table {
	t := page.Table{Title: "Life table", Head: []string{"months", "under watch", "came back", "left", "came back up to the end", "low", "high"}, Align: "rrrrrrr"}
	for _, row := range l.Rows {
		low, high := "open", "open"
		if row.Low.None == "" && row.High.None == "" {
			low, high = percent(1-row.High.Value), percent(1-row.Low.Value)
		}
		t.Rows = append(t.Rows, []string{
			fmt.Sprintf("%.0f to %.0f", row.From/month, row.To/month), group(row.Entered + row.Late), group(row.Failed), group(row.Withdrawn + row.Ended),
			percent(1 - row.Survival), low, high,
		})
	}
	t.Note = "Ages between limits stand in the row of their middle. What left within a row counts for half of it."
	return t
}

// monthTable has what is to come by month, after the end of sale where it has ended.
func (r *Result) monthTable() page.Table {
	t := page.Table{Title: "Still to come", Head: []string{"month", "in it", "low", "high", "up to its end", "low", "high"}, Align: "lrrrrrr"}
	last, ended := r.Ended()
	if ended {
		t.Title, t.Head[0] = "Still to come, by month after the end of sale", "month after"
	}
	for i, m := range r.Months {
		if len(r.Months) > 12 && i >= 6 && (i+1)%3 != 0 && i != len(r.Months)-1 {
			continue
		}
		name := fmt.Sprint(i + 1)
		if ended {
			name = fmt.Sprintf("%.0f", (float64(r.Input.Today-last)*daySeconds+m.Until)/month)
		}
		t.Rows = append(t.Rows, []string{
			name, fmt.Sprintf("%.1f", m.In.Best), group(m.In.Low), m.In.highText(), fmt.Sprintf("%.1f", m.Mean), group(m.Low), Interval{High: m.High, Open: m.In.Open}.highText(),
		})
	}
	t.Note = fmt.Sprintf("Counted from %s. Limits are of the number that will come, not of its mean.", r.Input.Today)
	return t
}

func (i Interval) highText() string {
	if i.Open {
		return "open"
	}
	return group(i.High)
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
		if !(g.Sold.High > 0) {
			copy(t.Rows[len(t.Rows)-1][4:], []string{"", "", "", ""})
		}
	}
	test := "ages as different from those of all others would turn up if they were alike (log-rank"
	if slices.ContainsFunc(groups, func(g Group) bool { return g.Exact }) {
		test = "a rate as different from that of all others would turn up if they were alike (exact, of two Poisson counts"
	}
	t.Note = "p: how often " + test + ", adjusted for the number of rows after Holm); from 0.05 on, alike as far as can be told."
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
