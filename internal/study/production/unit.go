package production

import (
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
	factor float64         // of the minutes, by learning
}

// planFor orders for a batch.
func (m *model) planFor(n int) (plan, error) {
	p := plan{units: n, factor: 1, orders: make([]money.Ordered, len(m.lines))}
	for i, l := range m.lines {
		pieces := math.Ceil(l.each.value/(1-l.attrition.value)*float64(n) - 1e-9) // [P1]
		var err error
		if p.orders[i], err = l.terms.Order(int(min(max(1, pieces), 2e9))); err != nil {
			return p, err
		}
	}
	return p, nil
}

// unit computes one good unit of a batch. Steps that skip names are given out.
//
//	times  if not nil, gets the minutes of each step
func (m *model) unit(x []float64, p plan, skip []bool, times []Minutes) Unit {
	n := float64(p.units)
	var u Unit
	material := 0.0
	for i, l := range m.lines {
		pieces := l.each.at(x) / (1 - min(0.99, l.attrition.at(x)))
		material += pieces * p.orders[i].Price.Float64() * l.relative.at(x) * l.rate.at(x) // [P2]
	}
	through, hour := 1.0, m.hour.at(x) // share of the units that reach the step
	var clean, all, scrap float64      // s of a started unit, without scrap and with; money
	for k := range m.steps {
		if skip != nil && skip[k] {
			continue
		}
		s := &m.steps[k]
		more := 1 + s.allowance.at(x)
		y := s.yield.share(x, 0)
		good := max(leastYield, y+(1-y)*s.success.share(x, 0)) // [P3]
		work := s.minutes.at(x) * more * p.factor
		setup := s.setup.at(x) * more / n
		rework := (1 - y) * s.rework.at(x) * more
		u.Work, u.Setup, u.Rework = u.Work+work*hour, u.Setup+setup*hour, u.Rework+rework*hour
		clean += work + setup + rework
		all += through*(work+rework) + setup
		scrap += through * (1 - good) * s.scrap.at(x)
		if times != nil {
			times[k] = Minutes{through * work, setup, through * rework}
		}
		through *= good
	}
	for k := range times {
		times[k].Work, times[k].Setup, times[k].Rework = times[k].Work/through, times[k].Setup/through, times[k].Rework/through
	}
	var batch float64
	for _, o := range m.overheads {
		amount := o.amount.at(x)
		switch o.source.Per {
		case "unit":
			u.Overhead += amount
		case "batch":
			batch += amount / n
		case "month":
			u.Overhead += amount * 12 * m.in.Recorded.Years / max(1, m.good.at(x))
		case "year":
			u.Overhead += amount * m.in.Recorded.Years / max(1, m.good.at(x))
		case "once":
			u.Overhead += amount / max(1, m.good.at(x))
		}
	}
	u.Yield, u.Materials = through, material
	u.Scrap = (material+all*hour+scrap+batch)/through - material - clean*hour - batch // [P4]
	u.Overhead += batch
	u.Time = all / through // [P5]
	u.Own = u.Time * hour
	u.Total = u.Materials + u.Work + u.Setup + u.Rework + u.Scrap + u.Overhead
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

// left is what a batch leaves over, as money tied up in stock.
func (m *model) left(x []float64, p plan) float64 {
	tied := 0.0
	for i, l := range m.lines {
		used := l.each.at(x) / (1 - min(0.99, l.attrition.at(x))) * float64(p.units)
		o := p.orders[i]
		tied += max(0, float64(o.Quantity)-used) * o.Price.Float64() * l.relative.at(x) * l.rate.at(x)
	}
	return tied
}
