package setpoint

import (
	"context"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/statistics"
)

// Carry is, for simulated units, how far the quantity over the conditions lies below and above its
// value at the point of a measurement: Low ≤ High, both about 0.
type Carry struct {
	Groups    int       // of equal size; what is merely unknown is the same within one
	Low, High []float64 // V, group after group
}

// Carry simulates units to carry a measurement made at a point to the conditions. A current of
// the point that is nil is some current as in use, but not that of the same unit in use.
//
//	groups, units  of each group; both ≥ 1
func (r *Result) Carry(ctx context.Context, quantity string, at Point, groups, units int) (Carry, error) {
	a, err := r.ready(quantity, groups, units)
	if err != nil {
		return Carry{}, err
	}
	from, places := r.chain.place(a, at), r.chain.places(&r.Input, a)
	if never := r.chain.never(a, append(places, from)); never != "" {
		return Carry{}, fmt.Errorf("setpoint: %s cannot be carried: %s", quantity, never)
	}
	from.other = true
	keep := newFloats(groups * units)
	g := newGather(r.chain, a, places, groups, units, keep)
	g.minus = &from
	if err := r.chain.sample(ctx, r.Input.Seed, groups, units, g); err != nil {
		return Carry{}, err
	}
	return Carry{groups, keep.lows, keep.highs}, nil
}

// ready finds a quantity that can be computed.
func (r *Result) ready(quantity string, outer, inner int) (aim, error) {
	a, ok := findAim(quantity)
	switch {
	case !ok:
		return aim{}, fmt.Errorf("setpoint: no quantity is called %q", quantity)
	case r.chain == nil || len(r.Input.missing(a)) > 0:
		return aim{}, fmt.Errorf("setpoint: %s lacks an input", quantity)
	case outer < 1 || inner < 1:
		return aim{}, fmt.Errorf("setpoint: %d groups of %d units; want 1 or more of both", outer, inner)
	}
	return a, nil
}

// AtPoint is the distribution of a quantity at one point.
type AtPoint struct {
	Mean      float64   // V, over units and over what is unknown
	UnitSD    float64   // V, from unit to unit
	UnknownSD float64   // V, of the mean, from what is merely unknown
	Means     []float64 // V, the mean over units for each draw of the unknown, rising
	Low, High float64   // V, 95 % of units
}

// How many samples a look at one point takes: 10^5.
const (
	pointOuter = 100
	pointInner = 1000
)

// At returns the distribution at one point, to be compared with a measurement made there.
func (r *Result) At(ctx context.Context, quantity string, at Point) (AtPoint, error) {
	a, err := r.ready(quantity, pointOuter, pointInner)
	if err != nil {
		return AtPoint{}, err
	}
	keep, places := newFloats(pointOuter*pointInner), []place{r.chain.place(a, at)}
	if never := r.chain.never(a, places); never != "" {
		return AtPoint{}, fmt.Errorf("setpoint: %s has no figure: %s", quantity, never)
	}
	g := newGather(r.chain, a, places, pointOuter, pointInner, keep)
	g.one = true
	if err := r.chain.sample(ctx, r.Input.Seed, pointOuter, pointInner, g); err != nil {
		return AtPoint{}, err
	}
	return atPoint(keep.lows, g.sums[0], pointInner), nil
}

// atPoint separates the variance of values into that between units and that of the means of
// groups of n, by variance components.
func atPoint(values, sums []float64, n int) AtPoint {
	var p AtPoint
	for _, s := range sums {
		p.Means = append(p.Means, s/float64(n))
	}
	var within, between float64
	p.Mean, between = meanVariance(p.Means)
	for j, m := range p.Means {
		for _, x := range values[j*n : (j+1)*n] {
			within += (x - m) * (x - m) / float64((n-1)*len(sums))
		}
	}
	p.UnitSD = math.Sqrt(within)
	p.UnknownSD = math.Sqrt(max(0, between-within/float64(n)))
	slices.Sort(p.Means)
	q := statistics.Quantiles(slices.Clone(values), 0.025, 0.975)
	p.Low, p.High = q[0], q[1]
	return p
}
