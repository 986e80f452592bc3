package accounts

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"hindwatt/internal/money"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// An entry is money in or out: booked at the low end, the best value and the high end, and as a form.
type entry struct {
	row        Row
	in         bool
	kind       string
	amounts    [3]money.Amount
	form       form
	moves      bool // with the number of units
	calculated bool // from production.toml, not from the records
	units      bool // may be replaced by what production.toml calculates
}

// work is time worked.
type work struct {
	row        Row
	group      string
	kind       string
	form       form // s
	ends       [3]float64
	calculated bool
}

// A book gathers entries.
type book struct {
	in       *Input
	currency string
	groups   groups
	entries  []entry
	works    []work
	warnings []page.Note
	lacks    []page.Lack
	units    map[saleKey]unitSale
}

func (b *book) warn(text, remedy, from string) {
	note := page.Note{Text: text, Remedy: remedy, From: from}
	if !slices.Contains(b.warnings, note) {
		b.warnings = append(b.warnings, note)
	}
}

func (b *book) lack(file, key, why string) {
	b.lacks = append(b.lacks, page.Lack{File: file, Key: key, Why: why})
}

// A price is a sum of money of one unit, or of one row, in the currency of the accounts.
type price struct {
	ends [3]money.Amount
	form form
}

// price converts a sum and books it; ok is false if its currency has no rate, which is said.
func (b *book) price(v *Value, group string) (p price, ok bool) {
	rate, form, ok := b.rate(v.Currency)
	if !ok {
		b.warn(fmt.Sprintf("%s is left out: %s has no rate into %s", v.From, v.Currency, b.currency),
			"write [rates] "+v.Currency+" = \"… "+b.currency+"\" into production.toml", v.From)
		return p, false
	}
	p.form = b.groups.of(v.Quantity, group).times(form)
	for i, end := range ends(v.Quantity) {
		a, err := money.New(end, v.Currency)
		if err == nil {
			a, err = a.Into(b.currency, rate[i])
		}
		if err != nil {
			return p, false
		}
		p.ends[i] = a.Booked()
	}
	return p, true
}

// rate is what one of a currency is worth, at its ends and as a form [A1].
func (b *book) rate(currency string) (at [3]float64, f form, ok bool) {
	if currency == b.currency {
		return [3]float64{1, 1, 1}, constant(1), true
	}
	for _, r := range b.in.Rates {
		if r.Currency == currency && r.Value.Currency == b.currency {
			return ends(r.Value.Quantity), b.groups.of(r.Value.Quantity, "rate of "+currency), true
		}
	}
	return at, nil, false
}

// scaled books a price times a count, end by end.
func (b *book) scaled(p price, count [3]float64, f form) price {
	out := price{form: p.form.times(f)}
	for i, n := range count {
		a, err := p.ends[i].Scaled(n)
		if err != nil {
			a = money.Amount{}
		}
		out.ends[i] = a.Booked()
	}
	return out
}

func (b *book) enter(e entry, p price) {
	for i := range p.ends {
		if p.ends[i].Currency() == "" {
			p.ends[i], _ = money.New(0, b.currency)
		}
	}
	slices.SortFunc(p.ends[:], money.Amount.Cmp)
	e.amounts, e.form = p.ends, p.form
	if len(e.form) == 0 {
		e.form = form{}
	}
	e.form[power{}] = p.ends[1].Float64()
	b.entries = append(b.entries, e)
}

// count is how many a row stands for; none said is one.
func (b *book) count(v *Value, group string) ([3]float64, form) {
	if v == nil {
		return [3]float64{1, 1, 1}, constant(1)
	}
	return ends(v.Quantity), b.groups.of(v.Quantity, group)
}

// unitSale is what one sale brings and takes.
type unitSale struct{ price, tax, fee price }

type saleKey struct {
	quantity.Quantity
	channel string
}

// The kinds of money that follow from sales and returns.
const (
	kindSold    = "sold"
	kindTax     = "tax passed on"
	kindFees    = "channel fees"
	kindSending = "sending"
	kindBack    = "what came back"
)

func (b *book) sales() {
	noPrice, noFee := 0, 0
	for _, s := range b.in.Sold {
		count, f := b.count(s.Count, "units sold")
		asked := s.Price
		if asked == nil {
			asked = b.in.Price
		}
		if asked == nil {
			noPrice++
			continue
		}
		u, ok := b.unitSale(asked, s.Price == nil, s.Channel)
		if !ok {
			continue
		}
		if s.Channel == "" && len(b.in.Channels) > 0 {
			noFee++
		}
		b.enter(entry{row: s.Row, in: true, kind: kindSold, moves: true}, b.scaled(u.price, count, f))
		if u.tax.form != nil {
			b.enter(entry{row: s.Row, kind: kindTax, moves: true}, b.scaled(u.tax, count, f))
		}
		if u.fee.form != nil {
			b.enter(entry{row: s.Row, kind: kindFees, moves: true}, b.scaled(u.fee, count, f))
		}
		b.send(s, count, f)
	}
	if noPrice > 0 {
		b.lack("records/sold.csv", "price", fmt.Sprintf("what %d rows brought; or work.price of production.toml", noPrice))
	}
	if noFee > 0 {
		b.warn(fmt.Sprintf("%d rows of sold.csv name no channel: no fee is taken off them", noFee), "write the channel", "records/sold.csv")
	}
}

