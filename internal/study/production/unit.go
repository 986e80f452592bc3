package production

import (
	"fmt"
	"math"

	"hindwatt/internal/money"
)

// Minutes of one step for one good unit, s.
type Minutes struct{ Work, Setup, Rework float64 }

// Sum is all of them.
func (m Minutes) Sum() float64 { return m.Work + m.Setup + m.Rework }

// Unit is what one good unit takes, money in the product's currency. The parts of the cost are
// what they were if nothing were scrapped; Scrap is what scrap adds.
type Unit struct {
	Materials, Work, Setup, Rework, Scrap, Overhead float64
	Yield                                           float64 // share of the units started that end good
	Time                                            float64 // s of work, all steps
	Own                                             float64 // our own time in money
	Total                                           float64 // to make one
	Cash                                            float64 // Total less Own
}

// plan is what a batch of n units needs bought.
type plan struct {
	units  int
	orders []money.Ordered // as many as lines
}

// planFor orders for a batch.
func (m *model) planFor(n int) (plan, error) {
	p := plan{units: n, orders: make([]money.Ordered, len(m.lines))}
	for i, l := range m.lines {
		pieces := math.Ceil(l.each.value/(1-l.attrition.value)*float64(n) - 1e-9) // [P1]
		var err error
		if p.orders[i], err = l.terms.Order(int(min(max(1, pieces), 2e9))); err != nil {
			return p, fmt.Errorf("%s: bom.%s: for a batch of %d: %w", l.source.PricesFrom, l.source.Name, n, err)
		}
	}
	return p, nil
}

// price is what one piece of line i costs in the plan's order.
func (p plan) price(x []float64, m *model, i int) float64 {
	return p.orders[i].Price.Float64() * m.lines[i].relative.at(x) * m.lines[i].rate.at(x)
}

// pieces of a line that a unit takes, with those that are lost.
func (l *line) pieces(x []float64) float64 {
	return l.each.at(x) / (1 - min(0.99, l.attrition.at(x)))
}

// materials are those of a started unit.
func (m *model) materials(x []float64, p plan) float64 {
	sum := 0.0
	for i := range m.lines {
		sum += m.lines[i].pieces(x) * p.price(x, m, i) // [P2]
	}
	return sum
}

// left is what a batch leaves over, as money tied up in stock.
func (m *model) left(x []float64, p plan) float64 {
	tied := 0.0
	for i := range m.lines {
		tied += max(0, float64(p.orders[i].Quantity)-m.lines[i].pieces(x)*float64(p.units)) * p.price(x, m, i)
	}
	return tied
}

// factor is the time of a unit in batches of n over that in batches of the usual size.
func (m *model) factor(x []float64, n int) float64 {
	if !m.learns || n == m.batch {
		return 1
	}
	rate := m.rate.share(x, leastRate)
	there, err := money.LotMean(rate, m.done, n)
	usual, errUsual := money.LotMean(rate, m.done, m.batch)
	if err != nil || errUsual != nil { // out of the 10⁹ units that learning is computed for
		return 1
	}
	return there / usual // [P9]
}

// least rate of learning that is believed.
const leastRate = 0.3

// pass is what happens to a batch on its way through the steps, of a unit that is started.
type pass struct {
	work, setup, rework float64 // s, as if nothing were scrapped
	time                float64 // s, with scrap
	scrap               float64 // money that scrapping costs beside
	yield               float64 // share that ends good
}

// through takes a batch through all steps but those that skip names.
//
//	times  if not nil, gets the minutes of each step for a good unit
func (m *model) through(x []float64, n int, skip []bool, times []Minutes) pass {
	w, factor := pass{yield: 1}, m.factor(x, n)
	for k := range m.steps {
		if skip != nil && skip[k] {
			continue
		}
		s := &m.steps[k]
		more := 1 + s.allowance.at(x)
		y := s.yield.share(x, 0)
		good := max(leastYield, y+(1-y)*s.success.share(x, 0)) // [P3]
		t := Minutes{s.minutes.at(x) * more * factor, s.setup.at(x) * more / float64(n), (1 - y) * s.rework.at(x) * more}
		w.work, w.setup, w.rework = w.work+t.Work, w.setup+t.Setup, w.rework+t.Rework
		w.time += w.yield*(t.Work+t.Rework) + t.Setup
		w.scrap += w.yield * (1 - good) * s.scrap.at(x)
		if times != nil {
			times[k] = Minutes{w.yield * t.Work, t.Setup, w.yield * t.Rework}
		}
		w.yield *= good
	}
	w.yield = max(leastRolled, w.yield)
	for k := range times {
		times[k].Work, times[k].Setup, times[k].Rework = times[k].Work/w.yield, times[k].Setup/w.yield, times[k].Rework/w.yield
	}
	return w
}

// spreadOverheads divides overheads: those of a started unit's batch, and those of a good unit.
func (m *model) spreadOverheads(x []float64, n int) (batch, unit float64) {
	good, years := max(1, m.good.at(x)), m.in.Recorded.Years
	for _, o := range m.overheads {
		amount := o.amount.at(x)
		switch o.source.Per {
		case "unit":
			unit += amount
		case "batch":
			batch += amount / float64(n)
		case "month":
			unit += amount * 12 * years / good
		case "year":
			unit += amount * years / good
		case "once":
			unit += amount / good
		}
	}
	return batch, unit
}

// unit computes one good unit of a batch. Steps that skip names are given out.
//
//	times  if not nil, gets the minutes of each step
func (m *model) unit(x []float64, p plan, skip []bool, times []Minutes) Unit {
	w, hour, material := m.through(x, p.units, skip, times), m.hour.at(x), m.materials(x, p)
	batch, each := m.spreadOverheads(x, p.units)
	clean := material + (w.work+w.setup+w.rework)*hour + batch
	u := Unit{
		Materials: material, Work: w.work * hour, Setup: w.setup * hour, Rework: w.rework * hour, Overhead: batch + each,
		Scrap: (material+w.time*hour+w.scrap+batch)/w.yield - clean, // [P4]
		Yield: w.yield, Time: w.time / w.yield,                      // [P5]
	}
	u.Own = u.Time * hour
	u.Total = clean + u.Scrap + each
	u.Cash = u.Total - u.Own
	return u
}

// Sale is what selling one unit takes and leaves.
type Sale struct {
	Carriage, Packing, Fees float64
	Net                     float64 // the price without the tax on it
	Left                    float64 // less fees, carriage, packing and the cash that making one takes
	AfterTax                float64 // Left less taxes on profit
}

func (s Sale) cost() float64 { return s.Carriage + s.Packing + s.Fees }

// sale computes the selling of one.
func (m *model) sale(x []float64, cash float64) Sale {
	s := Sale{Carriage: m.carriage.at(x), Packing: m.packing.at(x), Net: m.price.at(x)}
	shares := 0.0
	for _, c := range m.channels {
		shares += c.share.at(x)
	}
	for _, c := range m.channels {
		if shares > 0 {
			s.Fees += c.share.at(x) / shares * (c.fee.share(x, 0)*m.price.at(x) + c.fixed.at(x)) // [P6]
		}
	}
	tax := 0.0
	for _, t := range m.onPrice {
		tax += t.at(x)
	}
	s.Net /= 1 + tax
	s.Left = s.Net - s.cost() - cash // [P7]
	s.AfterTax = s.Left
	for _, t := range m.onProfit {
		s.AfterTax -= max(0, s.Left) * t.share(x, 0)
	}
	return s
}
