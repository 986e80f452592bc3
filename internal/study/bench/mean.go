package bench

import (
	"math"
	"slices"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics"
)

// A center is what the mean of all units may be, relative to that found: t·se + half·e + one of the
// shifts, with t of Student's distribution, e anything between -1 and 1 alike, and the shifts
// alike [R4].
type center struct {
	t      statistics.Student
	se     float64
	half   float64
	shifts []float64
}

// below is the probability that it is at most x. Both the sum with half·e and its average over
// the shifts are exact; nothing is drawn.
func (c center) below(x float64) float64 {
	sum := 0.0
	for _, shift := range c.shifts {
		if u := x - shift; c.half < 1e-6*c.se {
			sum += c.t.CDF(u / c.se)
		} else {
			sum += (c.t.Below((u+c.half)/c.se) - c.t.Below((u-c.half)/c.se)) * c.se / (2 * c.half)
		}
	}
	return sum / float64(len(c.shifts))
}

// quantile of it, 0 < p < 1.
func (c center) quantile(p float64) (float64, error) {
	reach := c.half + c.se*math.Abs(statistics.StudentTQuantile(min(p, 1-p)/2, c.t.Freedom()))
	lo, hi := slices.Min(c.shifts)-reach, slices.Max(c.shifts)+reach
	return numeric.FindRoot(func(x float64) float64 { return c.below(x) - p }, lo, hi, 1e-6*(hi-lo))
}

// mean fills in the interval of the mean of all units from two units or more.
func (r *Result) mean() error {
	s, n := r.sample, float64(r.Units)
	low, high := r.Input.Carry.shifts()
	r.Mean.Best = s.mean + (mean(low)+mean(high))/2
	r.MeanWithoutMeter.Best = r.Mean.Best
	if s.scatter() == 0 {
		return nil
	}
	c := center{t: statistics.NewStudent(r.Units - 1), se: s.scatter() / math.Sqrt(n)}
	var err error
	limits := func(i *Interval, half float64, low, high []float64) {
		if err != nil {
			return
		}
		c.half, c.shifts = half, low
		if i.Low, err = c.quantile((1 - r.Input.Confidence) / 2); err != nil {
			return
		}
		c.shifts = high
		i.High, err = c.quantile((1 + r.Input.Confidence) / 2)
		i.Low, i.High = s.mean+i.Low, s.mean+i.High
	}
	limits(&r.MeanWithoutMeter, 0, low, high)
	largest, lows, highs := s.combine(low, high, r.Input.Seed)
	limits(&r.Mean, largest, lows, highs)
	return err
}

// combine returns the largest reach of one meter, and the shifts with the errors of the other meters
// drawn into them.
func (s *sample) combine(low, high []float64, seed uint64) (largest float64, lows, highs []float64) {
	if len(s.reach) == 0 {
		return 0, low, high
	}
	first := 0
	for m, a := range s.reach {
		if a > s.reach[first] {
			first = m
		}
	}
	if len(s.reach) == 1 {
		return s.reach[0], low, high
	}
	for _, u := range lattice(max(128, len(low)), len(s.reach)+1, seed) {
		group := int(u[len(s.reach)] * float64(len(low)))
		l, h := low[group], high[group]
		for m, part := range u[:len(s.reach)] {
			if m != first {
				l, h = l-(2*part-1)*s.reach[m], h-(2*part-1)*s.reach[m]
			}
		}
		lows, highs = append(lows, l), append(highs, h)
	}
	return s.reach[first], lows, highs
}
