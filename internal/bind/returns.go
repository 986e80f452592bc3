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
		Revision: p.RevisionName(), AcceptedFor: Value(p.AcceptedFor), Unreported: Value(p.Production.Work.FaultUnreported),
		Hour: Value(p.Production.Work.Hour), Currency: p.Currency.Text, Guessed: guessed,
		Today: returns.DayOf(p.RecordsUntil()), TodayFrom: "default", Last: lastDay(p.Folder), Made: madeIn(all),
	}
	if p.Recorded.Set() {
		in.TodayFrom = p.Recorded.Origin.String()
	} else if in.Last > in.Today { // where it is tomorrow already
		in.Today = in.Last
	}
	for _, r := range p.Folder.Revisions() {
		in.Revisions = append(in.Revisions, r.Name)
	}
	b := &returnsBinder{p: p, in: &in, batches: map[string]string{}, known: map[string]bool{}}
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
		b.sale(s, mine[s])
	}
	for _, r := range all.Returned {
		if row := b.row(r, mine[r]); row != nil && row.Revision == "" {
			if row.Revision = b.batches[row.Batch]; row.Revision == "" && len(in.Revisions) == 1 {
				row.Revision = in.Revisions[0]
			}
		}
	}
	return in
}

// madeIn tells when the units of each batch were made.
func madeIn(l *product.Ledger) map[string]returns.Span {
	made := map[string]returns.Span{}
	see := func(batch string, m *product.Made) {
		from, until := returns.DayOf(m.Date.Day), untilOf(m.Date, m.Until)
		if s, known := made[batch]; known {
			from, until = min(s.From, from), max(s.Until, until)
		}
		made[batch] = returns.Span{From: from, Until: until}
	}
	for _, u := range l.Units {
		for _, m := range u.Made {
			see(u.Batch, m)
		}
	}
	for _, m := range l.Made {
		see(m.Batch.Text, m)
	}
	return made
}

type returnsBinder struct {
	p       *product.Product
	in      *returns.Input
	batches map[string]string // the revision of each
	known   map[string]bool   // batches that are listed
	first   returns.Day       // of any sale; 0: not looked for yet
}

// counts reports whether a row is of a day up to which the records are complete.
func (b *returnsBinder) counts(d product.Date) bool {
	if returns.DayOf(d.Day) <= b.in.Today {
		return true
	}
	b.in.Later++
	return false
}

// unit adds each sale of a unit. A return that follows no sale is of one of those sold without serials, where there are any;
// else of a unit more, which was sold on some day before.
func (b *returnsBinder) unit(u *product.Unit, own, anonymous bool) {
	if u.Batch != "" && !b.known[u.Batch] {
		b.known[u.Batch], b.batches[u.Batch] = true, u.Revision
		b.in.Batches = append(b.in.Batches, u.Batch)
	}
	for _, s := range u.Sales {
		if !b.counts(s.Sold.Date) {
			continue
		}
		sold := returns.Unit{
			Batch: u.Batch, Revision: u.Revision, Channel: s.Sold.Channel.Text, Own: own,
			Sold: returns.DayOf(s.Sold.Date.Day), Basis: s.Sold.Basis.Text,
		}
		if until := min(untilOf(s.Sold.Date, s.Sold.Until), b.in.Today); until > sold.Sold {
			sold.SoldUntil = until
		}
		b.comesBack(&sold, s.Returned, own)
		b.in.Units = append(b.in.Units, sold)
	}
	if len(u.Returned) == 0 || !b.counts(u.Returned[0].Date) {
		return
	}
	if anonymous {
		for i, r := range u.Returned {
			if row := b.row(r, own); row != nil {
				row.Joined, row.Batch, row.Revision = i > 0, u.Batch, u.Revision
			}
		}
		return
	}
	back := returns.DayOf(u.Returned[0].Date.Day)
	sold := returns.Unit{Batch: u.Batch, Revision: u.Revision, Own: own, Sold: min(back, b.firstSale()), SoldUntil: back, Basis: "remembered"}
	b.in.Unsold++
	b.comesBack(&sold, u.Returned, own)
	b.in.Units = append(b.in.Units, sold)
}

func (b *returnsBinder) comesBack(u *returns.Unit, rows []*product.Returned, own bool) {
	for _, r := range rows {
		row := b.row(r, own)
		if row == nil {
			continue
		}
		row.Joined, row.Batch, row.Revision = true, u.Batch, u.Revision
		if u.Back == nil {
			u.Back = row
		} else {
			u.Again++
		}
	}
}

// sale adds a row of sales without a serial.
func (b *returnsBinder) sale(s *product.Sold, own bool) {
	if !b.counts(s.Date) {
		return
	}
	sale := returns.Sale{
		From: returns.DayOf(s.Date.Day), Until: untilOf(s.Date, s.Until), Count: countOf(s.Count), Channel: s.Channel.Text,
		Own: own, Basis: s.Basis.Text, Source: s.Origin.String(),
	}
	first, _ := b.p.Folder.Revision(s.Date.Day, "")
	last, _ := b.p.Folder.Revision(sale.Until.Time(), "")
	if first.Name == last.Name {
		sale.Revision = first.Name
	}
	b.in.Sales = append(b.in.Sales, sale)
}

// firstSale is the first day of any sale.
func (b *returnsBinder) firstSale() returns.Day {
	if b.first == 0 {
		b.first = b.in.Today
		for i := range b.p.Folder.Records.Sold {
			b.first = min(b.first, returns.DayOf(b.p.Folder.Records.Sold[i].Date.Day))
		}
	}
	return b.first
}

// row adds a row of returns; nil if it is of a day that does not count.
func (b *returnsBinder) row(r *product.Returned, own bool) *returns.Return {
	if !b.counts(r.Date) {
		return nil
	}
	out := &returns.Return{
		Day: returns.DayOf(r.Date.Day), Until: untilOf(r.Date, r.Until), Count: countOf(r.Count), Batch: r.Batch.Text, Revision: r.Revision.Text,
		Reason: reasonOf(r.Reason.Text), Cost: b.ours(r.Cost), Minutes: Value(r.Minutes), Own: own, Basis: r.Basis.Text, Source: r.Origin.String(),
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

// longestReason is the longest text, in characters, that is a reason and no message.
const longestReason = 60

// reasonOf is a reason as it may be published: a short name of it, never what somebody wrote.
func reasonOf(text string) string {
	if product.Personal(text, false) != "" || len([]rune(text)) > longestReason {
		return "told in free text"
	}
	return text
}
