package statistics

import (
	"fmt"

	"gonum.org/v1/gonum/mathext"
)

// BinomialLimits returns the exact two-sided limits, with equal tails, of a proportion of which k
// in n were seen (Clopper and Pearson 1934): each is passed with probability
// (1-confidence)/2 at most. 0 of n leaves low = 0, and n of n high = 1, the other limit
// keeping its tail. k = n = 0 gives 0..1.
func BinomialLimits(k, n int, confidence float64) (low, high float64, err error) {
	if n < 0 || k < 0 || k > n {
		return 0, 0, fmt.Errorf("%d of %d; want 0 ≤ seen ≤ of", k, n)
	}
	if !(confidence > 0 && confidence < 1) {
		return 0, 0, fmt.Errorf("confidence is %v; want more than 0 and less than 1", confidence)
	}
	tail := (1 - confidence) / 2
	low, high = 0, 1
	if k > 0 {
		low = betaQuantile(tail, float64(k), float64(n-k+1))
	}
	if k < n {
		high = 1 - betaQuantile(tail, float64(n-k), float64(k+1))
	}
	return low, high, nil
}

func betaQuantile(p, a, b float64) float64 { return mathext.InvRegIncBeta(a, b, p) }

// PoissonLimits returns the exact two-sided limits, with equal tails, of the rate at which events
// come, per unit of exposure, when this many were seen in an exposure > 0 (Garwood 1936). Without an
// event low is 0 and high keeps its tail.
func PoissonLimits(events int, exposure, confidence float64) (low, high float64, err error) {
	switch {
	case events < 0:
		return 0, 0, fmt.Errorf("events is %d; want 0 or more", events)
	case !(exposure > 0 && finite(exposure)):
		return 0, 0, fmt.Errorf("exposure is %v; want more than 0", exposure)
	case !(confidence > 0 && confidence < 1):
		return 0, 0, fmt.Errorf("confidence is %v; want more than 0 and less than 1", confidence)
	}
	tail := (1 - confidence) / 2
	if events > 0 {
		low = mathext.GammaIncRegInv(float64(events), tail) / exposure
	}
	high = mathext.GammaIncRegCompInv(float64(events+1), tail) / exposure
	return low, high, nil
}
