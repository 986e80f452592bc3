package survival

import (
	"fmt"
	"math"

	"hindwatt/internal/statistics"
)

// A Part is the part of units that failed by an age, between its limits.
type Part struct {
	Value     float64
	Low, High Maybe
}

// through returns f of a figure that exists, and else why it does not.
func (m Maybe) through(f func(float64) float64) Maybe {
	if m.None != "" {
		return m
	}
	return Maybe{Value: f(m.Value)}
}

// FailedBy returns the part of units that failed by an age ≥ 0 under the fit.
//
// Limits are two-sided, by the observed information at the peak on the scale of u = log(−log S), which is linear
// in log age and keeps them between 0 and 1 (Meeker and Escobar 1998, section 8.4.3; equation [F3] of docs/models.md). They are the
// normal approximation, and with fewer than some ten failures narrower than those of the profile likelihood.
func (f Fit) FailedBy(age, confidence float64) (Part, error) {
	switch {
	case !(confidence > 0 && confidence < 1):
		return Part{}, fmt.Errorf("confidence is %v; want more than 0 and less than 1", confidence)
	case !(age >= 0 && age <= math.MaxFloat64):
		return Part{}, fmt.Errorf("age is %v; want 0 or more", age)
	case age == 0:
		return Part{}, nil
	}
	part := func(u float64) float64 { return -math.Expm1(-math.Exp(u)) }
	x := math.Log(age) - math.Log(f.Scale)
	u := f.Shape * x // [F3]
	variance := x*x*f.VarShape - 2*f.Shape*x*f.CovShapeLogScale + f.Shape*f.Shape*f.VarLogScale
	p := Part{Value: part(u)}
	if !(f.VarShape > 0 && f.VarLogScale > 0 && variance >= 0) {
		none := Maybe{None: "the likelihood is too flat at its peak"}
		p.Low, p.High = none, none
		return p, nil
	}
	wide := statistics.NormalQuantile((1+confidence)/2) * math.Sqrt(variance)
	p.Low, p.High = Maybe{Value: part(u - wide)}, Maybe{Value: part(u + wide)}
	return p, nil
}

// information sets the variances of a fit from the curvature of the likelihood at its peak [F2]: the inverse of minus
// its second derivatives by b and λ, taken over to b and log scale = −λ/b. They stay 0 where the peak has no such curvature.
func (f *likelihood) information(fit *Fit, b, lambda float64) {
	bb, bl, ll := f.curvature(b, lambda)
	determinant := bb*ll - bl*bl
	if !(bb > 0 && determinant > 1e-12*bb*ll) {
		return
	}
	varB, varL, cov := ll/determinant, bb/determinant, -bl/determinant
	slope := lambda / (b * b) // of log scale by b
	fit.VarShape = varB
	fit.CovShapeLogScale = slope*varB - cov/b
	fit.VarLogScale = slope*slope*varB - 2*slope*cov/b + varL/(b*b)
}

// curvature returns minus the second derivatives of the log-likelihood: by b twice, by b and λ, by λ twice.
func (f *likelihood) curvature(b, lambda float64) (bb, bl, ll float64) {
	s0, s1, s2 := f.sums.second(b)
	theta := math.Exp(lambda)
	bb, bl, ll = f.failures/(b*b)+theta*s2, theta*s1, theta*s0
	for _, i := range f.between {
		width, slope := i.width(b)
		x := theta * width
		k := overExpm1(x)
		fall := k * (x + k - 1) // −x·dk/dx
		ll += i.count * fall
		bl += i.count * fall * slope
		bb += i.count * (fall*slope*slope - k*i.bend(b, width, slope))
	}
	return bb, bl, ll
}

// bend returns the second derivative by b of the logarithm of the width.
func (i interval) bend(b, width, slope float64) float64 {
	if width == 0 {
		return 0
	}
	square := func(l float64) float64 {
		if l == logOf0 {
			return 0
		}
		return math.Exp(b*l) * l * l
	}
	return (square(i.to)-square(i.from))/width - slope*slope
}
