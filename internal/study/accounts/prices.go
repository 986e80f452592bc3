package accounts

import (
	"fmt"
	"math"

	"hindwatt/internal/page"
)

// pricing is what the best values are made of, seen from the price: all in the currency and in s.
type pricing struct {
	units, in             float64
	with, moving, fixed   float64 // money out: in proportion to the price, with the units, and neither
	unitHours, fixedHours float64
}

func (r *Result) pricing() pricing {
	p := pricing{units: max(r.Units, 1)}
	for _, e := range r.book.entries {
		v := e.amounts[1].Float64()
		switch {
		case e.in:
			p.in += v
		case e.moves:
			p.with, p.moving = p.with+e.prop, p.moving+v-e.prop
		default:
			p.fixed += v
		}
	}
	for _, w := range r.Worked {
		switch w.Group {
		case "building", "testing", "packing", "support":
			p.unitHours += w.Best
		default:
			p.fixedHours += w.Best
		}
	}
	return p
}

// mean is the mean price of one, with tax.
func (p pricing) mean() float64 { return p.in / p.units }

// margin is what all units leave at a price, all else than what moves with them left out.
func (p pricing) margin(price float64) float64 { return price/p.mean()*(p.in-p.with) - p.moving }

// paid is what an hour would have paid at a price, per s [A10].
func (p pricing) paid(price float64) float64 {
	return ratio(p.margin(price)-p.fixed, p.unitHours+p.fixedHours)
}

// enough is how many units would pay w an hour at a price [A10]; ok is false if no number would.
func (p pricing) enough(price, w float64) (n float64, ok bool) {
	gain := p.margin(price) - w*p.unitHours // (q·margin − fixed)/(q·unit hours + fixed hours) = w
	if gain <= 1e-9*math.Abs(p.margin(price)) {
		return 0, false
	}
	return math.Ceil((p.fixed+w*p.fixedHours)/gain*p.units - 1e-6), true
}

// prices says what the same units would have left at another price, and how many would have paid the hour the same.
func (r *Result) prices() page.Table {
	t := page.Table{Title: "The same units at another price", Head: []string{"price with tax", "left", "an hour paid", "units for the same hour"}, Align: "rrrr",
		Note: fmt.Sprintf("Assumed: as many are sold at any price, %.0f. Last column: how many would have to be, if what moves with the units (tax, fees, sending, returns, parts, packing, hours of making and support) moved with them.", r.Units)}
	if r.Input.Quoted {
		t.Note += " From how many on giving a step out pays is said on the page \"What does one cost to make?\"."
	}
	p := r.pricing()
	row := func(price float64, name string) {
		enough := "none"
		switch n, ok := p.enough(price, r.HourPaid.Best); {
		case price == p.mean():
			enough = fmt.Sprintf("%.0f", p.units)
		case ok && n < 1:
			enough = "any"
		case ok:
			enough = fmt.Sprintf("%.0f", n)
		}
		t.Rows = append(t.Rows, []string{r.money(price) + name, r.money(p.margin(price) - p.fixed), r.hourly(p.paid(price)), enough})
	}
	for _, factor := range []float64{0.8, 0.9, 1, 1.1, 1.2} {
		row(factor*p.mean(), "")
	}
	if low, high, ok := r.market(); ok {
		if row(low, " (a bought one)"); high > low {
			row(high, " (a bought one)")
		}
	}
	return t
}

// market is what a bought one costs.
func (r *Result) market() (low, high float64, ok bool) {
	m := r.Input.MarketPrice
	if m == nil {
		return 0, 0, false
	}
	p, ok := r.book.price(m, "market price")
	return p.ends[0].Float64(), p.ends[2].Float64(), ok
}

// againstBought says what the price of a bought one would have paid.
func (r *Result) againstBought() string {
	low, high, ok := r.market()
	if !ok || r.Units == 0 {
		return ""
	}
	p := r.pricing()
	if low == high {
		return fmt.Sprintf("A bought one costs %s, ours %s; at that price an hour would have paid %s if as many were sold.", r.money(low), r.money(p.mean()), r.hourly(p.paid(low)))
	}
	return fmt.Sprintf("A bought one costs %s, ours %s; at that price an hour would have paid %s if as many were sold.",
		span(r.money, low, high), r.money(p.mean()), span(r.hourly, p.paid(low), p.paid(high)))
}
