package figure

import "slices"

// intervals tints the series' intervals, the inner ones darker.
func (d *Drawing) intervals(s scene) {
	for _, t := range s.traces {
		if !t.points {
			d.between(s, t.line(t.low), t.line(t.high), Tint)
		}
	}
	for _, t := range s.traces {
		if !t.points {
			d.between(s, t.line(t.innerLow), t.line(t.innerHigh), Core)
		}
	}
}

// between fills what lies between two paths, unless they are one.
func (d *Drawing) between(s scene, low, high path, role Role) {
	var upper, lower []Point
	wide := false
	for i := range low {
		upper = append(upper, Point{s.x.at(high[i].X), s.y.at(high[i].Y)})
		lower = append(lower, Point{s.x.at(low[i].X), s.y.at(low[i].Y)})
		wide = wide || high[i].Y > low[i].Y
	}
	if wide {
		slices.Reverse(lower)
		d.Ops = append(d.Ops, Area{Points: append(upper, lower...), Fill: role})
	}
}

// strokes tell the series apart: colour, and dashes and weight for who sees none.
var strokes = []Stroke{
	{Role: Ink, Width: 1.8}, {Role: Accent, Width: 1.8, Dash: 7}, {Role: Soft, Width: 1.8, Dash: 2.5},
	{Role: Accent, Width: 1.2}, {Role: Ink, Width: 2.8, Dash: 12}, {Role: Soft, Width: 2.8, Dash: 4},
}

func (t trace) stroke() Stroke { return strokes[t.index%len(strokes)] }

// trace draws a series: the limits of its interval thin, its line, and all that lies outside the bound thick and warm.
func (d *Drawing) trace(s scene, t trace) {
	if t.points {
		d.dots(s, t)
		return
	}
	limits := Stroke{Role: t.stroke().Role, Width: 0.8, Dash: t.stroke().Dash}
	for _, p := range []path{t.innerLow, t.innerHigh} {
		d.stretch(s, t.line(p), limits, limits)
	}
	for i, p := range []path{t.low, t.high, t.mid} {
		normal, over := limits, Stroke{Role: Over, Width: 1.8}
		if i == 2 {
			normal, over = t.stroke(), Stroke{Role: Over, Width: outside}
		} else if slices.Equal(p, t.mid) {
			continue
		}
		d.stretch(s, t.line(p), normal, over)
	}
	if len(t.mid) == 1 {
		x, b := s.x.at(t.mid[0].X), s.boundAt(t.mid[0].X)
		d.mark(Mark{Best: t.mid[0].Y, Low: t.low[0].Y, High: t.high[0].Y}, track{axis: s.y, across: x, upright: true}, b, "")
	}
}

// stretch draws a path, with another stroke where it lies outside the bound.
func (d *Drawing) stretch(s scene, p path, normal, over Stroke) {
	for i := 1; i < len(p); i++ {
		for _, c := range s.cut(p[i-1], p[i]) {
			if !s.y.holds(c.a.Y) || !s.y.holds(c.b.Y) {
				continue
			}
			use := normal
			if c.over {
				use = over
			}
			d.extend(Point{s.x.at(c.a.X), s.y.at(c.a.Y)}, Point{s.x.at(c.b.X), s.y.at(c.b.Y)}, use)
		}
	}
}

// stretched is a part of a straight line on one side of the bound.
type stretched struct {
	a, b Point
	over bool
}

// cut divides the line from a to b, which may be upright, where it crosses the bound.
func (s scene) cut(a, b Point) []stretched {
	if len(s.min)+len(s.max) == 0 {
		return []stretched{{a, b, false}}
	}
	knots := []Point{a}
	along := func(p, q Point, t float64) Point { return Point{p.X + t*(q.X-p.X), p.Y + t*(q.Y-p.Y)} }
	if b.X > a.X {
		for _, x := range s.grid(a.X, b.X)[1:] {
			knots = append(knots, along(a, b, (x-a.X)/(b.X-a.X)))
		}
		knots[len(knots)-1] = b
	} else {
		knots = append(knots, b)
	}
	var out []stretched
	for i := 1; i < len(knots); i++ {
		p, q := knots[i-1], knots[i]
		places := []float64{0, 1}
		for _, limit := range []path{s.min, s.max} {
			if len(limit) == 0 {
				continue
			}
			dp, dq := p.Y-limit.at(p.X), q.Y-limit.at(q.X)
			if dp < 0 != (dq < 0) {
				places = append(places, dp/(dp-dq))
			}
		}
		slices.Sort(places)
		for k := 1; k < len(places); k++ {
			if places[k] == places[k-1] {
				continue
			}
			middle := along(p, q, (places[k]+places[k-1])/2)
			out = append(out, stretched{along(p, q, places[k-1]), along(p, q, places[k]), !s.boundAt(middle.X).holds(middle.Y)})
		}
	}
	return out
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

// dots draws a series of points, each with the whisker of its interval.
func (d *Drawing) dots(s scene, t trace) {
	for i, p := range t.mid {
		x, b := s.x.at(p.X), s.boundAt(p.X)
		whisker := track{axis: s.y, across: x, upright: true}
		for _, part := range b.pieces(t.low[i].Y, t.high[i].Y) {
			stroke := Stroke{Role: Ink, Width: 0.9}
			if part.over {
				stroke = Stroke{Role: Over, Width: 1.8}
			}
			d.along(whisker, s.y.at(part.low), s.y.at(part.high), stroke)
		}
		role := t.stroke().Role
		if !b.holds(p.Y) {
			role = Over
		}
		d.dot(Point{x, s.y.at(p.Y)}, t.index, role)
	}
}

// dot draws one point; the shapes tell series apart and are none of those that evidence has.
func (d *Drawing) dot(c Point, index int, role Role) {
	thin := Stroke{Role: role, Width: 1.4}
	stroke := func(dx, dy float64) { d.line(c.X-dx, c.Y-dy, c.X+dx, c.Y+dy, thin) }
	diamond := []Point{{c.X, c.Y - 4}, {c.X + 4, c.Y}, {c.X, c.Y + 4}, {c.X - 4, c.Y}}
	switch index % len(strokes) {
	case 0:
		d.Ops = append(d.Ops, Circle{c, 2.6, role, Stroke{Role: Paper, Width: 0.6}})
	case 1:
		stroke(3, 3)
		stroke(3, -3)
	case 2:
		d.Ops = append(d.Ops, Area{diamond, Paper, thin})
	case 3:
		stroke(4, 0)
		stroke(0, 4)
	case 4:
		d.Ops = append(d.Ops, Area{diamond, role, Stroke{}})
	default:
		stroke(4, 0)
	}
}
