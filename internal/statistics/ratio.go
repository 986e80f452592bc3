package statistics

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// A RateRatio compares two rates.
type RateRatio struct {
	Ratio     float64 // first rate to second; +Inf if the second had no event
	Low, High float64 // two-sided; Low is 0 if the first had no event, High +Inf if the second had none
	P         float64 // probability of a difference this large to either side if both rates were alike
}

// ErrNoEvents says that neither side had an event, so that there is no ratio of rates.
var ErrNoEvents = errors.New("no event on either side, so there is no ratio of rates")

// PoissonRatio compares two rates by events counted in exposures > 0, given the number of events in all: those on the first
// side are then binomial. The limits are exact (Clopper and Pearson's); P is twice the smaller tail, and at most 1, so that it
// agrees with them.
//
// Source: Przyborowski and Wilenski, Biometrika 31 (1940), p. 313; equation [F13] of docs/models.md.
func PoissonRatio(first int, firstExposure float64, second int, secondExposure, confidence float64) (RateRatio, error) {
	switch {
	case first < 0 || second < 0:
		return RateRatio{}, fmt.Errorf("events are %d and %d; want 0 or more", first, second)
	case !(firstExposure > 0 && finite(firstExposure) && secondExposure > 0 && finite(secondExposure)):
		return RateRatio{}, fmt.Errorf("exposures are %v and %v; want more than 0", firstExposure, secondExposure)
	case first == 0 && second == 0:
		return RateRatio{}, ErrNoEvents
	}
	low, high, err := BinomialLimits(first, first+second, confidence)
	if err != nil {
		return RateRatio{}, err
	}
	relative := secondExposure / firstExposure // [F13]
	r := RateRatio{Ratio: math.Inf(1), High: math.Inf(1)}
	if second > 0 {
		r.Ratio, r.High = float64(first)/float64(second)*relative, high/(1-high)*relative
	}
	if first > 0 {
		r.Low = math.Inf(1)
		if low < 1 {
			r.Low = low / (1 - low) * relative
		}
	}
	share := firstExposure / (firstExposure + secondExposure)
	r.P = min(1, 2*min(binomialBelow(first, first+second, share), binomialBelow(second, first+second, 1-share)))
	return r, nil
}

// binomialBelow returns the probability of k or fewer in n, each with probability p.
func binomialBelow(k, n int, p float64) float64 {
	if k >= n {
		return 1
	}
	return mathext.RegIncBeta(float64(n-k), float64(k+1), 1-p)
}
