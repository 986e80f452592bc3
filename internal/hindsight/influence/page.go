package influence

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/figure"
	"hindwatt/internal/hindsight/figures"
	"hindwatt/internal/page"
	"hindwatt/internal/promise"
	"hindwatt/internal/quantity"
)

// mostShown is how many inputs a figure draws and a table lists; the rest is counted, and in JSON and CSV.
const (
	mostShown = 15
	mostNamed = 6 // in a sentence

	leastDrawn = 0.005 // of the largest change
)

// fewRows is below what the bootstrap's limits were seen to hold what they say (docs/models.md, Sensitivity).
const fewRows = 512

// shown writes figures so that the largest change has three digits.
type shown struct {
	dim    quantity.Dimension
	unit   string
	digits int
}

func (r *Result) shown() shown {
	most := 0.0
	for _, c := range r.Changes {
		if size := c.Size(r.Base); !math.IsInf(size, 1) {
			most = max(most, size)
		}
	}
	if most == 0 {
		most = math.Abs(r.Base) / 10
	}
	s := shown{dim: r.Dim, unit: r.Unit, digits: 3}
	if per := figures.Scale(s.dim, s.unit); most > 0 {
		s.digits = min(9, max(0, 2-int(math.Floor(math.Log10(most/per)))))
	}
	return s
}

func (s shown) text(v float64) string { return quantity.Format(v, s.dim, s.unit, s.digits) }

// number is the figure in its unit, for axes and JSON.
func (s shown) number(v float64) float64 { return figures.Number(v, s.dim, s.unit) }

// moved writes a change with two digits.
func (s shown) moved(v float64) string {
	dim, unit := s.dim, s.unit
	if dim.Point {
		dim, unit = quantity.TemperatureDifference, "K"
	}
	text := quantity.Format(v, dim, unit, -2)
	if v > 0 {
		text = "+" + text
	}
	return text
}

// value writes an input's value with three digits.
func (s Source) value(v float64) string { return quantity.Format(v, s.Dim, s.Unit, -3) }

// Page is the answer as a page.
func (r *Result) Page() page.Page {
	s := r.shown()
	p := page.Page{
		ID: "sensitivity-" + identifier(r.Figure.String()), Question: "What moves " + r.Figure.String() + "?", Short: "What moves it?",
		Answer: r.answer(s), How: r.how(),
	}
	if r.Installation != "" {
		p.Question = "What moves " + r.Figure.String() + " in " + r.Installation + "?"
	}
	if len(r.Changes) > 0 {
		p.Figures = append(p.Figures, page.Figure{Plot: r.plot(s), Caption: "Each input from the low to the high end of its tolerance, all others at their nominal; largest first."})
		p.Tables = append(p.Tables, r.changesTable(s))
	}
	if r.Shares != nil {
		p.Tables = append(p.Tables, r.sharesTable())
		if r.Shares.Rows < fewRows {
			p.Warnings = append(p.Warnings, page.Note{Text: fmt.Sprintf("%d rows are few: limits from so few are too narrow now and then.", r.Shares.Rows), Remedy: fmt.Sprintf("ask with --sobol %d or more", fewRows)})
		}
	}
	for _, one := range r.Promises {
		if len(one.Flips) > 0 {
			p.Tables = append(p.Tables, one.table())
		}
	}
	if len(r.LeftOut) > 0 {
		p.Tables = append(p.Tables, r.leftOutTable(s))
	}
	for _, d := range r.Doubts {
		p.Warnings = append(p.Warnings, page.Note{Text: d})
	}
	for _, c := range r.Changes {
		for _, e := range []struct {
			End
			at string
		}{{c.Low, "low"}, {c.High, "high"}} {
			if e.Failed != "" {
				p.Warnings = append(p.Warnings, page.Note{Text: fmt.Sprintf("With %s at its %s end, %s, there is no figure: %s.", c.Path, e.at, c.value(e.Input), e.Failed),
					Remedy: "mend the tolerance, or the circuit", From: c.From})
			}
		}
	}
	return p
}

