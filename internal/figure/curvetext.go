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
	places, names, gutter := c.places(s, style)
	a := s.y
	a.from, a.to = 0, float64(min(64, max(12, width-gutter-4))-1)
	write := func(x float64, m Mark) {
		lines = append(lines, Pad(names[x], gutter, true)+"  "+row(&m, a, s.boundAt(x), c.Y.Unit, style))
	}
	for i, t := range s.traces {
		if i > 0 {
			lines = append(lines, "")
		}
		if len(s.traces) > 1 {
			lines = append(lines, style.Shorten(t.name, width))
		}
		for _, x := range places {
			if x >= t.mid[0].X && x <= t.mid[len(t.mid)-1].X {
				write(x, Mark{Best: t.mid.at(x), Low: t.low.at(x), High: t.high.at(x)})
			}
		}
	}
	for _, m := range s.marks {
		write(m.X, m.Mark)
	}
	for _, l := range axisText(a, c.constantEdges(s, a), c.Y.Unit, style) {
		lines = append(lines, Pad("", gutter+2, false)+l)
	}
	return lines
}

// places returns the x to write, rising: round ones, and those of marks; their names, and the columns these take.
func (c Curve) places(s scene, style TextStyle) (places []float64, names map[float64]string, gutter int) {
	places, decimals := s.x.ticks(9)
	for _, m := range s.marks {
		places = append(places, m.X)
	}
	slices.Sort(places)
	places = slices.Compact(places)
	names = map[float64]string{}
	for _, x := range places {
		names[x] = style.Show(c.place(x, decimals))
		gutter = max(gutter, Columns(names[x]))
	}
	return places, names, gutter
}

// constantEdges returns the bound's labels on an axis where the bound is the same everywhere, rising.
func (c Curve) constantEdges(s scene, a axis) []label {
	var edges []label
	if len(s.min) <= 1 && len(s.max) <= 1 {
		for _, l := range slices.Backward(c.edgeLabels(s)) {
			if a.holds(l.x) {
				edges = append(edges, label{a.at(l.x), 0, l.text})
			}
		}
	}
	return edges
}

// place writes a value of the x axis.
func (c Curve) place(x float64, decimals int) string {
	if math.Abs(x-math.Round(x)) > 1e-9 {
		return withUnit(significant(x, 4), c.X.Unit)
	}
	return withUnit(number(x, decimals), c.X.Unit)
}
