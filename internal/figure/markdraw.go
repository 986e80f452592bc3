package figure

import "math"

const (
	inside  = 1.6 // px, interval within the bound
	outside = 3.4 // px, interval outside it
	tail    = 22  // px, end of an interval without a limit
)

func strokeOf(over bool) Stroke {
	if over {
		return Stroke{Role: Over, Width: outside}
	}
	return Stroke{Role: Ink, Width: inside}
}

// symbol draws a mark's shape about its centre.
func (d *Drawing) symbol(k MarkKind, carried bool, c Point, role Role) {
	hollow, solid := Stroke{Role: role, Width: 1.8}, Stroke{Role: Paper, Width: 1}
	switch {
	case k == Measured && carried:
		d.Ops = append(d.Ops, Area{rectangle(c.X-3.6, c.Y-3.6, 7.2, 7.2), Paper, hollow})
	case k == Measured:
		d.Ops = append(d.Ops, Area{rectangle(c.X-4.3, c.Y-4.3, 8.6, 8.6), role, solid})
	case k == Recorded && carried:
		d.Ops = append(d.Ops, Area{triangle(c, 4.6), Paper, hollow})
	case k == Recorded:
		d.Ops = append(d.Ops, Area{triangle(c, 5.4), role, solid})
	default:
		d.Ops = append(d.Ops, Circle{c, 4.2, Paper, hollow})
	}
}

func triangle(c Point, r float64) []Point {
	return []Point{{c.X, c.Y - r}, {c.X + 1.1*r, c.Y + 0.8*r}, {c.X - 1.1*r, c.Y + 0.8*r}}
}

// track is the line on which a mark lies: along an axis, at one place across it.
type track struct {
	axis
	across  float64
	upright bool
}

func (t track) point(along, aside float64) Point {
	if t.upright {
		return Point{t.across + aside, along}
	}
	return Point{along, t.across + aside}
}

// toward is +1 where places rise with values, else -1.
func (t track) toward() float64 { return math.Copysign(1, t.to-t.from) }

func (d *Drawing) along(t track, from, to float64, s Stroke) {
	if from != to {
		d.Ops = append(d.Ops, Line{[]Point{t.point(from, 0), t.point(to, 0)}, s})
	}
}

// arrow is a head that ends at a place and points along dir (+1 or -1).
func (d *Drawing) arrow(t track, end, dir float64, role Role) {
	d.Ops = append(d.Ops, Area{Points: []Point{t.point(end, 0), t.point(end-8*dir, -4.5), t.point(end-8*dir, 4.5)}, Fill: role})
}

// mark draws one mark: its interval cut at the bound, an arrow where it leaves the axis, a tail of dots where it has no limit.
func (d *Drawing) mark(m Mark, t track, b bound, unit string) {
	for _, p := range b.pieces(m.Low, m.High) {
		d.piece(p, t)
	}
	up, overHigh, overLow := t.toward(), m.High > b.max, m.Low < b.min
	if m.High > t.high && !m.OpenHigh {
		d.arrow(t, t.to+4*up, up, strokeOf(overHigh).Role)
	}
	if m.Low < t.low && !m.OpenLow {
		d.arrow(t, t.from-4*up, -up, strokeOf(overLow).Role)
	}
	place, role := t.at(m.Best), strokeOf(!b.holds(m.Best)).Role
	if !t.holds(m.Best) {
		place = d.beyond(m, t, unit, role)
	}
	d.symbol(m.Kind, m.Carried, t.point(place, 0), role)
}

// piece draws a part of an interval; its end without a limit fades into dots.
func (d *Drawing) piece(p piece, t track) {
	from, to, s, up := t.at(p.low), t.at(p.high), strokeOf(p.over), t.toward()
	dots := s
	dots.Dash = 2.2
	if length := math.Abs(to - from); p.low == -limit {
		end := from + up*min(tail, length)
		d.along(t, from, end, dots)
		from = end
	}
	if length := math.Abs(to - from); p.high == limit {
		end := to - up*min(tail, length)
		d.along(t, end, to, dots)
		to = end
	}
	d.along(t, from, to, s)
}

// beyond draws the way from a mark that stands off the axis to the axis' end, with its value, and returns the mark's place.
func (d *Drawing) beyond(m Mark, t track, unit string, role Role) float64 {
	end, dir, anchor := t.to, t.toward(), End
	if m.Best < t.low {
		end, dir, anchor = t.from, -t.toward(), Start
	}
	place := end - 18*dir
	d.along(t, place, end, Stroke{Role: role, Width: outside})
	d.arrow(t, end+4*dir, dir, role)
	if !t.upright {
		d.write(place-9*dir, t.across+3.8, 11, Ink, anchor, minus(withUnit(significant(m.Best, 4), unit)))
	}
	return place
}
