package figure

import (
	"cmp"
	"slices"
	"strings"
)

// Drawing lays the totals out; width 0 is 640 px. A gap is named in it where it is high enough, else beside it with a line that leads there.
func (t Totals) Drawing(width float64) Drawing {
	if !(width > 0) {
		width = figureWidth
	}
	d := Drawing{Width: width, Title: t.Title, Description: t.describe()}
	d.write(0, 12, 12, Soft, Start, fit(axisName(t.Axis.Name, t.Axis.Unit), 12, width))
	s, ok := t.scene()
	if !ok {
		d.foot(30, t.Source)
		return d
	}
	d.sumsFrame(&s)
	var ends []totalEnd
	for _, g := range s.gaps {
		d.gap(s, g)
	}
	for _, g := range s.gaps {
		if e, outside := d.gapText(s, g); outside {
			ends = append(ends, e)
		}
	}
	for _, c := range s.curves {
		d.stretch(s.scene, c.mid, c.stroke(), c.stroke())
		last := c.mid[len(c.mid)-1]
		ends = append(ends, totalEnd{at: s.y.at(last.Y), from: Point{s.x.at(last.X), s.y.at(last.Y)}, text: c.said, line: &c.trace})
	}
	d.totalEnds(s, ends, t.Axis.Unit)
	d.line(s.x.from, s.y.from, s.x.to, s.y.from, Stroke{Role: Soft, Width: 1})
	base := 0.0
	if s.nameless {
		base = d.monthsBelow(s.x, int(s.x.low), int(s.x.high+0.999999), s.y.from)
	} else {
		base = d.ticksBelow(s.x, s.y.from)
	}
	d.foot(base+6, t.Source)
	return d
}

// sumsFrame finds room between the numbers and the texts at the right, and draws the rules of the sums.
func (d *Drawing) sumsFrame(s *sums) {
	const top = 22.0
	height := max(180, min(270, d.Width*0.45))
	s.y.from, s.y.to = top+height, top
	labels := written(s.y.ticks(int(height/34)), func(t tick) label { return label{s.y.at(t.at), small + 1, t.text} }, 1)
	left, right := 0.0, 0.0
	for _, l := range labels {
		left = max(left, textWidth(l.text, small))
	}
	for _, c := range s.curves {
		right = max(right, textWidth(c.said, small))
	}
	for _, g := range s.gaps {
		right = max(right, textWidth(g.said, small))
	}
	s.x.from, s.x.to = left+8, d.Width-min(0.42*d.Width, right+endGutter)
	for _, l := range labels {
		d.line(s.x.from, l.x, s.x.to, l.x, Stroke{Role: Rule, Width: 0.8})
		d.write(left+2, l.x+3.8, small, Soft, End, l.text)
	}
	for i := range s.curves {
		s.curves[i].trace = s.curves[i].thinned(s.x)
	}
}

// endGutter is the room between a plot and the texts at its right, with a piece of line.
const endGutter = 40

// gap fills what lies between two totals where the upper is above: tones in turn, and what was not had hatched in the warm tone.
func (d *Drawing) gap(s sums, g gapSum) {
	role := []Role{Tint, Core, Band}[g.index%3]
	for _, area := range s.areas(g) {
		if !g.harm {
			d.Ops = append(d.Ops, Area{Points: area, Fill: role})
			continue
		}
		d.Ops = append(d.Ops, Lines{mirrored(area, 5), Stroke{Role: Over, Width: 1}})
	}
}

// mirrored are hatching lines that fall to the right, unlike those of the allowed region.
func mirrored(area []Point, pitch float64) [][]Point {
	flipped := slices.Clone(area)
	for i := range flipped {
		flipped[i].X = -flipped[i].X
	}
	lines := hatchLines(flipped, pitch)
	for _, l := range lines {
		for i := range l {
			l[i].X = -l[i].X
		}
	}
	return lines
}

// areas are the pieces of a gap on the drawing, each where the upper total is above the lower.
func (s sums) areas(g gapSum) (out [][]Point) {
	var over, under []Point
	flush := func() {
		if len(over) > 1 {
			slices.Reverse(under)
			out = append(out, append(over, under...))
		}
		over, under = nil, nil
	}
	add := func(x, up, low float64) {
		over, under = append(over, Point{s.x.at(x), s.y.at(up)}), append(under, Point{s.x.at(x), s.y.at(low)})
	}
	grid := s.shared(g)
	for i, x := range grid {
		up, low := s.curves[g.upper].mid.at(x), s.curves[g.lower].mid.at(x)
		if i > 0 {
			up0, low0 := s.curves[g.upper].mid.at(grid[i-1]), s.curves[g.lower].mid.at(grid[i-1])
			if a, b := up0-low0, up-low; a < 0 != (b < 0) {
				at := a / (a - b)
				middle := up0 + at*(up-up0)
				add(grid[i-1]+at*(x-grid[i-1]), middle, middle)
				if b < 0 {
					flush()
				}
			}
		}
		if up >= low {
			add(x, up, low)
		}
	}
	flush()
	return out
}

