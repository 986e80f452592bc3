package figure

// Drawing lays the trade-off out; width 0 is 640 px. Settings differ by the shape of their points, groups by their stroke; the product's choice is ringed.
func (t Tradeoff) Drawing(width float64) Drawing {
	if !(width > 0) {
		width = figureWidth
	}
	d := Drawing{Width: width, Title: t.Title, Description: t.describe()}
	d.write(0, 12, 12, Soft, Start, fit(axisName(t.Y.Name, t.Y.unit())+t.better(t.MoreY), 12, width))
	s, ok := t.scene()
	if !ok {
		d.foot(30, t.Source)
		return d
	}
	d.tradeFrame(&s)
	d.Ops = append(d.Ops, Lines{s.stairs(), frontStroke})
	for _, p := range s.paths {
		if p.apart {
			continue
		}
		var line []Point
		for _, q := range p.points {
			line = append(line, s.px(q))
		}
		d.Ops = append(d.Ops, Line{line, strokes[p.group%len(strokes)]})
	}
	for _, p := range s.paths {
		for _, q := range p.points {
			d.tradePoint(s, p, q)
		}
	}
	d.tradeTexts(s)
	d.line(s.x.from, s.y.from, s.x.to, s.y.from, Stroke{Role: Soft, Width: 1})
	y := d.ticksBelow(s.x, s.y.from) + 16
	middle := (s.x.from + s.x.to) / 2
	d.write(middle, y, 12, Soft, Middle, fit(axisName(t.X.Name, t.X.unit())+t.better(t.MoreX), 12, 2*min(middle, width-middle)))
	d.foot(y+6, t.Source)
	return d
}

// better says which way is better on an axis.
func (t Tradeoff) better(more bool) string {
	if more {
		return " (more is better)"
	}
	return " (less is better)"
}

// tradeFrame writes the key above, finds room for the plot and draws its rules and numbers.
func (d *Drawing) tradeFrame(s *trades) {
	top := d.tradeKey(*s, 30) + 10
	height := max(170, min(280, d.Width*0.5))
	s.y.from, s.y.to = top+height, top
	labels := written(s.y.ticks(int(height/34)), func(t tick) label { return label{s.y.at(t.at), small + 1, t.text} }, 1)
	left := 0.0
	for _, l := range labels {
		left = max(left, textWidth(l.text, small))
	}
	s.x.from, s.x.to = left+8, d.Width-12
	for _, l := range labels {
		d.line(s.x.from, l.x, s.x.to, l.x, Stroke{Role: Rule, Width: 0.8})
		d.write(left+2, l.x+3.8, small, Soft, End, l.text)
	}
}

// tradeKey names shapes, strokes and the choice from base line y on, and returns the last base line.
func (d *Drawing) tradeKey(s trades, y float64) float64 {
	x := 0.0
	item := func(text string, sample func(at Point)) {
		w := sample18 + textWidth(text, small)
		if x > 0 && x+w > d.Width {
			x, y = 0, y+15
		}
		sample(Point{x + 8, y - 4})
		d.write(x+sample18, y, small, Ink, Start, fit(text, small, d.Width-x-sample18))
		x += w + 16
	}
	for i, g := range s.groups {
		if g != "" {
			item(g, func(at Point) { d.line(at.X-8, at.Y, at.X+10, at.Y, strokes[i%len(strokes)]) })
		}
	}
	for i, n := range s.names {
		if n != "" {
			item(n, func(at Point) { d.dot(at, i, Ink) })
		}
	}
	if s.chosen {
		item("the product's choice", func(at Point) { d.Ops = append(d.Ops, choice(at)) })
	}
	if len(s.stairs()) > 0 {
		item("not bettered on both", func(at Point) { d.line(at.X-8, at.Y, at.X+10, at.Y, frontStroke) })
	}
	return y
}

const sample18 = 24 // px, a sign of the key with its gap

var frontStroke = Stroke{Role: Edge, Width: 1.2, Dash: 2}

// choice is the ring around the product's own point.
func choice(at Point) Circle { return Circle{at, 7.5, None, Stroke{Role: Ink, Width: 1.6}} }

// tradePoint draws a point with its intervals.
func (d *Drawing) tradePoint(s trades, p tradeLine, q tradeDot) {
	at, thin := s.px(q), Stroke{Role: Soft, Width: 0.8}
	if q.high.X > q.low.X {
		d.line(s.x.at(q.low.X), at.Y, s.x.at(q.high.X), at.Y, thin)
	}
	if q.high.Y > q.low.Y {
		d.line(at.X, s.y.at(q.low.Y), at.X, s.y.at(q.high.Y), thin)
	}
	d.dot(at, p.name, strokes[p.group%len(strokes)].Role)
	if q.chosen {
		d.Ops = append(d.Ops, choice(at))
	}
}

// taken are points close to each other along all that is drawn.
func (s trades) taken() (out []Point) {
	along := func(a, b Point) {
		const pieces = 40
		for k := range pieces + 1 {
			out = append(out, Point{a.X + (b.X-a.X)*float64(k)/pieces, a.Y + (b.Y-a.Y)*float64(k)/pieces})
		}
	}
	for _, p := range s.paths {
		for i, q := range p.points {
			at := s.px(q)
			along(Point{s.x.at(q.low.X), at.Y}, Point{s.x.at(q.high.X), at.Y})
			along(Point{at.X, s.y.at(q.low.Y)}, Point{at.X, s.y.at(q.high.Y)})
			if i > 0 && !p.apart {
				along(s.px(p.points[i-1]), at)
			}
		}
	}
	for _, line := range s.stairs() {
		for i := 1; i < len(line); i++ {
			along(line[i-1], line[i])
		}
	}
	return out
}

// tradeTexts writes the choices beside their points, the product's own first, each where it touches no other text, point or line; where there is no such place it is left out.
func (d *Drawing) tradeTexts(s trades) {
	taken := s.taken()
	write := func(q tradeDot) {
		at, w, off := s.px(q), textWidth(q.text, small), 7.0
		if q.chosen {
			off = 11
		}
		for _, c := range []struct{ x, y float64 }{{at.X + off, at.Y + 3.8}, {at.X - off - w, at.Y + 3.8}, {at.X - w/2, at.Y - off - 1}, {at.X - w/2, at.Y + off + 9},
			{at.X + off - 2, at.Y - off + 1}, {at.X - off + 2 - w, at.Y - off + 1}, {at.X + off - 2, at.Y + off + 6}, {at.X - off + 2 - w, at.Y + off + 6}} {
			inside := c.x >= s.x.from+2 && c.x+w <= d.Width && c.y-small >= s.y.to-6 && c.y < s.y.from-2
			for _, p := range taken {
				inside = inside && !(p.X > c.x-3 && p.X < c.x+w+3 && p.Y > c.y-small && p.Y < c.y+4)
			}
			if inside && d.free(c.x, c.x+w, c.y) {
				d.write(c.x, c.y, small, Ink, Start, q.text)
				return
			}
		}
	}
	for _, chosen := range []bool{true, false} {
		for _, p := range s.paths {
			for _, q := range p.points {
				if q.chosen == chosen && q.text != "" {
					write(q)
				}
			}
		}
	}
}