func identifier(text string) string {
	return strings.Trim(strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, strings.ToLower(text)), "-")
}

func (r *Result) plot(s shown) figure.Swings {
	plot := figure.Swings{Title: "What moves " + r.Figure.String(), Axis: figure.Axis{Name: r.Figure.String(), Unit: s.unit}, Base: s.number(r.Base), Source: "sensitivity of " + r.Product}
	for i, c := range r.Changes[:min(len(r.Changes), mostShown)] {
		if i > 0 && c.Size(r.Base) < leastDrawn*r.Changes[0].Size(r.Base) {
			break
		}
		row := figure.Swing{Name: c.Path, Low: s.number(c.Low.Figure), High: s.number(c.High.Figure), Text: c.Text}
		if c.Low.Failed != "" {
			row.Low = math.NaN()
		}
		if c.High.Failed != "" {
			row.High = math.NaN()
		}
		plot.Rows = append(plot.Rows, row)
	}
	for _, one := range r.Promises {
		if one.Min != nil && plot.Min == nil {
			v := s.number(*one.Min)
			plot.Min = &v
		}
		if one.Max != nil && plot.Max == nil {
			v := s.number(*one.Max)
			plot.Max = &v
		}
	}
	return plot
}

// answer says in words what came out.
func (r *Result) answer(s shown) []string {
	first := fmt.Sprintf("%s is %s with every input at its nominal", r.Figure, s.text(r.Base))
	switch {
	case len(r.Changes) == 0:
		first += "; no tolerance of the folder changes it."
	case r.Changes[0].Low.Failed != "" || r.Changes[0].High.Failed != "":
		first += fmt.Sprintf("; at an end of the tolerance of %s it cannot be computed.", r.Changes[0].Path)
	default:
		c := r.Changes[0]
		first += fmt.Sprintf(". The tolerance of %s (%s) moves it most: from %s to %s.", c.Path, c.Text, s.text(c.Low.Figure), s.text(c.High.Figure))
	}
	out := []string{first}
	if text := r.together(s); text != "" {
		out = append(out, text)
	}
	if r.Shares != nil {
		out = append(out, r.Shares.says())
	}
	for _, one := range r.Promises {
		out = append(out, one.says())
	}
	if len(r.Drifts) > 0 {
		out = append(out, fmt.Sprintf("Drifts with temperature act both ways and are not moved here, those of %s; the budget of hindwatt study setpoint has them.", listed(paths(r.Drifts), mostNamed)))
	}
	if n := len(r.Still); n > 0 {
		out = append(out, fmt.Sprintf("The study reads %d further inputs with a tolerance that changes nothing here: %s.", n, listed(paths(r.Still), mostNamed)))
	}
	return out
}

// together sets what all tolerances do together beside the interval of the study, which rests on more.
func (r *Result) together(s shown) string {
	if r.Together == 0 {
		return ""
	}
	text := fmt.Sprintf("Together these tolerances make about ±%s of it (95 %%)", s.moved(r.Together)[1:])
	if r.Own == nil {
		return text + "."
	}
	text += fmt.Sprintf("; the study itself says %s to %s", s.text(r.Own.Low), s.text(r.Own.High))
	if half := (r.Own.High - r.Own.Low) / 2; r.Together < half/2 {
		text += ". Most of that is none of these tolerances but "
		if len(r.Drifts) > 0 {
			text += "drifts with temperature, "
		}
		text += "the conditions, and what the study takes to vary or to be uncertain by itself"
	}
	return text + "."
}

func paths(sources []Source) (list []string) {
	for _, s := range sources {
		list = append(list, s.Path)
	}
	return list
}

// listed names some, and counts the others.
func listed(names []string, most int) string {
	if more := len(names) - most; more > 0 {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", more)
	}
	return strings.Join(names, ", ")
}

