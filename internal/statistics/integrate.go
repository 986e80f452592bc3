package statistics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
)

const nodes = 20

var gaussX, gaussW = func() (x, w [nodes]float64) {
	quad.Legendre{}.FixedLocations(x[:], w[:], -1, 1)
	return x, w
}()

// integrate returns the integral of f over the panels between sorted breaks, by Gauss and Legendre
// with 20 nodes a panel.
func integrate(f func(float64) float64, breaks []float64) float64 {
	var sum float64
	for i := 1; i < len(breaks); i++ {
		middle, half := (breaks[i]+breaks[i-1])/2, (breaks[i]-breaks[i-1])/2
		if !(half > 0) {
			continue
		}
		var panel float64
		for k, x := range gaussX {
			panel += gaussW[k] * f(middle+half*x)
		}
		sum += panel * half
	}
	return sum
}

// panels cuts lo..hi into n equal parts and at each of the extra places that lie within.
func panels(lo, hi float64, n int, extra ...float64) []float64 {
	breaks := make([]float64, 0, n+1+len(extra))
	for i := range n + 1 {
		breaks = append(breaks, lo+(hi-lo)*float64(i)/float64(n))
	}
	for _, e := range extra {
		if e > lo && e < hi {
			breaks = append(breaks, e)
		}
	}
	slices.Sort(breaks)
	return breaks
}

// A chi is the distribution of S = √(χ²/ν), the ratio of a sample's standard deviation to
// the population's, ν ≥ 1. Its density is taken relative to the mode, where the terms that
// cancel are small, and scaled so that it integrates to 1: no Γ is needed, and
// 10^6 degrees of freedom cost no digits.
type chi struct {
	dof, mode, lo, hi, scale float64
}

func newChi(dof float64) chi {
	c := chi{dof: dof, mode: math.Sqrt((dof - 1) / dof), scale: 1}
	const below = 46 // the density is cut where it is e^-46 of the mode's
	width := math.Sqrt(2*below/(dof+0.25)) + 1/(dof*dof)
	c.lo, c.hi = c.mode, c.mode
	for c.logDensity(c.hi) > -below {
		c.hi += width / 4
	}
	for c.lo > 0 && c.logDensity(c.lo) > -below {
		c.lo = max(0, c.lo-width/4)
	}
	c.scale = 1 / integrate(func(s float64) float64 { return math.Exp(c.logDensity(s)) }, panels(c.lo, c.hi, 12))
	return c
}

// logDensity is ln of s^(ν-1)·exp(-ν·s²/2) less its value at the mode.
func (c chi) logDensity(s float64) float64 {
	if c.mode == 0 { // ν = 1
		return -s * s / 2
	}
	d := s/c.mode - 1
	return (c.dof - 1) * (math.Log1p(d) - d - d*d/2)
}

// mean returns the expectation of g(S); extra are places where g changes fast.
func (c chi) mean(g func(s float64) float64, extra ...float64) float64 {
	return integrate(func(s float64) float64 {
		return c.scale * math.Exp(c.logDensity(s)) * g(s)
	}, panels(c.lo, c.hi, 12, extra...))
}

// meanAbove returns the expectation of g(S) over S > from only, where g sets in as a square root; extra
// are places where g changes fast.
func (c chi) meanAbove(from float64, g func(s float64) float64, extra []float64) float64 {
	return c.meanBeside(from, c.hi-from, +1, g, extra)
}

// meanBelow is meanAbove for S < to.
func (c chi) meanBelow(to float64, g func(s float64) float64, extra []float64) float64 {
	return c.meanBeside(to, to-c.lo, -1, g, extra)
}

func (c chi) meanBeside(edge, length, side float64, g func(s float64) float64, extra []float64) float64 {
	if !(length > 0) {
		return 0
	}
	// t = √|s-edge| makes g smooth, but it may rise within a t of 1/√ν
	places := []float64{0, math.Sqrt(length)}
	for _, s := range panels(c.lo, c.hi, 6, extra...) {
		if d := side * (s - edge); d > 0 && d < length {
			places = append(places, math.Sqrt(d))
		}
	}
	for t := places[1] / 2; t*math.Sqrt(c.dof) > 0.5; t /= 2 {
		places = append(places, t)
	}
	slices.Sort(places)
	return integrate(func(t float64) float64 {
		s := edge + side*t*t
		return 2 * t * c.scale * math.Exp(c.logDensity(s)) * g(s)
	}, places)
}
