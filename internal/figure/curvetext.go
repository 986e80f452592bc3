package figure

import (
	"math"
	"slices"
)

// textPlaces is how many rows of a terminal a series takes, about.
const textPlaces = 10

// Text writes the curve as a strip at each of some round places of its x axis, all on one axis with the bound of that place.
func (c Curve) Text(width int, style TextStyle) []string {
	s, ok := c.scene()
	if !ok {
		return []string{style.Shorten(c.Title, width), "no data"}
	}
	lines := []string{style.Shorten(c.Title, width), style.Shorten(axisName(c.Y.Name, c.Y.unit())+" over "+axisName(c.X.Name, c.X.unit()), width), ""}
	places, names, gutter := c.places(s, style)
	a := s.y
	a.from, a.to = 0, float64(min(64, max(12, width-gutter-4))-1)
	write := func(x float64, m Mark, inner ...float64) {
		cells := rowCells(&m, a, s.boundAt(x), c.Y.Unit, style)
		s.finish(cells, a, m, inner, style)
		lines = append(lines, Pad(names[x], gutter, true)+"  "+paint(cells, style))
	}
	fan := false
	for i, t := range s.traces {
		if i > 0 {
			lines = append(lines, "")
		}
		if len(s.traces) > 1 {
			lines = append(lines, style.Shorten(t.name, width))
		}
		for _, k := range t.chosen() {
			p := t.mid[k]
			write(p.X, Mark{Best: p.Y, Low: t.low[k].Y, High: t.high[k].Y})
		}
		for _, x := range places {
			if t.points || x < t.mid[0].X || x > t.mid[len(t.mid)-1].X || s.marked(x) {
				continue
			}
			m := Mark{Best: t.at(x, t.mid), Low: t.at(x, t.low), High: t.at(x, t.high)}
			if len(t.innerLow) == 0 {
				write(x, m)
				continue
			}
			fan = true
			write(x, m, t.at(x, t.innerLow), t.at(x, t.innerHigh))
		}
	}
	for _, m := range s.marks {
		write(m.X, m.Mark)
	}
	for _, l := range axisText(a, c.constantEdges(s, a), c.Y.unit(), style) {
		lines = append(lines, Pad("", gutter+2, false)+l)
	}
	if g := style.signs(); fan {
		lines = append(lines, style.Shorten(string(g.within)+" outer interval, "+string(g.inner)+" inner interval", width))
	}
	return lines
}

// finish adds to a row what it leaves free: the inner interval and the level.
func (s scene) finish(cells []cell, a axis, m Mark, inner []float64, style TextStyle) {
	g := style.signs()
	column := func(v float64) int { return int(math.Round(a.at(v))) }
	if len(inner) == 2 {
		for i := column(inner[0]); i <= column(inner[1]); i++ {
			if cells[i].sign == g.within {
				cells[i].sign = g.inner
			}
		}
	}
	if i := column(s.level); s.hasLevel && (cells[i].sign == ' ' || cells[i].sign == g.band) {
		cells[i] = cell{g.level, ""}
	}
}

// marked reports whether a mark says at x what the only line there says: the row would stand twice.
func (s scene) marked(x float64) bool {
	return slices.ContainsFunc(s.marks, func(m CurveMark) bool { return m.Mark.Kind == Calculated && m.X == x }) && len(s.traces) == 1
}

// chosen returns which dots of a series are written, evenly among them; none for a line.
func (t trace) chosen() []int {
	if !t.points {
		return nil
	}
	var out []int
	n := min(len(t.mid), textPlaces)
	for i := range n {
		out = append(out, i*(len(t.mid)-1)/max(1, n-1))
	}
	return out
}

// places returns the x to write lines at, rising: round ones; the names of these and of those of dots and marks, and the columns they take.
func (c Curve) places(s scene, style TextStyle) (places []float64, names map[float64]string, gutter int) {
	names = map[float64]string{}
	name := func(x float64, text string) {
		if _, ok := names[x]; !ok {
			names[x] = style.Show(minusASCII(text))
			gutter = max(gutter, Columns(names[x]))
		}
	}
	for _, t := range fewest(s.x.ticks(9), textPlaces+4) {
		places = append(places, t.at)
		name(t.at, withUnit(t.text, c.X.unit()))
	}
	for _, t := range s.traces {
		for _, k := range t.chosen() {
			name(t.mid[k].X, s.x.place(t.mid[k].X, c.X.unit()))
		}
		if len(t.mid) == 1 && !t.points {
			places = append(places, t.mid[0].X)
			name(t.mid[0].X, s.x.place(t.mid[0].X, c.X.unit()))
		}
	}
	for _, m := range s.marks {
		places = append(places, m.X)
		name(m.X, s.x.place(m.X, c.X.unit()))
	}
	slices.Sort(places)
	return slices.Compact(places), names, gutter
}

// fewest drops the ticks of the highest ranks until at most so many are left.
func fewest(ticks []tick, most int) []tick {
	for len(ticks) > most {
		worst := 0
		for _, t := range ticks {
			worst = max(worst, t.rank)
		}
		kept := slices.DeleteFunc(slices.Clone(ticks), func(t tick) bool { return t.rank == worst })
		if len(kept) == 0 {
			break
		}
		ticks = kept
	}
	return ticks
}

// constantEdges returns the labels of the level, and of the bound where that is the same everywhere, rising.
func (c Curve) constantEdges(s scene, a axis) []label {
	var edges []label
	add := func(at float64, text string) {
		if a.holds(at) && text != "" {
			edges = append(edges, label{a.at(at), 0, text})
		}
	}
	if len(s.min) <= 1 && len(s.max) <= 1 {
		for _, l := range slices.Backward(c.edgeLabels(s)) {
			add(l.x, l.text)
		}
	}
	if s.hasLevel {
		add(s.level, s.levelText)
	}
	slices.SortStableFunc(edges, func(x, y label) int {
		if x.x < y.x {
			return -1
		}
		return 1
	})
	return edges
}

// place writes a value of the x axis.
func (a axis) place(x float64, unit string) string {
	switch {
	case a.scale != Linear:
		return a.say(x, unit)
	case math.Abs(x-math.Round(x)) > 1e-9:
		return withUnit(significant(x, 4), unit)
	}
	return withUnit(number(x, 0), unit)
}