// unitSale is the sale of one: the tax within the price and the channel's fee of the price with tax, booked for each sale [A2].
func (b *book) unitSale(asked *Value, general bool, channel string) (u unitSale, ok bool) {
	key := saleKey{asked.Quantity, channel}
	if u, ok = b.units[key]; ok {
		return u, true
	}
	group := "price"
	if general {
		group = "work.price"
	}
	if u.price, ok = b.price(asked, group); !ok {
		return u, false
	}
	if rate := b.taxOn(false); rate[1] > 0 {
		u.tax.form = u.price.form.times(constant(rate[1] / (1 + rate[1]))) // [A2]
		for i := range u.tax.ends {
			a, err := u.price.ends[i].Included(rate[i])
			if err != nil {
				return u, false
			}
			u.tax.ends[i] = a.Booked()
		}
	}
	for _, c := range b.in.Channels {
		if c.Name == channel {
			u.fee = b.fee(c, u.price)
		}
	}
	b.units[key] = u
	return u, true
}

func (b *book) fee(c Channel, of price) (fee price) {
	if c.Fee != nil {
		fee = b.scaled(of, ends(c.Fee.Quantity), b.groups.of(c.Fee.Quantity, "fee of "+c.Name))
	}
	if c.Fixed == nil {
		return fee
	}
	fixed, ok := b.price(c.Fixed, "fee of "+c.Name)
	switch {
	case ok && fee.form == nil:
		return fixed
	case ok:
		fee.form.plus(fixed.form, 1)
		for i := range fee.ends {
			fee.ends[i] = fee.ends[i].Plus(fixed.ends[i])
		}
	}
	return fee
}

// taxOn is the rate of all taxes on the price, or on the profit, added up.
func (b *book) taxOn(profit bool) (rate [3]float64) {
	for _, t := range b.in.Taxes {
		if t.OnProfit == profit && t.Rate != nil {
			for i, r := range ends(t.Rate.Quantity) {
				rate[i] += r
			}
		}
	}
	return rate
}

// send enters what sending cost: as recorded, or, where no row of all says it, as production.toml has it.
func (b *book) send(s Sold, count [3]float64, f form) {
	paid, calculated := s.Carriage, false
	if paid == nil && len(b.in.Carriages) == 1 && !slices.ContainsFunc(b.in.Sold, func(s Sold) bool { return s.Carriage != nil }) {
		paid, calculated = b.in.Carriages[0].Amount, true
	}
	if paid == nil {
		return
	}
	if p, ok := b.price(paid, kindSending); ok {
		b.enter(entry{row: s.Row, kind: kindSending, moves: true, calculated: calculated}, b.scaled(p, count, f))
	}
}

func (b *book) returns() {
	free := 0
	for _, r := range b.in.Returned {
		count, f := b.count(r.Count, "units that came back")
		if r.Minutes != nil {
			b.worked(r.Row, "support", "what came back", r.Minutes, count, f, false)
		}
		if r.Cost == nil {
			free++
			continue
		}
		if p, ok := b.price(r.Cost, "cost of a return"); ok {
			b.enter(entry{row: r.Row, kind: kindBack, moves: true}, b.scaled(p, count, f))
		}
	}
	if free > 0 {
		b.warn(fmt.Sprintf("%d rows of returned.csv have no cost: they count as 0", free), "write cost, and minutes, into them", "records/returned.csv")
	}
}

// Kinds of spending that other files give too.
var twice = map[string]string{
	"fee": kindFees, "fees": kindFees, "channel-fees": kindFees, "commission": kindFees,
	"postage": kindSending, "carriage": kindSending, "shipping": kindSending, "sending": kindSending,
	"returns": kindBack, "returned": kindBack, "refunds": kindBack, "tax": kindTax, "vat": kindTax,
}

// Kinds of spending that move with the number of units.
var moving = []string{"parts", "packing", "carriage-of-parts", "fees", "postage", "shipping", "carriage"}

func (b *book) spending() {
	one, _ := b.count(nil, "")
	for _, s := range b.in.Spent {
		p, ok := b.price(s.Amount, "spent on "+s.Kind)
		if !ok {
			continue
		}
		kind := plain(s.Kind)
		if other := twice[kind]; other != "" && slices.ContainsFunc(b.entries, func(e entry) bool { return e.kind == other }) {
			b.warn(fmt.Sprintf("spent.csv has %q, and %s is counted already: it may count twice", s.Kind, other),
				"leave it out of spent.csv, or out of the other file", s.From)
		}
		b.enter(entry{row: s.Row, kind: s.Kind, moves: slices.Contains(moving, kind), units: kind == "parts"}, b.scaled(p, one, constant(1)))
	}
	for _, o := range b.in.Overheads {
		if !slices.ContainsFunc(b.in.Spent, func(s Spent) bool { return plain(s.Kind) == plain(o.Name) }) {
			b.warn("overhead."+o.Name+" is in production.toml, and spent.csv has no such kind: it is not counted", "write what was paid into spent.csv", o.From)
		}
	}
}

func plain(kind string) string {
	return strings.ReplaceAll(strings.ToLower(strings.TrimSpace(kind)), " ", "-")
}

// last is the last day of a row.
func (r Row) last() time.Time {
	if r.Until.IsZero() {
		return r.Date
	}
	return r.Until
}
