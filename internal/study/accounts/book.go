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
	moves      bool    // with the number of units
	calculated bool    // from production.toml, not from the records
	units      bool    // may be replaced by what production.toml calculates
	spent      bool    // from spent.csv
	prop       float64 // the part of it that is in proportion to the price
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
	begun    []begun
	unmade   float64 // units that only sales tell of
	filled   bool    // parts or making are recorded in part, and topped up
	noParts  bool    // nothing tells what parts cost
}

func (b *book) warn(text, remedy, from string) {
	note := page.Note{Text: text, Remedy: remedy, From: from}
	if !slices.Contains(b.warnings, note) {
		b.warnings = append(b.warnings, note)
	}
}

func (b *book) euros(v float64) string { return quantity.Format(v, quantity.Money, b.currency, 2) }

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
	p.form[power{}] = p.ends[1].Float64()
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

// scaled books a price times a count, end by end; f is the count as a form.
func (b *book) scaled(p price, count [3]float64, f form) price {
	if count == [3]float64{1, 1, 1} && len(f) == 1 {
		return p
	}
	out := price{form: p.form.times(f)}
	for i, n := range count {
		a, err := p.ends[i].Scaled(n)
		if err != nil {
			a = money.Amount{}
		}
		out.ends[i] = a.Booked()
	}
	out.form[power{}] = out.ends[1].Float64()
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
	b.entries = append(b.entries, e)
}

// one is the form of a single unit; nothing writes into it.
var one = constant(1)

// count is how many a row stands for; none said is one.
func (b *book) count(v *Value, group string) ([3]float64, form) {
	if v == nil {
		return [3]float64{1, 1, 1}, one
	}
	return ends(v.Quantity), b.groups.of(v.Quantity, group)
}

func (b *book) returns() {
	free := 0
	for _, r := range b.in.Returned {
		count, f := b.count(r.Count, "units that came back")
		if r.Minutes != nil {
			b.worked(r.Row, "support", "what came back", r.Minutes, count, f, false)
		}
		if r.Cost == nil {
			if count[2] > 0 {
				free++
			}
			continue
		}
		if p, ok := b.price(r.Cost, "cost of a return"); ok {
			b.enter(entry{row: r.Row, kind: kindBack, moves: true}, b.scaled(p, count, f))
		}
	}
	if free > 0 {
		b.warn(rows(free)+" of returned.csv without a cost: it counts as 0", "write cost, and minutes, into them", "records/returned.csv")
	}
}

// moving are the kinds of spending that move with the number of units.
var moving = []string{"parts", "packing", "carriage-of-parts", kindFees, kindSending}

func (b *book) spending() {
	one, _ := b.count(nil, "")
	for _, s := range b.in.Spent {
		p, ok := b.price(s.Amount, "spent on "+s.Kind)
		if !ok {
			continue
		}
		if s.Group != "" && slices.ContainsFunc(b.entries, func(e entry) bool { return e.kind == s.Group && !e.spent }) {
			b.warn(fmt.Sprintf("spent.csv has %q, and %s is counted already: it may count twice", s.Kind, s.Group),
				"leave it out of spent.csv, or out of the other file", s.From)
		}
		b.enter(entry{row: s.Row, kind: s.Kind, moves: slices.Contains(moving, s.Group), units: s.Group == "parts", spent: true}, b.scaled(p, one, constant(1)))
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

func rows(n int) string {
	if n == 1 {
		return "one row"
	}
	return fmt.Sprintf("%d rows", n)
}

// last is the last day of a row.
func (r Row) last() time.Time {
	if r.Until.IsZero() {
		return r.Date
	}
	return r.Until
}
