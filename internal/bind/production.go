package bind

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/study/production"
)

// Production returns the input of the production study. Units count by their revision; hours and
// what was spent on parts by their day. Instead of it stand the variants that were not made and
// change production.toml or an enclosure.
func Production(p *product.Product) production.Input {
	in := making(p)
	in.Instead = instead(p, in)
	in.Recorded = madeRecords(p)
	return in
}

// instead are the ways in which it would be made otherwise: product.toml as it is, without a name,
// and the variants that were not made and change what that says of making, or an enclosure.
func instead(p *product.Product, own production.Input) (list []production.Alternative) {
	plain, err := p.Folder.Resolve("")
	if err != nil {
		return nil
	}
	base := making(plain)
	if !reflect.DeepEqual(own, base) {
		list = append(list, production.Alternative{Input: base})
	}
	for _, v := range p.Folder.Variants {
		if v.Name == p.Variant || v.MadeFrom.Set() || v.FromSerial.Set() || v.Revision.Set() {
			continue
		}
		other, err := p.Folder.Resolve(v.Name)
		if err != nil {
			continue // reading the folder has refused it
		}
		a := production.Alternative{Name: v.Name, Input: making(other), Enclosure: changesEnclosure(v)}
		if a.Enclosure || !reflect.DeepEqual(base, a.Input) {
			list = append(list, a)
		}
	}
	return list
}

func changesEnclosure(v *product.Variant) bool {
	for _, layer := range []product.Layer{v.Set, v.Add} {
		for _, c := range layer.Changes {
			if strings.HasPrefix(c.Path, "product.enclosure.") {
				return true
			}
		}
	}
	return slices.ContainsFunc(v.Remove.Items, func(t product.Text) bool { return strings.HasPrefix(t.Text, "product.enclosure.") })
}

// Making are the ways in which a product would be made, each under its name; what they do to an enclosure is not looked at.
func Making(named map[string]*product.Product, order []string) (list []production.Alternative) {
	for _, name := range order {
		list = append(list, production.Alternative{Name: name, Input: making(named[name])})
	}
	return list
}

// making is what production.toml says.
func making(p *product.Product) production.Input {
	d := &p.Production
	in := production.Input{
		Currency: p.Currency.Text,
		Hour:     Value(d.Work.Hour), Week: Value(d.Work.Week), Batch: Value(d.Work.Batch),
		Price: Value(d.Work.Price), Learning: Value(d.Work.Learning),
	}
	for name, l := range d.BOM.All() {
		line := production.Line{
			Name: name, What: l.What.Text, Each: Value(l.Each), PricesFrom: from(l.Prices.Leaf),
			Minimum: l.MinimumOrder.N, Pack: l.Pack.N, Attrition: Value(l.Attrition),
		}
		for _, b := range l.Prices.Breaks {
			line.Prices = append(line.Prices, production.Break{From: b.From, Price: b.Price})
		}
		in.Lines = append(in.Lines, line)
	}
	for name, s := range d.Steps.All() {
		in.Steps = append(in.Steps, production.Step{
			Name: name, What: s.What.Text, Minutes: Value(s.Minutes), Setup: Value(s.Setup), Rework: Value(s.Rework),
			Allowance: Value(s.Allowance), Yield: Value(s.Yield), ReworkSuccess: Value(s.ReworkSuccess),
			ScrapCost: Value(s.ScrapCost), After: texts(s.After),
		})
	}
	addSelling(&in, d)
	for name, q := range d.Quotes.All() {
		in.Quotes = append(in.Quotes, production.Quote{
			Name: name, What: q.What.Text, Setup: Value(q.Setup), Each: Value(q.Each), Minimum: q.MinimumOrder.N,
			Replaces: texts(q.Replaces), From: from(q.Leaf),
		})
	}
	for currency, r := range d.Rates.All() {
		in.Rates = append(in.Rates, production.Rate{Currency: currency, Value: Value(*r)})
	}
	return in
}

// addSelling adds overheads, channels, carriage and taxes.
func addSelling(in *production.Input, d *product.Production) {
	for name, o := range d.Overheads.All() {
		in.Overheads = append(in.Overheads, production.Overhead{Name: name, Amount: Value(o.Amount), Per: o.Per.Text})
	}
	for name, c := range d.Channels.All() {
		in.Channels = append(in.Channels, production.Channel{Name: name, Fee: Value(c.Fee), Fixed: Value(c.Fixed), Share: Value(c.Share)})
	}
	for name, c := range d.Carriage.All() {
		in.Carriage = append(in.Carriage, production.Carriage{Name: name, Amount: Value(c.Amount), Packing: Value(c.Packing)})
	}
	for name, t := range d.Taxes.All() {
		in.Taxes = append(in.Taxes, production.Tax{Name: name, Rate: Value(t.Rate), On: t.On.Text})
	}
}

func texts(l product.List[product.Name]) (out []string) {
	for _, n := range l.Items {
		out = append(out, n.Text)
	}
	return out
}

// madeRecords gathers what the records tell of making.
func madeRecords(p *product.Product) production.Recorded {
	records := &p.Folder.Records
	own, guessed := Ledger(p)
	out := production.Recorded{Guessed: guessed}
	out.LeftOut, out.SpentShort = leftOut(p.Folder.RecordErrors)
	out.Started, out.Good, out.Steps = made(own)
	all := p.Folder.Ledger()
	_, out.AllGood, _ = made(all)
	out.AllFrom = "records/made.csv"
	if out.AllGood.Best == 0 { // what was sold was made
		out.AllFrom = "records/sold.csv"
		for i := range records.Sold {
			add(&out.AllGood, count(records.Sold[i].Count))
		}
	}
	out.Years = years(records)
	if own == all {
		if out.Good.Best == 0 {
			out.Good = out.AllGood
		}
	} else {
		out.Own = "revision " + p.RevisionName()
	}
	belongs := ownDays(p)
	addSpent(&out, records, belongs)
	addHours(&out, records, belongs)
	return out
}

