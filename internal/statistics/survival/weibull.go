package survival

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics"
)

// A Fit is a Weibull distribution, S(t) = e^(−(t/scale)^shape), fitted to lives.
type Fit struct {
	Shape, Scale        float64
	LogLik              float64 // with the density per unit of age for exact ages
	ShapeLow, ShapeHigh Maybe
	ScaleLow, ScaleHigh Maybe
	Failures            int

	// Variances by the curvature of the likelihood at its peak; 0 where it has none.
	VarShape, VarLogScale, CovShapeLogScale float64
}

// shapes outside these limits are not looked for; no ageing is known to be near either.
const leastShape, mostShape = 1e-3, 1e5

// Weibull fits a Weibull distribution by maximum likelihood, and finds the limits of the profile
// likelihood of shape and of scale.
//
//	lives       exact and open ages, failures between inspections, late entry, in any mixture
//	confidence  of the limits, 0 < confidence < 1
//
// A NoFit says why the likelihood has no peak: no failure, or failures all at one age that no unit
// outlived, or all before the first inspection. With late entry the likelihood may have more
// than one peak; one is found.
func Weibull(lives []Life, confidence float64) (Fit, error) {
	if !(confidence > 0 && confidence < 1) {
		return Fit{}, fmt.Errorf("confidence is %v; want more than 0 and less than 1", confidence)
	}
	failures, err := checkAll(lives)
	if err != nil {
		return Fit{}, err
	}
	for i, l := range lives {
		if l.failed() && l.From == 0 {
			return Fit{}, fmt.Errorf("unit %d: failed at age 0, where a Weibull distribution has no density; want the ages between which it failed", i+1)
		}
	}
	if failures == 0 {
		return Fit{}, &NoFit{"no unit failed"}
	}
	f := newLikelihood(lives)
	if len(f.sums.logs) == 0 {
		return Fit{}, &NoFit{"every failure came before the first inspection, which leaves the scale without a lower bound"}
	}
	shape, err := f.peak()
	if err != nil {
		return Fit{}, err
	}
	if err := f.pointed(shape); err != nil {
		return Fit{}, err
	}
	return f.fit(shape, failures, confidence)
}

// What leaves the shape without a bound.
const (
	noUpper = "the failures do not spread over ages that others outlived, so that the likelihood grows with the shape without end"
	noLower = "the ages at failure tell nothing against a shape near 0"
)

// largestShape is where powers of ages beyond the unit would overflow.
func (f *likelihood) largestShape() float64 {
	most := mostShape
	for _, i := range f.between {
		most = min(most, 600/max(i.to, 0.006))
	}
	return most
}

// peak returns the shape at which the profile turns from rising to falling. Of many units the peak is
// first looked for with their ages grouped, so that few passes over all of them are needed.
func (f *likelihood) peak() (float64, error) {
	start, by := 1.0, 1.5
	if len(f.sums.logs) > 4*cells {
		grouped := *f
		grouped.sums = f.sums.grouped()
		if shape, err := grouped.peakFrom(start, by); err == nil {
			start, by = shape, 1.0005
		}
	}
	return f.peakFrom(start, by)
}

// peakFrom looks for the peak from a shape on, in strides of which each is the square of the one before.
func (f *likelihood) peakFrom(start, by float64) (float64, error) {
	var fault error
	slope := func(b float64) float64 {
		_, slope, err := f.profile(b)
		if err != nil {
			fault = err
			return math.NaN()
		}
		return slope
	}
	low, high := start, start
	for by := by; slope(high) > 0; by *= by {
		if high == f.largestShape() {
			return 0, &NoFit{noUpper}
		}
		low, high = high, min(high*by, f.largestShape())
	}
	for by := by; slope(low) < 0; by *= by {
		if low == leastShape {
			return 0, &NoFit{noLower}
		}
		low, high = max(low/by, leastShape), low
	}
	shape, err := numeric.FindRoot(slope, low, high, 1e-12*low)
	if fault != nil {
		err = fault
	}
	if err != nil {
		return 0, fmt.Errorf("weibull shape: %w", err)
	}
	return shape, nil
}

// pointed makes sure that a peak is no ridge: where the likelihood takes up all that the data tell, as of
// units inspected at one age only, it stays the same for larger or smaller shapes.
func (f *likelihood) pointed(shape float64) error {
	const near, ridge = 1.02, 1e-9 // a peak of one failure falls by 3e-4 so far
	best, _, err := f.profile(shape)
	if err != nil {
		return err
	}
	for _, side := range []struct {
		shape float64
		why   string
	}{{shape * near, noUpper}, {shape / near, noLower}} {
		switch l, _, err := f.profile(side.shape); {
		case err != nil:
			return err
		case l > best-ridge:
			return &NoFit{side.why}
		}
	}
	return nil
}

// fit adds the scale and the limits to a shape.
func (f *likelihood) fit(shape float64, failures int, confidence float64) (Fit, error) {
	lambda, err := f.lambda(shape)
	if err != nil {
		return Fit{}, fmt.Errorf("weibull scale: %w", err)
	}
	best, _, _ := f.at(shape, lambda)
	loss := statistics.ChiSquaredQuantile(confidence, 1) / 2
	fit := Fit{Shape: shape, Scale: math.Exp(f.unit - lambda/shape), LogLik: best - f.failures*f.unit, Failures: failures}
	if !(fit.Scale > 0 && fit.Scale <= math.MaxFloat64) {
		return Fit{}, &NoFit{"the scale is beyond any number"}
	}
	f.information(&fit, shape, lambda)
	p := profiles{likelihood: f, least: best - loss, shape: shape, logScale: -lambda / shape, step: math.Sqrt(loss / float64(failures))}
	if err := p.limits(&fit); err != nil {
		return Fit{}, fmt.Errorf("weibull limits: %w", err)
	}
	return fit, nil
}
