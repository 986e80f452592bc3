package figure

import (
	"math"
	"slices"
)

// grid returns, rising, the x from x1 to x2 at which something bends or crosses the bound: between two of them all is straight.
func (s scene) grid(x1, x2 float64, more ...path) []float64 {
	grid := []float64{x1, x2}
	for _, p := range append([]path{s.min, s.max}, more...) {
		for _, q := range p {
			if q.X > x1 && q.X < x2 {
				grid = append(grid, q.X)
			}
		}
	}
	slices.Sort(grid)
	grid = slices.Compact(grid)
	out := grid[:1:1]
	for i := 1; i < len(grid); i++ {
		a, b := grid[i-1], grid[i]
		var cross []float64
		for _, p := range more {
			for _, limit := range []path{s.min, s.max} {
				if len(limit) == 0 {
					continue
				}
				da, db := p.at(a)-limit.at(a), p.at(b)-limit.at(b)
				if da < 0 != (db < 0) {
					cross = append(cross, a+(b-a)*da/(da-db))
				}
			}
		}
		slices.Sort(cross)
		out = append(append(out, cross...), b)
	}
	return slices.Compact(out)
}

// Drawing lays the curve out; width 0 is 640 px.
func (c Curve) Drawing(width float64) Drawing {
	if !(width > 0) {
		width = figureWidth
	}
	d := Drawing{Width: width, Title: c.Title, Description: c.describe()}
	d.write(0, 12, 12, Soft, Start, fit(axisName(c.Y.Name, c.Y.Unit), 12, width))
	s, ok := c.scene()
	if !ok {
		d.foot(30, c.Source)
		return d
	}
	edges := c.edgeLabels(s)
	d.frame(&s, edges)
	d.region(s)
	d.edgeTexts(s, edges, width)
	for i, t := range s.traces {
		d.trace(s, t, i)
	}
	for _, m := range s.marks {
		d.mark(m.Mark, track{axis: s.y, across: s.x.at(m.X), upright: true}, s.boundAt(m.X), c.Y.Unit)
	}
	d.line(s.x.from, s.y.from, s.x.to, s.y.from, Stroke{Role: Soft, Width: 1})
	y := d.ticksBelow(s.x, s.y.from)
	d.write((s.x.from+s.x.to)/2, y+16, 12, Soft, Middle, fit(axisName(c.X.Name, c.X.Unit), 12, width))
	d.foot(y+22, c.Source)
	return d
}

// frame finds room for the plot between legend, numbers and the bound's texts, and draws the y axis' ticks.
func (d *Drawing) frame(s *scene, edges []label) {
	top := d.legend(s.traces, 18) + 8
	height := max(150, min(250, d.Width*0.5))
	ticks, decimals := s.y.ticks(int(height / 34))
	left, right := 0.0, 8.0
	for _, v := range ticks {
		left = max(left, textWidth(tick(v, decimals), small))
	}
	for _, e := range edges {
		right = max(right, min(0.34*d.Width, e.width)+8)
	}
	s.x.from, s.x.to = left+8, d.Width-right
	s.y.from, s.y.to = top+height, top
	for _, v := range ticks {
		y := s.y.at(v)
		d.line(s.x.from, y, s.x.to, y, Stroke{Role: Rule, Width: 0.8})
		d.write(left+2, y+3.8, small, Soft, End, tick(v, decimals))
	}
}

// region draws the allowed region with its edges below the series' intervals, and the hatching above them so that both are seen.
func (d *Drawing) region(s scene) {
	if len(s.min)+len(s.max) > 0 {
		var upper, lower []Point
		for _, x := range s.grid(s.x.low, s.x.high) {
			b := s.boundAt(x)
			upper = append(upper, Point{s.x.at(x), s.y.at(b.max)})
			lower = append(lower, Point{s.x.at(x), s.y.at(b.min)})
		}
		slices.Reverse(lower)
		area := append(upper, lower...)
		d.Ops = append(d.Ops, Area{Points: area, Fill: Band})
		d.intervals(s)
		d.Ops = append(d.Ops, Hatch{area})
	} else {
		d.intervals(s)
	}
	for _, p := range []path{s.min, s.max} {
		if len(p) == 0 {
			continue
		}
		d.polyline(s, s.grid(s.x.low, s.x.high), p, Stroke{Role: Edge, Width: 1.4}, s.y.holds)
	}
}

// polyline draws a path over the grid, where keep holds for its value at both ends of a piece.
func (d *Drawing) polyline(s scene, grid []float64, p path, stroke Stroke, keep func(float64) bool) {
	var run []Point
	flush := func() {
		if len(run) > 1 {
			d.Ops = append(d.Ops, Line{run, stroke})
		}
		run = nil
	}
	for _, x := range grid {
		y := p.at(x)
		if !keep(y) {
			flush()
			continue
		}
		run = append(run, Point{s.x.at(x), s.y.at(y)})
	}
	flush()
}

