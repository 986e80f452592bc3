package production

import (
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// money words a sum: "34.50 EUR".
func (r *Result) money(v float64) string { return quantity.Format(v, quantity.Money, r.Currency, 2) }

func (r *Result) hourly(v float64) string {
	return quantity.Format(v/3600, quantity.MoneyPerTime, r.Currency+"/h", 2)
}

// span words an interval of money; nothing where it is a point.
func (r *Result) span(i Interval) string {
	low, high := r.money(i.Low), r.money(i.High)
	if low == high {
		return ""
	}
	return " (" + strings.TrimSuffix(low, " "+r.Currency) + " to " + high + ")"
}

func minutes(s float64) string { return fmt.Sprintf("%.1f min", s/60) }

func percent(v float64) string { return fmt.Sprintf("%.3g %%", 100*v) }

// Page words the answer.
func (r *Result) Page() (page.Page, error) {
	p := page.Page{ID: "production", Question: "What does one cost to make?", Short: "Cost of one?",
		Lacks: r.Lacks, Cautions: r.Input.Cautions, Warnings: r.warnings(), Inputs: r.inputs(), How: method}
	if _, known := r.Quantities["unit-cost"]; !known {
		p.Answer = []string{"That cannot be said yet: the folder lacks what is listed below."}
		return p, nil
	}
	p.Answer = slices.Concat(r.costAnswers(), r.timeAnswers(), r.choiceAnswers())
	p.Figures = r.figures()
	p.Tables = r.tables()
	return p, nil
}

func (r *Result) costAnswers() []string {
	cost := r.Quantities["unit-cost"]
	said := fmt.Sprintf("One costs %s%s to make in batches of %d, %s of it our own time.", r.money(cost.Best), r.span(cost), r.Batch, r.money(r.Unit.Own))
	if len(r.Incomplete) > 0 {
		said = fmt.Sprintf("One costs at least %s%s to make in batches of %d; not counted, for want of a figure: %s.", r.money(cost.Best), r.span(cost), r.Batch, strings.Join(r.Incomplete, ", "))
	}
	list := []string{said}
	if rec := r.Recorded; rec != nil && rec.HasCost {
		said := fmt.Sprintf("The records of %.0f good units give %s%s, with the same overheads", rec.Units, r.money(rec.Cost.Best), r.span(rec.Cost))
		if d := rec.Difference; d.Low > 0 || d.High < 0 {
			said = "Calculation and records disagree. " + said + fmt.Sprintf(": the calculation is off by %s (%s to %s)", r.money(d.Best), r.money(d.Low), r.money(d.High))
		}
		list = append(list, said+".")
	}
	if sold, ok := r.Quantities["unit-cost-sold"]; ok {
		list = append(list, fmt.Sprintf("Fees, packing and carriage add %s: %s%s made and sold.", r.money(r.Sale.cost()), r.money(sold.Best), r.span(sold)))
	}
	if left, ok := r.Quantities["left-over"]; ok {
		said := fmt.Sprintf("Of the price of %s, %s%s are left over after tax on the price, selling, and the cash that one takes", r.money(r.model.price.value), r.money(left.Best), r.span(left))
		if r.Unit.Time > 0 {
			said += fmt.Sprintf(": %s of making", r.hourly(r.PerHour.Best))
		}
		list = append(list, said+".")
	}
	return list
}

func (r *Result) timeAnswers() []string {
	var list []string
	if t, ok := r.Quantities["unit-minutes"]; ok {
		longest := slices.MaxFunc(r.Steps, func(a, b StepTime) int {
			if a.Sum() < b.Sum() {
				return -1
			}
			return 1
		})
		said := fmt.Sprintf("It takes %s (%s to %s) of work, %s of them for %s.", minutes(t.Best), minutes(t.Low), minutes(t.High), percent(longest.Sum()/r.Unit.Time), longest.Name)
		if w, ok := r.Quantities["week"]; ok {
			said += fmt.Sprintf(" In a week of %.3g h that makes %.3g", r.model.week.value/3600, w.Best)
			if r.MakeShare < 1 {
				said += fmt.Sprintf(", as %s of the hours recorded, design apart, go into making", percent(r.MakeShare))
			}
			said += "."
		}
		list = append(list, said)
	}
	last := r.Sizes[len(r.Sizes)-1].Units
	said := fmt.Sprintf("Batches of %d to %d are within 1 %% of the cheapest", r.BestLow, r.BestHigh)
	if r.BestHigh == last {
		said += fmt.Sprintf("; larger than %d was not looked at", last)
	}
	return append(list, said+". What stock costs in interest is not counted.")
}

func (r *Result) choiceAnswers() []string {
	var list []string
	for _, c := range r.Choices {
		name := c.What
		if name == "" {
			name = c.Name
		}
		said := fmt.Sprintf("Make or have made (%s): %s. One costs %s with the quote and %s without, a saving of %s (%s to %s).", name, c.Verdict,
			r.money(c.Given.Best), r.money(c.Own.Best), r.money(c.Saves.Best), r.money(c.Saves.Low), r.money(c.Saves.High))
		if c.BreakEven > 0 {
			said += fmt.Sprintf(" By the best figures it pays from %.0f units on.", c.BreakEven)
		} else {
			said += " By the best figures no number of units makes it pay."
		}
		list = append(list, said)
	}
	return list
}

func (r *Result) warnings() []page.Note {
	notes := slices.Clone(r.Notes)
	if len(r.model.inputs) == 0 && len(r.Quantities) > 0 {
		notes = append(notes, page.Note{Text: "No price and no time has a spread: the cost looks surer than it is.", Remedy: `write ranges, such as minutes = "30..45 min"`})
	}
	if n := r.Input.Recorded.Guessed; n > 0 {
		notes = append(notes, page.Note{Text: fmt.Sprintf("%d rows of records count for this revision by their day alone.", n), Remedy: "write the revision, or a serial"})
	}
	for _, y := range r.Yields {
		if y.Differs {
			notes = append(notes, page.Note{Text: fmt.Sprintf("At %s %s passed at first (%s to %s); the folder says %s.", y.Step, percent(y.Passed.Best), percent(y.Passed.Low), percent(y.Passed.High), percent(y.Folder)),
				Remedy: "correct step." + y.Step + ".yield, or look why", From: "records/made.csv"})
		}
	}
	return notes
}

func (r *Result) inputs() []page.Input {
	var list []page.Input
	add := func(name string, v *Value) {
		if v != nil {
			list = append(list, page.Input{Name: name, Text: v.Quantity.String(), From: v.From})
		}
	}
	in := &r.Input
	add("work.hour", in.Hour)
	add("work.week", in.Week)
	add("work.batch", in.Batch)
	add("work.price", in.Price)
	add("work.learning", in.Learning)
	for _, l := range in.Lines {
		var prices []string
		for _, b := range l.Prices {
			prices = append(prices, fmt.Sprintf("%d:%s", b.From, b.Price.String()))
		}
		list = append(list, page.Input{Name: "bom." + l.Name, Text: strings.Join(prices, ", "), From: l.PricesFrom})
	}
	for _, s := range in.Steps {
		add("step."+s.Name+".minutes", s.Minutes)
		add("step."+s.Name+".yield", s.Yield)
	}
	for _, o := range in.Overheads {
		add("overhead."+o.Name, o.Amount)
	}
	return list
}

// tables are the parts of the cost, the batches, the minutes, what was recorded, and the budget.
func (r *Result) tables() []page.Table {
	u := r.Unit
	parts := page.Table{Title: "What one good unit costs", Head: []string{"part", "money"}, Align: "lr", Note: fmt.Sprintf("Parts as if nothing were scrapped; scrap is what that adds. %s of the units started end good. Stock left over by a batch: %s, not counted.", percent(u.Yield), r.money(r.tied))}
	for _, row := range r.parts() {
		parts.Rows = append(parts.Rows, []string{row.name, r.money(row.value)})
	}
	parts.Rows = append(parts.Rows, []string{"to make", r.money(u.Total)}, []string{"of that cash", r.money(u.Cash)}, []string{"fees", r.money(r.Sale.Fees)},
		[]string{"packing", r.money(r.Sale.Packing)}, []string{"carriage", r.money(r.Sale.Carriage)})
	if _, ok := r.Quantities["left-over"]; ok {
		parts.Rows = append(parts.Rows, []string{"price without tax", r.money(r.Sale.Net)}, []string{"left over", r.money(r.Sale.Left)}, []string{"after taxes on profit", r.money(r.Sale.AfterTax)})
	}
	sizes := page.Table{Title: "Over batch sizes", Head: []string{"units", "cost of one", "if left-over stock is never used", "money in stock", "minutes"}, Align: "rrrrr"}
	for i, s := range r.Sizes {
		if i%8 == 0 || s.Units == r.Batch || i == len(r.Sizes)-1 {
			sizes.Rows = append(sizes.Rows, []string{fmt.Sprint(s.Units), r.money(s.Cost), r.money(s.NeverUsed), r.money(s.Tied), minutes(s.Minutes)})
		}
	}
	list := []page.Table{parts, sizes}
	if len(r.Steps) > 0 {
		t := page.Table{Title: "Where the minutes of a good unit go", Head: []string{"step", "work", "set-up", "rework", "together"}, Align: "lrrrr"}
		for _, s := range r.Steps {
			t.Rows = append(t.Rows, []string{s.Name, minutes(s.Work), minutes(s.Setup), minutes(s.Rework), minutes(s.Sum())})
		}
		list = append(list, t)
	}
	return append(list, r.moreTables()...)
}

func (r *Result) moreTables() (list []page.Table) {
	if len(r.Yields) > 0 {
		t := page.Table{Title: "What passed at first, as recorded", Head: []string{"step", "units", "rework", "scrap", "passed", "95 % limits", "folder"}, Align: "lrrrrrr"}
		for _, y := range r.Yields {
			t.Rows = append(t.Rows, []string{y.Step, fmt.Sprint(y.Entered), fmt.Sprint(y.Rework), fmt.Sprint(y.Scrap), percent(y.Passed.Best), percent(y.Passed.Low) + " to " + percent(y.Passed.High), percent(y.Folder)})
		}
		list = append(list, t)
	}
	if rec := r.Recorded; rec != nil {
		t := page.Table{Title: "As recorded, for one good unit", Head: []string{"what", "best", "95 % limits"}, Align: "lrr", Note: "Parts: one order more or less, for what lay in stock."}
		if rec.Parts.Best > 0 {
			t.Rows = append(t.Rows, []string{"parts", r.money(rec.Parts.Best), r.money(rec.Parts.Low) + " to " + r.money(rec.Parts.High)})
		}
		if rec.HasTime {
			t.Rows = append(t.Rows, []string{"work", minutes(rec.Time.Best), minutes(rec.Time.Low) + " to " + minutes(rec.Time.High)})
		}
		list = append(list, t)
	}
	learning := page.Table{Title: "Learning", Head: []string{"what", "value"}, Align: "lr", Note: r.FitWhy}
	if f := r.Fit; f != nil {
		learning.Rows = [][]string{{"batches", fmt.Sprint(len(r.Lots))}, {"rate, unit theory", percent(f.Rate)}, {"95 % limits", percent(f.Low) + " to " + percent(f.High)}, {"rate, cumulative average", percent(f.Cumulative)}}
		if f.Low <= 1 && f.High >= 1 {
			learning.Note = "Not told apart from no learning."
		}
		list = append(list, learning)
	}
	if len(r.Budget.Lines) > 0 {
		t := page.Table{Title: "Uncertainty budget of the cost", Head: []string{"input", "contribution", "share", "from"}, Align: "lrrl", Note: fmt.Sprintf("Standard uncertainty %s; JCGM 100 %s to %s, JCGM 101 in the answer.", r.money(r.Budget.U), r.money(r.Budget.Low), r.money(r.Budget.High))}
		for i, l := range r.Budget.Lines {
			t.Rows = append(t.Rows, []string{l.Name, r.money(max(l.Contribution, -l.Contribution)), percent(l.Share), r.From[i]})
		}
		list = append(list, t)
	}
	return list
}

type part struct {
	name  string
	value float64
}

func (r *Result) parts() []part {
	u := r.Unit
	return []part{{"materials", u.Materials}, {"work", u.Work}, {"set-up", u.Setup}, {"rework", u.Rework}, {"scrap", u.Scrap}, {"overheads", u.Overhead}}
}

// Compare puts two ways to make a product side by side, such as two enclosures: materials, time,
// tooling and other overheads, what scrap and rework cost, and the whole, with the difference.
func Compare(a, b *Result, nameA, nameB string) page.Table {
	t := page.Table{Title: "Side by side, one good unit", Head: []string{"part", nameA, nameB, "difference"}, Align: "lrrr"}
	if a.Currency != b.Currency {
		t.Note = "Two currencies: not compared."
		return t
	}
	pa, pb := append(a.parts(), part{"to make", a.Unit.Total}), append(b.parts(), part{"to make", b.Unit.Total})
	for i := range pa {
		t.Rows = append(t.Rows, []string{pa[i].name, a.money(pa[i].value), b.money(pb[i].value), a.money(pb[i].value - pa[i].value)})
	}
	t.Rows = append(t.Rows, []string{"minutes", minutes(a.Unit.Time), minutes(b.Unit.Time), minutes(b.Unit.Time - a.Unit.Time)})
	return t
}

var method = []page.Method{
	{Text: "The parts of a batch are ordered at the price break that costs least, with minimum order and pack; a unit carries the pieces that it uses.", Equation: "[P1], [P2], [M4]", Source: "definition"},
	{Text: "Scrap loses all that was put in so far; rework saves a part of what did not pass.", Equation: "good = y + (1 − y)·r [P3]; cost = batch/(n·Π good) [P4], [P5]", Source: "definition"},
	{Text: "Fees are a part of the price with tax; what is left over is the price without tax less fees, packing, carriage and cash.", Equation: "[P6], [P7]", Source: "definition"},
	{Text: "The interval is by propagation of distributions, the budget by the law of propagation.", Source: "JCGM 101:2008; JCGM 100:2008"},
}
