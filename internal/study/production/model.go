package production

import (
	"fmt"
	"math"

	"hindwatt/internal/money"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

// term is a figure of the model: one of the uncertain inputs, or a constant.
type term struct {
	index int // of the inputs; -1 is a constant
	value float64
}

func constant(v float64) term { return term{-1, v} }

// at is the figure for given inputs; none is negative.
func (t term) at(x []float64) float64 {
	if t.index < 0 {
		return t.value
	}
	return max(0, x[t.index])
}

// share is a figure between least and 1.
func (t term) share(x []float64, least float64) float64 { return min(1, max(least, t.at(x))) }

// sum is an amount of money: amount times rate of its currency.
type sum struct{ amount, rate term }

func (s sum) at(x []float64) float64 { return s.amount.at(x) * s.rate.at(x) }

type line struct {
	source    *Line
	each      term
	attrition term
	terms     money.Terms
	spread    []quantity.Quantity // of each break
	relative  term                // price over its best value
	rate      term
}

type step struct {
	source                            *Step
	minutes, setup, rework, allowance term
	yield, success                    term
	scrap                             sum
}

type overhead struct {
	source *Overhead
	amount sum
}

type channel struct {
	fee, share term
	fixed      sum
}

// model is the input made ready to be computed with.
type model struct {
	in                                 *Input
	inputs                             []statistics.Input
	from                               []string // of inputs
	currency                           string
	rates                              map[string]term
	lines                              []line
	steps                              []step // in the order of work
	overheads                          []overhead
	channels                           []channel
	carriage, packing                  sum
	onPrice, onProfit                  []term
	hour, week, price                  term
	rate                               term // of learning
	good                               term // units over which overheads of time are spread
	batch, done                        int
	lacks                              []page.Lack
	incomplete                         []string // what of the cost to make is left out for want of a value
	notes                              []page.Note
	hasHour, hasPrice, hasWeek, learns bool
}

// smallest share of units that is reckoned with.
const leastYield = 1e-4

// add enters a value as an input; a missing one counts as usual.
func (m *model) add(name string, v *Value, usual float64) term {
	if v == nil {
		return constant(usual)
	}
	return m.input(name, v.Quantity, v.From)
}

func (m *model) input(name string, q quantity.Quantity, from string) term {
	in := statistics.Input{Name: name, Value: q.Value}
	switch {
	case q.Spread == quantity.Normal && q.SD > 0:
		in.U = q.SD
	case (q.Spread == quantity.Limits || q.Spread == quantity.Range) && q.Low < q.High:
		in.Dist, in.Low, in.High = statistics.Rectangular, q.Low, q.High
	default:
		return constant(q.Value)
	}
	m.inputs, m.from = append(m.inputs, in), append(m.from, from)
	return term{len(m.inputs) - 1, q.Value}
}

// money enters a sum; ok is false, with a lack, where its currency has no rate.
func (m *model) money(name string, v *Value) (s sum, ok bool) {
	if v == nil {
		return sum{constant(0), constant(1)}, true
	}
	rate, ok := m.rateOf(v.Currency, name)
	return sum{m.add(name, v, 0), rate}, ok
}

// rateOf is what one of a currency is worth in the product's.
func (m *model) rateOf(currency, why string) (term, bool) {
	if m.currency == "" {
		m.currency = currency
	}
	if currency == "" || currency == m.currency {
		return constant(1), true
	}
	if t, known := m.rates[currency]; known {
		return t, true
	}
	for _, r := range m.in.Rates {
		if r.Currency == currency && r.Value != nil && r.Value.Currency == m.currency {
			m.rates[currency] = m.add("rates."+currency, r.Value, 1)
			return m.rates[currency], true
		}
	}
	m.lack("rates."+currency, "what one "+currency+" is worth in "+m.currency+": "+why+" is left out")
	return constant(0), false
}

func (m *model) lack(key, why string) {
	l := page.Lack{File: "production.toml", Key: key, Why: why}
	for _, is := range m.lacks {
		if is == l {
			return
		}
	}
	m.lacks = append(m.lacks, l)
}

func (m *model) note(text, remedy, from string) {
	m.notes = append(m.notes, page.Note{Text: text, Remedy: remedy, From: from})
}

// newModel reads the input. The error names a value that cannot be.
func newModel(in *Input) (*model, error) {
	m := &model{in: in, rates: map[string]term{}, currency: in.Currency}
	for _, v := range []*Value{in.Hour, in.Price} {
		if m.currency == "" && v != nil {
			m.currency = v.Currency
		}
	}
	if err := check(in); err != nil {
		return nil, err
	}
	m.work()
	if err := m.order(); err != nil {
		return nil, err
	}
	for i := range in.Lines {
		if err := m.line(&in.Lines[i]); err != nil {
			return nil, err
		}
	}
	m.allOverheads()
	m.selling()
	return m, nil
}

// work enters [work].
func (m *model) work() {
	in := m.in
	m.batch = 1
	if in.Batch != nil {
		m.batch = max(1, int(math.Round(in.Batch.Value)))
	} else {
		m.lack("work.batch", "how many are made at once; one at a time is reckoned with")
	}
	if in.Hour != nil {
		if rate, ok := m.rateOf(in.Hour.Currency, "work.hour"); ok {
			m.hour, m.hasHour = m.add("work.hour", in.Hour, 0), true
			if rate.index >= 0 || rate.value != 1 { // one rate for the hour, at its best value
				m.hour, m.hasHour = constant(in.Hour.Value*rate.value), true
			}
		}
	} else {
		m.hour = constant(0)
	}
	m.week, m.hasWeek = m.add("work.week", in.Week, 0), in.Week != nil
	m.price = constant(0)
	if in.Price != nil {
		if s, ok := m.money("work.price", in.Price); ok && s.rate == constant(1) {
			m.price, m.hasPrice = s.amount, true
		} else if ok {
			m.price, m.hasPrice = constant(in.Price.Value*s.rate.value), true
		}
	}
}

// line enters one line of the bill of materials.
func (m *model) line(l *Line) error {
	name := "bom." + l.Name
	if len(l.Prices) == 0 {
		m.lack(name+".prices", "what one of it costs: it is left out")
		m.incomplete = append(m.incomplete, l.Name)
		return nil
	}
	rate, ok := m.rateOf(l.Prices[0].Price.Currency, name)
	if !ok {
		m.incomplete = append(m.incomplete, l.Name)
		return nil
	}
	out := line{source: l, rate: rate, each: m.add(name+".each", l.Each, 1), attrition: m.add(name+".attrition", l.Attrition, 0)}
	out.terms.Minimum, out.terms.Pack = l.Minimum, l.Pack
	widest := 0.0
	var relative quantity.Quantity
	for _, b := range l.Prices {
		if b.Price.Currency != l.Prices[0].Price.Currency {
			return fmt.Errorf("%s: %s.prices: two currencies; want one in a list of prices", l.PricesFrom, name)
		}
		price, err := money.New(b.Price.Value, b.Price.Currency)
		if err != nil {
			return err
		}
		out.terms.Breaks = append(out.terms.Breaks, money.Break{From: b.From, Price: price})
		if u := b.Price.StandardUncertainty(); b.Price.Value > 0 && u/b.Price.Value > widest {
			widest = u / b.Price.Value
			v := b.Price.Value
			relative = quantity.Quantity{Value: 1, Spread: b.Price.Spread, Low: b.Price.Low / v, High: b.Price.High / v, SD: b.Price.SD / v}
		}
	}
	out.relative = constant(1)
	if widest > 0 {
		out.relative = m.input(name+".prices", relative, l.PricesFrom)
	}
	m.lines = append(m.lines, out)
	return nil
}

// allOverheads enters overheads; those of a time need the units made in it.
func (m *model) allOverheads() {
	all := m.in.Recorded.AllGood
	m.done = int(min(all.Best, 1e8))
	m.good = constant(all.Best)
	if all.Low < all.High && all.Low > 0 {
		q := quantity.Quantity{Value: all.Low/2 + all.High/2, Low: all.Low, High: all.High, Spread: quantity.Range}
		m.good = m.input("units made", q, m.in.Recorded.AllFrom)
	}
	for i := range m.in.Overheads {
		o := &m.in.Overheads[i]
		name := "overhead." + o.Name
		if o.Amount == nil {
			m.lack(name+".amount", "what it costs: it is left out")
			m.incomplete = append(m.incomplete, o.Name)
			continue
		}
		timed := o.Per == "month" || o.Per == "year"
		if o.Per == "" {
			m.lack(name+".per", "whether that is for a unit, a batch, a month, a year or once")
		} else if (timed || o.Per == "once") && !(all.Low > 0) || timed && !(m.in.Recorded.Years > 0) {
			m.lacks = append(m.lacks, page.Lack{File: "records/made.csv", Key: "date, count", Why: "over how many units " + name + " is spread"})
		} else if amount, ok := m.money(name, o.Amount); ok {
			m.overheads = append(m.overheads, overhead{o, amount})
			continue
		}
		m.incomplete = append(m.incomplete, o.Name)
	}
}

// selling enters channels, carriage and taxes.
func (m *model) selling() {
	given, missing := 0.0, 0
	for _, c := range m.in.Channels {
		if c.Share != nil {
			given += c.Share.Value
		} else {
			missing++
		}
	}
	for i := range m.in.Channels {
		c := &m.in.Channels[i]
		fixed, ok := m.money("channel."+c.Name+".fixed", c.Fixed)
		if !ok {
			fixed = sum{constant(0), constant(1)}
		}
		share := m.add("channel."+c.Name+".share", c.Share, max(0, 1-given)/float64(max(1, missing)))
		m.channels = append(m.channels, channel{m.add("channel."+c.Name+".fee", c.Fee, 0), share, fixed})
	}
	if missing > 0 && len(m.in.Channels) > 1 {
		m.note("Some channels have no share: they are taken alike.", "write share of each in production.toml", "")
	}
	m.carriage, m.packing = m.between("carriage", func(c Carriage) *Value { return c.Amount }), m.between("packing", func(c Carriage) *Value { return c.Packing })
	for _, t := range m.in.Taxes {
		rate := m.add("tax."+t.Name, t.Rate, 0)
		switch t.On {
		case "price":
			m.onPrice = append(m.onPrice, rate)
		case "profit":
			m.onProfit = append(m.onProfit, rate)
		}
	}
}

// between is what sending costs: of several ways anything from the cheapest to the dearest.
func (m *model) between(name string, of func(Carriage) *Value) sum {
	none := sum{constant(0), constant(1)}
	var found []*Value
	for _, c := range m.in.Carriage {
		if v := of(c); v != nil {
			found = append(found, v)
		}
	}
	switch len(found) {
	case 0:
		return none
	case 1:
		if s, ok := m.money(name, found[0]); ok {
			return s
		}
		return none
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range found {
		rate, ok := m.rateOf(v.Currency, name)
		if !ok {
			continue
		}
		low, high = min(low, v.Low*rate.value), max(high, v.High*rate.value)
	}
	if low > high {
		return none
	}
	q := quantity.Quantity{Value: low/2 + high/2, Low: low, High: high, Spread: quantity.Range}
	return sum{m.input(name, q, found[0].From), constant(1)}
}
