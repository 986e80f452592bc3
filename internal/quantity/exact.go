package quantity

import (
	"math"
	"math/big"
	"math/bits"
)

// exact is a rational number kept without rounding: n/d while two machine words
// hold it, else r. Every unit but the degree of angle is a rational multiple of
// its SI unit, so a text is rounded once, at the end, to the nearest float64.
type exact struct {
	n, d int64 // d > 0
	r    *big.Rat
}

// maxWhole is the largest integer up to which float64 holds every integer.
const maxWhole = 1 << 53

var zeroCelsius = exact{n: 27315, d: 100} // K; SI Brochure, 9th ed., 2.3.1

func (a exact) rat() *big.Rat {
	if a.r != nil {
		return a.r
	}
	return big.NewRat(a.n, a.d)
}

func (a exact) sign() int {
	switch {
	case a.r != nil:
		return a.r.Sign()
	case a.n < 0:
		return -1
	case a.n > 0:
		return 1
	}
	return 0
}

func (a exact) neg() exact {
	if a.r != nil {
		return exact{r: new(big.Rat).Neg(a.r)}
	}
	return exact{n: -a.n, d: a.d}
}

func (a exact) abs() exact {
	if a.sign() < 0 {
		return a.neg()
	}
	return a
}

// inverse returns 1/a; a is not 0.
func (a exact) inverse() exact {
	if a.r != nil {
		return exact{r: new(big.Rat).Inv(a.r)}
	}
	if a.n < 0 {
		return exact{n: -a.d, d: -a.n}
	}
	return exact{n: a.d, d: a.n}
}

func (a exact) mul(b exact) exact {
	if a.r == nil && b.r == nil {
		n, fits := product(a.n, b.n)
		d, fitsToo := product(a.d, b.d)
		if fits && fitsToo {
			return exact{n: n, d: d}
		}
	}
	return exact{r: new(big.Rat).Mul(a.rat(), b.rat())}
}

func (a exact) add(b exact) exact {
	if a.r == nil && b.r == nil {
		left, fits := product(a.n, b.d)
		right, fitsToo := product(b.n, a.d)
		d, fitsThree := product(a.d, b.d)
		if sum := left + right; fits && fitsToo && fitsThree && within(left, right) {
			return exact{n: sum, d: d}
		}
	}
	return exact{r: new(big.Rat).Add(a.rat(), b.rat())}
}

// float returns the float64 nearest to a, ties to even; ±Inf when a is too large.
func (a exact) float() float64 {
	if a.r == nil && -maxWhole <= a.n && a.n <= maxWhole && a.d <= maxWhole {
		return float64(a.n) / float64(a.d) // both exact, so rounded once
	}
	f, _ := a.rat().Float64()
	return f
}

func product(a, b int64) (p int64, fits bool) {
	high, low := bits.Mul64(magnitude(a), magnitude(b))
	return a * b, high == 0 && low <= math.MaxInt64
}

func magnitude(a int64) uint64 {
	if a < 0 {
		return -uint64(a)
	}
	return uint64(a)
}

// within reports whether a + b stays clear of overflow.
func within(a, b int64) bool {
	const half = math.MaxInt64 / 2
	return magnitude(a) <= half && magnitude(b) <= half
}

// powerOfTen returns 10^k.
func powerOfTen(k int) exact {
	size := max(k, -k)
	if size > 18 {
		whole := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(size)), nil)
		ten := exact{r: new(big.Rat).SetInt(whole)}
		if k < 0 {
			return ten.inverse()
		}
		return ten
	}
	n := int64(1)
	for range size {
		n *= 10
	}
	if k < 0 {
		return exact{n: 1, d: n}
	}
	return exact{n: n, d: 1}
}
