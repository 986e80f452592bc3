package life

import (
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// Page is the answer as a page; next, which may be nil, adds the next revision.
func (r *Result) Page(next *Next) page.Page {
	p := page.Page{ID: "hindsight", Question: "What would have paid?", Short: "In hindsight?", Answer: r.answer(next), Warnings: slices.Clone(r.Warnings), How: how}
	if !r.none() && r.Currency != "" {
		p.Figures = []page.Figure{
			{Plot: r.plot(), Caption: fmt.Sprintf("Money that each change would have brought over the %s units that were sold, with our time at its price, the returns it spares and what it costs once; line: 95 of 100 lives.", r.sold())},
		}
	}
	if !r.none() {
		p.Tables = append(p.Tables, r.wasTable())
	}
	p.Tables = append(p.Tables, r.moreTable(), r.promisesTable())
	if t := r.fitsTable(); len(t.Rows) > 0 {
		p.Tables = append(p.Tables, t)
	}
	if next != nil && len(next.Open) > 0 {
		p.Tables = append(p.Tables, r.nextTable(next))
	}
	if t := r.decisionsTable(); len(t.Rows) > 0 {
		p.Tables = append(p.Tables, t)
	}
	for _, d := range r.Decisions {
		if d.Ends {
			t := page.Table{Title: "What the end of making leaves: " + d.Title, Head: []string{"duty"}, Align: "l"}
			for _, duty := range d.Duties {
				t.Rows = append(t.Rows, []string{duty})
			}
			if len(d.Duties) == 0 {
				p.Warnings = append(p.Warnings, page.Note{Text: "The decision " + d.Name + " ends the making and names no duties.", Remedy: "write duties: units within acceptance, spare parts, the published design"})
				continue
			}
			p.Tables = append(p.Tables, t)
		}
	}
	return p
}

// NextPage is the next revision as a page of its own.
func (r *Result) NextPage(n *Next) page.Page {
	p := page.Page{ID: "next", Question: "What to change next?", Short: "Change next?", Answer: []string{r.nextWords(n)}, How: how[len(how)-1:]}
	if len(n.Open) > 0 {
		p.Tables = []page.Table{r.nextTable(n)}
	}
	return p
}

func (r *Result) sold() string {
	if r.Sold.Low == r.Sold.High {
		return fmt.Sprintf("%.0f", r.Sold.Best)
	}
	return fmt.Sprintf("%.0f to %.0f", r.Sold.Low, r.Sold.High)
}

// money writes an amount; without a currency nothing has a price.
func (r *Result) money(v float64, digits int) string {
	if r.Currency == "" {
		return "-"
	}
	return quantity.Format(v, quantity.Money, r.Currency, digits)
}

func (r *Result) moneys(i Interval, digits int) string {
	if r.Currency == "" {
		return "-"
	}
	return r.span(i, quantity.Money, r.Currency, digits)
}

// none reports whether there is no life to look back on.
func (r *Result) none() bool { return r.Sold.High == 0 }

// span writes an interval: "120 EUR (-30 to 250 EUR)". Limits that read like the best are left out.
func (r *Result) span(i Interval, dim quantity.Dimension, unit string, digits int) string {
	best, low, high := quantity.Format(i.Best, dim, unit, digits), quantity.Format(i.Low, dim, unit, digits), quantity.Format(i.High, dim, unit, digits)
	if best == low && best == high {
		return best
	}
	if cut := strings.LastIndex(low, " "); cut > 0 && unit != "" {
		low = low[:cut]
	}
	return fmt.Sprintf("%s (%s to %s)", best, low, high)
}

// cell writes an interval whose unit stands at the head of its column.
func cell(i Interval, digits int) string {
	text := func(v float64) string { return strings.TrimSpace(quantity.Format(v, quantity.Dimension{}, "", digits)) }
	best, low, high := text(i.Best), text(i.Low), text(i.High)
	if best == low && best == high {
		return best
	}
	return fmt.Sprintf("%s (%s to %s)", best, low, high)
}

// paid is a cell of money; without a currency nothing has a price.
func (r *Result) paid(i Interval, digits int) string {
	if r.Currency == "" {
		return "-"
	}
	return cell(i, digits)
}

// priced is the head of a column of money.
func (r *Result) priced(head string) string {
	if r.Currency == "" {
		return head
	}
	return head + ", " + r.Currency
}

func minutes(i Interval) Interval { return Interval{i.Best / 60, i.Low / 60, i.High / 60} }

func (r *Result) answer(next *Next) (said []string) {
	var paid, not []string
	for i := range r.Changes {
		switch c := &r.Changes[i]; c.Worth() {
		case WorthIt:
			paid = append(paid, c.Name)
		case NotWorthIt:
			not = append(not, c.Name)
		}
	}
	first := &r.Changes[0]
	switch {
	case r.none():
		said = append(said, "No sale is recorded, so that there is no life yet to weigh a change over; hindwatt record sold writes one down. What holds for one unit and for the promises stands below.")
	case len(paid) == 0:
		said = append(said, fmt.Sprintf("No change would have paid for sure over the %s units that were sold.", r.sold()))
	case len(r.Best) > 1:
		said = append(said, fmt.Sprintf("%s would have brought most, %s over the %s units that were sold; of %s it cannot be told which is the better.", first.Name, r.moneys(first.Was.Money, 0), r.sold(), page.And(r.Best)))
	default:
		said = append(said, fmt.Sprintf("%s would have brought most: %s over the %s units that were sold.", first.Name, r.moneys(first.Was.Money, 0), r.sold()))
	}
	if len(paid) > 0 && !r.none() {
		said = append(said, "Worth it: "+page.And(paid)+".")
	}
	if len(not) > 0 && !r.none() {
		said = append(said, "Not worth it, for money: "+page.And(not)+".")
	}
	for _, d := range r.Decisions {
		held, any := d.HeldUp()
		if any && !held {
			var wrong []string
			for _, b := range d.Beliefs {
				if b.Unknown == "" && !b.Held {
					wrong = append(wrong, fmt.Sprintf("%s was believed to be %s and is %s", b.Of, b.Text, r.today(b)))
				}
			}
			said = append(said, fmt.Sprintf("The decision \"%s\" did not hold up: %s.", d.Title, page.And(wrong)))
		}
	}
	if next != nil {
		said = append(said, r.nextWords(next))
	}
	return said
}

func (r *Result) today(b Belief) string {
	unit := b.Unit
	if unit == "" {
		unit = b.Dim.Unit()
	}
	return r.span(b.Now, b.Dim, unit, -3)
}

func (r *Result) plot() figure.Bars {
	out := figure.Bars{Title: "What would have paid", Axis: figure.Axis{Name: "money over the life", Unit: r.Currency}}
	for i := range r.Changes {
		c := &r.Changes[i]
		v := c.Was.Money
		row := figure.BarRow{Name: c.Name, Parts: []float64{v.Best}, Text: r.money(v.Best, 0) + ", " + string(c.Worth())}
		if v.High > v.Low {
			row.Low, row.High = v.Low, v.High
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

func (r *Result) wasTable() page.Table {
	t := page.Table{Title: "Had it been so from the beginning", Head: []string{"change", "says", r.priced("money"), "hours freed", "returns spared", r.priced("on one"), "once"}, Align: "llrrrrr",
		Note: "On one: what making one saves, our time at its price. Returns spared: of those that came, by the shares in [effect]. Worth it only where all of the interval is above nothing."}
	for i := range r.Changes {
		c := &r.Changes[i]
		t.Rows = append(t.Rows, []string{c.Name, string(c.Worth()), r.paid(c.Was.Money, 0), cell(c.Was.Hours, 0), cell(c.Was.Returns, 0), r.paid(c.Saves, 2), r.once(c)})
	}
	return t
}

// once is what a change costs once.
func (r *Result) once(c *Change) string {
	var said []string
	if c.Tooling.Value > 0 {
		said = append(said, c.Tooling.String())
	}
	if c.Hours.Value > 0 {
		said = append(said, c.Hours.String())
	}
	if len(said) == 0 {
		return "-"
	}
	return strings.Join(said, ", ")
}

func (r *Result) moreTable() page.Table {
	t := page.Table{Title: fmt.Sprintf("For %.0f more, and for somebody who builds one", r.More), Head: []string{"change", "says", r.priced("money"), "hours freed", "returns spared", r.priced("one: saves"), "one: faster, min"}, Align: "llrrrrr",
		Note: "As many more as are asked for with --more, or as were sold in the last year of the records, and as often back. One: at the prices of a single one, with what a minimum order leaves over, without tooling."}
	if r.More == 0 {
		t = page.Table{Title: "For somebody who builds one", Head: []string{"change", r.priced("saves"), "faster, min"}, Align: "lrr", Note: "At the prices of a single one, with what a minimum order leaves over, without tooling."}
	}
	for i := range r.Changes {
		c := &r.Changes[i]
		if r.More == 0 {
			t.Rows = append(t.Rows, []string{c.Name, r.paid(c.One, 2), cell(minutes(c.OneMinutes), 1)})
			continue
		}
		t.Rows = append(t.Rows, []string{c.Name, string(c.WorthNow()), r.paid(c.More.Money, 0), cell(c.More.Hours, 0), cell(c.More.Returns, 1), r.paid(c.One, 2), cell(minutes(c.OneMinutes), 1)})
	}
	return t
}

func (r *Result) promisesTable() page.Table {
	t := page.Table{Title: "Promises gained and lost", Head: []string{"change", "gained", "lost", "promised otherwise"}, Align: "llll"}
	or := func(names []string) string {
		if len(names) == 0 {
			return "-"
		}
		return strings.Join(names, ", ")
	}
	said := []string{"By what is calculated alone, since nobody has measured what was never made."}
	for _, c := range r.Changes {
		t.Rows = append(t.Rows, []string{c.Name, or(c.Gained), or(c.Lost), or(c.Other)})
		if c.Why != "" {
			said = append(said, c.Name+": "+strings.TrimRight(c.Why, ".")+".")
		}
	}
	t.Note = strings.Join(said, " ")
	return t
}

func (r *Result) fitsTable() page.Table {
	t := page.Table{Title: "What units that are built could still have", Head: []string{"change", "cost of each", "minutes of each"}, Align: "lrr"}
	for _, c := range r.Changes {
		if c.Fits {
			t.Rows = append(t.Rows, []string{c.Name, r.money(c.FitCost.Value, 2), quantity.Format(c.FitMinutes.Value, quantity.Time, "min", 1)})
		}
	}
	return t
}

func (r *Result) nextWords(n *Next) string {
	switch {
	case len(n.Open) == 0:
		return "The next revision needs no change for its promises: by what is calculated none is open."
	case len(n.Changes) == 0:
		return "No allowed change meets a promise that is open; " + page.And(n.Open) + " stay so."
	}
	text := fmt.Sprintf("The next revision: %s, which meets %s for %s more each", page.And(n.Changes), page.And(n.Meets), r.money(n.Cost.Best, 2))
	if n.Cost.Best < 0 {
		text = fmt.Sprintf("The next revision: %s, which meets %s and saves %s on each", page.And(n.Changes), page.And(n.Meets), r.money(-n.Cost.Best, 2))
	}
	if len(n.Lost) > 0 {
		text += ", and loses " + page.And(n.Lost)
	}
	if len(n.Still) > 0 {
		text += "; open stay " + page.And(n.Still)
	}
	return text + "."
}

func (r *Result) nextTable(n *Next) page.Table {
	t := page.Table{Title: "The next revision", Head: []string{"", ""}, Align: "ll"}
	row := func(name, text string) {
		if text == "" {
			text = "-"
		}
		t.Rows = append(t.Rows, []string{name, text})
	}
	row("open now", page.And(n.Open))
	row("changes", page.And(n.Changes))
	row("meets", page.And(n.Meets))
	row("stays open", page.And(n.Still))
	row("loses", page.And(n.Lost))
	if len(n.Changes) > 0 {
		row("costs more on one", r.money(n.Cost.Best, 2)+", "+quantity.Format(n.Minutes.Best, quantity.Time, "min", 1))
		row("once", r.money(n.Once, 0))
		row("built units can have", page.And(n.Built))
	}
	row("cannot stand together", strings.Join(n.Together, "; "))
	t.Note = fmt.Sprintf("Out of the changes that promise nothing less, up to four together; %d were computed in full, %d left out since they promise no more.", n.Tried, n.Left)
	return t
}

func (r *Result) decisionsTable() page.Table {
	t := page.Table{Title: "What was decided, and how it stands today", Head: []string{"decided", "what", "believed", "today", ""}, Align: "lllll",
		Note: "What was believed held up where it and today's 95 % interval have something in common."}
	for _, d := range r.Decisions {
		day := ""
		if !d.Date.IsZero() {
			day = d.Date.Format("2006-01-02")
		}
		if len(d.Beliefs) == 0 {
			t.Rows = append(t.Rows, []string{day, d.Title, "-", "-", "nothing believed is written down"})
			continue
		}
		for k, b := range d.Beliefs {
			row := []string{"", "", b.Of + ": " + b.Text, "", ""}
			if k == 0 {
				row[0], row[1] = day, d.Title
			}
			switch {
			case b.Unknown != "":
				row[3], row[4] = "-", b.Unknown
			case b.Held:
				row[3], row[4] = r.today(b), "held up"
			default:
				row[3], row[4] = r.today(b), "did not hold up"
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

var how = []page.Method{
	{Text: "A life is drawn: how many were sold, where what is uncertain lies, and which of the returns that came would not have come. The same draws serve all changes, so that their difference is of the same life.",
		Equation: "[N1] a return for a reason stays away where u < share", Source: "JCGM 101:2008, 5.9; common draws"},
	{Text: "Summed over it: what making one saves, with all that both ways share cancelled, times the units sold; what the returns cost that stay away; less tooling and our hours at their price. For units still to be made the returns are taken in proportion.",
		Equation: "[N2] M = N s + Σ cost - tooling - hours · price; [N3] N' in place of N, Σ · N'/N", Source: "definition"},
	{Text: "Worth it is what the whole of 95 of 100 lives says.", Equation: "[N4] low > 0: worth it; high < 0: not; else it cannot be told", Source: "rule of our own"},
	{Text: "A belief held up where it meets today's interval.", Equation: "[N5] believed low ≤ high and believed high ≥ low", Source: "rule of our own"},
	{Text: "The next revision: the combination of allowed changes with the most of the open promises met, less what it loses, then the fewest changes, then the least cost; each is computed in full.", Equation: "[N6] order by (met - lost), number of changes, cost", Source: "rule of our own"},
}
