package diagram

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/figure"
)

// Scales between which a width is met, so that no text is below 9 px.
const (
	smallest = 0.9
	largest  = 1.2
)

// Drawing lays the circuit out. The width asked for chooses the scale between 0.9 and 1.2 of its natural size; where even the smallest is
// wider, as most circuits are on a phone, the drawing keeps its own width, for the page to scroll. 0 takes the natural size.
func (c Circuit) Drawing(width float64) figure.Drawing {
	title := cmp.Or(c.Title, "circuit")
	if len(c.Parts) == 0 {
		d := figure.Drawing{Width: 240, Height: 24, Title: title, Description: "The circuit has no parts."}
		d.Ops = append(d.Ops, figure.Text{At: figure.Point{X: 0, Y: 14}, Size: nameSize, Role: figure.Soft, Text: "no parts"})
		return d
	}
	l := newLayout(c)
	d := l.draw()
	d.Title, d.Description, d.Own = title, c.describe(l), true
	scale := 1.0
	if width > 0 && !math.IsInf(width, 1) {
		scale = max(smallest, min(largest, width/l.natural.X))
	}
	d = scaled(d, scale)
	if c.Source != "" {
		d.Height += 15
		d.Ops = append(d.Ops, figure.Text{At: figure.Point{X: 0, Y: d.Height - 4}, Size: 10.5, Role: figure.Soft, Text: figure.Fit(c.Source, 10.5, d.Width)})
	}
	return d
}

// draw puts the layout on paper at its natural size: wires, joints, symbols, words.
func (l *layout) draw() figure.Drawing {
	d := figure.Drawing{Width: math.Ceil(l.natural.X), Height: l.natural.Y}
	f := l.flows()
	l.drawWires(&d, f)
	var rooms []room
	for _, c := range l.cells {
		before := len(d.Ops)
		l.drawCell(&d, c, f)
		rooms = append(rooms, body(d.Ops[before:]))
	}
	l.nameNets(&d, append(rooms, taken(d.Ops)...))
	return d
}

// drawWires draws all wires and a dot at each joint.
func (l *layout) drawWires(d *figure.Drawing, f *flows) {
	for _, r := range l.runs() {
		l.drawRun(d, r, f)
	}
	for node := range l.h {
		if l.joint(node) {
			d.Ops = append(d.Ops, figure.Circle{Centre: l.point(node), R: 2.4 + 2*f.share(f.nodes[node]), Fill: f.role(f.nodes[node])})
		}
	}
}

// joint reports whether three or more ends of one net meet at a node.
func (l *layout) joint(node int) bool {
	for dir := range 4 {
		if owner, _ := l.edge(node, dir); owner != nil && *owner >= 0 && l.degree(node, *owner) >= 3 {
			return true
		}
	}
	return false
}

func (l *layout) point(node int) figure.Point {
	return figure.Point{X: l.xs[node%l.nx], Y: l.ys[node/l.nx]}
}

// drawCell draws a device with its words, or a terminal.
func (l *layout) drawCell(d *figure.Drawing, c cell, f *flows) {
	pins := l.places(l.netlist, c)
	if c.device < 0 {
		l.terminal(d, c, l.point(pins[0].node))
		return
	}
	a, b := l.point(pins[0].node), l.point(pins[1].node)
	middle := l.x(c.col, lineMiddle)
	p := pen{d: d, along: 1, aside: 1, role: figure.Ink, wire: f.stroke(0)}
	rail := c.slot == 0 || c.slot == l.slots+1
	if p.lying = rail; rail {
		p.centre = figure.Point{X: l.xs[middle], Y: a.Y}
		p.first, p.second = -math.Abs(a.X-p.centre.X), math.Abs(b.X-p.centre.X)
		if c.slot == 0 {
			p.aside = -1
		}
	} else {
		p.centre = figure.Point{X: l.xs[middle], Y: l.ys[l.top(c.slot)+1]}
		p.first, p.second = -math.Abs(a.Y-p.centre.Y), math.Abs(b.Y-p.centre.Y)
	}
	if c.flip {
		p.along = -1
	}
	dev := &l.devices[c.device]
	if dev.turned {
		p.along, p.first, p.second = -p.along, -p.second, -p.first
	}
	p.wire, p.gate = f.stroke(dev.current), -half
	if !rail {
		p.gate = l.xs[l.x(c.col, lineLeft)] - p.centre.X
	}
	l.symbol(&p, c, dev)
	l.openEnds(d, c, pins)
	l.words(d, c, &p)
}

