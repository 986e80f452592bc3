package heat

import "math"

// A Shape is the outside of a body.
type Shape int

// The shapes.
const (
	BoxShape    Shape = iota // length × width × height
	TubeShape                // length × diameter
	SleeveShape              // length × width × height, flattened
)

// A Position says how a body stands or lies.
type Position int

// Flat: length and width lie level. Upright: the length stands, length × width is the back.
const (
	Flat Position = iota
	Upright
)

// A Mount says what a body is fixed on, by its face of length × width.
type Mount int

// The mounts.
const (
	Free Mount = iota
	OnWood
	OnMetal
)

// Conductance returns what a mount carries away for each m² of the face on it, W/(m²·K): best, and the
// range in which it may lie. Estimates: wood 10 to 30 mm thick (0.13 W/(m·K)) with air behind it or none;
// a bare steel or aluminium plate of some 1 to 2 mm that is large beside the body, with
// an air gap of 0.1 to 1 mm.
func (m Mount) Conductance() (best, low, high float64) {
	switch m {
	case OnWood:
		return 3, 1, 6
	case OnMetal:
		return 50, 15, 150
	}
	return 0, 0, 0
}

// A Body is a closed body of one surface temperature.
type Body struct {
	Shape    Shape
	Size     [3]float64 // m; a tube has length, diameter, 0
	Position Position
	Mount    Mount
}

// Faces returns the faces that stand in the air, and the area that is covered by the mount.
func (b Body) Faces() (faces []Face, covered float64) {
	if b.Shape == TubeShape {
		return b.tube()
	}
	l, w, h := b.Size[0], b.Size[1], b.Size[2]
	if b.Mount != Free {
		covered = l * w
	}
	if b.Position == Upright {
		plate := w * h
		length := plate / (2 * (w + h))
		return []Face{{Vertical, l, 2*l*(w+h) - covered}, {FacingUp, length, plate}, {FacingDown, length, plate}}, covered
	}
	plate := l * w
	length := plate / (2 * (l + w)) // area over perimeter
	faces = []Face{{Vertical, h, 2 * h * (l + w)}, {FacingUp, length, plate}}
	if covered == 0 {
		faces = append(faces, Face{FacingDown, length, plate})
	}
	return faces, covered
}

// tube takes ends as plates as high as the diameter and, upright, the mantle as a plate: for a slender tube
// that is below the truth. A mount covers a quarter of the mantle (estimate).
func (b Body) tube() (faces []Face, covered float64) {
	l, d := b.Size[0], b.Size[1]
	mantle, end := math.Pi*d*l, math.Pi*d*d/4
	if b.Mount != Free {
		covered = mantle / 4
	}
	if b.Position == Upright {
		return []Face{{Vertical, l, mantle - covered}, {FacingUp, d / 4, end}, {FacingDown, d / 4, end}}, covered
	}
	return []Face{{HorizontalCylinder, d, mantle - covered}, {Vertical, d, 2 * end}}, covered
}

// Area returns the whole outside, m².
func (b Body) Area() float64 {
	l, w, h := b.Size[0], b.Size[1], b.Size[2]
	if b.Shape == TubeShape {
		return math.Pi * w * (l + w/2)
	}
	return 2 * (l*w + l*h + w*h)
}

// Projected returns the largest area that the sun can see square on, m².
func (b Body) Projected() float64 {
	l, w, h := b.Size[0], b.Size[1], b.Size[2]
	if b.Shape == TubeShape {
		return l * w
	}
	return max(l*w, l*h, w*h)
}

// Inner returns the body of the space inside walls of a thickness.
func (b Body) Inner(wall float64) Body {
	inner := b
	for i := range inner.Size {
		inner.Size[i] = max(0, b.Size[i]-2*wall)
	}
	inner.Mount = Free
	return inner
}

// Surface returns the outside in still air.
//
//	emissivity, absorptance  0..1
//	pressure                 of the air, Pa
func (b Body) Surface(emissivity, absorptance, pressure float64) Surface {
	faces, covered := b.Faces()
	best, _, _ := b.Mount.Conductance()
	return Surface{Faces: faces, Pressure: pressure, Emissivity: emissivity, Radiating: b.Area() - covered,
		Mount: best * covered, Absorbed: absorptance * b.Projected()}
}
