package bench

import (
	"fmt"
	"math"

	"hindwatt/internal/statistics"
)

// population is the mean and standard deviation that all units may have by a draw [R6].
func (s *sample) population(n int, d draw) (mean, sd float64) {
	mean, sd = s.corrected(d.errors)
	sd *= d.scale
	return mean + d.z*sd/math.Sqrt(float64(n)), sd
}

// share is the part of units that keep inside a bound over the whole of the conditions, if their values at
// the readings' conditions are normal, and how far it scatters because a group has few units
// (variance) [R7].
func share(mean, sd, min, max float64, low, high []float64) (p, noise float64) {
	var sum, squares float64
	for i := range low {
		if from, to := min-low[i], max-high[i]; from < to { // else no value keeps this unit inside
			one := phi((to-mean)/sd) - phi((from-mean)/sd)
			sum, squares = sum+one, squares+one*one
		}
	}
	n := float64(len(low))
	if p = sum / n; n < 2 {
		return p, 0
	}
	return p, math.Max(0, squares/n-p*p) / (n - 1)
}

// A question is what is asked of a sample.
type question struct {
	sample   *sample
	carry    *Carry
	min, max float64
}

// best is the share of units at the mean and standard deviation found.
func (q question) best() float64 {
	low, high := still[:], still[:]
	if q.carry != nil {
		low, high = q.carry.Low, q.carry.High
	}
	p, _ := share(q.sample.mean, q.sample.scatter(), q.min, q.max, low, high)
	return p
}

// A side is one of the limits of a share.
type side bool

const (
	lower side = false
	upper side = true
)

// limit is what the share stays above, or below, with this confidence, seen by n units. What groups of
// few units add to the scatter is taken out by variance components [R9].
func (q question) limit(which side, n int, draws []draw, confidence float64) float64 {
	shares, noise, meters := make([]float64, len(draws)), 0.0, q.sample.meterVariance()
	for k, d := range draws {
		low, high := q.carry.group(d.group)
		m, sd := q.sample.population(n, d)
		if which == upper {
			m = pulled(m, (q.min+q.max-mean(low)-mean(high))/2, sd*sd/float64(n)+meters)
		}
		p, own := share(m, sd, q.min, q.max, low, high)
		shares[k], noise = p, noise+own/float64(len(draws))
	}
	middle, total := mean(shares), covariance(shares, shares)
	keep := 0.0
	if total > noise {
		keep = math.Sqrt((total - noise) / total)
	}
	if which == lower {
		confidence = 1 - confidence
	}
	return math.Min(math.Max(middle+keep*(statistics.Quantile(shares, confidence)-middle), 0), 1)
}

// pulled moves a drawn mean towards the middle of the bound. Read and then drawn, means stray from the middle twice,
// by how few the units are and by the meters, so that they show fewer units inside a two-sided bound than there may be: the
// upper limit was passed by up to 24 % of populations where 5 % are asked. Off the square distance go 4 variances of the mean
// as it was read (it strays by 2 on average). The 4 is by simulation, no source: with it 0 to 8 % were passed, see
// TestCoverage [R8].
func pulled(mean, middle, variance float64) float64 {
	if !finite(middle) { // a side is open
		return mean
	}
	off := mean - middle
	return middle + math.Copysign(math.Sqrt(math.Max(0, off*off-4*variance)), off)
}

// Inside returns the share of units between min and max (±Inf is open). Low and High are what the
// share stays above, and below, each with the confidence (one-sided), for the number of units, the
// meters' errors and what a carry does not know. Where nothing limits a meter's error they are 0 and 1.
func (r *Result) Inside(min, max float64) (Interval, error) {
	if err := r.bound(min, max); err != nil {
		return Interval{}, err
	}
	if r.Units == 1 {
		return r.oneInside(min, max), nil
	}
	q := question{r.sample, r.Input.Carry, min, max}
	if r.sample.scatter() == 0 {
		return Interval{Best: r.oneInside(min, max).Best, High: 1}, nil
	}
	best := q.best()
	if !r.tells() {
		return Interval{Best: best, High: 1}, nil
	}
	low := q.limit(lower, r.Units, r.draws, r.Input.Confidence)
	high := q.limit(upper, r.Units, r.draws, r.Input.Confidence)
	return Interval{Best: best, Low: math.Min(low, best), High: math.Max(high, best)}, nil
}

func (r *Result) bound(min, max float64) error {
	if !(min < max) {
		return fmt.Errorf("bench: %s: bound %v..%v; want min < max", r.Input.Quantity, min, max)
	}
	return nil
}
