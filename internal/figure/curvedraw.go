package figure

import (
	"math"
	"slices"
)

// Drawing lays the curve out; width 0 is 640 px.
func (c Curve) Drawing(width float64) Drawing {
	if !(width > 0) {
		width = figureWidth
	}
	d := Drawing{Width: width, Title: c.Title, Description: c.describe()}
	d.write(0, 12, 12, Soft, Start, fit(axisName(c.Y.Name, c.Y.unit()), 12, width))
	s, ok := c.scene()
	if !ok {
		d.foot(30, c.Source)
		return d
	}
	ends := c.endTexts(s, width)
	d.frame(&s, ends)
	d.region(s)
	if s.hasLevel {
		d.line(s.x.from, s.y.at(s.level), s.x.to, s.y.at(s.level), Stroke{Role: Soft, Width: 1})
	}
	for _, t := range s.traces {
		d.trace(s, t)
	}
	for _, m := range s.marks {
		d.mark(m.Mark, track{axis: s.y, across: s.x.at(m.X), upright: true}, s.boundAt(m.X), c.Y.Unit)
	}
	d.endTexts(s, ends)
	d.line(s.x.from, s.y.from, s.x.to, s.y.from, Stroke{Role: Soft, Width: 1})
	y := d.ticksBelow(s.x, s.y.from)
	if name := axisName(c.X.Name, c.X.unit()); name != "" {
		y += 16
		d.write((s.x.from+s.x.to)/2, y, 12, Soft, Middle, fit(name, 12, 2*min((s.x.from+s.x.to)/2, width-(s.x.from+s.x.to)/2)))
	}
	d.foot(y+6, c.Source)
	return d
}

// unit is that of the axis' numbers.
func (a Axis) unit() string {
	switch {
	case a.Scale == Weibull:
		return "%"
	case a.Scale == Dates:
		return ""
	}
	return a.Unit
}

// frame finds room for the plot between legend, numbers and the texts at its right, and draws the ticks of the y axis, and on ruled paper of both.
func (d *Drawing) frame(s *scene, ends []endText) {
	top := 20.0
	if !direct(ends) {
		top = d.legend(s.traces, 18) + 8
	}
	height := max(150, min(250, d.Width*0.5))
	s.y.from, s.y.to = top+height, top
	ticks := s.y.ticks(int(height / 34))
	labels := written(ticks, func(t tick) label { return label{s.y.at(t.at), small + 1, t.text} }, 1)
	left, right := 0.0, 8.0
	for _, l := range labels {
		left = max(left, textWidth(l.text, small))
	}
	for _, e := range ends {
		right = max(right, min(0.38*d.Width, e.width())+8)
	}
	s.x.from, s.x.to = left+8, d.Width-right
	rule := Stroke{Role: Rule, Width: 0.8}
	for _, t := range ticks {
		d.line(s.x.from, s.y.at(t.at), s.x.to, s.y.at(t.at), rule)
	}
	for _, l := range labels {
		d.write(left+2, l.x+3.8, small, Soft, End, l.text)
	}
	if ruled := s.x.scale == Log || s.y.scale == Weibull; ruled {
		for _, t := range s.x.ticks(max(2, int((s.x.to-s.x.from)/64))) {
			d.line(s.x.at(t.at), s.y.from, s.x.at(t.at), s.y.to, rule)
		}
	}
	for i, t := range s.traces {
		s.traces[i] = t.thinned(s.x)
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

// describe tells the curve in words.
func (c Curve) describe() string {
	text := axisName(c.Y.Name, c.Y.unit()) + " over " + axisName(c.X.Name, c.X.unit()) + "."
	s, ok := c.scene()
	if !ok {
		return text + " No data."
	}
	for _, t := range s.traces {
		low, high := math.Inf(1), math.Inf(-1)
		for i := range t.mid {
			low, high = min(low, max(s.y.low, t.low[i].Y)), max(high, min(s.y.high, t.high[i].Y))
		}
		name := t.name
		if name == "" {
			name = c.Y.Name
		}
		text += " " + name + " lies from " + minus(s.y.say(low, c.Y.unit())) + " to " + minus(s.y.say(high, c.Y.unit())) + "."
	}
	for _, e := range c.edgeLabels(s) {
		text += " Bound: " + e.text + "."
	}
	return text
}
