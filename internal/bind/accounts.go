package bind

import (
	"hindwatt/internal/product"
	"hindwatt/internal/study/accounts"
)

// Accounts returns the input of the accounts. The records are those of the whole product, whatever
// the revision: design, tools and overheads cannot be split.
func Accounts(p *product.Product) accounts.Input {
	w := &p.Production.Work
	in := accounts.Input{
		Currency: p.Currency.Text, Hour: Value(w.Hour), Price: Value(w.Price), MarketPrice: Value(w.MarketPrice),
		Design: Value(w.Design), Batch: Value(w.Batch), AcceptedFor: Value(p.AcceptedFor), Today: p.RecordsUntil(),
	}
	switch {
	case p.Revision.Text != "" && len(p.Folder.Revisions()) > 1:
		in.PartOf = "revision " + p.Revision.Text
	case p.Variant != "":
		in.PartOf = "variant " + p.Variant
	}
	accountRows(&in, p.Folder)
	accountProduction(&in, &p.Production)
	return in
}

func accountRows(in *accounts.Input, f *product.Folder) {
	l, r := f.Ledger(), &f.Records
	row := func(leaf product.Leaf, date, until product.Date, basis product.Word) accounts.Row {
		return accounts.Row{Date: date.Day, Until: until.Day, Basis: basis.Text, From: from(leaf)}
	}
	for _, u := range l.Units {
		if len(u.Made) == 0 {
			continue
		}
		m, scrap := u.Made[0], false
		for _, one := range u.Made {
			scrap = scrap || one.Result.Text == "scrap"
		}
		in.Made = append(in.Made, accounts.Made{Row: row(m.Leaf, m.Date, m.Until, m.Basis), Scrap: scrap})
	}
	for _, m := range l.Made {
		in.Made = append(in.Made, accounts.Made{Row: row(m.Leaf, m.Date, m.Until, m.Basis), Count: Value(m.Count), Scrap: m.Result.Text == "scrap"})
	}
	for _, s := range r.Sold {
		in.Sold = append(in.Sold, accounts.Sold{
			Row: row(s.Leaf, s.Date, s.Until, s.Basis), Count: Value(s.Count), Channel: s.Channel.Text, Price: Value(s.Price), Carriage: Value(s.Carriage),
		})
	}
	for _, b := range r.Returned {
		in.Returned = append(in.Returned, accounts.Returned{
			Row: row(b.Leaf, b.Date, b.Until, b.Basis), Count: Value(b.Count), Cost: Value(b.Cost), Minutes: Value(b.Minutes), NoFault: b.Found.Is("no fault"),
		})
	}
	for _, s := range r.Spent {
		in.Spent = append(in.Spent, accounts.Spent{Row: row(s.Leaf, s.Date, s.Until, s.Basis), Kind: s.Kind.Text, Group: moneyKind(s.Kind.Text), Amount: Value(s.Amount)})
	}
	for _, h := range r.Hours {
		in.Hours = append(in.Hours, accounts.Hours{
			Row: row(h.Leaf, h.Date, h.Until, h.Basis), Kind: h.Kind.Text, Group: workGroup(h.Kind.Text, h.Step.Text), Step: h.Step.Text, Time: Value(h.Time), Count: Value(h.Count),
		})
	}
}

func accountProduction(in *accounts.Input, p *product.Production) {
	for name, l := range p.BOM.All() {
		part := accounts.Part{Name: name, Each: Value(l.Each), Attrition: Value(l.Attrition), From: from(l.Prices.Leaf), MinimumOrder: l.MinimumOrder.N, Pack: l.Pack.N}
		for _, b := range l.Prices.Breaks {
			part.Breaks = append(part.Breaks, accounts.Break{From: b.From, Price: b.Price})
		}
		in.Parts = append(in.Parts, part)
	}
	for name, s := range p.Steps.All() {
		in.Steps = append(in.Steps, accounts.Step{
			Name: name, Minutes: Value(s.Minutes), Setup: Value(s.Setup), Allowance: Value(s.Allowance), Yield: Value(s.Yield), Reworks: Value(s.Rework), From: from(s.Leaf),
		})
	}
	for name, c := range p.Channels.All() {
		in.Channels = append(in.Channels, accounts.Channel{Name: name, Fee: Value(c.Fee), Fixed: Value(c.Fixed), Share: Value(c.Share)})
	}
	for name, c := range p.Carriage.All() {
		in.Carriages = append(in.Carriages, accounts.Carriage{Name: name, Amount: Value(c.Amount), Packing: Value(c.Packing)})
	}
	for name, t := range p.Taxes.All() {
		in.Taxes = append(in.Taxes, accounts.Tax{Name: name, Rate: Value(t.Rate), OnProfit: t.On.Text == "profit"})
	}
	for range p.Quotes.All() {
		in.Quoted = true
	}
	for name, o := range p.Overheads.All() {
		in.Overheads = append(in.Overheads, accounts.Overhead{Name: name, From: from(o.Leaf)})
	}
	for name, rate := range p.Rates.All() {
		in.Rates = append(in.Rates, accounts.Rate{Currency: name, Value: Value(*rate)})
	}
}
