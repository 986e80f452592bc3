package accounts

import (
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/quantity"
)

// usual maps words for work to the seven kinds.
var usual = map[string]string{
	"design": "design", "development": "design", "designing": "design", "firmware": "design", "drawing": "design", "trials": "design",
	"sourcing": "sourcing", "buying": "sourcing", "purchasing": "sourcing", "ordering": "sourcing",
	"building": "building", "build": "building", "make": "building", "making": "building", "assembly": "building", "solder": "building", "soldering": "building", "production": "building",
	"testing": "testing", "test": "testing", "trim": "testing", "final": "testing", "calibration": "testing",
	"packing": "packing", "pack": "packing", "shipping": "packing", "sending": "packing",
	"support": "support", "advice": "support", "service": "support", "repair": "support", "returns": "support",
	"accounts": "accounts", "office": "accounts", "books": "accounts", "bookkeeping": "accounts", "paperwork": "accounts",
}

// making are the kinds of work that go into each unit.
var making = []string{"building", "testing", "packing"}

// worked enters time, per unit of count.
func (b *book) worked(row Row, group, kind string, v *Value, count [3]float64, f form, calculated bool) {
	w := work{row: row, group: group, kind: kind, form: b.groups.of(v.Quantity, "hours: "+kind).times(f), calculated: calculated}
	for i, end := range ends(v.Quantity) {
		w.ends[i] = end * count[i]
	}
	b.works = append(b.works, w)
}

func (b *book) hours() {
	one, f := b.count(nil, "")
	for _, h := range b.in.Hours {
		group := usual[plain(h.Kind)]
		if step := usual[plain(h.Step)]; step != "" && slices.Contains(making, group) {
			group = step
		}
		if group == "" {
			group = h.Kind
		}
		b.worked(h.Row, group, h.Kind, h.Time, one, f, false)
	}
	if !b.did("design") && b.in.Design != nil {
		b.worked(b.first(), "design", "design", b.in.Design, one, f, true)
		b.warn("no hours of design are recorded: work.design is taken", "write them into hours.csv", b.in.Design.From)
	} else if !b.did("design") {
		b.lack("records/hours.csv", "design", "hours of design; or work.design of production.toml")
	}
	if slices.ContainsFunc(making, b.did) {
		return
	}
	if b.byStep() {
		b.warn("no hours of making are recorded: the minutes of the steps are taken, times the units", "write down the hours of a few batches", "production.toml")
	} else {
		b.lack("records/hours.csv", "making", "what one hour paid; or [step.NAME] minutes of production.toml")
	}
}

func (b *book) did(group string) bool {
	return slices.ContainsFunc(b.works, func(w work) bool { return w.group == group && w.kind != kindBack })
}

// first is the row with the first day of all.
func (b *book) first() Row {
	var first Row
	for _, e := range b.entries {
		if first.Date.IsZero() || e.row.Date.Before(first.Date) {
			first = Row{Date: e.row.Date}
		}
	}
	return first
}

// unitMinutes is the time that the steps of one unit take [A4]; ok is false if there is none.
func (b *book) unitMinutes() (f form, at [3]float64, ok bool) {
	f = form{}
	for _, s := range b.in.Steps {
		if s.Minutes == nil {
			return nil, at, false
		}
		factor := 1 + best(s.Allowance)
		extra := 0.0
		if s.Reworks != nil && s.Yield != nil {
			extra += (1 - s.Yield.Value) * s.Reworks.Value
		}
		if s.Setup != nil && b.in.Batch != nil {
			extra += s.Setup.Value / b.in.Batch.Value
		}
		f.plus(b.groups.of(s.Minutes.Quantity, "minutes of the steps"), factor)
		f[power{}] += extra * factor
		for i, end := range ends(s.Minutes.Quantity) {
			at[i] += (end + extra) * factor
		}
	}
	return f, at, len(b.in.Steps) > 0
}

// byStep enters the time of the steps for all units; false if the steps do not tell.
func (b *book) byStep() bool {
	minutes, at, ok := b.unitMinutes()
	if !ok {
		return false
	}
	b.eachUnit(func(row Row, count [3]float64, f form) {
		w := work{row: row, group: "building", kind: "steps of making", form: minutes.times(f), calculated: true}
		for i := range at {
			w.ends[i] = at[i] * count[i]
		}
		b.works = append(b.works, w)
	})
	return true
}

// eachUnit goes through the units that were begun, or else sold.
func (b *book) eachUnit(do func(row Row, count [3]float64, f form)) {
	for _, m := range b.in.Made {
		count, f := b.count(m.Count, "units made")
		do(m.Row, count, f)
	}
	if len(b.in.Made) > 0 {
		return
	}
	for _, s := range b.in.Sold {
		count, f := b.count(s.Count, "units sold")
		do(s.Row, count, f)
	}
}

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
	if slices.ContainsFunc(b.in.Spent, func(s Spent) bool { return plain(s.Kind) == "parts" }) || len(b.in.Sold)+len(b.in.Made) == 0 {
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

func (b *book) euros(v float64) string { return quantity.Format(v, quantity.Money, b.currency, 2) }

func best(v *Value) float64 {
	if v == nil {
		return 0
	}
	return v.Value
}