// says words the shares: the largest, and what only shows together.
func (s *Shares) says() string {
	best, first := 0, 0.0
	for i, x := range s.Index {
		first += x.First.Best
		if x.First.Best > s.Index[best].First.Best {
			best = i
		}
	}
	text := fmt.Sprintf("Of its variance %s is due to %s alone", share(s.Index[best].First.Best), s.Inputs[best].Path)
	if first < 0.9 {
		text += fmt.Sprintf(", and %s to inputs that act together", share(1-first))
	}
	return text + fmt.Sprintf(" (%d runs).", s.Runs)
}

func share(v float64) string { return quantity.Format(v, quantity.Ratio, "%", 1) }

// turning words how a promise would turn.
func (p Promise) turning() string {
	if p.Calculated == promise.Met {
		return "lost"
	}
	return "kept"
}

// says words where a promise would turn: the nearest first, by how far each is from what the folder says.
func (p Promise) says() string {
	text := fmt.Sprintf("Promise %s, %q, is %s", p.Name, p.Label, p.Verdict)
	switch p.Verdict {
	case "":
		return fmt.Sprintf("Promise %s, %q, cannot be judged: %s.", p.Name, p.Label, p.None)
	case promise.NoEvidence:
		text = fmt.Sprintf("Promise %s, %q, has no evidence", p.Name, p.Label)
	}
	if p.None != "" {
		return text + "; where it would flip is not told: " + p.None + "."
	}
	if p.Calculated != p.Verdict {
		text += fmt.Sprintf(", by what is calculated alone %s", p.Calculated)
	}
	if len(p.Flips) == 0 {
		return text + fmt.Sprintf(". No input alone would have it %s within its range (%d were moved, tolerances and drifts too).", p.turning(), len(p.Holds))
	}
	var said []string
	for _, f := range p.Flips[:min(len(p.Flips), 3)] {
		said = append(said, f.names()+" "+f.moves()+" "+f.text())
	}
	text += fmt.Sprintf(". By calculation it is %s when %s", p.turning(), strings.Join(said, "; or when "))
	if p.turning() == "kept" {
		text = strings.Replace(text, "it is kept when", "it would be kept if", 1)
		text = strings.ReplaceAll(text, "; or when ", "; or if ")
	}
	if len(p.Flips) > 3 {
		text += fmt.Sprintf("; %d more are in the table", len(p.Flips)-3)
	}
	return text + "."
}

func (f Flip) moves() string {
	switch {
	case f.Of != "" && f.At < f.Is:
		return "is less than"
	case f.Of != "":
		return "is more than"
	case f.At < f.Is:
		return "falls below"
	}
	return "rises above"
}

// names is what flips: "the drift of product.sense.top".
func (f Flip) names() string {
	if f.Of != "" {
		return "the " + f.Of + " of " + f.Path
	}
	return f.Path
}

// text writes where it flips.
func (f Flip) text() string {
	if f.Of != "" {
		return f.Wide
	}
	return f.value(f.At)
}

