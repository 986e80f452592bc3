package bench

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics"
)

// A draw is what is unknown, once: where the population may lie, what each meter errs by, and the
// group of a carry.
type draw struct {
	statistics.PivotalDraw
	errors []float64 // by meter, parts of its limits, -1..1
	group  int
}

// Paths of random numbers; 0 and 1 are those of statistics.PivotalDraws.
const errorPath = 2

// draw makes draws of what n units leave unknown. The same seed and count give the same draws but for
// what n does to them, so that more units never look worse by chance.
func (s *sample) draw(n, count int, seed uint64, c *Carry) ([]draw, error) {
	pivots, err := statistics.PivotalDraws(n, count, seed)
	if err != nil {
		return nil, err
	}
	errors := meterErrors(len(s.meters), count, seed)
	draws := make([]draw, count)
	for k := range draws {
		draws[k] = draw{PivotalDraw: pivots[k], errors: errors[k]}
		if c != nil {
			draws[k].group = k % c.Groups
		}
	}
	return draws, nil
}

// meterErrors draws the parts of their limits that meters err by, rectangular, count times. Each meter's
// are the middles of count equal parts of -1..1 in random order (latin hypercube).
func meterErrors(meters, count int, seed uint64) [][]float64 {
	out := make([][]float64, count)
	for k := range out {
		out[k] = make([]float64, meters)
	}
	one := make([]float64, count)
	for m := range meters {
		for k := range one {
			one[k] = (2*float64(k)+1)/float64(count) - 1
		}
		stream := numeric.NewStream(seed, errorPath, uint64(m))
		numeric.Shuffle(&stream, one)
		for k, e := range one {
			out[k][m] = e
		}
	}
	return out
}

// population is the mean and standard deviation that all units may have by a draw [R6].
func (s *sample) population(n int, d draw) (mean, sd float64) {
	mean, sd = s.corrected(d.errors)
	sd *= d.Scale
	return mean + d.Z*sd/math.Sqrt(float64(n)), sd
}

// share is the part of units that keep inside a bound over the whole of the conditions, if their values at
// the readings' conditions are normal, and how far it scatters because a group has few units
// (variance) [R7].
func share(mean, sd, min, max float64, low, high []float64) (p, noise float64) {
	var sum, squares float64
	for i := range low {
		if from, to := min-low[i], max-high[i]; from < to { // else no value keeps this unit inside
			one := statistics.Conformance(mean, sd, from, to)
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

// limits are what the share stays above, and below, with this confidence each, seen by n units. What groups of
// few units add to the scatter is taken out by variance components [R8].
func (q question) limits(n int, draws []draw, confidence float64) (low, high float64) {
	shares, noise := make([]float64, len(draws)), 0.0
	for k, d := range draws {
		mean, sd := q.sample.population(n, d)
		l, h := q.carry.group(d.group)
		p, own := share(mean, sd, q.min, q.max, l, h)
		shares[k], noise = p, noise+own/float64(len(draws))
	}
	middle, total := mean(shares), covariance(shares, shares)
	keep := 0.0
	if total > noise {
		keep = math.Sqrt((total - noise) / total)
	}
	limits := statistics.Quantiles(shares, 1-confidence, confidence)
	within := func(p float64) float64 { return math.Min(math.Max(middle+keep*(p-middle), 0), 1) }
	return within(limits[0]), within(limits[1])
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
	low, high := q.limits(r.Units, r.draws, r.Input.Confidence)
	return Interval{Best: best, Low: math.Min(low, best), High: math.Max(high, best)}, nil
}

func (r *Result) bound(min, max float64) error {
	if !(min < max) {
		return fmt.Errorf("bench: %s: bound %v..%v; want min < max", r.Input.Quantity, min, max)
	}
	return nil
}
