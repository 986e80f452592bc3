package year

import "math"

// A piece is a cubic c0 + d·(c1 + d·(c2 + d·c3)) from one node of a table to the next.
type piece [4]float64

// hermite is the piece of a width with these values and slopes at its ends.
func hermite(y0, d0, y1, d1, width float64) piece {
	chord := (y1 - y0) / width
	return piece{y0, d0, (float64(3*chord) - float64(2*d0) - d1) / width, (d0 + d1 - float64(2*chord)) / float64(width*width)}
}

// warm is a table over temperature, of two functions: they are looked up together.
type warm [nodes]struct{ a, b piece }

const (
	coldest = 213.15 // K, −60 °C
	spacing = 0.5    // K
	nodes   = 400    // to +140 °C
)

// newWarm tabulates two functions. Slopes are central differences of a small step, so that the error of smooth functions such as a saturation
// current is some 1e-9 of their value.
func newWarm(a, b func(temperature float64) float64) *warm {
	const h = 1e-3 // K
	slope := func(f func(float64) float64, t float64) float64 {
		return (float64(8*(f(t+h)-f(t-h))) - (f(t+2*h) - f(t-2*h))) / (12 * h)
	}
	w := new(warm)
	for i := range w {
		t0 := coldest + float64(spacing*float64(i))
		t1 := t0 + spacing
		w[i].a = hermite(a(t0), slope(a, t0), a(t1), slope(a, t1), spacing)
		w[i].b = hermite(b(t0), slope(b, t0), b(t1), slope(b, t1), spacing)
	}
	return w
}

// at returns both functions; beyond its ends the table goes on as its last piece does there.
func (w *warm) at(temperature float64) (a, b float64) {
	x := (temperature - coldest) * (1 / spacing)
	i := int(x)
	if uint(i) >= nodes {
		i, x = beyond(x)
	}
	p, d := &w[i], (x-float64(i))*spacing
	a = p.a[0] + float64(d*(p.a[1]+float64(d*(p.a[2]+float64(d*p.a[3])))))
	b = p.b[0] + float64(d*(p.b[1]+float64(d*(p.b[2]+float64(d*p.b[3])))))
	return a, b
}

// beyond keeps a position within the table.
func beyond(x float64) (int, float64) {
	if x > nodes {
		return nodes - 1, nodes
	}
	return 0, 0
}

// one is a table over temperature of one function.
func one(f func(temperature float64) float64) *warm {
	return newWarm(f, func(float64) float64 { return 0 })
}

func bits(x float64) uint64 { return math.Float64bits(x) }
