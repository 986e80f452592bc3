package accounts

import (
	"fmt"
	"math"

	"hindwatt/internal/money"
	"hindwatt/internal/quantity"
)

// unitParts is what the parts of one unit cost when a batch is bought [A3]; ok is false if a line has no price.
func (b *book) unitParts() (p price, ok bool) {
	p.form = form{}
	for _, part := range b.in.Parts {
		if len(part.Breaks) == 0 {
			return p, false
		}
		each := 1.0
		if part.Each != nil {
			each = part.Each.Value
		}
		need := each / (1 - best(part.Attrition))
		at := part.priceAt(need * max(1, best(b.in.Batch)))
		one, ok := b.price(&Value{Quantity: at, From: part.From}, "prices of parts")
		if !ok {
			return p, false
		}
		line := b.scaled(one, [3]float64{need, need, need}, constant(need))
		p.form.plus(line.form, 1)
		for i := range p.ends {
			p.ends[i] = p.ends[i].Plus(line.ends[i])
		}
	}
	return p, len(b.in.Parts) > 0
}

// priceAt is the price of one when so many are needed: what the order has to be, or a later break where that costs less in all [M4].
func (p *Part) priceAt(need float64) quantity.Quantity {
	order := max(math.Ceil(need-1e-9), float64(p.MinimumOrder))
	if pack := float64(p.Pack); pack > 0 {
		order = math.Ceil(order/pack) * pack
	}
	at, least := p.Breaks[0].Price, math.Inf(1)
	for i, br := range p.Breaks {
		quantity := max(order, float64(br.From))
		if i+1 < len(p.Breaks) && quantity >= float64(p.Breaks[i+1].From) {
			continue
		}
		if cost := quantity * br.Price.Value; cost < least {
			at, least = br.Price, cost
		}
	}
	return at
}

// partsByList is the kind of parts that no record tells of.
const partsByList = "parts by the list"

// listParts enters parts by the list of parts where none are recorded, or far too few.
func (b *book) listParts() {
	if len(b.begun) == 0 {
		return
	}
	one, ok := b.unitParts()
	switch recorded := b.spent("parts"); {
	case !ok && !recorded:
		b.noParts = true
		b.lack("records/spent.csv", "parts", "what the parts cost; or [bom.NAME] prices of production.toml")
	case !ok:
		b.missParts()
	case recorded:
		if b.topUpParts(one); !b.filled {
			b.missParts()
		}
	default:
		for _, u := range b.begun {
			b.enter(entry{row: u.Row, kind: partsByList, moves: true, calculated: true}, b.scaled(one, u.count, u.form))
		}
		b.warn(fmt.Sprintf("no parts are recorded: the prices of the list of parts are taken, %s a unit", b.euros(one.ends[1].Float64())), "write what was paid into spent.csv with kind parts", "production.toml")
	}
}

// topUpParts enters, where the parts that are recorded cost less than half of what the list says of all units, the rest by the list, or
// anything from nothing to all of it: first for the units that no parts had been bought for.
func (b *book) topUpParts(one price) {
	var got, need [3]float64
	for _, e := range b.entries {
		for i := range got {
			if e.units {
				got[i] += e.amounts[i].Float64()
			}
		}
	}
	n := b.number()
	for i := range need {
		need[i] = one.ends[i].Float64() * n[i]
	}
	if got[1] >= tooLittle*need[1] {
		return
	}
	at := [3]float64{0, need[1] - got[1], max(need[1]-got[1], need[2]-got[0])}
	rest := price{form: b.groups.between(at, "parts that are not recorded")}
	for i, v := range at {
		a, _ := money.New(v, b.currency)
		rest.ends[i] = a.Booked()
	}
	part, missing := b.unbought()
	if missing == 0 {
		part, missing = func(begun) float64 { return 1 }, n[1]
	}
	for _, u := range b.begun {
		if share := ratio(part(u)*u.count[1], missing); share > 0 {
			b.enter(entry{row: u.Row, kind: partsByList, moves: true, calculated: true, units: true}, b.scaled(rest, [3]float64{share, share, share}, constant(share)))
		}
	}
	b.filled = true
	b.warn(fmt.Sprintf("parts for %s are recorded, and %.0f units need %s by the list: the list is taken for the rest, or anything from nothing to all", b.euros(got[1]), n[1], b.euros(need[1])),
		"write what was paid for the others into spent.csv with kind parts, or about how much", "records/spent.csv")
}

// unbought is the part of each row's units that were begun when no parts had been bought for long, and how many that are.
func (b *book) unbought() (part func(begun) float64, missing float64) {
	var bought []Row
	for _, s := range b.in.Spent {
		if s.Group == "parts" {
			bought = append(bought, s.Row)
		}
	}
	part = b.uncovered(bought, boughtBefore)
	for _, u := range b.begun {
		missing += part(u) * u.count[1]
	}
	return part, missing
}

// missParts warns of units that were begun when no parts had been bought for long.
func (b *book) missParts() {
	if _, missing := b.unbought(); math.Round(missing) > 0 {
		b.warn(fmt.Sprintf("no parts are recorded for the time of %.0f of %.0f units: what theirs cost is not counted", missing, b.number()[1]),
			"write what was paid into spent.csv with kind parts", "records/spent.csv")
	}
}
