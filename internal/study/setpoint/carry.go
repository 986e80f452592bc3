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
	from := r.chain.place(a, at)
	from.other = true
	g := newGather(r.chain, a, r.chain.places(&r.Input, a), groups, units)
	g.minus = &from
	if err := r.chain.sample(ctx, r.Input.Seed, groups, units, []*gather{g}); err != nil {
		return Carry{}, err
	}
	if err := g.finite(&r.Input); err != nil {
		return Carry{}, err
	}
	return Carry{groups, g.lows, g.highs}, nil
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
	g := newGather(r.chain, a, []place{r.chain.place(a, at)}, pointOuter, pointInner)
	if err := r.chain.sample(ctx, r.Input.Seed, pointOuter, pointInner, []*gather{g}); err != nil {
		return AtPoint{}, err
	}
	if err := g.finite(&r.Input); err != nil {
		return AtPoint{}, err
	}
	return g.atPoint(), nil
}

func (g *gather) atPoint() AtPoint {
	var p AtPoint
	outer, n := float64(len(g.sums[0])), float64(g.inner)
	for _, s := range g.sums[0] {
		p.Means = append(p.Means, s/n)
		p.Mean += s / n / outer
	}
	var within, between float64
	for j, m := range p.Means {
		between += (m - p.Mean) * (m - p.Mean) / (outer - 1)
		for _, x := range g.at[j*g.inner : (j+1)*g.inner] {
			within += (x - m) * (x - m) / (n - 1) / outer
		}
	}
	p.UnitSD = math.Sqrt(within)
	p.UnknownSD = math.Sqrt(max(0, between-within/n)) // variance components
	slices.Sort(p.Means)
	q := statistics.Quantiles(slices.Clone(g.at), 0.025, 0.975)
	p.Low, p.High = q[0], q[1]
	return p
}
