package statistics

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// A PivotalDraw is one pair (μ*, σ*) that the population behind n units may have, by their mean x̄
// and standard deviation s alone: σ* = Scale·s and μ* = x̄ + Z·Scale·s/√n.
type PivotalDraw struct{ Z, Scale float64 }

// PivotalDraws returns count such pairs for n ≥ 2 units, in random order, to be joined one by one
// with draws of other unknowns: Z is standard normal and Scale = √((n-1)/χ²(n-1)), the
// generalised pivotal quantities of a normal population.
//
// Each of the two is stratified: of its count equally likely parts each holds one draw (latin hypercube,
// McKay, Beckman and Conover, Technometrics 21, 1979, p. 239), so that the quantiles of
// either are right with few draws.
func PivotalDraws(n, count int, seed uint64) ([]PivotalDraw, error) {
	if n < 2 {
		return nil, fmt.Errorf("number of units is %d; need 2 or more units for the spread", n)
	}
	if count < 1 {
		return nil, fmt.Errorf("number of draws is %d; want 1 or more", count)
	}
	dof := float64(n - 1)
	draws := make([]PivotalDraw, count)
	for i, p := range strata(count, seed, 0) {
		draws[i].Z = NormalQuantile(p)
	}
	for i, p := range strata(count, seed, 1) {
		draws[i].Scale = math.Sqrt(dof / ChiSquaredQuantile(p, dof))
	}
	return draws, nil
}

// strata returns one probability out of each of count equal parts of 0..1, in random order.
func strata(count int, seed, path uint64) []float64 {
	s := numeric.NewStream(seed, path)
	p := make([]float64, count)
	for i := range p {
		within := 0.5*0x1p-53 + s.Float64() // never 0
		p[i] = min((float64(i)+within)/float64(count), 1-0x1p-53)
	}
	numeric.Shuffle(&s, p)
	return p
}
