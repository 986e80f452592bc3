package statistics

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// MTBFLimits returns the limits of the mean time between failures when this many were counted in a
// time > 0 that was fixed beforehand, all units together, at a constant rate.
//
//	low, high    two-sided with equal tails; high is +Inf without a failure
//	lowOneSided  passed at the confidence on this side alone
//
// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.5.1: 2T/χ²(p; 2r+2) and 2T/χ²(p; 2r).
func MTBFLimits(time float64, failures int, confidence float64) (low, high, lowOneSided float64, err error) {
	slow, fast, err := PoissonLimits(failures, time, confidence)
	if err != nil {
		return 0, 0, 0, fmt.Errorf("mean time between failures: %w", err)
	}
	high = math.Inf(1)
	if failures > 0 {
		high = 1 / slow
	}
	return 1 / fast, high, time / mathext.GammaIncRegCompInv(float64(failures+1), 1-confidence), nil
}