// terminal draws a terminal on its rail, its name on the outer side.
func (l *layout) terminal(d *figure.Drawing, c cell, at figure.Point) {
	y := at.Y - 9
	if c.slot > 0 {
		y = at.Y + 20
	}
	d.Ops = append(d.Ops, figure.Circle{Centre: at, R: 3.2, Fill: figure.Paper, Outline: figure.Stroke{Role: figure.Ink, Width: lineWidth}},
		figure.Text{At: figure.Point{X: at.X, Y: y}, Size: nameSize, Role: figure.Ink, Anchor: figure.Middle, Text: l.names[c.net]})
}

// symbol draws the body, and a frame around it where the part gives way.
func (l *layout) symbol(p *pen, c cell, dev *device) {
	switch draw := symbols[dev.drawn()]; {
	case dev.outside && dev.kind == "load": // its terminals are drawn with it, whatever stands there
		l.load(p, dev)
	case dev.shows == Nothing:
		nothing(p)
	case draw != nil:
		draw(p)
	default:
		l.box(p, c, dev)
	}
	if dev.mark != "" {
		p.role = figure.Over
		p.rectangle(14.5, 13.5)
		p.rectangle(16, 15)
		p.role = figure.Ink
	}
}

// load draws whatever is fed, between its two terminals.
func (l *layout) load(p *pen, dev *device) {
	w, _ := dev.bodyHalf()
	p.lead(p.first+6, 0, -9, 0)
	p.lead(9, 0, p.second-6, 0)
	p.circle(p.first+3, 0, 3)
	p.circle(p.second-3, 0, 3)
	p.rectangle(9, w)
	p.word(dev.boxWord())
}

// box draws a rectangle with its kind in it and leads to all its pins.
func (l *layout) box(p *pen, c cell, dev *device) {
	w, _ := dev.bodyHalf()
	depth := 10.0
	for k := range dev.sides {
		y := l.ys[l.top(c.slot)+1+k]
		depth = max(depth, y-p.centre.Y+8)
		p.d.Ops = append(p.d.Ops, figure.Line{Points: []figure.Point{{X: l.xs[l.x(c.col, lineLeft)], Y: y}, {X: p.centre.X - w, Y: y}}, Stroke: p.stroke(lineWidth)})
	}
	low, high := -10.0, depth
	if p.along < 0 {
		low, high = -depth, 10
	}
	if p.lying {
		low, high, depth = -w, w, 10
		p.leads(low, high)
		p.outline(low, -10, high, -10, high, 10, low, 10)
	} else {
		p.leads(low, high)
		p.outline(low, -w, high, -w, high, w, low, w)
	}
	p.word(dev.boxWord())
}

func (p *pen) word(s string) {
	p.d.Ops = append(p.d.Ops, figure.Text{At: figure.Point{X: p.centre.X, Y: p.centre.Y + 3.4}, Size: boxSize, Role: p.role, Anchor: figure.Middle, Text: s})
}

const ringRadius = 2.2 // of an open end

