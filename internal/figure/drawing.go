package figure

import "io"

// Drawing is one figure as a list of operations. Lengths are in px of 1/96 inch, x to the right and y downward from the top left corner.
type Drawing struct {
	Width, Height float64 // px, both > 0
	Title         string  // the figure's name for a reader by ear
	Description   string  // what it shows, in a sentence or two
	Source        string  // small line below: input file and date; may be empty
	Ops           []Op    // drawn in this order
}

// Op is one drawing operation: Line, Area, Hatch, Circle or Text.
type Op interface{ operation() }

// PNG writes the drawing as a picture of scale times its size in pixels.
func (d *Drawing) PNG(w io.Writer, scale float64) error { return nil }

// PDF writes the drawing as one page of its own size.
func (d *Drawing) PDF(w io.Writer) error { return nil }

// SVG returns the drawing as a file that stands alone.
func (d *Drawing) SVG() []byte { return nil }
