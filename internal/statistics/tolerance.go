package statistics

import (
	"fmt"
	"math"
)

// ToleranceFactor returns k so that, of a normal population known by n units alone, the interval
// mean ± k·sd (sides = 2), or the limit mean + k·sd (sides = 1), holds at
// least the proportion of the units, with this confidence.
//
//	n           units measured, 2 … 10^7
//	proportion  0.5 ≤ proportion < 1 for one side, 0 < proportion < 1 for two
//	confidence  0 < confidence < 1
//
// Both are exact: one side by the noncentral t, two by integration over the mean (ISO
// 16269-6:2014, annexes; Odeh and Owen, Tables for Normal Tolerance Limits, 1980).
func ToleranceFactor(n int, proportion, confidence float64, sides int) (float64, error) {
	switch {
	case n < 2:
		return 0, fmt.Errorf("number of units is %d; want 2 or more for the spread", n)
	case n > 1e7:
		return 0, fmt.Errorf("number of units is %d; want at most 10000000", n)
	case !(proportion > 0 && proportion < 1):
		return 0, fmt.Errorf("proportion is %v; want more than 0 and less than 1", proportion)
	case !(confidence > 0 && confidence < 1):
		return 0, fmt.Errorf("confidence is %v; want more than 0 and less than 1", confidence)
	}
	var excess func(k float64) float64
	switch sides {
	case 1:
		excess = oneSidedExcess(n, proportion, confidence)
	case 2:
		excess = twoSidedExcess(n, proportion, confidence)
	default:
		return 0, fmt.Errorf("sides is %d; want 1 or 2", sides)
	}
	// In ln k for two sides, in k for one, where it may be negative.
	k, ok := solve(excess, 0, 1)
	if !ok {
		return 0, fmt.Errorf("no tolerance factor for %d units, proportion %v, confidence %v", n, proportion, confidence)
	}
	if sides == 2 {
		k = math.Exp(k)
	}
	return k, nil
}

// oneSidedExcess returns P(√n·k ≥ T) - γ as a function of k, T noncentral t shifted
// by √n·z(p): written with S it is E Φ(√n(k·S - z(p))).
func oneSidedExcess(n int, p, confidence float64) func(float64) float64 {
	c, root := newChi(float64(n-1)), math.Sqrt(float64(n))
	delta := root * NormalQuantile(p)
	return func(k float64) float64 { return c.noncentral(root*k, delta) - confidence }
}

// twoSidedExcess returns the confidence of mean ± k·sd less the one asked, as a function
// of ln k. With the mean off by v/√n standard deviations, the interval must reach r(v) of them for
// its content to be p; the chance that k·S does is that of χ²(n-1) above (n-1)·r²/k².
func twoSidedExcess(n int, p, confidence float64) func(float64) float64 {
	dof, root := float64(n-1), math.Sqrt(float64(n))
	var reach, weight []float64
	for v := step / 2; v < 9; v += step { // trapezoid: exact for analytic normal-weighted integrands
		reach = append(reach, halfWidth(v/root, p))
		weight = append(weight, 2*step*normalDensity(v))
	}
	return func(lnK float64) float64 {
		k := math.Exp(lnK)
		var sum float64
		for i, r := range reach {
			sum += weight[i] * chiSquaredAbove(dof*(r/k)*(r/k), dof)
		}
		return sum - confidence
	}
}

// step is the distance of nodes in a normal deviate. The trapezoid's error falls as
// exp(-2π²/step²), here 1e-137 for the weight alone.
const step = 0.25

// halfWidth returns the r with Φ(z+r) - Φ(z-r) = p.
func halfWidth(z, p float64) float64 {
	z = math.Abs(z)
	r, _ := solve(func(r float64) float64 { return normalBetween(z-r, z+r) - p }, z, z+1)
	return r
}

// UnitsForRange returns the least number of units of which the smallest and largest value (sides =
// 2), or the largest alone (sides = 1), enclose at least the proportion of any
// continuous population, with this confidence (Wilks 1941; ISO 16269-6, distribution-free).
func UnitsForRange(proportion, confidence float64, sides int) (int, error) {
	if !(proportion > 0 && proportion < 1 && confidence > 0 && confidence < 1) || (sides != 1 && sides != 2) {
		return 0, fmt.Errorf("proportion %v, confidence %v, sides %d; want more than 0 and less than 1, and 1 or 2 sides",
			proportion, confidence, sides)
	}
	lnP := math.Log(proportion)
	missed := func(n float64) float64 { // probability that the range holds less
		if sides == 1 {
			return math.Exp(n * lnP)
		}
		return math.Exp((n-1)*lnP) * (n - (n-1)*proportion)
	}
	lo, hi := float64(sides-1), float64(sides)
	for missed(hi) > 1-confidence {
		lo, hi = hi, 2*hi
		if hi > 1e15 {
			return 0, fmt.Errorf("proportion %v at confidence %v asks for more than 10^15 units", proportion, confidence)
		}
	}
	for hi-lo > 1 {
		if middle := math.Floor((lo + hi) / 2); missed(middle) > 1-confidence {
			lo = middle
		} else {
			hi = middle
		}
	}
	return int(hi), nil
}
