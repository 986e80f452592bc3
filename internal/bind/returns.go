package bind

import (
	"time"

	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/returns"
)

// Returns fills the input of the study from the records of all revisions; what is of the product's own is marked.
func Returns(p *product.Product) returns.Input {
	all := p.Folder.Ledger()
	own, guessed := Ledger(p)
	in := returns.Input{
		Revision: p.Revision.Text, AcceptedFor: Value(p.AcceptedFor), Unreported: Value(p.Production.Work.FaultUnreported),
		Hour: Value(p.Production.Work.Hour), Currency: p.Currency.Text, LeftOut: len(p.Folder.RecordErrors), Guessed: guessed,
		Today: lastDay(p.Folder), TodayFrom: "the last day that a record names",
	}
	if in.Revision == "" {
		in.Revision = p.Variant
	}
	for _, r := range p.Folder.Revisions() {
		in.Revisions = append(in.Revisions, r.Name)
	}
	b := &returnsBinder{p: p, in: &in}
	mine := map[any]bool{}
	for _, u := range own.Units {
		mine[u] = true
	}
	for _, s := range own.Sold {
		mine[s] = true
	}
	for _, r := range own.Returned {
		mine[r] = true
	}
	in.Units = make([]returns.Unit, 0, len(all.Units))
	for _, u := range all.Units {
		b.unit(u, mine[u], len(all.Sold) > 0)
	}
	for _, s := range all.Sold {
		count := countOf(s.Count)
		in.Sales = append(in.Sales, returns.Sale{
			From: returns.DayOf(s.Date.Day), Until: untilOf(s.Date, s.Until), Count: count, Channel: s.Channel.Text,
			Own: mine[s], Basis: s.Basis.Text, Source: s.Origin.String(),
		})
	}
	for _, r := range all.Returned {
		b.row(r, mine[r])
	}
	return in
}

type returnsBinder struct {
	p  *product.Product
	in *returns.Input
}

// unit adds each sale of a unit. A return that follows no sale is one of those sold without serials, where there are
// any; else its unit is counted as sold, and its age is not known.
func (b *returnsBinder) unit(u *product.Unit, own, anonymous bool) {
	if u.Batch != "" && (len(b.in.Batches) == 0 || b.in.Batches[len(b.in.Batches)-1] != u.Batch) && !contains(b.in.Batches, u.Batch) {
		b.in.Batches = append(b.in.Batches, u.Batch)
	}
	for _, s := range u.Sales {
		sold := returns.Unit{
			Batch: u.Batch, Revision: u.Revision, Channel: s.Sold.Channel.Text, Own: own,
			Sold: returns.DayOf(s.Sold.Date.Day), Basis: s.Sold.Basis.Text,
		}
		for k, r := range s.Returned {
			row := b.row(r, own)
			row.Joined = true
			if k == 0 {
				sold.Back = row
			} else {
				sold.Again++
			}
		}
		b.in.Units = append(b.in.Units, sold)
	}
	for i, r := range u.Returned {
		row := b.row(r, own)
		row.Batch, row.Revision = u.Batch, u.Revision
		row.Joined = i > 0
		if i == 0 && !anonymous {
			b.in.Unsold++
			b.in.Sales = append(b.in.Sales, returns.Sale{
				From: min(row.Day, returns.DayOf(b.first())), Until: row.Day, Count: returns.Exactly(1), Own: own, Basis: "remembered", Source: row.Source,
			})
		}
	}
}

func contains(all []string, one string) bool {
	for i := len(all) - 1; i >= 0; i-- {
		if all[i] == one {
			return true
		}
	}
	return false
}

// first is the first day of any sale.
func (b *returnsBinder) first() (day time.Time) {
	for i := range b.p.Folder.Records.Sold {
		if d := b.p.Folder.Records.Sold[i].Date.Day; day.IsZero() || d.Before(day) {
			day = d
		}
	}
	if day.IsZero() {
		return time.Unix(0, 0)
	}
	return day
}

func (b *returnsBinder) row(r *product.Returned, own bool) *returns.Return {
	out := &returns.Return{
		Day: returns.DayOf(r.Date.Day), Until: untilOf(r.Date, r.Until), Count: countOf(r.Count), Batch: r.Batch.Text, Revision: r.Revision.Text,
		Reason: r.Reason.Text, Cost: b.ours(r.Cost), Minutes: Value(r.Minutes), Own: own, Basis: r.Basis.Text, Source: r.Origin.String(),
	}
	switch r.Found.Text {
	case "fault":
		out.Found = returns.Fault
	case "no fault":
		out.Found = returns.NoFault
	}
	b.in.Returns = append(b.in.Returns, out)
	return out
}

// ours is a sum in the product's currency; nil if it is not set or its rate is not known.
func (b *returnsBinder) ours(q product.Quantity) *returns.Value {
	v := Value(q)
	if v == nil || v.Currency == "" || v.Currency == b.in.Currency || b.in.Currency == "" {
		return v
	}
	rate := b.p.Production.Rates.Get(v.Currency)
	if rate == nil {
		return nil
	}
	v.Value, v.Low, v.High, v.SD = v.Value*rate.Value, v.Low*rate.Value, v.High*rate.Value, v.SD*rate.Value
	v.Currency = b.in.Currency
	return v
}

func countOf(q product.Quantity) returns.Count {
	if !q.Set() {
		return returns.Exactly(1)
	}
	c := returns.Count{Low: q.Low, Best: q.Value, High: q.High}
	if q.Spread == quantity.Normal {
		c.Low, c.High = max(0, q.Value-2*q.SD), q.Value+2*q.SD
	}
	return c
}

func untilOf(from, until product.Date) returns.Day {
	if until.Set() && until.Day.After(from.Day) {
		return returns.DayOf(until.Day)
	}
	return returns.DayOf(from.Day)
}

// lastDay is the last day that any record names.
func lastDay(f *product.Folder) returns.Day {
	var last time.Time
	see := func(days ...product.Date) {
		for _, d := range days {
			if d.Day.After(last) {
				last = d.Day
			}
		}
	}
	r := &f.Records
	for i := range r.Made {
		see(r.Made[i].Date, r.Made[i].Until)
	}
	for i := range r.Sold {
		see(r.Sold[i].Date, r.Sold[i].Until)
	}
	for i := range r.Returned {
		see(r.Returned[i].Date, r.Returned[i].Until)
	}
	for i := range r.Spent {
		see(r.Spent[i].Date, r.Spent[i].Until)
	}
	for i := range r.Hours {
		see(r.Hours[i].Date, r.Hours[i].Until)
	}
	for i := range r.Readings {
		see(r.Readings[i].Date)
	}
	return returns.DayOf(last)
}
