package accounts

import (
	"fmt"
	"math"

	"hindwatt/internal/money"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

func hoursText(s float64) string { return quantity.Format(s, quantity.Time, "h", 1) }

func (r *Result) kinds() page.Table {
	t := page.Table{Title: "In and out by kind", Head: []string{"kind", "way", "least", "best", "most"}, Align: "llrrr",
		Note: "Sums to the minor unit. A kind that production.toml gives, not the records, is marked."}
	for _, l := range r.Lines {
		way, kind := "out", l.Kind
		if l.In {
			way = "in"
		}
		if l.Calculated {
			kind += " (calculated)"
		}
		t.Rows = append(t.Rows, []string{kind, way, r.money(l.Low.Float64()), r.money(l.Best.Float64()), r.money(l.High.Float64())})
	}
	return t
}

func (r *Result) byMonth() page.Table {
	t := page.Table{Title: "By month", Head: []string{"month", "in", "out", "hours"}, Align: "lrrr"}
	for _, m := range r.Months {
		t.Rows = append(t.Rows, []string{m.First.Format("2006-01"), r.money(m.In.Float64()), r.money(m.Out.Float64()), hoursText(m.Hours)})
	}
	return t
}

func (r *Result) years() page.Table {
	t := page.Table{Title: "By year", Head: []string{"year", "in", "out", "left", "hours", "of these design", "an hour paid, design left out"}, Align: "lrrrrrr",
		Note: r.stopped()}
	for i := 0; i < len(r.Months); {
		y := r.Months[i].First.Year()
		var in, out money.Amount
		var hours, design float64
		for ; i < len(r.Months) && r.Months[i].First.Year() == y; i++ {
			m := r.Months[i]
			in, out, hours, design = in.Plus(m.In), out.Plus(m.Out), hours+m.Hours, design+m.Design
		}
		left, paid := in.Minus(out).Float64(), "none"
		if hours-design > 0 {
			paid = r.hourly(left / (hours - design))
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(y), r.money(in.Float64()), r.money(out.Float64()), r.money(left), hoursText(hours), hoursText(design), paid})
	}
	return t
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
		return "In cash. In the last year that was sold in, an hour paid at least what it would have elsewhere: nothing says that making should have stopped."
	}
	return "In cash. From the year that ended in " + r.Months[since].First.Format("January 2006") + " on, an hour paid less than " + r.hourly(r.Input.Hour.Value) + ": making should have stopped or been given out."
}

func (r *Result) work() page.Table {
	t := page.Table{Title: "Hours by kind", Head: []string{"kind", "least", "best", "most"}, Align: "lrrr"}
	for _, w := range r.Worked {
		name := w.Group
		if w.Calculated {
			name += " (calculated)"
		}
		t.Rows = append(t.Rows, []string{name, hoursText(w.Low), hoursText(w.Best), hoursText(w.High)})
	}
	return t
}

func (r *Result) present() page.Table {
	t := page.Table{Title: "What it was worth at its beginning", Head: []string{"discount a year", "net present value"}, Align: "rr",
		Note: "By months; the rates are assumed. Rate of return: " + r.RateOfReturn.text(func(v float64) string { return quantity.Format(v, quantity.Ratio, "%", 1) }) + " a year."}
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

// prices says what the same units would have left at another price, and how many fewer would have paid the hour the same [A10].
func (r *Result) prices() page.Table {
	t := page.Table{Title: "The same units at another price", Head: []string{"price with tax", "left", "an hour paid", "to sell for the same hour"}, Align: "rrrr",
		Note: "Assumed: as many are sold at any price. Last column: how many would have to be, if what moves with the units (tax, fees, sending, returns, parts, packing, hours of making and support) moved with them."}
	var in, with, movingOut, fixedOut, unitHours, fixedHours float64 // with: what is in proportion to the price
	for _, e := range r.book.entries {
		v := e.amounts[1].Float64()
		switch {
		case e.in:
			in += v
		case e.kind == kindTax:
			with += v
		case e.moves:
			movingOut += v
		default:
			fixedOut += v
		}
	}
	for _, w := range r.Worked {
		switch w.Group {
		case "building", "testing", "packing", "support":
			unitHours += w.Best
		default:
			fixedHours += w.Best
		}
	}
	units := max(r.Units, 1)
	mean := in / units
	share := r.feeShare()
	movingOut -= share * in
	at := []float64{0.8 * mean, 0.9 * mean, mean, 1.1 * mean, 1.2 * mean}
	if m := r.Input.MarketPrice; m != nil && m.Currency == r.Currency {
		if e := ends(m.Quantity); e[0] == e[2] {
			at = append(at, e[0])
		} else {
			at = append(at, e[0], e[2])
		}
	}
	for i, p := range at {
		factor := p / mean
		margin := factor*(in-with-share*in) - movingOut
		net := margin - fixedOut
		paid := ratio(net, unitHours+fixedHours)
		text := "none"
		// [A10] the part q of the units with (q·margin − fixed)/(q·unit hours + fixed hours) = hour paid
		if gain := margin - r.HourPaid.Best*unitHours; gain > 0 {
			text = fmt.Sprintf("%.0f of %.0f", math.Ceil((fixedOut+r.HourPaid.Best*fixedHours)/gain*units-1e-6), units)
		}
		name := r.money(p)
		if i > 4 {
			name += " (a bought one)"
		}
		t.Rows = append(t.Rows, []string{name, r.money(net), r.hourly(paid), text})
	}
	return t
}

// feeShare is the part of all that came in that channels take in proportion to the price.
func (r *Result) feeShare() float64 {
	fees, in := 0.0, 0.0
	for _, s := range r.Input.Sold {
		n, p := 1.0, r.Input.Price
		if s.Count != nil {
			n = s.Count.Value
		}
		if s.Price != nil {
			p = s.Price
		}
		if p == nil {
			continue
		}
		in += n * p.Value
		for _, c := range r.Input.Channels {
			if c.Name == s.Channel {
				fees += n * p.Value * best(c.Fee)
			}
		}
	}
	return ratio(fees, in)
}

// quotes says from how many on giving steps out pays [A11].
func (r *Result) quotes() page.Table {
	t := page.Table{Title: "Giving it out", Head: []string{"quote", "a unit", "set-up", "our time on it", "pays from"}, Align: "lrrrr",
		Note: "For one order, our own hour at what it would pay elsewhere."}
	h := r.Input.Hour
	for _, q := range r.Input.Quotes {
		minutes := 0.0
		for _, s := range r.Input.Steps {
			for _, name := range q.Replaces {
				if name == s.Name && s.Minutes != nil {
					minutes += s.Minutes.Value * (1 + best(s.Allowance))
				}
			}
		}
		if h == nil || q.Each == nil || minutes == 0 {
			continue
		}
		from := "never"
		if gain := minutes*h.Value - q.Each.Value; gain > 0 {
			from = fmt.Sprintf("%.0f units", max(1, math.Ceil(best(q.Setup)/gain), float64(q.MinimumOrder))) // [A11]
		}
		t.Rows = append(t.Rows, []string{q.Name, r.money(q.Each.Value), r.money(best(q.Setup)), quantity.Format(minutes, quantity.Time, "min", 1), from})
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
