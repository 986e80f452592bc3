package production

import (
	"fmt"
	"math"

	"hindwatt/internal/money"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// work enters [work].
func (m *model) work() {
	in := m.in
	m.batch = max(1, in.At)
	if in.Batch != nil {
		m.batch = max(1, int(math.Round(in.Batch.Value)))
	} else if in.At == 0 {
		m.lack("work.batch", "how many are made at once; one at a time is reckoned with")
	}
	m.hour, m.price = nothing, nothing
	if in.Hour != nil {
		m.hour, m.hasHour = m.money("work.hour", in.Hour)
	}
	m.week, m.hasWeek = m.add("work.week", in.Week, 0), in.Week != nil
	if in.Price != nil {
		m.price, m.hasPrice = m.money("work.price", in.Price)
	}
}

// paid enters the rates of what was paid; what has none stands apart.
func (m *model) paid() {
	for _, p := range m.in.Recorded.Parts {
		if _, ok := m.rateOf(p.Currency, "what was paid for parts"); !ok {
			m.unpriced = append(m.unpriced, p)
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
	var err error
	if out.terms, err = terms(l); err != nil {
		return err
	}
	out.relative = constant(1)
	if q := widest(l.Prices); q.Value == 1 {
		out.relative = m.input(name+".prices", q, l.PricesFrom)
	}
	m.lines = append(m.lines, out)
	return nil
}

// terms are those on which a line is bought.
func terms(l *Line) (money.Terms, error) {
	t := money.Terms{Minimum: l.Minimum, Pack: l.Pack}
	for _, b := range l.Prices {
		if b.Price.Currency != l.Prices[0].Price.Currency {
			return t, fmt.Errorf("%s: bom.%s.prices: two currencies; want one in a list of prices", l.PricesFrom, l.Name)
		}
		price, err := money.New(b.Price.Value, b.Price.Currency)
		if err != nil {
			return t, fmt.Errorf("%s: bom.%s.prices: %w", l.PricesFrom, l.Name, err)
		}
		t.Breaks = append(t.Breaks, money.Break{From: b.From, Price: price})
	}
	return t, nil
}

// widest is the relative spread of the least certain price, about 1; the zero value if none has any.
func widest(prices []Break) (relative quantity.Quantity) {
	most := 0.0
	for _, b := range prices {
		v := b.Price.Value
		if u := b.Price.StandardUncertainty(); v > 0 && u/v > most {
			most = u / v
			relative = quantity.Quantity{Value: 1, Spread: b.Price.Spread, Low: b.Price.Low / v, High: b.Price.High / v, SD: b.Price.SD / v}
		}
	}
	return relative
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
	short := false
	for i := range m.in.Overheads {
		o := &m.in.Overheads[i]
		if !m.overhead(o) {
			m.incomplete = append(m.incomplete, o.Name)
		}
		short = short || o.Per == "month" || o.Per == "year"
	}
	if years := m.in.Recorded.Years; short && years > 0 && years < 1 {
		m.note(fmt.Sprintf("Overheads of a month or a year are spread over the %.0f units of %.0f days: little to go by.", all.Best, years*365.25),
			"their share of one unit settles after a year of records", m.in.Recorded.AllFrom)
	}
}

// overhead enters one; ok is false if it cannot be counted.
func (m *model) overhead(o *Overhead) (ok bool) {
	name, units, years := "overhead."+o.Name, m.in.Recorded.AllGood, m.in.Recorded.Years
	if o.Amount == nil {
		m.lack(name+".amount", "what it costs: it is left out")
		return false
	}
	if o.Per == "" {
		m.lack(name+".per", "whether that is for a unit, a batch, a month, a year or once")
		return false
	}
	amount, ok := m.money(name, o.Amount)
	if !ok {
		return false
	}
	timed := o.Per == "month" || o.Per == "year"
	if o.Per == "once" {
		m.once = append(m.once, amount)
	}
	if (timed || o.Per == "once") && !(units.Low > 0) || timed && !(years > 0) {
		m.lacks = append(m.lacks, page.Lack{File: "records/made.csv", Key: "date, count", Why: "over how many units " + name + " is spread"})
		return false
	}
	m.overheads = append(m.overheads, overhead{o, amount})
	return true
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
			fixed = nothing
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
	var found []*Value
	for _, c := range m.in.Carriage {
		if v := of(c); v != nil {
			found = append(found, v)
		}
	}
	switch len(found) {
	case 0:
		return nothing
	case 1:
		if s, ok := m.money(name, found[0]); ok {
			return s
		}
		return nothing
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
		return nothing
	}
	q := quantity.Quantity{Value: low/2 + high/2, Low: low, High: high, Spread: quantity.Range}
	return sum{m.input(name, q, found[0].From), constant(1)}
}