// shared are the x, rising, of both totals of a gap where both are there.
func (s sums) shared(g gapSum) (grid []float64) {
	a, b := s.curves[g.upper].mid, s.curves[g.lower].mid
	from, to := max(a[0].X, b[0].X), min(a[len(a)-1].X, b[len(b)-1].X)
	for _, p := range slices.Concat(a, b) {
		if p.X >= from && p.X <= to {
			grid = append(grid, p.X)
		}
	}
	slices.Sort(grid)
	return slices.Compact(grid)
}

// gapText names a gap where its text has room in it, as far to the right as may be; if there is none, it is to be named at the right end.
func (d *Drawing) gapText(s sums, g gapSum) (e totalEnd, outside bool) {
	w := textWidth(g.said, small)
	up, low := s.curves[g.upper].mid, s.curves[g.lower].mid
	for right := s.x.to - 6; right-w > s.x.from; right -= 4 {
		top, bottom := 0.0, s.y.from
		for k := range 9 {
			x := s.x.low + (right-w*float64(k)/8-s.x.from)/(s.x.to-s.x.from)*(s.x.high-s.x.low)
			above := s.y.at(up.at(x))
			top, bottom = max(top, above), min(bottom, s.y.at(low.at(x)))
			for _, c := range s.curves { // no total may run through the text
				if y := s.y.at(c.mid.at(x)); y > above+0.01 {
					bottom = min(bottom, y)
				}
			}
		}
		y := (top+bottom)/2 + 3.8
		if bottom-top < small+6 || !d.free(right-w, right, y) {
			continue
		}
		if g.harm { // hatching would run through the text
			d.Ops = append(d.Ops, Area{Points: rectangle(right-w-3, y-small+0.5, w+6, small+3), Fill: Paper})
		}
		d.write(right, y, small, Ink, End, g.said)
		return e, false
	}
	x := s.shared(g)
	last := x[len(x)-1]
	at := (s.y.at(up.at(last)) + s.y.at(low.at(last))) / 2
	return totalEnd{at: at, from: Point{s.x.at(last) - 3, at}, text: g.said, harm: g.harm}, true
}

// free reports whether no text stands near a place for another.
func (d *Drawing) free(left, right, y float64) bool {
	for _, op := range d.Ops {
		t, ok := op.(Text)
		if !ok {
			continue
		}
		w := textWidth(t.Text, t.Size)
		from := t.At.X - w*float64(t.Anchor)/2
		if from < right+4 && left-4 < from+w && y-t.At.Y < t.Size+2 && t.At.Y-y < t.Size+2 {
			return false
		}
	}
	return true
}

// totalEnd is what is written at the right end: a total with a piece of its line, or a gap with a line that leads to it.
type totalEnd struct {
	at   float64 // px
	from Point   // where the total ends, or what the line leads to
	text string
	line *trace
	harm bool
}

// totalEnds writes what stands at the right; without the axis' unit where one of them has no room for it.
func (d *Drawing) totalEnds(s sums, ends []totalEnd, unit string) {
	slices.SortStableFunc(ends, func(a, b totalEnd) int { return cmp.Compare(a.at, b.at) })
	rows := make([]label, len(ends))
	for i, e := range ends {
		rows[i] = label{e.at, small + 2, e.text}
	}
	place(rows, s.y.to-8, s.y.from+8, 1)
	x := s.x.to + 14
	room := d.Width - x - 24
	bare := slices.ContainsFunc(ends, func(e totalEnd) bool { return textWidth(e.text, small) > room })
	for i, e := range ends {
		y := rows[i].x
		lead := Stroke{Role: Soft, Width: 0.7}
		if e.line == nil {
			d.Ops = append(d.Ops, Circle{Centre: e.from, R: 1.6, Fill: Ink}, Line{[]Point{e.from, {x + 3, y}, {x + 20, y}}, lead})
		} else {
			if e.from.X > s.x.to-4 {
				d.line(s.x.to+1, e.from.Y, x-1, y, lead)
			}
			d.sample(*e.line, x+2, y)
		}
		text := e.text
		if bare {
			text = strings.TrimSuffix(text, withUnit("", unit))
		}
		d.write(x+24, y+3.8, small, Ink, Start, fit(text, small, room))
	}
}
