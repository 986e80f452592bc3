package diagram

import (
	"math"

	"hindwatt/internal/figure"
)

// pen draws a symbol in its own directions: u from the first main pin to the second, v across; a gate lies at negative v.
type pen struct {
	d            *figure.Drawing
	centre       figure.Point
	lying        bool
	along, aside float64       // 1, or -1 where turned round
	first        float64       // u of the first pin, < 0
	second       float64       // u of the second pin, > 0
	role         figure.Role   // of the lines
	wire         figure.Stroke // of the leads
	gate         float64       // v of the gate pin, < 0
}

const lineWidth = 1.3

func (p *pen) at(u, v float64) figure.Point {
	if u, v = u*p.along, v*p.aside; p.lying {
		return figure.Point{X: p.centre.X + u, Y: p.centre.Y + v}
	}
	return figure.Point{X: p.centre.X + v, Y: p.centre.Y + u}
}

func (p *pen) points(uv ...float64) []figure.Point {
	var out []figure.Point
	for i := 0; i+1 < len(uv); i += 2 {
		out = append(out, p.at(uv[i], uv[i+1]))
	}
	return out
}

func (p *pen) stroke(width float64) figure.Stroke { return figure.Stroke{Role: p.role, Width: width} }

// line draws an open line through places given as u, v, u, v …
func (p *pen) line(uv ...float64) {
	p.d.Ops = append(p.d.Ops, figure.Line{Points: p.points(uv...), Stroke: p.stroke(lineWidth)})
}

func (p *pen) thick(uv ...float64) {
	p.d.Ops = append(p.d.Ops, figure.Line{Points: p.points(uv...), Stroke: p.stroke(2.6)})
}

// filled draws a closed polygon filled with ink.
func (p *pen) filled(uv ...float64) {
	p.d.Ops = append(p.d.Ops, figure.Area{Points: p.points(uv...), Fill: p.role})
}

func (p *pen) outline(uv ...float64) {
	p.d.Ops = append(p.d.Ops, figure.Area{Points: p.points(uv...), Outline: p.stroke(lineWidth)})
}

func (p *pen) rectangle(u, v float64) { p.outline(-u, -v, u, -v, u, v, -u, v) }

func (p *pen) circle(u, v, r float64) {
	p.d.Ops = append(p.d.Ops, figure.Circle{Centre: p.at(u, v), R: r, Outline: p.stroke(lineWidth)})
}

// arc draws part of a circle around u, v from one angle to another, degrees from the direction of u.
func (p *pen) arc(u, v, r, from, to float64) {
	var uv []float64
	for k := range 13 {
		a := (from + (to-from)*float64(k)/12) * math.Pi / 180
		uv = append(uv, u+r*math.Cos(a), v+r*math.Sin(a))
	}
	p.line(uv...)
}

// leads draws the two lines from the pins to the body.
func (p *pen) leads(from, to float64) {
	p.lead(p.first, 0, from, 0)
	p.lead(to, 0, p.second, 0)
}

func (p *pen) lead(uv ...float64) {
	p.d.Ops = append(p.d.Ops, figure.Line{Points: p.points(uv...), Stroke: p.wire})
}