// intervals tints the series' intervals.
func (d *Drawing) intervals(s scene) {
	for _, t := range s.traces {
		var upper, lower []Point
		wide := false
		for i, p := range t.mid {
			upper = append(upper, Point{s.x.at(p.X), s.y.at(t.high[i].Y)})
			lower = append(lower, Point{s.x.at(p.X), s.y.at(t.low[i].Y)})
			wide = wide || t.high[i].Y > t.low[i].Y
		}
		if wide {
			slices.Reverse(lower)
			d.Ops = append(d.Ops, Area{Points: append(upper, lower...), Fill: Tint})
		}
	}
}

// strokes tell the series apart: colour, and dashes for who sees none.
var strokes = []Stroke{{Role: Ink, Width: 1.8}, {Role: Accent, Width: 1.8, Dash: 7}, {Role: Soft, Width: 1.8, Dash: 2.5}}

// trace draws a series: the limits of its interval thin, its line, and all that lies outside the bound thick and warm.
func (d *Drawing) trace(s scene, t trace, n int) {
	stroke := strokes[min(n, len(strokes)-1)]
	x1, x2 := t.mid[0].X, t.mid[len(t.mid)-1].X
	for _, p := range []path{t.low, t.high, t.mid} {
		normal, over := stroke, Stroke{Role: Over, Width: outside}
		if p[0] != t.mid[0] || p[len(p)-1] != t.mid[len(t.mid)-1] {
			normal.Width, over.Width = 0.9, 1.8
		}
		grid := s.grid(x1, x2, p)
		for i := 1; i < len(grid); i++ {
			middle := (grid[i-1] + grid[i]) / 2
			use := normal
			if !s.boundAt(middle).holds(p.at(middle)) {
				use = over
			}
			d.extend(Point{s.x.at(grid[i-1]), s.y.at(p.at(grid[i-1]))}, Point{s.x.at(grid[i]), s.y.at(p.at(grid[i]))}, use)
		}
	}
	if len(t.mid) == 1 {
		d.Ops = append(d.Ops, Circle{Point{s.x.at(x1), s.y.at(t.mid[0].Y)}, 2.5, stroke.Role, Stroke{}})
	}
}

// extend draws from a to b, going on with the last line where that ends at a and looks the same.
func (d *Drawing) extend(a, b Point, stroke Stroke) {
	if n := len(d.Ops); n > 0 {
		if l, ok := d.Ops[n-1].(Line); ok && l.Stroke == stroke && l.Points[len(l.Points)-1] == a {
			d.Ops[n-1] = Line{append(l.Points, b), stroke}
			return
		}
	}
	d.Ops = append(d.Ops, Line{[]Point{a, b}, stroke})
}

// legend names the series where there are several, in lines from y on, and returns the last base line.
func (d *Drawing) legend(traces []trace, y float64) float64 {
	if len(traces) < 2 {
		return y - 6
	}
	x, y := 0.0, y+12
	for i, t := range traces {
		w := 28 + textWidth(t.name, small)
		if x > 0 && x+w > d.Width {
			x, y = 0, y+15
		}
		d.line(x, y-4, x+22, y-4, strokes[min(i, len(strokes)-1)])
		d.write(x+28, y, small, Ink, Start, fit(t.name, small, d.Width-28))
		x += w + 18
	}
	return y
}

// edgeLabels returns the bound's texts, the upper first, x holding the value at the right end.
func (c Curve) edgeLabels(s scene) []label {
	var out []label
	for _, e := range []struct {
		p    path
		text string
	}{{s.max, c.MaxText}, {s.min, c.MinText}} {
		if len(e.p) == 0 {
			continue
		}
		if e.text == "" && len(e.p) == 1 {
			e.text = withUnit(short(e.p[0].Y), c.Y.Unit)
		}
		if e.text != "" {
			text := minus(e.text)
			out = append(out, label{e.p.at(s.x.high), textWidth(text, small), text})
		}
	}
	return out
}

// edgeTexts writes the bound's texts right of the plot, apart from each other.
func (d *Drawing) edgeTexts(s scene, edges []label, width float64) {
	var rows []label
	for _, e := range edges {
		rows = append(rows, label{s.y.at(e.x), small + 1, e.text})
	}
	place(rows, s.y.to-6, s.y.from+6, 1)
	for _, r := range rows {
		d.write(s.x.to+6, r.x+3.8, small, Ink, Start, fit(r.text, small, width-s.x.to-6))
	}
}

// describe tells the curve in words.
func (c Curve) describe() string {
	text := axisName(c.Y.Name, c.Y.Unit) + " over " + axisName(c.X.Name, c.X.Unit) + "."
	s, ok := c.scene()
	if !ok {
		return text + " No data."
	}
	for _, t := range s.traces {
		low, high := math.Inf(1), math.Inf(-1)
		for i := range t.mid {
			low, high = min(low, t.low[i].Y), max(high, t.high[i].Y)
		}
		name := t.name
		if name == "" {
			name = c.Y.Name
		}
		text += " " + name + " lies from " + minus(withUnit(number(low, s.y.decimals+1), c.Y.Unit)) + " to " + minus(withUnit(number(high, s.y.decimals+1), c.Y.Unit)) + "."
	}
	for _, e := range c.edgeLabels(s) {
		text += " Bound: " + e.text + "."
	}
	return text
}
