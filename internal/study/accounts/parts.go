package accounts

import (
	"fmt"
	"math"

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

// listParts enters parts by the list of parts where none are recorded.
func (b *book) listParts() {
	if b.spent("parts") || len(b.in.Sold)+len(b.in.Made) == 0 {
		return
	}
	one, ok := b.unitParts()
	if !ok {
		b.lack("records/spent.csv", "parts", "what the parts cost; or [bom.NAME] prices of production.toml")
		return
	}
	b.eachUnit(func(row Row, count [3]float64, f form) {
		b.enter(entry{row: row, kind: partsByList, moves: true, calculated: true}, b.scaled(one, count, f))
	})
	b.warn(fmt.Sprintf("no parts are recorded: the prices of the list of parts are taken, %s a unit", b.euros(one.ends[1].Float64())), "write what was paid into spent.csv with kind parts", "production.toml")
}
