package survival

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics"
)

// A RateFit is a constant rate of failure, S(t) = e^(−rate·t), fitted to lives.
type RateFit struct {
	Rate      float64 // per unit and unit of age; 0 without a failure
	Low, High Maybe
	LogLik    float64 // with the density per unit of age for exact ages
	Exposure  float64 // time that units were at risk, all together: rate × exposure = failures
	Failures  int
}

// Exponential fits a constant rate of failure by maximum likelihood, and finds the limits of its likelihood.
//
//	lives       exact and open ages, failures between inspections, late entry, in any mixture
//	confidence  of the limits, two-sided, 0 < confidence < 1
//
// Without a failure the rate and its lower limit are 0 and the upper limit is exact: at it no failure
// would be seen with probability (1−confidence)/2. A NoFit says that the rate has no peak: all units
// failed at age 0 or before the first inspection, so that nothing bounds it above.
//
// Source: Meeker and Escobar, Statistical Methods for Reliability Data, 1998, section 7.3; equation [F1] of docs/models.md.
func Exponential(lives []Life, confidence float64) (RateFit, error) {
	if !(confidence > 0 && confidence < 1) {
		return RateFit{}, fmt.Errorf("confidence is %v; want more than 0 and less than 1", confidence)
	}
	failures, err := checkAll(lives)
	if err != nil {
		return RateFit{}, err
	}
	e := newExposure(lives)
	switch {
	case failures == 0 && e.sure == 0:
		return RateFit{}, &NoFit{"no unit was watched for any time"}
	case failures == 0: // [F1], no failure
		return RateFit{Low: Maybe{}, High: Maybe{Value: -math.Log((1-confidence)/2) / e.sure}, Exposure: e.sure}, nil
	case e.sure == 0:
		return RateFit{}, &NoFit{"every failure came at age 0 or before the first inspection, which leaves the rate without an upper bound"}
	}
	rate, err := e.peak(float64(failures))
	if err != nil {
		return RateFit{}, fmt.Errorf("rate: %w", err)
	}
	fit := RateFit{Rate: rate, LogLik: e.at(rate), Exposure: float64(failures) / rate, Failures: failures}
	least := fit.LogLik - statistics.ChiSquaredQuantile(confidence, 1)/2
	above := func(x float64) float64 { return e.at(math.Exp(x)) - least }
	x, step := math.Log(rate), 2/math.Sqrt(float64(failures))
	low, err := falls(above, x, -step)
	if err == nil {
		fit.Low = low
		fit.High, err = falls(above, x, step)
	}
	if err != nil {
		return RateFit{}, fmt.Errorf("limits of the rate: %w", err)
	}
	return fit, nil
}

// FailedBy returns the part of units that failed by an age ≥ 0, with the limits of the rate's.
func (f RateFit) FailedBy(age float64) (Part, error) {
	if !(age >= 0 && age <= math.MaxFloat64) {
		return Part{}, fmt.Errorf("age is %v; want 0 or more", age)
	}
	part := func(rate float64) float64 { return -math.Expm1(-rate * age) }
	return Part{part(f.Rate), f.Low.through(part), f.High.through(part)}, nil
}

// falls returns e to the x at which f, from its peak on in the direction of step, falls to 0.
func falls(f func(float64) float64, x, step float64) (Maybe, error) {
	const farthest = 1400 // no number is so far
	inside := x
	for outside := x + step; ; outside += step {
		if math.Abs(outside-x) > farthest {
			return Maybe{None: "the likelihood stays near its peak however far"}, nil
		}
		if f(outside) <= 0 {
			at, err := numeric.FindRoot(f, inside, outside, 1e-12)
			return Maybe{Value: math.Exp(at)}, err
		}
		inside, step = outside, 2*step
	}
}

// exposure is what lives tell of a constant rate.
type exposure struct {
	sure    float64 // time that units were certainly at risk
	exact   float64 // failures at exact ages
	between []interval
}

func newExposure(lives []Life) *exposure {
	e := &exposure{}
	for _, l := range lives {
		n := float64(l.Count)
		e.sure += n * (l.From - l.Entry)
		switch {
		case l.failed():
			e.exact += n
		case !l.good():
			e.between = append(e.between, interval{l.From, l.To, n})
		}
	}
	return e
}

// at returns the log-likelihood of a rate.
func (e *exposure) at(rate float64) float64 {
	l := -rate * e.sure
	if e.exact > 0 {
		l += e.exact * math.Log(rate)
	}
	for _, i := range e.between {
		l += i.count * log1mexp(rate*(i.to-i.from))
	}
	return l
}

// peak returns the rate at which the likelihood does not change: rate·sure = exact + Σ x/(e^x − 1), x = rate·width.
// Of n failures the right side lies between exact and n, and x/(e^x − 1) above 1 − x/2.
func (e *exposure) peak(failures float64) (float64, error) {
	if len(e.between) == 0 {
		return failures / e.sure, nil
	}
	half := 0.0
	for _, i := range e.between {
		half += i.count * (i.to - i.from) / 2
	}
	const slack = 1e-9
	low, high := failures/(e.sure+half)*(1-slack), failures/e.sure*(1+slack)
	return numeric.FindRoot(func(rate float64) float64 {
		right := e.exact
		for _, i := range e.between {
			right += i.count * overExpm1(rate*(i.to-i.from))
		}
		return right - rate*e.sure
	}, low, high, 1e-13*low)
}
