package production

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"hindwatt/internal/page"
)

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

// tables are those that have rows, in the order of the answer.
func (r *Result) tables() []page.Table {
	var list []page.Table
	for _, t := range []page.Table{r.partsTable(), r.sizesTable(), r.stepsTable(), r.othersTable(), r.yieldsTable(), r.recordedTable(), r.learningTable(), r.budgetTable()} {
		if len(t.Rows) > 0 {
			list = append(list, t)
		}
	}
	return list
}

type part struct {
	name  string
	value float64
}

// parts of the cost that are there.
func (r *Result) parts() []part {
	u := r.Unit
	all := []part{{"materials", u.Materials}, {"work", u.Work}, {"set-up", u.Setup}, {"rework", u.Rework}, {"scrap", u.Scrap}, {"overheads", u.Overhead}}
	return slices.DeleteFunc(all, func(p part) bool { return p.value < 1e-9*u.Total || p.value == 0 })
}

func (r *Result) partsTable() page.Table {
	u, s := r.Unit, r.Sale
	t := page.Table{Title: "What one good unit costs", Head: []string{"part", "money"}, Align: "lr"}
	if u.Yield < 1 {
		t.Note = fmt.Sprintf("Parts as if nothing were scrapped; scrap is what that adds. %s of the units started end good. ", percent(u.Yield))
	}
	if r.tied > 0.005 {
		t.Note += fmt.Sprintf("Stock left over by a batch: %s, not counted.", r.money(r.tied))
	}
	t.Note = strings.TrimSpace(t.Note)
	rows := r.parts()
	if _, known := r.Quantities["unit-cost"]; known {
		rows = append(rows, part{"to make", u.Total}, part{"of that cash", u.Cash})
	}
	if _, sold := r.Quantities["unit-cost-sold"]; sold {
		rows = append(rows, part{"fees", s.Fees}, part{"packing", s.Packing}, part{"carriage", s.Carriage})
	}
	if _, priced := r.Quantities["left-over"]; priced {
		rows = append(rows, part{"price without tax", s.Net}, part{"left over", s.Left})
		if len(r.model.onProfit) > 0 {
			rows = append(rows, part{"after taxes on profit", s.AfterTax})
		}
	}
	for _, row := range rows {
		t.Rows = append(t.Rows, []string{row.name, r.money(row.value)})
	}
	return t
}

func (r *Result) sizesTable() page.Table {
	t := page.Table{Title: "Over batch sizes", Head: []string{"units", "cost of one", "95 % limits", "if left-over stock is never used", "money in stock", "minutes"}, Align: "rrrrrr"}
	if r.isFlat() {
		return page.Table{}
	}
	for i, s := range r.Sizes {
		if i%8 == 0 || s.Units == r.Batch || i == len(r.Sizes)-1 {
			t.Rows = append(t.Rows, []string{fmt.Sprint(s.Units), r.money(s.Cost), r.limits(Interval{s.Cost, s.Low, s.High}), r.money(s.NeverUsed), r.money(s.Tied), minutes(s.Minutes)})
		}
	}
	return t
}

func (r *Result) stepsTable() page.Table {
	t := page.Table{Title: "Where the minutes of a good unit go", Head: []string{"step", "work", "set-up", "rework", "together"}, Align: "lrrrr", Note: r.FitWhy}
	for _, s := range r.Steps {
		t.Rows = append(t.Rows, []string{s.Name, minutes(s.Work), minutes(s.Setup), minutes(s.Rework), minutes(s.Sum())})
	}
	return t
}

// othersTable has the columns on what is paid once only where something is.
func (r *Result) othersTable() page.Table {
	if len(r.Others) == 0 {
		return page.Table{}
	}
	t := page.Table{Title: "Instead", Head: []string{"variant", "cost of one", "saving", "95 % limits", "materials", "scrap and rework", "minutes"}, Align: "lrrrrrr",
		Note: "Variants that were not made, where they change what making takes, the cheapest first. What both ways share is cancelled in the limits."}
	row := func(name string, u Unit, saves, limits string) []string {
		return []string{name, r.money(u.Total), saves, limits, r.money(u.Materials), r.money(u.Scrap + u.Rework), minutes(u.Time)}
	}
	t.Rows = [][]string{row("this one", r.Unit, "", "")}
	once := false
	for _, o := range r.Others {
		t.Rows = append(t.Rows, row(cmp.Or(o.Name, "product.toml as it is"), o.Unit, r.money(o.Saves.Best), r.limits(o.Saves)))
		once = once || o.Once != 0
	}
	r.addRise(&t)
	if !once {
		return t
	}
	t.Head, t.Align = append(t.Head, "more once", "pays after"), t.Align+"rr"
	for i, o := range r.Others {
		t.Rows[i+1] = append(t.Rows[i+1], r.money(o.Once), o.payback())
	}
	if n := r.Input.Recorded.AllGood.Best; n > 0 {
		t.Note += fmt.Sprintf(" What is paid once, such as tooling, is spread over the %.0f units made so far.", n)
	}
	return t
}

