package accounts

import (
	"fmt"
	"math"
	"time"

	"hindwatt/internal/page"
	"hindwatt/internal/statistics"
)

// asOf is the first day that the records are silent about.
func (r *Result) asOf() time.Time {
	last := r.Months[len(r.Months)-1].First.AddDate(0, 1, 0)
	if today := r.Input.Today; !today.IsZero() {
		return today.AddDate(0, 0, 1)
	}
	return last
}

// backs are returns so far: all, those with a fault, and what those with a cost did cost, at the low end, the best value and the high end.
type backs struct {
	all, faults, cost [3]float64
	costed            float64
}

func (r *Result) backs() (b backs) {
	for _, row := range r.Input.Returned {
		count, _ := r.book.count(row.Count, "units that came back")
		for i, n := range count {
			b.all[i] += n
			if !row.NoFault {
				b.faults[i] += n
			}
		}
		if row.Cost == nil {
			continue
		}
		if p, ok := r.book.price(row.Cost, "cost of a return"); ok {
			b.costed += count[1]
			for i := range p.ends {
				b.cost[i] += count[1] * p.ends[i].Float64()
			}
		}
	}
	return b
}

// exposure is the time that units were out and accepted so far, and will be yet, in unit years.
func (r *Result) exposure() (past, ahead float64) {
	asOf, accepted := r.asOf(), r.Input.AcceptedFor.Value/year
	for _, s := range r.Input.Sold {
		n := number(s.Count)
		middle := s.Date.Add(s.last().Sub(s.Date) / 2)
		age := max(0, asOf.Sub(middle).Hours()/24/365.25)
		past += n * min(age, accepted)
		ahead += n * max(0, accepted-age)
	}
	return past, ahead
}

// owed computes the stock, what may still come back within acceptance - the rate of returns so far, with its exact limits, times the
// time that units are still out within it - and the money for that, at what one return cost [A9].
func (r *Result) owed() {
	r.Units = r.sold()
	r.stock()
	none := func(why string) {
		r.SetAside, r.BackYet, r.FaultsYet = Figure{None: why}, Figure{None: why}, Figure{None: why}
	}
	switch {
	case r.Input.AcceptedFor == nil:
		none("accepted_for of product.toml is missing")
		return
	case len(r.Months) == 0:
		none("nothing is recorded")
		return
	}
	past, ahead := r.exposure()
	if past <= 0 {
		none("nothing was sold long enough")
		return
	}
	b := r.backs()
	var err error
	if r.BackYet, err = expected(b.all, past, ahead); err == nil {
		r.FaultsYet, err = expected(b.faults, past, ahead)
	}
	switch {
	case err != nil:
		none(err.Error())
	case b.costed == 0:
		r.SetAside = Figure{None: "what a return costs is not known"}
		r.book.lack("records/returned.csv", "cost", "the money to set aside for what still comes back")
	default:
		f := r.BackYet
		r.SetAside = Figure{Best: f.Best * b.cost[1] / b.costed, Low: f.Low * b.cost[0] / b.costed, High: f.High * b.cost[2] / b.costed}
	}
}

// expected is how many events are expected in the time ahead at the rate so far, with exact limits of the rate (Garwood).
func expected(events [3]float64, past, ahead float64) (Figure, error) {
	low, _, err := statistics.PoissonLimits(int(math.Floor(events[0])), past, 0.95)
	if err != nil {
		return Figure{}, err
	}
	_, high, err := statistics.PoissonLimits(int(math.Ceil(events[2])), past, 0.95)
	return Figure{Best: events[1] / past * ahead, Low: low * ahead, High: high * ahead}, err
}

// stock is what was made, less scrapped and sold, by the best values.
func (r *Result) stock() {
	good, begun := 0.0, 0.0
	for _, m := range r.Input.Made {
		n := number(m.Count)
		if begun += n; !m.Scrap {
			good += n
		}
	}
	n := good - r.Units
	switch r.Stock = (Figure{Best: n, Low: n, High: n}); {
	case begun == 0:
		r.Stock = Figure{None: "made.csv has no units"}
	case n < 0 || r.book.unmade > 0:
		r.Stock = Figure{None: "more were sold than were made"}
	}
}

// stockWorth is what the parts of the stock cost.
func (r *Result) stockWorth() float64 {
	parts := 0.0
	for _, e := range r.book.entries {
		if e.units || e.kind == partsByList {
			parts += e.amounts[1].Float64()
		}
	}
	return ratio(r.Stock.Best*parts, r.book.number()[1])
}

// enough says whether the stock can replace what may still come back with a fault: as a word, "" where it cannot be said.
func (r *Result) enough() string {
	if r.Stock.None != "" || r.FaultsYet.None != "" {
		return ""
	}
	// So many would come back in fewer than one of 40 cases even at the high limit: then its own lower limit lies above that.
	low, _, err := statistics.PoissonLimits(int(r.Stock.Best)+1, 1, 0.95)
	switch {
	case err != nil:
		return ""
	case low >= r.FaultsYet.High:
		return "enough to replace them"
	case r.Stock.Best < r.FaultsYet.Best:
		return "fewer than are expected back"
	}
	return "likely enough to replace them, not surely"
}

func counted(n float64) string {
	if n >= 10 || n == math.Round(n) {
		return fmt.Sprintf("%.0f", n)
	}
	return fmt.Sprintf("%.1f", n)
}

// owing is the table of what lies in stock and what may still come back.
func (r *Result) owing() page.Table {
	t := page.Table{Title: "In stock, and still owed", Head: []string{"what", "how many", "money"}, Align: "lrr"}
	if r.Stock.None == "" {
		t.Rows = append(t.Rows, []string{"in stock", counted(r.Stock.Best), r.money(r.stockWorth())})
		t.Note = "Stock is what was made, less scrapped and sold, at what the parts of one cost: paid for, not yet earned. "
	}
	if r.BackYet.None == "" {
		cost := ""
		if r.SetAside.None == "" {
			cost = r.sum(r.SetAside)
		}
		t.Rows = append(t.Rows, []string{"may still come back", r.BackYet.text(counted), cost}, []string{"of these with a fault, or unlooked at", r.FaultsYet.text(counted), ""})
		t.Note += "What may still come back is the rate of returns so far (exact limits), for the time that units are still accepted after " +
			r.asOf().AddDate(0, 0, -1).Format("2 January 2006") + ", at the mean cost of a return in money, our own time not counted: the limits are those of the rate. Each with a fault may need a spare."
	}
	return t
}

// sold is how many were sold, by the best values.
func (r *Result) sold() (n float64) {
	for _, s := range r.Input.Sold {
		n += number(s.Count)
	}
	return n
}

// number is the best value of a count; none said is one.
func number(count *Value) float64 {
	if count == nil {
		return 1
	}
	return count.Value
}
