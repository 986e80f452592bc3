package compare

import (
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/promise"
	"hindwatt/internal/quantity"
)

// Page is the answer as a page.
func (r *Result) Page() page.Page {
	p := page.Page{
		ID: "compare", Question: "What would have been better?", Short: "Better?", Answer: r.answer(), Warnings: slices.Clone(r.Warnings), How: how,
		Figures: []page.Figure{
			{Plot: r.strips(), Caption: "Each promise of each choice: the hatched band is what is promised, the line where 95 of 100 lie or the limits of what is known, all of a row on one axis; four steps are how badly a mistake ends."},
			{Plot: r.tradeoff(), Caption: r.frontWords()},
		},
		Tables: []page.Table{r.choicesTable(), r.promisesTable()},
	}
	if t := r.endsTable(); len(t.Rows) > 0 {
		p.Tables = append(p.Tables, t)
	}
	if t := r.ratingTable(); len(t.Rows) > 0 {
		p.Tables = append(p.Tables, t)
	}
	if t := r.recordsTable(); len(t.Rows) > 0 {
		p.Tables = append(p.Tables, t)
	}
	for _, c := range r.Choices {
		if c.Failed != nil {
			p.Warnings = append(p.Warnings, page.Note{Text: fmt.Sprintf("Of %s not all could be computed: %s.", c.Name, strings.ReplaceAll(c.Failed.Error(), "\n", "; ")), Remedy: "mend the variant, or leave it out"})
		}
	}
	return p
}