// addSpent gathers what was paid for parts, by its day.
func addSpent(out *production.Recorded, records *product.Records, belongs func(time.Time) bool) {
	for i := range records.Spent {
		s := &records.Spent[i]
		if q := s.Amount.Quantity; isParts(s.Kind.Text) && belongs(s.Date.Day) {
			out.Parts = append(out.Parts, production.Paid{Amount: production.Amount{Best: q.Value, Low: q.Low, High: q.High}, Currency: q.Currency, Period: s.Until.Set(), Basis: s.Basis.Text, From: from(s.Leaf)})
		}
	}
}

// addHours gathers the hours of making, and the sums of all hours.
func addHours(out *production.Recorded, records *product.Records, belongs func(time.Time) bool) {
	for i := range records.Hours {
		h := &records.Hours[i]
		t := production.Amount{Best: h.Time.Value, Low: h.Time.Low, High: h.Time.High}
		making := isMaking(h.Kind.Text) || h.Step.Set()
		switch {
		case making:
			add(&out.MakeTime, t)
		case workKind(h.Kind.Text) != "design":
			add(&out.OtherTime, t)
		}
		if !making {
			continue
		}
		row := production.Hours{Day: h.Date.Text, Until: h.Until.Text, Step: h.Step.Text, Time: t, Basis: h.Basis.Text, From: from(h.Leaf)}
		if h.Count.Set() {
			row.Units = count(h.Count)
		}
		out.AllHours = append(out.AllHours, row)
		if belongs(h.Date.Day) {
			out.Hours = append(out.Hours, row)
		}
	}
}

// leftOut says which rows that making is judged by are wrong, not what stands in them: the page is
// published.
func leftOut(wrong product.Errors) (notes []page.Note, spent bool) {
	for _, file := range []string{"records/made.csv", "records/spent.csv", "records/hours.csv"} {
		first, n := "", 0
		for _, e := range wrong {
			if e.File == file {
				first = cmp.Or(first, fmt.Sprintf("line %d", e.Line))
				n++
			}
		}
		if n > 0 {
			notes = append(notes, page.Note{Text: fmt.Sprintf("Rows of %s are left out (%d), the first: %s.", file, n, first), Remedy: "mend them; check lists all", From: file})
			spent = spent || file == "records/spent.csv"
		}
	}
	return notes, spent
}

// ownDays reports of a day whether the product's own revision was made on it; without revisions
// every day counts, and none for a variant that was never made.
func ownDays(p *product.Product) func(time.Time) bool {
	revisions := p.Folder.Revisions()
	switch {
	case len(revisions) == 0:
		return func(time.Time) bool { return p.Variant == "" }
	case !isMade(p, revisions):
		return func(time.Time) bool { return false }
	}
	return func(day time.Time) bool {
		r, ok := p.Folder.Revision(day, "")
		return ok && r.Name == p.RevisionName()
	}
}

// made counts the units that were started and that ended good, and what became of them by step.
// A unit counts once at a step: as scrap where any row says so.
func made(l *product.Ledger) (started, good production.Amount, steps []production.Counted) {
	at := map[string]int{}
	note := func(m *product.Made, n int) {
		i, known := at[m.Step.Text]
		if !known {
			i = len(steps)
			at[m.Step.Text] = i
			steps = append(steps, production.Counted{Step: m.Step.Text})
		}
		switch m.Result.Text {
		case "rework":
			steps[i].Rework += n
		case "scrap":
			steps[i].Scrap += n
		}
	}
	one := production.Amount{Best: 1, Low: 1, High: 1}
	for _, u := range l.Units {
		if len(u.Made) == 0 {
			continue
		}
		add(&started, one)
		scrapped := false
		for _, m := range u.Made {
			scrapped = scrapped || m.Result.Is("scrap")
			note(m, 1)
		}
		if !scrapped {
			add(&good, one)
		}
	}
	for _, m := range l.Made {
		n := count(m.Count)
		add(&started, n)
		if !m.Result.Is("scrap") {
			add(&good, n)
		}
		note(m, int(n.Best))
	}
	return started, good, steps
}

// count is that of a row: 1 where nothing is written.
func count(q product.Quantity) production.Amount {
	if !q.Set() {
		return production.Amount{Best: 1, Low: 1, High: 1}
	}
	return production.Amount{Best: q.Value, Low: q.Low, High: q.High}
}

func add(a *production.Amount, b production.Amount) {
	a.Best, a.Low, a.High = a.Best+b.Best, a.Low+b.Low, a.High+b.High
}

// years is the time from the first to the last day of what was made or sold, at least a month; 0
// if there is nothing.
func years(r *product.Records) float64 {
	var first, last time.Time
	span := func(date, until product.Date) {
		end := date.Day
		if until.Set() {
			end = until.Day
		}
		if first.IsZero() || date.Day.Before(first) {
			first = date.Day
		}
		if end.After(last) {
			last = end
		}
	}
	for i := range r.Made {
		span(r.Made[i].Date, r.Made[i].Until)
	}
	for i := range r.Sold {
		span(r.Sold[i].Date, r.Sold[i].Until)
	}
	if first.IsZero() {
		return 0
	}
	return max(1./12, (last.Sub(first).Hours()/24+1)/365.25)
}