func (r *Result) changesTable(s shown) page.Table {
	t := page.Table{Title: "What each tolerance changes", Head: []string{"input", "as written", "at its low end", "at its high end", "moves by", "stands in"}, Align: "llrrrl"}
	for i, c := range r.Changes {
		if i == mostShown {
			t.Note = fmt.Sprintf("%d more change it by less; all are in the JSON and the CSV.", len(r.Changes)-mostShown)
			break
		}
		row := []string{c.Path, c.Text, s.end(c.Low), s.end(c.High), "", c.From}
		if size := c.Size(r.Base); !math.IsInf(size, 1) {
			row[4] = s.moved(size)[1:]
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func (s shown) end(e End) string {
	if e.Failed != "" {
		return "no figure"
	}
	return s.text(e.Figure)
}

func (r *Result) sharesTable() page.Table {
	s := r.Shares
	t := page.Table{Title: "Shares of the variance", Head: []string{"input", "alone", "95 %", "with all others", "95 %"}, Align: "lrrrr",
		Note: fmt.Sprintf("First and total Sobol indices, %d rows, %d runs; limits by bootstrap. An estimate of a small share may fall below 0.", s.Rows, s.Runs)}
	for i, x := range s.Index {
		t.Rows = append(t.Rows, []string{s.Inputs[i].Path, share(x.First.Best), share(x.First.Low) + " to " + share(x.First.High), share(x.Total.Best), share(x.Total.Low) + " to " + share(x.Total.High)})
	}
	return t
}

func (p Promise) table() page.Table {
	t := page.Table{Title: "Where promise " + p.Name + " would be " + p.turning(), Head: []string{"input", "is", "flips when", "stands in"}, Align: "lrll"}
	for _, f := range p.Flips {
		row := []string{f.Path, f.value(f.Is), "it " + f.moves() + " " + f.text(), f.From}
		if f.Of != "" {
			row[1], row[2] = f.Text, "its "+f.Of+" "+f.moves()+" "+f.text()
		}
		t.Rows = append(t.Rows, row)
	}
	var held []string
	for _, h := range p.Holds {
		if h.Of == "" {
			held = append(held, fmt.Sprintf("%s (%s to %s)", h.Path, h.value(h.Low), h.value(h.High)))
		} else {
			held = append(held, fmt.Sprintf("the %s of %s (%g to %g times)", h.Of, h.Path, h.Low, h.High))
		}
	}
	if len(held) > 0 {
		t.Note = "Does not flip in its range: " + listed(held, mostNamed) + "."
	}
	if p.Unmoved > 0 {
		t.Note = strings.TrimSpace(t.Note + fmt.Sprintf(" %d inputs that move the figure less than these were not looked at.", p.Unmoved))
	}
	if p.Years > 0 {
		t.Note = strings.TrimSpace(fmt.Sprintf("Judged here by %d years.", p.Years) + " " + t.Note)
	}
	return t
}

func (r *Result) leftOutTable(s shown) page.Table {
	t := page.Table{Title: "Left out: no tolerance is stated", Head: []string{"input", "as written", "1 % more moves it by", "stands in"}, Align: "llrl",
		Note: "Write a tolerance behind the value and it counts, such as 0.8 ±5 %, 20..40 K/W, or 0.8 sd 0.02. Temperatures are moved by 1 K, counts by 1."}
	for i, l := range r.LeftOut {
		if i == mostShown {
			t.Note += fmt.Sprintf(" %d more move it by less.", len(r.LeftOut)-mostShown)
			break
		}
		t.Rows = append(t.Rows, []string{l.Path, l.Text, s.moved(l.Nudge), l.From})
	}
	return t
}

func (r *Result) how() []page.Method {
	list := []page.Method{
		{Text: "The study is computed with one input at an end of its tolerance and all others at their nominal. The ends of limits and ranges are theirs; of a normal spread they are those that hold 95 %.", Equation: "[Z1]"},
		{Text: "An input counts as read if moving it makes another study of the product."},
	}
	if r.Shares != nil {
		list = append(list, page.Method{Text: "All inputs whose tolerance changes something are drawn together, independent of each other.", Equation: "[X1] to [X4], [Z2]",
			Source: "Saltelli et al., Computer Physics Communications 181 (2010), p. 259"})
	}
	if len(r.Promises) > 0 {
		list = append(list, page.Method{Text: "An input is moved with its spread, from a tenth to ten times what it is as far as the folder accepts it (temperatures by 100 K), its tolerance and its drift to a hundredth or to four times what they are, and the promise is judged again by what is calculated. " +
			"Where the verdict turns is found from few units first, and then about there in full, to 1 % of the way or better; another seed moves it by as much as it moves the study's own limits.", Equation: "[Z3], [Z4]"})
	}
	return list
}
