package figure

import "math"

// Drawing is one figure as a list of operations. Lengths are in px of 1/96 inch, x to the right and y downward from the top left corner.
type Drawing struct {
	Width, Height float64 // px, both > 0
	Title         string  // the figure's name for a reader by ear
	Description   string  // what it shows, in a sentence or two
	Ops           []Op    // drawn in this order
	Own           bool    // keeps its own width on a screen: a page scrolls it rather than shrink its text
}

// Point is a place on a drawing in px, or on a curve in the units of its axes.
type Point struct{ X, Y float64 }

// Stroke is how a line is drawn. The zero value draws nothing.
type Stroke struct {
	Role  Role
	Width float64 // px
	Dash  float64 // px on and off; 0: solid
}

// Anchor says which point of a text stands at its place.
type Anchor uint8

// A text's place is on its base line.
const (
	Start Anchor = iota
	Middle
	End
)

// Op is one drawing operation: Line, Lines, Area, Tone, Hatch, Circle or Text.
type Op interface{ send(sink) }

// Line is an open line through its points.
type Line struct {
	Points []Point
	Stroke Stroke
}

// Area is a closed polygon.
type Area struct {
	Points  []Point
	Fill    Role
	Outline Stroke
}

// Hatch covers a polygon with slanted lines, drawn by every sink in the same places.
type Hatch struct{ Points []Point }

// Circle is a disc or a ring.
type Circle struct {
	Centre  Point
	R       float64 // px
	Fill    Role
	Outline Stroke
}

// Text is one line of text.
type Text struct {
	At     Point
	Size   float64 // px
	Role   Role
	Anchor Anchor
	Text   string
}

// sink writes operations to a file of its kind.
type sink interface {
	lines(paths [][]Point, s Stroke)
	area(a Area)
	tone(t Tone)
	circle(c Circle)
	text(t Text)
}

func (l Line) send(s sink)   { s.lines([][]Point{l.Points}, l.Stroke) }
func (a Area) send(s sink)   { s.area(a) }
func (c Circle) send(s sink) { s.circle(c) }
func (t Text) send(s sink)   { s.text(t) }
func (h Hatch) send(s sink) {
	if paths := hatchLines(h.Points, hatchPitch); len(paths) > 0 {
		s.lines(paths, Stroke{Role: HatchLine, Width: 1.3})
	}
}

// px returns a length that every sink can write: a fault of ours in a layout must not become a NaN in a file.
func px(v float64) float64 {
	if math.IsNaN(v) {
		return 0
	}
	return max(-1e6, min(1e6, v)) + 0 // + 0 turns -0 into 0
}

func rectangle(x, y, w, h float64) []Point {
	return []Point{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}
}

func (d *Drawing) line(x1, y1, x2, y2 float64, s Stroke) {
	d.Ops = append(d.Ops, Line{[]Point{{x1, y1}, {x2, y2}}, s})
}

func (d *Drawing) write(x, y, size float64, role Role, a Anchor, text string) {
	if text != "" {
		d.Ops = append(d.Ops, Text{Point{x, y}, size, role, a, text})
	}
}

// band fills and hatches a rectangle of allowed values.
func (d *Drawing) band(x1, x2, y1, y2 float64) {
	r := rectangle(x1, y1, x2-x1, y2-y1)
	d.Ops = append(d.Ops, Area{Points: r, Fill: Band}, Hatch{r})
}

// foot closes a layout at height y with the small line that says where the figure comes from.
func (d *Drawing) foot(y float64, source string) {
	if source != "" {
		y += 15
		d.write(0, y-4, 10.5, Soft, Start, fit(source, 10.5, d.Width))
	}
	d.Height = math.Ceil(y)
}