// several writes a number of things.
func several(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func (r *Result) answer() (said []string) {
	best := r.most(func(c *Choice) int { return c.Met(promise.Met) })
	base := &r.Choices[0]
	text := fmt.Sprintf("As it is, %s meets %d of %s", r.Product, base.Met(promise.Met), several(len(base.Promises), "promise", "promises"))
	if n := base.Met(promise.NotMet); n > 0 {
		text += fmt.Sprintf(" and breaks %d", n)
	}
	if top := r.Choices[best[0]].Met(promise.Met); top > base.Met(promise.Met) {
		text += fmt.Sprintf("; most are met by %s: %d", r.named(best), top)
	} else {
		text += "; no choice meets more"
	}
	said = append(said, text+".")
	if c := r.cheapest(); c > 0 {
		said = append(said, fmt.Sprintf("The cheapest is %s, %s for one in place of %s.", r.Choices[c].Name, money(r.Choices[c].Cost), money(base.Cost)))
	}
	var beaten []string
	for _, c := range r.Choices {
		if len(c.BeatenBy) > 0 {
			beaten = append(beaten, fmt.Sprintf("%s (by %s)", c.Name, page.And(c.BeatenBy)))
		}
	}
	switch {
	case len(beaten) > 0:
		said = append(said, "Beaten on every count: "+page.And(beaten)+".")
	case len(r.Counts) == 0:
		said = append(said, "Nothing is calculated by which one choice could beat another.")
	default:
		said = append(said, "None is beaten by another on every count: of any two each is better in something, or they are alike.")
	}
	if len(r.Uncounted) > 0 {
		said = append(said, "Not a count, since nothing of it is calculated: "+page.And(r.Uncounted)+".")
	}
	return said
}

// most are the choices with the most of something.
func (r *Result) most(of func(c *Choice) int) (at []int) {
	for i := range r.Choices {
		switch {
		case len(at) == 0 || of(&r.Choices[i]) > of(&r.Choices[at[0]]):
			at = []int{i}
		case of(&r.Choices[i]) == of(&r.Choices[at[0]]):
			at = append(at, i)
		}
	}
	return at
}

func (r *Result) named(at []int) string {
	var names []string
	for _, i := range at {
		names = append(names, r.Choices[i].Name)
	}
	return page.And(names)
}

// cheapest is the choice that costs least; the first where nothing is known or it is the basis.
func (r *Result) cheapest() (at int) {
	for i, c := range r.Choices {
		if base := r.Choices[at].Cost; c.Cost != nil && base != nil && c.Cost.Best < base.Best {
			at = i
		}
	}
	return at
}

func money(f *promise.Figure) string { return written(f, 2) }

func written(f *promise.Figure, digits int) string {
	if f == nil {
		return "-"
	}
	return quantity.Format(f.Best, f.Dim, f.Unit, digits)
}

func (r *Result) columns() (names []string) {
	for _, c := range r.Choices {
		names = append(names, c.Name)
	}
	return names
}

// rows are the names of all promises that a choice has, in the order of the basis.
func (r *Result) rows() (names []string) {
	for _, c := range r.Choices {
		for _, j := range c.Promises {
			if !slices.Contains(names, j.Name) {
				names = append(names, j.Name)
			}
		}
	}
	return names
}

func (c *Choice) promise(name string) *promise.Judged {
	for i := range c.Promises {
		if c.Promises[i].Name == name {
			return &c.Promises[i]
		}
	}
	return nil
}

func (r *Result) strips() figure.Strips {
	out := figure.Strips{Title: "Promises of each choice"}
	for _, name := range r.columns() {
		out.Columns = append(out.Columns, strings.ReplaceAll(name, "-", " "))
	}
	for _, name := range r.rows() {
		row := figure.StripsRow{Name: name}
		for i := range r.Choices {
			c, cell := &r.Choices[i], figure.StripsCell{}
			if j := c.promise(name); j != nil {
				if row.Name == name {
					row.Name = j.Label
				}
				cell = figure.StripsCell{Strip: j.Plot(), Verdict: string(j.Verdict), Same: slices.Contains(c.Untouched, name)}
			}
			row.Cells = append(row.Cells, cell)
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

func (r *Result) tradeoff() figure.Tradeoff {
	x, y := r.Axes[0], r.Axes[1]
	out := figure.Tradeoff{Title: r.Axes[1].Title + " over " + r.Axes[0].Title, MoreX: x.More, MoreY: y.More, Front: true,
		X: figure.Axis{Name: x.Title, Unit: r.unit(x)}, Y: figure.Axis{Name: y.Title, Unit: r.unit(y)}}
	made, ideas := figure.TradePath{Name: "made", Apart: true}, figure.TradePath{Name: "idea", Apart: true}
	for i := range r.Choices {
		c := &r.Choices[i]
		vx, lx, hx, okx := x.of(c)
		vy, ly, hy, oky := y.of(c)
		if !okx || !oky {
			continue
		}
		p := figure.TradePoint{X: vx, Y: vy, Text: c.Name, Chosen: i == 0}
		if hx > lx {
			p.LowX, p.HighX = lx, hx
		}
		if hy > ly {
			p.LowY, p.HighY = ly, hy
		}
		if c.Revision != "" {
			made.Points = append(made.Points, p)
		} else {
			ideas.Points = append(ideas.Points, p)
		}
	}
	for _, path := range []figure.TradePath{made, ideas} {
		if len(path.Points) > 0 {
			out.Paths = append(out.Paths, path)
		}
	}
	return out
}

// unit is that of a measure.
func (r *Result) unit(a Axis) string {
	switch {
	case a.Name == "cost":
		for _, c := range r.Choices {
			if c.Cost != nil {
				return c.Cost.Unit
			}
		}
	case a.Name == "minutes":
		return "min"
	}
	return ""
}

// front are the choices that no other betters on both axes, [O2].
func (r *Result) front() (names []string) {
	type point struct{ x, y float64 }
	at := map[int]point{}
	for i := range r.Choices {
		x, _, _, okx := r.Axes[0].of(&r.Choices[i])
		y, _, _, oky := r.Axes[1].of(&r.Choices[i])
		if !okx || !oky {
			continue
		}
		if !r.Axes[0].More {
			x = -x
		}
		if !r.Axes[1].More {
			y = -y
		}
		at[i] = point{x, y}
	}
	for i := range r.Choices {
		p, ok := at[i]
		for _, q := range at {
			ok = ok && !(q.x >= p.x && q.y >= p.y && (q.x > p.x || q.y > p.y))
		}
		if ok {
			names = append(names, r.Choices[i].Name)
		}
	}
	return names
}

func (r *Result) frontWords() string {
	if len(r.front()) == 0 {
		return "Of no choice both are known."
	}
	return fmt.Sprintf("No other choice betters these on both: %s. Ring: the product as it is.", page.And(r.front()))
}

func (r *Result) choicesTable() page.Table {
	t := page.Table{Title: "Choices", Head: []string{"", "met", "unproven", "not met", "no evidence", "cost of one", "minutes", "parts", "beaten by"}, Align: "lrrrrrrrl"}
	for _, c := range r.Choices {
		name := c.Name
		if c.Revision != "" && c.Name != BaseName {
			name += ", made as " + c.Revision
		}
		row := []string{name}
		for _, v := range []promise.Verdict{promise.Met, promise.Unproven, promise.NotMet, promise.NoEvidence} {
			row = append(row, fmt.Sprint(c.Met(v)))
		}
		parts := "-"
		if c.Parts > 0 {
			parts = fmt.Sprint(c.Parts)
		}
		t.Rows = append(t.Rows, append(row, money(c.Cost), written(c.Minutes, 1), parts, page.And(c.BeatenBy)))
	}
	var why []string
	for _, c := range r.Choices {
		if c.Why != "" {
			why = append(why, c.Name+": "+strings.TrimRight(c.Why, ".")+".")
		}
	}
	t.Note = strings.Join(why, " ")
	return t
}

// promisesTable has the promises on which choices differ.
func (r *Result) promisesTable() page.Table {
	t := page.Table{Title: "Promises that are kept otherwise", Head: []string{"promise", "choice", "verdict", "calculated"}, Align: "lllr"}
	var alike []string
	for _, name := range r.rows() {
		base := r.Choices[0].promise(name)
		var rows [][]string
		for i := range r.Choices {
			c := &r.Choices[i]
			j := c.promise(name)
			if i > 0 && (slices.Contains(c.Untouched, name) || j == nil && base == nil) {
				continue
			}
			if row := []string{"", c.Name, verdictOf(j), figureOf(j)}; i == 0 || !slices.Equal(row[2:], rows[0][2:]) {
				rows = append(rows, row)
			}
		}
		if len(rows) < 2 {
			alike = append(alike, name)
			continue
		}
		rows[0][0] = name
		t.Rows = append(t.Rows, rows...)
	}
	if len(alike) > 0 {
		t.Note = "The same for all: " + page.And(alike) + "."
	}
	t.Note = strings.TrimSpace(t.Note + " A choice that is not named keeps a promise as the product as it is.")
	return t
}

func verdictOf(j *promise.Judged) string {
	if j == nil {
		return "not promised"
	}
	return string(j.Verdict)
}

// figureOf is what is calculated of a promise.
func figureOf(j *promise.Judged) string {
	if j == nil {
		return "-"
	}
	e, ok := j.Calculated()
	switch {
	case !ok || e.NoFigure:
		return "-"
	case e.End != nil:
		return e.End.Worst.String()
	}
	return j.Shown(e.Interval)
}

// endsTable has the mistakes and failures that end otherwise than with the product as it is.
func (r *Result) endsTable() page.Table {
	t := page.Table{Title: "How badly mistakes and failures end", Head: []string{"", "hazard", "battery or load harmed", "part lost", "better than as it is", "worse"}, Align: "lrrrll"}
	base := map[string]figure.FaultEnd{}
	for _, e := range r.Choices[0].Ends {
		base[e.Name] = e.Worst
	}
	for _, c := range r.Choices {
		if len(c.Ends) == 0 {
			continue
		}
		var better, worse []string
		for _, e := range c.Ends {
			if was, known := base[e.Name]; known && e.Worst < was {
				better = append(better, e.Name)
			} else if known && e.Worst > was {
				worse = append(worse, e.Name)
			}
		}
		t.Rows = append(t.Rows, []string{c.Name, fmt.Sprint(c.Bad(figure.Hazard)), fmt.Sprint(c.Bad(figure.Harmed) - c.Bad(figure.Hazard)),
			fmt.Sprint(c.Bad(figure.PartLost) - c.Bad(figure.Harmed)), strings.Join(better, ", "), strings.Join(worse, ", ")})
	}
	t.Note = "Each mistake and failure in its worst state, with nominal parts; those that a choice cannot have are not held against it."
	return t
}

// ratingTable has the key figures of the rating.
func (r *Result) ratingTable() page.Table {
	t := page.Table{Title: "Key figures", Head: []string{""}, Align: "l"}
	var names []string
	for _, c := range r.Choices {
		for _, f := range c.Rating {
			if !slices.Contains(names, f.Name) {
				names = append(names, f.Name)
				t.Head, t.Align = append(t.Head, strings.ReplaceAll(f.Name, "-", " ")), t.Align+"r"
			}
		}
	}
	for _, c := range r.Choices {
		row := []string{c.Name}
		for _, name := range names {
			text := "-"
			for i := range c.Rating {
				if c.Rating[i].Name == name {
					text = written(&c.Rating[i], -3)
				}
			}
			row = append(row, text)
		}
		t.Rows = append(t.Rows, row)
	}
	if len(names) == 0 {
		t.Rows = nil
	}
	return t
}

func (r *Result) recordsTable() page.Table {
	t := page.Table{Title: "What the records say", Head: []string{"revision", "sold", "came back", "share", "by chance"}, Align: "lrrrr",
		Note: "Share of units that came back, with its 95 % limits; by chance: how likely a revision differs so much from the others if it is like them, for all revisions together (Holm)."}
	for _, g := range r.Records {
		name, chance := "revision "+g.Revision, "-"
		if g.Revision == "" {
			name = "all revisions"
		}
		if g.P >= 0 {
			chance = fmt.Sprintf("%.2g", g.P)
		}
		share := fmt.Sprintf("%.2g %% (%.2g to %.2g %%)", 100*g.Share.Best, 100*g.Share.Low, 100*g.Share.High)
		t.Rows = append(t.Rows, []string{name, counts(g.Sold.Low, g.Sold.High), counts(g.Back.Low, g.Back.High), share, chance})
	}
	return t
}

func counts(low, high float64) string {
	if low == high {
		return fmt.Sprintf("%.0f", low)
	}
	return fmt.Sprintf("%.0f to %.0f", low, high)
}

var how = []page.Method{
	{Text: "Each choice is the product with the variant laid over it, its promises judged as check judges them. A promise whose study reads nothing that the variant changes is judged as the product's own, with what was measured of it; of one that it does change only what is calculated counts."},
	{Text: "A choice beats another that is nowhere better on any count, and on one worse. Counts are what one costs, its minutes and parts, how many mistakes and failures end in a hazard, harm battery or load or cost a part at least, and each promise by the verdict on what is calculated: met before unproven before no evidence before not met.",
		Equation: "[O1] a beats b: n(a) ≥ n(b) for each count n, n(a) > n(b) for one", Source: "dominance, definition"},
	{Text: "The front of two measures are the choices that no other betters on both.", Equation: "[O2] no b: x(b) ≥ x(a), y(b) ≥ y(a), one of them more", Source: "Pareto, definition"},
}
