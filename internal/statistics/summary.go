package statistics

import "math"

// Summarise returns what samples of one figure say of it (JCGM 101:2008 7.6, 7.7), as MonteCarlo does of
// its own. y is reordered and kept as Values; it must hold 2 finite numbers or more, 0 < level < 1.
func Summarise(y []float64, level float64) Result { return summarise(y, level) }

// SpreadLimits returns the equal-tailed limits of the standard deviation behind n units of a normal population
// whose own is s.
//
//	s           ≥ 0
//	n           ≥ 2
//	confidence  0 < confidence < 1
//
// Source: (n-1)s²/σ² is χ² with n-1 degrees of freedom; NIST/SEMATECH e-Handbook 1.3.5.8.
func SpreadLimits(s float64, n int, confidence float64) (low, high float64) {
	dof := float64(n - 1)
	tail := (1 - confidence) / 2
	return s * math.Sqrt(dof/ChiSquaredQuantile(1-tail, dof)), s * math.Sqrt(dof/ChiSquaredQuantile(tail, dof))
}
