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
	if 2*k > n { // near 1 the limits are those of the others, seen from 1
		high, low = binomialLimits(n-k, n, tail)
		return 1 - low, 1 - high, nil
	}
	low, high = binomialLimits(k, n, tail)
	return low, high, nil
}

func binomialLimits(k, n int, tail float64) (low, high float64) {
	if n == 0 {
		return 0, 1
	}
	if k > 0 {
		low = mathext.InvRegIncBeta(float64(k), float64(n-k+1), tail)
	}
	return low, mathext.InvRegIncBeta(float64(k+1), float64(n-k), 1-tail)
}

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
