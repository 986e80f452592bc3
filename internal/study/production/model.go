package production

import (
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

func (s sum) best() float64 { return s.amount.value * s.rate.value }

// nothing is no money.
var nothing = sum{constant(0), constant(1)}

type line struct {
	source    *Line
	each      term
	attrition term
	terms     money.Terms
	relative  term // price over its best value
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
	hour, price                        sum
	week                               term
	rate                               term   // of learning
	once                               []sum  // overheads that are paid once
	unpriced                           []Paid // in currencies without a rate
	good                               term   // units over which overheads of time are spread
	batch, done                        int
	lacks                              []page.Lack
	incomplete                         []string // what of the cost to make is left out for want of a value
	notes                              []page.Note
	hasHour, hasPrice, hasWeek, learns bool
}

// smallest shares that are reckoned with: of a step, and of all steps together.
const leastYield, leastRolled = 1e-4, 1e-9

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
	return m.enter(in, from)
}

func (m *model) enter(in statistics.Input, from string) term {
	m.inputs, m.from = append(m.inputs, in), append(m.from, from)
	return term{len(m.inputs) - 1, in.Value}
}

// money enters a sum; ok is false, with a lack, where its currency has no rate.
func (m *model) money(name string, v *Value) (s sum, ok bool) {
	if v == nil {
		return nothing, true
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
	m.paid()
	return m, nil
}
