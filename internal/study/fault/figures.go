package fault

import (
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/figure"
	"hindwatt/internal/figure/diagram"
	"hindwatt/internal/page"
)

const (
	mostDrawn  = 2 // cases that no promise names and that are drawn all the same, the worst of each family
	mostFrames = 3 // stages of one case that are drawn; the table of stages has all
)

// figures are the tables of ends, then a still frame for each stage of the cases that matter most.
func (r *Result) figures(bounds []Bound) []page.Figure {
	var out []page.Figure
	for _, f := range []struct{ family, title, caption string }{
		{Mistake, "How each wiring mistake ends", "In each cell the end, and what decides it with its margin: the limit over what comes, below 1 where it has given way. A question mark: some units may end worse."},
		{Failure, "How each failure of a part ends", "Each part by itself gone short, open or adrift, while everything else is whole."},
	} {
		if t := r.endsTable(f.family, f.title); len(t.Rows) > 0 {
			out = append(out, page.Figure{Plot: t, Caption: f.caption})
		}
	}
	for _, o := range r.drawn(bounds) {
		out = append(out, r.frames(o)...)
	}
	return out
}

// endsTable has a row for each case of a family and a column for each state.
func (r *Result) endsTable(family, title string) figure.EndsTable {
	t := figure.EndsTable{Title: title}
	for _, s := range r.States {
		t.Columns = append(t.Columns, s.Name)
	}
	for _, c := range r.ofFamily(family) {
		row := make([]figure.EndCell, len(r.States))
		for i, s := range r.States {
			o := r.Of(c.Name, s.Name)
			if o == nil {
				row[i] = figure.EndCell{None: true, Text: "does not matter"}
				continue
			}
			row[i] = figure.EndCell{End: o.End, Open: o.Reach > o.End, Text: o.Margin.short()}
		}
		t.Rows, t.Cells = append(t.Rows, c.Name), append(t.Cells, row)
	}
	return t
}

// short: "q1 3.1×".
func (m Margin) short() string {
	if m.None() || m.Ratio >= 1000 {
		return ""
	}
	return m.Part + " " + ratio(m.Ratio) + "×"
}

// drawn are the outcomes whose stages are drawn: those that promises name and that are not unharmed, then the worst of each family.
func (r *Result) drawn(bounds []Bound) (out []*Outcome) {
	add := func(o *Outcome) {
		if o != nil && o.End > Unharmed && !slices.Contains(out, o) {
			out = append(out, o)
		}
	}
	for _, b := range bounds {
		add(r.Under(b.Case, b.State))
	}
	for _, family := range []string{Mistake, Failure} {
		all := r.worstFirst(family)
		for _, o := range all[:min(len(all), mostDrawn)] {
			if o.End >= PartLost {
				add(o)
			}
		}
	}
	return out
}

// frames draws the stages of one outcome.
func (r *Result) frames(o *Outcome) (out []page.Figure) {
	for i := range o.Stages[:min(len(o.Stages), mostFrames)] {
		s := &o.Stages[i]
		c := diagram.Of(&r.Input.Design)
		c.Title = fmt.Sprintf("%s, %s: stage %d of %d", o.Case.Name, o.State.Name, i+1, len(o.Stages))
		for k, one := range r.Input.Design.Components {
			if k < len(s.Flows) {
				c.Flows = append(c.Flows, diagram.Flow{Part: one.Name, Current: s.Flows[k]})
			}
		}
		for k, w := range o.Wires {
			name := fmt.Sprintf("contact %d", k+1)
			c.Parts = append(c.Parts, diagram.Part{Name: name, Kind: "wire", Ends: []diagram.End{{Node: w.From}, {Node: w.To}}})
			if k < len(s.Wires) {
				c.Flows = append(c.Flows, diagram.Flow{Part: name, Current: s.Wires[k]})
			}
		}
		for _, way := range s.Gives {
			c.Marks = append(c.Marks, diagram.Mark{Part: way.Part, Text: way.Text})
		}
		caption := s.Text
		if i == 0 {
			caption += connected(s)
		}
		out = append(out, page.Figure{Plot: c, Caption: caption})
	}
	return out
}

// connected says how panel and battery are joined where that is not as it should be.
func connected(s *Stage) string {
	var said []string
	for _, one := range []struct {
		what   string
		at     [2]string
		proper [2]string
	}{{"the panel", s.Connected.Panel, [2]string{"pv+", "pv-"}}, {"the battery", s.Connected.Battery, [2]string{"bat+", "bat-"}}} {
		switch one.at {
		case one.proper:
		case [2]string{}:
			said = append(said, one.what+" is off")
		default:
			said = append(said, fmt.Sprintf("%s has its plus at %s and its minus at %s", one.what, one.at[0], one.at[1]))
		}
	}
	if len(said) == 0 {
		return ""
	}
	return " " + page.Capital(strings.Join(said, "; ")) + "."
}
