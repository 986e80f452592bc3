package figure

import (
	"math"
	"slices"
)

// Text writes the curve as a strip at each of some round places of its x axis, all on one axis with the bound of that place.
func (c Curve) Text(width int, style TextStyle) []string {
	s, ok := c.scene()
	if !ok {
		return []string{style.Shorten(c.Title, width), "no data"}
	}
	lines := []string{style.Shorten(c.Title, width), style.Shorten(axisName(c.Y.Name, c.Y.Unit)+" over "+axisName(c.X.Name, c.X.Unit), width), ""}
	places, decimals := s.x.ticks(9)
	if len(places) == 0 {
		places = []float64{s.x.low, s.x.high}
	}
	for _, m := range s.marks {
		places = append(places, m.X)
	}
	slices.Sort(places)
	places = slices.Compact(places)
	gutter := 0
	for _, x := range places {
		gutter = max(gutter, Columns(style.Show(c.place(x, decimals))))
	}
	a := s.y
	a.from, a.to = 0, float64(min(64, max(12, width-gutter-4))-1)
	for i, t := range s.traces {
		if len(s.traces) > 1 {
			if i > 0 {
				lines = append(lines, "")
			}
			lines = append(lines, style.Shorten(t.name, width))
		}
		for _, x := range places {
			if x < t.mid[0].X || x > t.mid[len(t.mid)-1].X {
				continue
			}
			m := Mark{Best: t.mid.at(x), Low: t.low.at(x), High: t.high.at(x)}
			lines = append(lines, Pad(style.Show(c.place(x, decimals)), gutter, true)+"  "+row(&m, a, s.boundAt(x), c.Y.Unit, style))
		}
	}
	for _, m := range s.marks {
		lines = append(lines, Pad(style.Show(c.place(m.X, decimals)), gutter, true)+"  "+row(&m.Mark, a, s.boundAt(m.X), c.Y.Unit, style))
	}
	var edges []label
	if e := c.edgeLabels(s); len(s.min) <= 1 && len(s.max) <= 1 {
		for _, l := range slices.Backward(e) {
			if a.holds(l.x) {
				edges = append(edges, label{a.at(l.x), 0, l.text})
			}
		}
	}
	for _, l := range axisText(a, edges, c.Y.Unit, style) {
		lines = append(lines, Pad("", gutter+2, false)+l)
	}
	return lines
}

// place writes a value of the x axis.
func (c Curve) place(x float64, decimals int) string {
	if math.Abs(x-math.Round(x)) > 1e-9 {
		return withUnit(significant(x, 4), c.X.Unit)
	}
	return withUnit(number(x, decimals), c.X.Unit)
}
