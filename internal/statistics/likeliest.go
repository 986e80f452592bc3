package statistics

import "math"

// shows returns the probability that n units of a population of which Φ(y) lies inside the bound, the
// likeliest such one, show more than best.
//
// In standard deviations of that population the bound is wide, and its mean x inside the nearer
// limit. A sample of standard deviation s shows more as long as its mean is m·s inside either limit.
func (q *proportion) shows(y float64) float64 {
	seen := q.deviate()
	wide := (q.near + q.far) * q.likeliest(y)
	x := margin(wide, y)
	root := math.Sqrt(float64(q.n))
	to := min(q.chi.hi, wide/leastWidth(seen))
	return q.chi.meanBelow(to, func(s float64) float64 {
		m := margin(wide/s, seen)
		return NormalCDF(root*(x-m*s)) - NormalCDF(root*(x-wide+m*s))
	}, about(x/seen, 1/(root*math.Abs(seen))))
}

// deviate returns the ŷ with Φ(ŷ) = best, from the smaller tail, and as far out as a number can tell.
func (q *proportion) deviate() float64 {
	const farthest = 37 // Φ(-37) is about 1e-299
	if outside := NormalCDF(-q.near) + NormalCDF(-q.far); outside < 0.5 {
		return min(-NormalQuantile(outside), farthest)
	}
	return max(NormalQuantile(q.best()), -farthest)
}

// likeliest returns sd/σ of the likeliest population among those of which Φ(y) lies inside, by golden
// section on the scale of ln(sd/σ).
func (q *proportion) likeliest(y float64) float64 {
	n := float64(q.n)
	logLikelihood := func(u float64) float64 {
		s := math.Exp(u)
		off := q.near*s - margin((q.near+q.far)*s, y) // of the mean seen from the true one
		return n*u - ((n-1)*s*s+n*off*off)/2
	}
	lo := math.Log(max(leastWidth(y)/(q.near+q.far), 0.01*q.chi.mode, 1e-9))
	hi := math.Max(lo, math.Log(10*q.chi.hi))
	golden := (math.Sqrt(5) - 1) / 2
	a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
	fa, fb := logLikelihood(a), logLikelihood(b)
	for hi-lo > 1e-9 {
		if fa > fb {
			hi, b, fb = b, a, fa
			a = hi - golden*(hi-lo)
			fa = logLikelihood(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + golden*(hi-lo)
			fb = logLikelihood(b)
		}
	}
	return math.Exp((lo + hi) / 2)
}