// addRise adds what another enclosure costs, or saves, in degrees.
func (r *Result) addRise(t *page.Table) {
	if !slices.ContainsFunc(r.Others, func(o Other) bool { return o.Enclosure && o.Rise > 0 }) {
		return
	}
	word := func(rise float64) string {
		if rise <= 0 {
			return "not known"
		}
		return fmt.Sprintf("%.0f K", rise)
	}
	t.Head, t.Align = append(t.Head, "inside above the air"), t.Align+"r"
	t.Rows[0] = append(t.Rows[0], word(r.Input.Rise))
	for i, o := range r.Others {
		t.Rows[i+1] = append(t.Rows[i+1], word(o.Rise))
	}
	t.Note += " Above the air: a nominal unit conducting the label's current at 25 °C, by the rating study."
}

func (o *Other) payback() string {
	switch {
	case o.PaysAfter > 0:
		return fmt.Sprintf("%.0f units", o.PaysAfter)
	case o.Once > 0:
		return "never"
	}
	return ""
}

func (r *Result) yieldsTable() page.Table {
	t := page.Table{Title: "What passed at first, as recorded", Head: []string{"step", "units", "rework", "scrap", "passed", "95 % limits", "folder"}, Align: "lrrrrrr"}
	for _, y := range r.Yields {
		t.Rows = append(t.Rows, []string{y.Step, fmt.Sprint(y.Entered), fmt.Sprint(y.Rework), fmt.Sprint(y.Scrap), percent(y.Passed.Best), percent(y.Passed.Low) + " to " + percent(y.Passed.High), percent(y.Folder)})
	}
	return t
}

func (r *Result) recordedTable() page.Table {
	rec := r.Recorded
	if rec == nil {
		return page.Table{}
	}
	t := page.Table{Title: "As recorded, for one good unit", Head: []string{"what", "recorded", "95 % limits", "calculated"}, Align: "lrrr", Note: "Parts: one order more or less, for what lay in stock."}
	if rec.Parts.Best > 0 {
		t.Rows = append(t.Rows, []string{"parts", r.money(rec.Parts.Best), limitsOr(rec.PartsOpen, r.limits(rec.Parts)), r.money(r.listParts())})
	}
	if rec.HasTime {
		t.Rows = append(t.Rows, []string{"work", minutes(rec.Time.Best), limitsOr(rec.TimeOpen, minutes(rec.Time.Low)+" to "+minutes(rec.Time.High)), minutes(r.Unit.Time)})
	}
	if rec.HasCost {
		t.Rows = append(t.Rows, []string{"to make", r.money(rec.Cost.Best), limitsOr(rec.CostOpen, r.limits(rec.Cost)), r.money(r.Unit.Total)})
	}
	return t
}

// limitsOr are the limits, or why there are none.
func limitsOr(open, limits string) string {
	if open != "" {
		return noLimits(open)
	}
	return limits
}

func (r *Result) learningTable() page.Table {
	t := page.Table{Title: "Learning", Head: []string{"what", "value"}, Align: "lr"}
	if f := r.Fit; f != nil {
		t.Rows = [][]string{{"batches", fmt.Sprint(len(r.Lots))}, {"rate, unit theory", percent(f.Rate)}, {"95 % limits", percent(f.Low) + " to " + percent(f.High)}, {"rate, cumulative average", percent(f.Cumulative)}}
		if f.Low <= 1 && f.High >= 1 {
			t.Note = "Not told apart from no learning."
		}
		if v := r.Input.Learning; v != nil {
			t.Note = strings.TrimSpace(t.Note + " The batches count; work.learning, " + percent(v.Value) + ", is not used.")
		}
	}
	return t
}

// budgetTable leaves out what contributes nothing, such as learning at the usual batch.
func (r *Result) budgetTable() page.Table {
	b := r.Budget
	if !(b.U > 0) {
		return page.Table{}
	}
	t := page.Table{Title: "Uncertainty budget of the cost", Head: []string{"input", "contribution", "share", "from"}, Align: "lrrl",
		Note: fmt.Sprintf("Standard uncertainty %s; JCGM 100 %s, JCGM 101 in the answer.", r.money(b.U), r.limits(Interval{b.Value, b.Low, b.High}))}
	for i, l := range b.Lines {
		if l.Contribution != 0 {
			t.Rows = append(t.Rows, []string{l.Name, r.money(math.Abs(l.Contribution)), percent(l.Share), r.From[i]})
		}
	}
	return t
}
