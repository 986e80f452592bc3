package year

import "math"

// A piece is a cubic c0 + d·(c1 + d·(c2 + d·c3)) from one node of a table to the next.
type piece [4]float64

// hermite is the piece of a width with these values and slopes at its ends.
func hermite(y0, d0, y1, d1, width float64) piece {
	chord := (y1 - y0) / width
	return piece{y0, d0, (float64(3*chord) - float64(2*d0) - d1) / width, (d0 + d1 - float64(2*chord)) / float64(width*width)}
}

// warm is a table of a function of the temperature.
type warm [nodes]piece

const (
	coldest = 213.15 // K, −60 °C
	spacing = 0.5    // K
	nodes   = 400    // to +140 °C
)

// newWarm tabulates a function. Slopes are differences of a small step, so that the error for smooth functions such as a saturation
// current is some 1e-9 of their value.
func newWarm(f func(temperature float64) float64) *warm {
	const h = 1e-2 // K
	var y, slope [nodes + 1]float64
	for i := range y {
		t := coldest + float64(spacing*float64(i))
		y[i] = f(t)
		slope[i] = (float64(8*(f(t+h)-f(t-h))) - (f(t+2*h) - f(t-2*h))) / (12 * h)
	}
	w := new(warm)
	for i := range w {
		w[i] = hermite(y[i], slope[i], y[i+1], slope[i+1], spacing)
	}
	return w
}

// at returns the function; beyond its ends it stays.
func (w *warm) at(temperature float64) float64 {
	x := (temperature - coldest) * (1 / spacing)
	i := int(x)
	if uint(i) >= nodes {
		i, x = beyond(x)
	}
	p, d := &w[i], (x-float64(i))*spacing
	return p[0] + float64(d*(p[1]+float64(d*(p[2]+float64(d*p[3])))))
}

// beyond keeps a position within the table.
func beyond(x float64) (int, float64) {
	if x > 0 {
		return nodes - 1, nodes
	}
	return 0, 0
}

func bits(x float64) uint64 { return math.Float64bits(x) }
