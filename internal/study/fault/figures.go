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
		for _, b := range s.Backward {
			name := "in " + b.Part
			c.Parts = append(c.Parts, diagram.Part{Name: name, Kind: "diode", Ends: []diagram.End{{Node: b.From}, {Node: b.To}}})
			c.Flows = append(c.Flows, diagram.Flow{Part: name, Current: b.Current})
		}
		for _, way := range s.Gives {
			c.Marks = append(c.Marks, way.mark())
		}
		c.Outside = s.Connected.outside()
		caption := opening(c.Title) + ". " + s.Text
		if i == 0 {
			caption += connected(s)
		}
		out = append(out, page.Figure{Plot: c, Caption: caption})
	}
	return out
}

// mark points at what gives way in a few words: "reverse voltage, goes short". A lead or a terminal is marked at what it leads to.
func (w *Way) mark() diagram.Mark {
	m := diagram.Mark{Part: w.Part, Text: w.Of}
	for _, outside := range []string{"battery", "panel"} {
		if what, of := strings.CutPrefix(w.Part, outside+" "); of {
			m.Part, m.Text = outside, what+": "+w.Of
		}
	}
	if w.Become != "" {
		m.Text += ", goes " + w.Become
	}
	return m
}

// outside is what stands at the terminals of panel, battery and load, as it is drawn.
func (c *Connection) outside() (at [3]diagram.Outside) {
	for i, pair := range [3][2]string{usually.Panel, usually.Battery, usually.Load} {
		var kinds []string
		for _, one := range []struct {
			kind string
			at   [2]string
		}{{"panel", c.Panel}, {"battery", c.Battery}, {"load", c.Load}, {"other source", c.Source}} {
			switch one.at {
			case pair:
				kinds = append(kinds, one.kind)
			case reversed(pair):
				kinds, at[i].Turned = append(kinds, one.kind), true
			}
		}
		at[i].Kind = strings.Join(kinds, ", ")
		if len(kinds) == 0 {
			at[i].Kind = diagram.Nothing
		}
	}
	return at
}

// connected says how the outside is joined where that is not as it should be.
func connected(s *Stage) string {
	var said []string
	for _, one := range []struct {
		what   string
		at     [2]string
		proper [2]string
	}{{"the panel", s.Connected.Panel, usually.Panel}, {"the battery", s.Connected.Battery, usually.Battery}, {"the load", s.Connected.Load, usually.Load}, {"the other source", s.Connected.Source, [2]string{}}} {
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
