package numeric

import "errors"

// A Monotone is a curve through given points that never swings beyond them: between two points it
// rises if they do, and falls if they do. Its slope is continuous. Beyond its ends it goes on straight.
//
// Cubic Hermite pieces whose slopes are the weighted harmonic means of the neighbouring chords:
// Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5 (1984), p. 300.
type Monotone struct{ x, y, slope []float64 }

// NewMonotone makes the curve through (x, y). x must rise strictly, all must be finite, two points at
// least; the slices are copied.
func NewMonotone(x, y []float64) (*Monotone, error) {
	if len(x) < 2 || len(x) != len(y) {
		return nil, errors.New("numeric: a curve needs as many x as y, two at least")
	}
	for i := range x {
		if !finite(x[i]) || !finite(y[i]) || i > 0 && !(x[i] > x[i-1]) {
			return nil, errors.New("numeric: points of a curve must be finite and their x rise")
		}
	}
	m := &Monotone{append([]float64(nil), x...), append([]float64(nil), y...), make([]float64, len(x))}
	last := len(x) - 1
	for i := 1; i < last; i++ {
		h0, h1 := x[i]-x[i-1], x[i+1]-x[i]
		d0, d1 := (y[i]-y[i-1])/h0, (y[i+1]-y[i])/h1
		if float64(d0*d1) > 0 {
			m.slope[i] = float64(3*(h0+h1)) / (float64(2*h1+h0)/d0 + float64(h1+2*h0)/d1)
		}
	}
	m.slope[0], m.slope[last] = (y[1]-y[0])/(x[1]-x[0]), (y[last]-y[last-1])/(x[last]-x[last-1])
	m.slope[0] = endSlope(m.slope[0], m.slope[1])
	m.slope[last] = endSlope(m.slope[last], m.slope[last-1])
	return m, nil
}

// endSlope is that of a parabola-like end piece with the chord d. The slope at its inner end has the sign of d and
// is at most three times it, so this one is between 0 and 1.5·d: monotone.
func endSlope(d, inner float64) float64 { return float64(1.5*d) - float64(0.5*inner) }

// At returns the curve and its slope at v.
func (m *Monotone) At(v float64) (y, slope float64) {
	last := len(m.x) - 1
	switch {
	case v <= m.x[0]:
		return m.y[0] + float64((v-m.x[0])*m.slope[0]), m.slope[0]
	case v >= m.x[last]:
		return m.y[last] + float64((v-m.x[last])*m.slope[last]), m.slope[last]
	}
	lo, hi := 0, last
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; v < m.x[mid] {
			hi = mid
		} else {
			lo = mid
		}
	}
	h, d := m.x[hi]-m.x[lo], (m.y[hi]-m.y[lo])/(m.x[hi]-m.x[lo])
	t := (v - m.x[lo]) / h
	b := float64(3*d) - float64(2*m.slope[lo]) - m.slope[hi]
	c := m.slope[lo] + m.slope[hi] - float64(2*d)
	y = m.y[lo] + float64(float64(h*t)*(m.slope[lo]+float64(t*(b+float64(t*c)))))
	return y, m.slope[lo] + float64(t*(float64(2*b)+float64(float64(3*t)*c)))
}
