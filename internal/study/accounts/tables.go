package accounts

import (
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/money"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

func hoursText(s float64) string { return quantity.Format(s, quantity.Time, "h", 1) }

// calculated marks what production.toml gives, wholly or beside records.
func calculated(calculated, recorded bool) string {
	switch {
	case calculated && recorded:
		return " (in part calculated)"
	case calculated:
		return " (calculated)"
	}
	return ""
}

func (r *Result) kinds() page.Table {
	t := page.Table{Title: "In and out by kind", Head: []string{"kind", "way", "sum"}, Align: "llrrr", Note: "The best values are exact to the minor unit. A kind that production.toml gives, not the records, is marked."}
	ranged := slices.ContainsFunc(r.Lines, func(l Line) bool { return l.Low.Cmp(l.High) < 0 })
	if ranged {
		t.Head = []string{"kind", "way", "least", "best", "most"}
	}
	for _, l := range r.Lines {
		way := "out"
		if l.In {
			way = "in"
		}
		row := []string{l.Kind + calculated(l.Calculated, l.Recorded), way, r.money(l.Best.Float64())}
		if ranged {
			low, high := l.Low.Float64(), l.High.Float64()
			row = []string{row[0], way, r.limit(low, high-low), row[2], r.limit(high, high-low)}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func (r *Result) byMonth() page.Table {
	t := page.Table{Title: "By month", Head: []string{"month", "in", "out", "hours"}, Align: "lrrr", Note: togetherNote}
	from := 0
	for _, end := range r.stretches() {
		var all Year
		for _, m := range r.Months[from:end] {
			all.plus(Year{In: m.In, Out: m.Out, Hours: m.Hours})
		}
		name := r.Months[from].First.Format("2006-01")
		if end > from+1 {
			name += " to " + r.Months[end-1].First.Format("2006-01")
		}
		t.Rows = append(t.Rows, []string{name, r.money(all.In.Float64()), r.money(all.Out.Float64()), hoursText(all.Hours)})
		from = end
	}
	return t
}

var togetherNote = fmt.Sprintf("Those with fewer than %d sales, but some, are put together, so that none tells what one buyer paid. ", fewest)

// name is the year, or its first and last.
func (y Year) name() string {
	if y.Until > y.Year {
		return fmt.Sprintf("%d to %d", y.Year, y.Until)
	}
	return fmt.Sprint(y.Year)
}

func (r *Result) byYear() page.Table {
	t := page.Table{Title: "By year", Head: []string{"year", "in", "out", "left", "hours", "design", "an hour paid"}, Align: "lrrrrrr",
		Note: "In cash. An hour's pay leaves design out; in brackets its 95 % interval. " + togetherNote}
	if r.spreadOverYears() {
		t.Note += "Sales that one row tells of several years are spread evenly over them, and say nothing of one against another."
	} else {
		t.Note += r.stopped()
	}
	for _, y := range r.Years {
		paid := y.Paid.None
		if paid == "" {
			if paid = r.hourly(y.Paid.Best); y.Paid.Low < y.Paid.High {
				paid += " (" + span(r.hourly, y.Paid.Low, y.Paid.High) + ")"
			}
		}
		t.Rows = append(t.Rows, []string{y.name(), r.money(y.In.Float64()), r.money(y.Out.Float64()), r.money(y.In.Minus(y.Out).Float64()), hoursText(y.Hours), hoursText(y.Design), paid})
	}
	return t
}

// spreadOverYears reports whether a row of sales reaches over more than a year.
func (r *Result) spreadOverYears() bool {
	return slices.ContainsFunc(r.Input.Sold, func(s Sold) bool { return s.last().After(s.Date.AddDate(1, 0, 0)) })
}

// stopped says when making should have stopped: the first month from which the hour's pay of the year before it, design left out, stays below what an hour would pay elsewhere.
func (r *Result) stopped() string {
	if r.Input.Hour == nil {
		return ""
	}
	since := -1
	for k := 11; k < len(r.Months); k++ {
		net, hours, moved := 0.0, 0.0, false
		for _, m := range r.Months[k-11 : k+1] {
			net, hours, moved = net+m.In.Minus(m.Out).Float64(), hours+m.Hours-m.Design, moved || m.Moved
		}
		switch {
		case !moved || hours <= 0:
		case net/hours >= r.Input.Hour.Value:
			since = -1
		case since < 0:
			since = k
		}
	}
	if since < 0 {
		return "In the last year that was sold in, an hour paid at least what it would have elsewhere: nothing says that making should have stopped."
	}
	return "From the year that ended in " + r.Months[since].First.Format("January 2006") + " on, an hour paid less than " + r.hourly(r.Input.Hour.Value) + ": making should have stopped or been given out."
}

func (r *Result) work() page.Table {
	t := page.Table{Title: "Hours by kind", Head: []string{"kind", "least", "best", "most"}, Align: "lrrr"}
	ranged := slices.ContainsFunc(r.Worked, func(w Worked) bool { return w.Low < w.High })
	if !ranged {
		t.Head = []string{"kind", "time"}
	}
	for _, w := range r.Worked {
		row := []string{w.Group + calculated(w.Calculated, w.Recorded), hoursText(w.Low), hoursText(w.Best), hoursText(w.High)}
		if !ranged {
			row = []string{row[0], row[2]}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func (r *Result) present() page.Table {
	t := page.Table{Title: "What it was worth at its beginning", Head: []string{"discount a year", "net present value"}, Align: "lr",
		Note: "By months; the rates are assumed. Rate of return a year: " + r.RateOfReturn.text(func(v float64) string { return quantity.Format(v, quantity.Ratio, "%", 1) }) + "."}
	for _, rate := range []float64{0, 0.03, 0.05, 0.10} {
		npv := money.PresentValue(r.flows(), math.Pow(1+rate, 1./12)-1) // [M2]
		t.Rows = append(t.Rows, []string{fmt.Sprintf("%.0f %%", 100*rate), r.money(npv)})
	}
	if h := r.Input.Hour; h != nil {
		t.Rows = append(t.Rows, []string{"0 %, our time paid at " + r.hourly(h.Value), r.money(r.Net.Best - r.Hours.Best*h.Value)})
	}
	if tax := r.book.taxOn(true)[1]; tax > 0 {
		t.Rows = append(t.Rows, []string{"0 %, after tax on profit", r.money(r.Net.Best - max(0, r.Net.Best)*tax)})
	}
	return t
}

func (r *Result) budget() page.Table {
	t := page.Table{Title: "What the hour's pay is unsure by", Head: []string{"what", "contributes", "part of the variance"}, Align: "lrr"}
	for _, l := range r.Budget.Lines {
		if l.Share < 0.0005 {
			continue
		}
		t.Rows = append(t.Rows, []string{l.Name, quantity.Format(math.Abs(l.Contribution)/3600, quantity.MoneyPerTime, r.Currency+"/h", 2), fmt.Sprintf("%.0f %%", 100*l.Share)})
	}
	return t
}