// openEnds draws a ring at each pin that no wire reaches, and the name of its node.
func (l *layout) openEnds(d *figure.Drawing, c cell, pins []pinPlace) {
	for i, p := range pins {
		if l.touches(p.node, p.net) {
			continue
		}
		at := l.point(p.node)
		d.Ops = append(d.Ops, figure.Circle{Centre: at, R: ringRadius, Fill: figure.Paper, Outline: figure.Stroke{Role: figure.Ink, Width: 1}})
		t := figure.Text{At: figure.Point{X: at.X + 5, Y: at.Y + 3.4}, Size: valueSize, Role: figure.Soft, Text: l.names[p.net]}
		if t.Text != "" && i < 2 && l.devices[c.device].kind != "load" { // a side pin is named with its part, a load's terminal is drawn with its name
			d.Ops = append(d.Ops, t)
		}
	}
}

// words writes name and value: above the plus rail, below the minus rail, else at the right.
func (l *layout) words(d *figure.Drawing, c cell, p *pen) {
	dev := &l.devices[c.device]
	lines, off := dev.words(), 0.0
	if dev.mark != "" {
		off = 4 // clear of its frame
	}
	at, anchor := figure.Point{X: p.centre.X}, figure.Middle
	switch c.slot {
	case 0:
		at.Y = p.centre.Y - 17 - off - lineStep*float64(len(lines)-1)
	case l.slots + 1:
		at.Y = p.centre.Y + 20 + off + 6*float64(b2i(dev.mosfet()))
	default:
		_, right := dev.bodyHalf()
		at = figure.Point{X: p.centre.X + right + 5, Y: p.centre.Y + 4 - lineStep*float64(len(lines)-1)/2}
		anchor = figure.Start
	}
	if dev.kind == "load" && dev.outside {
		ends := []float64{p.first*p.along + 3*p.along, p.second*p.along - 3*p.along}
		if dev.turned {
			ends[0], ends[1] = ends[1], ends[0]
		}
		for i, y := range ends {
			d.Ops = append(d.Ops, figure.Text{At: figure.Point{X: p.centre.X + 7, Y: p.centre.Y + y + 3.6}, Size: nameSize, Role: figure.Ink, Text: terminals[2][i]})
		}
		return
	}
	for i, t := range lines {
		t.At, t.Anchor = figure.Point{X: at.X, Y: at.Y + lineStep*float64(i)}, anchor
		d.Ops = append(d.Ops, t)
	}
}

// scaled returns the drawing with all its lengths multiplied.
func scaled(d figure.Drawing, k float64) figure.Drawing {
	points := func(in []figure.Point) []figure.Point {
		out := make([]figure.Point, len(in))
		for i, p := range in {
			out[i] = figure.Point{X: p.X * k, Y: p.Y * k}
		}
		return out
	}
	one := func(p figure.Point) figure.Point { return figure.Point{X: p.X * k, Y: p.Y * k} }
	stroke := func(s figure.Stroke) figure.Stroke {
		s.Width, s.Dash = s.Width*k, s.Dash*k
		return s
	}
	for i, op := range d.Ops {
		switch op := op.(type) {
		case figure.Line:
			d.Ops[i] = figure.Line{Points: points(op.Points), Stroke: stroke(op.Stroke)}
		case figure.Area:
			d.Ops[i] = figure.Area{Points: points(op.Points), Fill: op.Fill, Outline: stroke(op.Outline)}
		case figure.Circle:
			d.Ops[i] = figure.Circle{Centre: one(op.Centre), R: op.R * k, Fill: op.Fill, Outline: stroke(op.Outline)}
		case figure.Text:
			op.At, op.Size = one(op.At), op.Size*k
			d.Ops[i] = op
		}
	}
	d.Width, d.Height = math.Ceil(d.Width*k), math.Ceil(d.Height*k)
	return d
}

// describe says in words what the drawing shows.
func (c Circuit) describe(l *layout) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Circuit of %d parts.", len(c.Parts))
	for _, line := range l.paths() {
		b.WriteString(" " + strings.ReplaceAll(line, "  ", " ") + ".")
	}
	for _, m := range c.Marks {
		fmt.Fprintf(&b, " %s: %s.", m.Part, cmp.Or(m.Text, givesWay))
	}
	return b.String()
}
