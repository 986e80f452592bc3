package statistics

import (
	"math"

	"hindwatt/internal/numeric"
)

// With the true mean off by u true standard deviations and s = sd/σ the ratio of the two standard
// deviations, the part of the population inside the bound is
//
//	C(s, u) = Φ(above·s - u) - Φ(below·s - u).

// excess has the sign of C(s, u) - Φ(y), from the smaller tails.
func (q *proportion) excess(s, u, y float64) float64 {
	if y < 0 {
		return normalBetween(q.below*s-u, q.above*s-u) - NormalCDF(y)
	}
	return NormalCDF(-y) - NormalCDF(q.below*s-u) - NormalCDF(u-q.above*s)
}

// chance returns the probability over s that C(s, u) > Φ(y). That holds for s in one interval: above
// some s if the mean lies inside the bound; else about the s at which C is largest.
func (q *proportion) chance(u, y float64) float64 {
	dof, peak := q.chi.dof, q.peak(u)
	inside := func(s float64) float64 { return q.excess(s, u, y) }
	if !(inside(peak) > 0) {
		return 0
	}
	from := crossing(inside, q.chi.lo, peak)
	p := chiSquaredAbove(dof*from*from, dof)
	if peak < q.chi.hi {
		to := crossing(inside, q.chi.hi, peak)
		p -= chiSquaredAbove(dof*to*to, dof)
	}
	return p
}

// peak returns the s at which C(s, u) is largest, kept within the distribution of s.
func (q *proportion) peak(u float64) float64 {
	a, b := q.above, q.below
	if b <= 0 {
		return q.chi.hi
	}
	// a·φ(a·s-u) = b·φ(b·s-u), the zero of ∂C/∂s
	half := u * (a - b)
	s := (half + math.Sqrt(half*half+2*(a*a-b*b)*math.Log(a/b))) / (a*a - b*b)
	return min(max(s, q.chi.lo), q.chi.hi)
}

// crossing returns where f passes 0 between end and peak, f(peak) > 0; end itself if f does not.
func crossing(f func(float64) float64, end, peak float64) float64 {
	if f(end) >= 0 {
		return end
	}
	s, err := numeric.FindRoot(f, end, peak, 1e-12*peak)
	if err != nil {
		return end
	}
	return s
}

// threshold returns the u, within ±widest, above which C can exceed Φ(y) when the mean lies
// outside the bound (0 ≤ below); ok is false if it never can.
func (q *proportion) threshold(y, widest float64) (u float64, ok bool) {
	best := func(u float64) float64 { return q.excess(q.peak(u), u, y) }
	switch {
	case best(widest) <= 0:
		return 0, false
	case best(-widest) >= 0:
		return -widest, true
	}
	u, err := numeric.FindRoot(best, -widest, widest, 0)
	return u, err == nil
}
