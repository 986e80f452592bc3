package survival

import (
	"math"

	"hindwatt/internal/numeric"
)

// profiles looks for where the profile likelihoods fall to a least value.
type profiles struct {
	*likelihood
	least           float64 // log-likelihood at the limits
	shape, logScale float64 // of the peak; the scale in units of age
	step            float64 // about how far the limits are, in log shape
}

// limits sets the limits of shape and scale. Open ones say why.
func (p *profiles) limits(fit *Fit) (err error) {
	byShape := func(logShape float64) (float64, error) {
		l, _, err := p.profile(math.Exp(logShape))
		return l, err
	}
	at, room := math.Log(p.shape), [2]float64{math.Log(leastShape), math.Log(p.largestShape())}
	for _, side := range []struct {
		to        *Maybe
		f         func(float64) (float64, error)
		at, step  float64
		end, unit float64
		why       string
	}{
		{&fit.ShapeLow, byShape, at, -p.step, room[0], 0, "the likelihood stays near its peak down to shape 0"},
		{&fit.ShapeHigh, byShape, at, p.step, room[1], 0, "the likelihood stays near its peak however large the shape"},
		{&fit.ScaleLow, p.ofScale, p.logScale, -p.step / p.shape, -600, p.unit, "the likelihood stays near its peak down to scale 0"},
		{&fit.ScaleHigh, p.ofScale, p.logScale, p.step / p.shape, 600, p.unit, "the likelihood stays near its peak however large the scale"},
	} {
		x, found, err := p.crossing(side.f, side.at, side.step, side.end)
		if err != nil {
			return err
		}
		*side.to = Maybe{Value: math.Exp(x + side.unit)}
		if v := side.to.Value; !found || v == 0 || math.IsInf(v, 1) {
			*side.to = Maybe{None: side.why}
		}
	}
	return nil
}

// crossing returns where f, from its peak at x on in the direction of step, falls to least; found is false
// if it does not before the end.
func (p *profiles) crossing(f func(float64) (float64, error), x, step, end float64) (at float64, found bool, err error) {
	above := func(x float64) float64 {
		l, fault := f(x)
		if fault != nil {
			err = fault
			return math.NaN()
		}
		return l - p.least
	}
	inside, outside := x, x
	for first := true; first || above(outside) > 0; first = false {
		if outside == end || err != nil {
			return 0, false, err
		}
		inside, outside = outside, outside+step
		if (outside-end)*step > 0 {
			outside = end
		}
		step *= 2
	}
	if err != nil {
		return 0, false, err
	}
	at, rootErr := numeric.FindRoot(above, inside, outside, 1e-11)
	if err == nil {
		err = rootErr
	}
	return at, true, err
}

// ofScale returns the largest log-likelihood of a scale. On the line λ = −b·log scale it has one
// peak in b, unless units entered late.
func (p *profiles) ofScale(logScale float64) (float64, error) {
	slope := func(b float64) float64 {
		_, byShape, byLambda := p.at(b, -b*logScale)
		return byShape - logScale*byLambda
	}
	low, high := p.shape, p.shape
	for by := 1.02; high < p.largestShape() && slope(high) > 0; by *= by {
		low, high = high, min(high*by, p.largestShape())
	}
	for by := 1.02; low > leastShape && slope(low) < 0; by *= by {
		low, high = max(low/by, leastShape), low
	}
	b, err := p.top(slope, low, high)
	if err != nil {
		return 0, err
	}
	l, _, _ := p.at(b, -b*logScale)
	return l, nil
}

// top returns where slope turns from above to below 0 between low and high, or the end where it does not.
func (p *profiles) top(slope func(float64) float64, low, high float64) (float64, error) {
	switch {
	case slope(low) <= 0:
		return low, nil
	case slope(high) >= 0:
		return high, nil
	}
	return numeric.FindRoot(slope, low, high, 1e-9*low)
}
