package numeric

import "math"

// Pow returns x^y, within 1.5 ulp, with the special values of math.Pow: NaN for a
// negative x and a y that is not whole, 1 for y = 0, and so on.
func Pow(x, y float64) float64 {
	if x == 0 || y == 0 || x == 1 || y == 1 || !finite(x) || !finite(y) {
		return math.Pow(x, y) // exact, and the same everywhere
	}
	sign := 1.0
	if x < 0 {
		if y != math.Floor(y) {
			return math.NaN()
		}
		if odd(y) {
			sign = -1
		}
		if x = -x; x == 1 {
			return sign
		}
	}
	return sign * expProduct(y, x)
}

// expProduct returns e^(y·log x) for 0 < x < +Inf.
func expProduct(y, x float64) float64 {
	hi, lo := logPair(x)
	p := float64(y * hi)
	switch {
	case p > 710:
		return math.Inf(1)
	case p < -746:
		return 0
	}
	low := productLost(y, hi, p) + float64(y*lo)
	if !(p+low < expHigh) {
		return math.Inf(1)
	}
	return expPair(p, low)
}

// productLost returns a·b - p, where p is a·b rounded, for |a|, |b| < 2^990 (Dekker 1971).
func productLost(a, b, p float64) float64 {
	ah, al := split(a)
	bh, bl := split(b)
	return float64(al*bl) - (((p - float64(ah*bh)) - float64(al*bh)) - float64(ah*bl))
}

// split cuts a into two numbers of at most 26 bits (Dekker 1971).
func split(a float64) (high, low float64) {
	t := float64(a * (1<<27 + 1))
	high = t - (t - a)
	return high, a - high
}

func finite(x float64) bool { return math.Abs(x) <= math.MaxFloat64 }

// odd tells whether a whole y is odd; from 2^53 on all are even.
func odd(y float64) bool { return math.Abs(y) < 1<<53 && int64(y)&1 == 1 }
