package numeric

import (
	"errors"
	"fmt"
	"math"
)

// What FindRoot's errors wrap.
var (
	ErrNoSignChange = errors.New("the function has the same sign at both ends")
	ErrNotANumber   = errors.New("the function is not a number")
)

// FindRoot returns a zero of f between lo and hi, at which f must differ in sign.
//
//	f    continuous between lo and hi; may be ±Inf there, never NaN
//	tol  width of the last bracket, in x; ≥ 0. With 0 the bracket closes to neighbouring numbers
//
// The result is that end of the last bracket at which |f| is smaller, so it is within
// max(tol, 4 ulp) of a change of sign. An error wraps ErrNoSignChange or ErrNotANumber and names
// the place. Chandrupatla's method (Advances in Engineering Software 28, 1997, p. 145):
// inverse quadratic where it is safe, else halving.
func FindRoot(f func(float64) float64, lo, hi, tol float64) (float64, error) {
	if !finite(lo) || !finite(hi) || !(tol >= 0) {
		return 0, fmt.Errorf("numeric: root between %g and %g within %g; want finite ends and a width of 0 or more", lo, hi, tol)
	}
	b := bracket{x1: hi, f1: f(hi), x2: lo, f2: f(lo)}
	switch {
	case math.IsNaN(b.f1) || math.IsNaN(b.f2):
		return 0, fmt.Errorf("numeric: %w at %g or %g", ErrNotANumber, lo, hi)
	case b.f1 == 0:
		return hi, nil
	case b.f2 == 0:
		return lo, nil
	case (b.f1 > 0) == (b.f2 > 0):
		return 0, fmt.Errorf("numeric: %w: %g at %g, %g at %g", ErrNoSignChange, b.f2, lo, b.f1, hi)
	}
	for t := 0.5; ; {
		x := b.x1 + float64(t*(b.x2-b.x1))
		y := f(x)
		if math.IsNaN(y) {
			return 0, fmt.Errorf("numeric: %w at %g", ErrNotANumber, x)
		}
		b.narrow(x, y)
		best, fbest := b.x1, b.f1
		if math.Abs(b.f2) < math.Abs(b.f1) {
			best, fbest = b.x2, b.f2
		}
		width := math.Abs(b.x2 - b.x1)
		least := float64(0x1p-51*math.Abs(best)) + 0x1p-1074
		if fbest == 0 || width <= max(tol, least) {
			return best, nil
		}
		t = b.step(float64(0.5*max(tol, least)) / width)
	}
}

// A bracket has the newest point first; f1 and f2 differ in sign; x3 is the point dropped last.
type bracket struct{ x1, f1, x2, f2, x3, f3 float64 }

func (b *bracket) narrow(x, y float64) {
	if (y > 0) == (b.f1 > 0) {
		b.x3, b.f3 = b.x1, b.f1
	} else {
		b.x3, b.f3, b.x2, b.f2 = b.x2, b.f2, b.x1, b.f1
	}
	b.x1, b.f1 = x, y
}

// step says where to look next, as a part of the way from x1 to x2, at least least from each end.
func (b *bracket) step(least float64) float64 {
	t := 0.5
	xi := (b.x1 - b.x2) / (b.x3 - b.x2)
	phi := (b.f1 - b.f2) / (b.f3 - b.f2)
	if float64(phi*phi) < xi && float64((1-phi)*(1-phi)) < 1-xi {
		t = b.f1/(b.f1-b.f2)*(b.f3/(b.f3-b.f2)) +
			float64((b.x3-b.x1)/(b.x2-b.x1)*(b.f1/(b.f3-b.f1)*(b.f2/(b.f3-b.f2))))
	}
	if !(t > 0 && t < 1) {
		t = 0.5
	}
	return min(max(t, least), 1-least)
}
