package statistics

import (
	"fmt"
	"math"
)

// NoncentralT is the distribution of (Z+Delta)/√(χ²/DOF), Z standard normal: what tolerance limits
// and limits of a proportion are made of. DOF ≥ 1.
type NoncentralT struct{ DOF, Delta float64 }

// CDF returns P(T ≤ t) to about 1e-13 for any Delta, by integrating Φ(t·S - Delta) over the
// distribution of S = √(χ²/DOF); no series, so that a large Delta does no harm.
func (d NoncentralT) CDF(t float64) float64 { return newChi(d.DOF).noncentral(t, d.Delta) }

// noncentral is NoncentralT.CDF for a chi at hand.
func (c chi) noncentral(t, delta float64) float64 {
	g := func(s float64) float64 { return NormalCDF(t*s - delta) }
	if t == 0 {
		return NormalCDF(-delta)
	}
	var steps []float64 // Φ rises within a few 1/t of delta/t
	for _, z := range [...]float64{-8, -5, -3, -1.5, 0, 1.5, 3, 5, 8} {
		steps = append(steps, (delta+z)/t)
	}
	return min(c.mean(g, steps...), 1)
}

// Quantile returns the t with P(T ≤ t) = p, 0 < p < 1.
func (d NoncentralT) Quantile(p float64) (float64, error) {
	if !(d.DOF >= 1 && finite(d.DOF) && finite(d.Delta)) {
		return 0, fmt.Errorf("noncentral t with %v degrees of freedom and shift %v; want 1 or more, and finite numbers", d.DOF, d.Delta)
	}
	if !(p > 0 && p < 1) {
		return 0, fmt.Errorf("probability is %v; want more than 0 and less than 1", p)
	}
	c := newChi(d.DOF)
	// Where |Delta| is large, t per Delta is what is of order 1.
	scale := math.Max(1, math.Abs(d.Delta))
	t, ok := solve(func(t float64) float64 { return c.noncentral(t*scale, d.Delta) - p }, -1, 2)
	if !ok {
		return 0, fmt.Errorf("noncentral t: no quantile %v found", p)
	}
	return t * scale, nil
}
