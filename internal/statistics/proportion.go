package statistics

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// NormalProportion returns what part of a normal population lies between min and max, when all
// that is known of it is the mean and the standard deviation of n units.
//
//	mean, sd    of the units seen; sd > 0, with n-1 in its denominator
//	n           ≥ 2
//	min, max    the bound, min < max; ±Inf where it is open, not on both sides
//	confidence  of each limit by itself (one-sided), 0.5 ≤ confidence < 1
//
// best is the part for a population with just this mean and sd.
//
// With one side open, low and high are exact: limits of the noncentral t's shift (Owen,
// Technometrics 10, 1968, p. 445), so that low is p where the one-sided tolerance limit for p touches the
// bound. With two sides low is a quantile of the generalised pivotal quantity
//
//	Φ((max-μ*)/σ*) - Φ((min-μ*)/σ*),  σ* = sd/S,  μ* = mean - Z·σ*/√n,  S = √(χ²/(n-1))
//
// (Hamada and Weerahandi, Journal of Quality Technology 32, 2000, p. 139); with the mean in the middle of
// the bound it is p where the exact two-sided tolerance interval for p touches it. The same quantity
// would set high too low, as μ* strays from the middle more than the mean did (simulated: passed by up to
// 27 % at 5 % asked). So high is where a test ends to refuse: the p of which the likeliest population, among those
// with just that part inside, shows more than best with probability confidence (the constrained bootstrap
// of Chuang and Lai, Statistica Sinica 10, 2000, p. 1, without its random draws). All is
// computed by integration, so that limits are smooth and always the same. What they cover in truth
// is held by TestProportionCoverage: low 0.95 … 0.99 and high 0.94 … 0.97 at 0.95.
func NormalProportion(mean, sd float64, n int, min, max, confidence float64) (best, low, high float64, err error) {
	q, err := newProportion(mean, sd, n, min, max, confidence)
	if err != nil {
		return 0, 0, 0, err
	}
	low = limit(func(y float64) float64 { return confidence - q.exceeds(y) }, 0)
	high = limit(func(y float64) float64 { return q.shows(y) - confidence }, 1)
	return q.best(), low, high, nil
}

// A proportion is the bound seen from the mean, in standard deviations of the sample: how far the
// nearer limit is, and the farther one. The nearer is negative for a mean outside the bound;
// the farther is +Inf for an open side.
type proportion struct {
	near, far float64
	n         int
	chi       chi
}

func newProportion(mean, sd float64, n int, lowest, highest, confidence float64) (*proportion, error) {
	switch {
	case n < 2:
		return nil, fmt.Errorf("number of units is %d; need 2 or more units for the spread", n)
	case !finite(mean):
		return nil, fmt.Errorf("mean is %v; want a finite number", mean)
	case sd == 0:
		return nil, fmt.Errorf("standard deviation is 0, so all readings are alike and the spread is unknown; want readings fine enough to differ")
	case !(sd > 0 && finite(sd)):
		return nil, fmt.Errorf("standard deviation is %v; want more than 0", sd)
	case !(lowest < highest):
		return nil, fmt.Errorf("bound is %v..%v; want min < max", lowest, highest)
	case math.IsInf(lowest, -1) && math.IsInf(highest, 1):
		return nil, fmt.Errorf("bound is open on both sides; want a min or a max")
	case !(confidence >= 0.5 && confidence < 1):
		return nil, fmt.Errorf("confidence is %v; want 0.5 or more and less than 1", confidence)
	}
	below, above := (mean-lowest)/sd, (highest-mean)/sd
	return &proportion{min(below, above), max(below, above), n, newChi(float64(n - 1))}, nil
}

func (q *proportion) best() float64 { return normalBetween(-q.near, q.far) }

// limit returns the proportion at which rising f passes 0, or otherwise if it is too near 0 or 1 to
// tell. It is sought on the scale of normal deviates, where such proportions keep their digits.
func limit(f func(y float64) float64, otherwise float64) float64 {
	y, ok := solve(f, -1, 3)
	if !ok {
		return otherwise
	}
	return NormalCDF(y)
}

// exceeds returns the probability that the pivotal quantity is more than Φ(y).
//
// For a standard deviation sd/s it is more as long as the mean is at least x = margin of them
// inside either limit; the mean is known to 1/√n of them.
func (q *proportion) exceeds(y float64) float64 {
	root, width := math.Sqrt(float64(q.n)), q.near+q.far
	from := max(q.chi.lo, leastWidth(y)/width)
	return q.chi.meanAbove(from, func(s float64) float64 {
		x := margin(width*s, y)
		return NormalCDF(root*(q.near*s-x)) - NormalCDF(root*(x-q.far*s))
	}, q.steps(y, root))
}

// leastWidth returns the width of a bound, in standard deviations, that holds Φ(y) about the
// middle: 2Φ(w/2) - 1 = Φ(y).
func leastWidth(y float64) float64 {
	if y < 0 {
		return 2 * math.Sqrt2 * math.Erfinv(NormalCDF(y))
	}
	return -2 * NormalQuantile(NormalCDF(-y)/2)
}

// margin returns how far inside the nearer limit the mean must be for a bound of this width to hold Φ(y), in
// standard deviations: the x ≤ width/2 with Φ(x) - Φ(x-width) = Φ(y).
func margin(width, y float64) float64 {
	if NormalCDF(y-width) < 1e-18*NormalCDF(-math.Abs(y)) {
		return y
	}
	rest := func(x float64) float64 { return NormalCDF(-y) - NormalCDF(-x) - NormalCDF(x-width) }
	if y < 0 {
		rest = func(x float64) float64 { return normalBetween(x-width, x) - NormalCDF(y) }
	}
	if rest(width/2) <= 0 { // by rounding, just above leastWidth
		return width / 2
	}
	x, err := numeric.FindRoot(rest, y, width/2, 1e-12)
	if err != nil {
		return y
	}
	return x
}

// steps returns values of s about those at which the integrand of exceeds passes from 0 to 1: it does
// so where the mean is just margin inside, within a few 1/(√n·near).
func (q *proportion) steps(y, root float64) (s []float64) {
	inside := func(s float64) float64 { return NormalCDF(-y) - NormalCDF(-q.near*s) - NormalCDF(-q.far*s) }
	centre, err := numeric.FindRoot(inside, max(q.chi.lo, 1e-9), q.chi.hi, 1e-9) // not 0: an open side is 0·∞ there
	if err != nil {
		return nil
	}
	return about(centre, 1/(root*math.Abs(q.near)))
}

func about(centre, width float64) (places []float64) {
	for _, z := range [...]float64{-6, -3, -1, 0, 1, 3, 6} {
		places = append(places, centre+z*width)
	}
	return places
}
