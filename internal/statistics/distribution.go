package statistics

import (
	"math"

	"gonum.org/v1/gonum/mathext"

	"hindwatt/internal/numeric"
)

// NormalCDF returns the probability that a standard normal number is at most z. It keeps its
// relative precision in the lower tail; for the upper one ask for -z.
func NormalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// NormalQuantile returns the z that a standard normal number stays below with
// probability p, 0 < p < 1; ±Inf at the ends.
func NormalQuantile(p float64) float64 {
	switch {
	case p <= 0:
		return math.Inf(-1)
	case p >= 1:
		return math.Inf(1)
	}
	return mathext.NormalQuantile(p)
}

func normalDensity(z float64) float64 {
	return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
}

// normalBetween returns the probability of a standard normal number between a
// and b, a ≤ b, from the smaller tails.
func normalBetween(a, b float64) float64 {
	if a > 0 {
		a, b = -b, -a
	}
	return max(0, NormalCDF(b)-NormalCDF(a))
}

// StudentTQuantile returns the p-quantile of Student's t, 0 < p < 1, with dof > 0 degrees
// of freedom, which need not be whole; +Inf gives the normal quantile.
func StudentTQuantile(p, dof float64) float64 {
	if p == 0.5 {
		return 0
	}
	if p > 0.5 {
		return -StudentTQuantile(1-p, dof)
	}
	if dof > 1e4 {
		return expandT(NormalQuantile(p), dof)
	}
	x := mathext.InvRegIncBeta(dof/2, 0.5, 2*p)
	if x < 0.5 {
		return -math.Sqrt(dof * (1 - x) / x)
	}
	// near the middle 1-x is asked for itself, since x rounds to 1
	y := mathext.InvRegIncBeta(0.5, dof/2, 1-2*p)
	return -math.Sqrt(dof * y / (1 - y))
}

// expandT is the quantile of t for many degrees of freedom: Abramowitz and Stegun 26.7.5.
func expandT(z, dof float64) float64 {
	if math.IsInf(dof, 1) {
		return z
	}
	z2 := z * z
	g1 := (z2 + 1) * z / 4
	g2 := ((5*z2+16)*z2 + 3) * z / 96
	g3 := (((3*z2+19)*z2+17)*z2 - 15) * z / 384
	return z + (g1+(g2+g3/dof)/dof)/dof
}

// ChiSquaredQuantile returns the p-quantile of χ² with dof > 0 degrees of freedom, 0 ≤ p < 1.
func ChiSquaredQuantile(p, dof float64) float64 {
	return 2 * mathext.GammaIncRegInv(dof/2, p)
}

// chiSquaredAbove returns the probability that χ² exceeds x.
func chiSquaredAbove(x, dof float64) float64 {
	if !(x > 0) {
		return 1
	}
	return mathext.GammaIncRegComp(dof/2, x/2)
}

// solve finds where rising f passes 0, beginning with lo < hi and moving the end that does not
// bracket outward, the step doubled each time; ok is false where f never does.
func solve(f func(float64) float64, lo, hi float64) (float64, bool) {
	for step := hi - lo; f(lo) > 0; step *= 2 {
		lo, hi = lo-step, lo
		if !(step < 1e9) {
			return 0, false
		}
	}
	for step := hi - lo; f(hi) < 0; step *= 2 {
		lo, hi = hi, hi+step
		if !(step < 1e9) {
			return 0, false
		}
	}
	x, err := numeric.FindRoot(f, lo, hi, 1e-12*math.Max(math.Abs(lo), math.Abs(hi)))
	return x, err == nil
}
