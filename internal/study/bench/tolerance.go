package bench

import (
	"math"

	"hindwatt/internal/statistics"
)

// tolerance fills in the interval that holds the proportion of units with confidence [R10]: by the
// scatter of the units, then wider at both ends by the meters' limits.
func (r *Result) tolerance() error {
	in, s := &r.Input, r.sample
	k, err := statistics.ToleranceFactor(r.Units, in.Proportion, in.Confidence, 2)
	if err != nil {
		return err
	}
	half := k * s.scatter()
	low, high := in.Carry.shifts()
	from, to := s.mean+mean(low), s.mean+mean(high)
	if in.Carry != nil {
		half = r.carriedHalf(from, to, half)
	}
	half += s.limit()
	r.Tolerance = Interval{Best: (from + to) / 2, Low: from - half, High: to + half}
	return nil
}

// carriedHalf is how far from..to must be widened to hold the proportion of units in a part of all
// draws equal to the confidence. Without a carry this is the k·s of ISO 16269-6, but drawn. The search halves
// a bracket and keeps only those draws that may yet decide.
func (r *Result) carriedHalf(from, to, start float64) float64 {
	exact := make([]float64, len(r.sample.meters)) // the meters' errors are added apart
	means, sds := make([]float64, len(r.draws)), make([]float64, len(r.draws))
	active := make([]int, len(r.draws))
	for k, d := range r.draws {
		d.errors = exact
		means[k], sds[k] = r.sample.population(r.Units, d)
		active[k] = k
	}
	split := func(x float64) (holds, fails []int) {
		for _, k := range active {
			low, high := r.Input.Carry.group(r.draws[k].group)
			if p, _ := share(means[k], sds[k], from-x, to+x, low, high); p >= r.Input.Proportion {
				holds = append(holds, k)
			} else {
				fails = append(fails, k)
			}
		}
		return holds, fails
	}
	need := int(math.Ceil(r.Input.Confidence*float64(len(r.draws)) - 1e-9))
	lo, hi, held, bounded := 0.0, start, 0, false
	for !bounded || hi-lo > 1e-3*hi {
		x := hi
		if bounded {
			x = (lo + hi) / 2
		}
		holds, fails := split(x)
		switch {
		case held+len(holds) >= need:
			hi, active, bounded = x, holds, true
		case bounded:
			lo, active, held = x, fails, held+len(holds)
		default:
			lo, hi, active, held = x, 2*x, fails, held+len(holds)
		}
	}
	return hi
}
