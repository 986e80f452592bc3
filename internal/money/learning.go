package money

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// Learning returns the time of the n-th unit and of all units up to it by the unit theory:
// each doubling of the number multiplies the time of one unit by rate.
//
//	first  time of the first unit, in any unit; finite, ≥ 0
//	rate   0 < rate ≤ 1; 0.8 for "80 %"
//	n      units, 1 to 10⁹
//
// Both results are in the unit of first, with a relative error below 1e-13. Wright's own curve of
// 1936 is another one, the cumulative average: there all n units take n·first·n^b, which is
// n times the unit time given here. Source: Crawford 1944; Wright 1936 for b.
func Learning(first, rate float64, n int) (unit, cumulative float64, err error) {
	switch {
	case !(first >= 0 && first <= math.MaxFloat64):
		return 0, 0, fmt.Errorf("money: first unit takes %g; want 0 or more", first)
	case !(rate > 0 && rate <= 1):
		return 0, 0, fmt.Errorf("money: learning rate %g; want more than 0, up to 1", rate)
	case n < 1 || n > maxFrom:
		return 0, 0, fmt.Errorf("money: unit %d; want 1 to %d", n, maxFrom)
	}
	b := numeric.Log(rate) / math.Ln2
	return first * numeric.Pow(float64(n), b), first * powerSum(b, n), nil // [M1]
}

// direct is the first term that is not added one by one.
const direct = 32

// powerSum returns 1^b + 2^b + … + n^b for b ≤ 0 by the formula of Euler and Maclaurin:
//
//	Σ(k=m..n) f(k) = ∫f + (f(m) + f(n))/2 + Σ(j=1..3) B₂ⱼ/(2j)!·(f⁽²ʲ⁻¹⁾(n) − f⁽²ʲ⁻¹⁾(m)) + R
//
// The derivatives of x^b keep their signs, so |R| is at most the first term left out
// (NIST Digital Library of Mathematical Functions, 2.10(i)):
//
//	|R| ≤ |B₈|/8!·|b(b−1)…(b−6)|·m^(b−7) < 5e-15 for m = 32 and every b ≤ 0
//
// while the sum is at least 1.
func powerSum(b float64, n int) float64 {
	sum := 0.0
	for k := min(n, direct-1); k >= 1; k-- { // small ones first
		sum += numeric.Pow(float64(k), b)
	}
	if n < direct {
		return sum
	}
	m, x := float64(direct), float64(n)
	fm, fx := numeric.Pow(m, b), numeric.Pow(x, b)
	sum += integral(b, m, x, fm) + (fm+fx)/2
	dm, dx := b*fm/m, b*fx/x // f′
	for j, weight := range []float64{1. / 12, -1. / 720, 1. / 30240} {
		sum += weight * (dx - dm)
		p := float64(2*j + 1) // two derivatives more
		dm *= (b - p) * (b - p - 1) / (m * m)
		dx *= (b - p) * (b - p - 1) / (x * x)
	}
	return sum
}

// integral returns the integral of x^b from m to n, also where b is near -1; fm = m^b.
func integral(b, m, n, fm float64) float64 {
	length := numeric.Log(n / m)
	if a := (b + 1) * length; a != 0 {
		return m * fm * length * (math.Expm1(a) / a)
	}
	return m * fm * length
}
