package survival

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"

	"hindwatt/internal/statistics"
)

// A Span is units that were sold, or failed, evenly between two times, or at one time where both are equal.
type Span struct {
	From, To float64 // in the caller's unit and from any day, From ≤ To
	Count    float64 // ≥ 0
}

// A PeriodFit is what sales and failures by period tell where no age is known.
type PeriodFit struct {
	Rate    RateFit
	Weibull Fit    // without variances; its LogLik, like that of Rate, is of the counts, without the logarithms of their factorials
	None    string // why there is no Weibull fit, else ""
}

// FromPeriods fits a constant rate, and Weibull's distribution where that can be told, to sales and failures that are only
// counted by period: no unit's age is known.
//
//	sold, failed  spans that need not be the same; a span in which none failed tells something and must be there. From < To in failed
//	until         age up to which a failure is seen, such as the end of acceptance; +Inf: for ever
//	confidence    of the limits of the likelihood, 0 < confidence < 1
//
// A count of failures follows Poisson's distribution about what the units sold until then lead to expect. Source: for first failures,
// Karim, Yamamoto and Suzuki, Lifetime Data Analysis 7 (2001), p. 173; equations [F10] and [F11] of docs/models.md. A NoFit says that the
// counts tell nothing, such as failures before any sale.
func FromPeriods(sold, failed []Span, until, confidence float64) (PeriodFit, error) {
	if err := checkSpans(sold, failed, until, confidence); err != nil {
		return PeriodFit{}, err
	}
	c := newCounts(sold, failed, until)
	var p PeriodFit
	if err := c.constant(&p.Rate, confidence); err != nil {
		return PeriodFit{}, err
	}
	err := c.weibull(&p.Weibull, p.Rate.Rate, confidence)
	var no *NoFit
	if errors.As(err, &no) {
		p.Weibull, p.None = Fit{}, no.Why
		return p, nil
	}
	return p, err
}

func checkSpans(sold, failed []Span, until, confidence float64) error {
	switch {
	case !(confidence > 0 && confidence < 1):
		return fmt.Errorf("confidence is %v; want more than 0 and less than 1", confidence)
	case !(until > 0):
		return fmt.Errorf("failures are seen up to an age of %v; want more than 0", until)
	case len(sold) == 0 || len(failed) == 0:
		return errors.New("no period of sales, or none of failures; want one or more of each")
	}
	for name, spans := range map[string][]Span{"sold": sold, "failed": failed} {
		for i, s := range spans {
			if !(s.From >= -math.MaxFloat64 && s.From <= s.To && s.To <= math.MaxFloat64 && s.Count >= 0 && s.Count <= math.MaxFloat64) {
				return fmt.Errorf("%s, period %d: %v from %v to %v; want a count of 0 or more and the earlier time first", name, i+1, s.Count, s.From, s.To)
			}
			if name == "failed" && s.From == s.To {
				return fmt.Errorf("failed, period %d: from %v to %v; want the earlier time first", i+1, s.From, s.To)
			}
		}
	}
	return nil
}

// counts is failures by period, and for each the ages at which F, or its integral, is asked for, with their weights.
type counts struct {
	failed []float64
	ages   []float64 // each once
	terms  [][]term  // of each period
	until  float64
}

// term is a weight of the integral of F from 0 to an age, or of F itself.
type term struct {
	age    int
	weight float64
	at     bool
}

// newCounts lays out what is expected in each period: units sold at s fail in r₀..r₁ with probability F(r₁−s) − F(r₀−s), meaned
// over the span of s.
func newCounts(sold, failed []Span, until float64) *counts {
	c := &counts{until: until}
	places := map[float64]int{}
	place := func(age float64) int {
		i, known := places[age]
		if !known {
			i = len(c.ages)
			places[age] = i
			c.ages = append(c.ages, age)
		}
		return i
	}
	for _, r := range failed {
		weights := map[term]int{}
		var terms []term
		add := func(age, weight float64, at bool) {
			if age <= 0 || weight == 0 {
				return
			}
			t := term{age: place(age), at: at}
			i, known := weights[t]
			if !known {
				i = len(terms)
				weights[t] = i
				terms = append(terms, t)
			}
			terms[i].weight += weight
		}
		for _, s := range sold {
			if s.From == s.To {
				add(r.To-s.From, s.Count, true)
				add(r.From-s.From, -s.Count, true)
				continue
			}
			rate := s.Count / (s.To - s.From) // [F10]
			add(r.To-s.From, rate, false)
			add(r.To-s.To, -rate, false)
			add(r.From-s.From, -rate, false)
			add(r.From-s.To, rate, false)
		}
		c.failed, c.terms = append(c.failed, r.Count), append(c.terms, terms)
	}
	return c
}

// at returns the log-likelihood [F11] of a distribution, given by F and its integral.
func (c *counts) at(f, integral func(age float64) float64) float64 {
	part, sums := make([]float64, len(c.ages)), make([]float64, len(c.ages))
	for i, age := range c.ages {
		seen := min(age, c.until)
		part[i] = f(seen)
		sums[i] = integral(seen) + (age-seen)*part[i]
	}
	l := 0.0
	for k, n := range c.failed {
		expected := 0.0
		for _, t := range c.terms[k] {
			if t.at {
				expected += t.weight * part[t.age]
			} else {
				expected += t.weight * sums[t.age]
			}
		}
		switch {
		case expected > 0:
			l += n*math.Log(expected) - expected
		case n > 0:
			return math.Inf(-1)
		}
	}
	return l
}

// ofRate returns the log-likelihood of a constant rate.
func (c *counts) ofRate(rate float64) float64 {
	return c.at(func(t float64) float64 { return -math.Expm1(-rate * t) }, func(t float64) float64 {
		x := rate * t
		if x < 1e-3 { // ∫F = (x²/2 − x³/6 + …)/rate
			return t * x * (0.5 - x*(1./6-x*(1./24-x/120)))
		}
		return t + math.Expm1(-x)/rate
	})
}

// ofWeibull returns the log-likelihood of a Weibull distribution, by logarithms of shape and scale.
func (c *counts) ofWeibull(logShape, logScale float64) float64 {
	shape, scale := math.Exp(logShape), math.Exp(logScale)
	return c.at(func(t float64) float64 { return -math.Expm1(-math.Pow(t/scale, shape)) }, func(t float64) float64 {
		x := math.Pow(t/scale, shape)
		if x < 1e-3 {
			return t * x * (1/(1+shape) - x*(0.5/(1+2*shape)-x*(1./6/(1+3*shape)-x/24/(1+4*shape))))
		}
		return t - scale/shape*math.Gamma(1/shape)*mathext.GammaIncReg(1/shape, min(x, 700))
	})
}

func (c *counts) failures() float64 { return total(c.failed) }

// oldest returns the largest age that is asked for.
func (c *counts) oldest() float64 {
	oldest := 0.0
	for _, age := range c.ages {
		oldest = max(oldest, min(age, c.until))
	}
	return oldest
}

// constant fits a constant rate.
func (c *counts) constant(fit *RateFit, confidence float64) error {
	small := 1e-9 / max(c.oldest(), math.SmallestNonzeroFloat64)
	exposure := -c.without().ofRate(small) / small // Σ expected / rate, as the rate goes to 0
	if !(exposure > 0 && exposure <= math.MaxFloat64) {
		return &NoFit{"no unit was sold before the end of the periods of failures"}
	}
	if c.failures() == 0 {
		*fit = RateFit{High: Maybe{Value: -math.Log((1-confidence)/2) / exposure}, Exposure: exposure}
		return nil
	}
	start := math.Log(c.failures() / exposure)
	x, l := peak(func(x float64) float64 { return c.ofRate(math.Exp(x)) }, start, 1/math.Sqrt(c.failures()))
	if !(l > math.Inf(-1) && x < start+40) {
		return &NoFit{"failures came in a period before which nothing was sold, or more failed than were sold"}
	}
	*fit = RateFit{Rate: math.Exp(x), LogLik: l, Failures: int(math.Round(c.failures())), Exposure: c.failures() / math.Exp(x)}
	above := func(x float64) float64 {
		return c.ofRate(math.Exp(x)) - l + statistics.ChiSquaredQuantile(confidence, 1)/2
	}
	low, err := falls(above, x, -2/math.Sqrt(c.failures()))
	if err != nil {
		return err
	}
	fit.Low = low
	fit.High, err = falls(above, x, 2/math.Sqrt(c.failures()))
	return err
}

// without returns the counts with no failure in any period.
func (c *counts) without() *counts {
	none := *c
	none.failed = make([]float64, len(c.failed))
	return &none
}

// farShape is how far from 1, in log shape, a peak is looked for: shapes of 0.05 to 20; and how far from it limits are, those of
// the scale within farScale in its logarithm.
const farShape, farScale = 3, 12

// weibull fits a Weibull distribution, by the best scale of each shape. The scale is sought by its v = −shape·log(scale/oldest), that
// of the hazard up to the oldest age, in which the likelihood is nearly even.
func (c *counts) weibull(fit *Fit, rate, confidence float64) error {
	if c.failures() == 0 {
		return &NoFit{"no unit failed"}
	}
	oldest := math.Log(c.oldest())
	step := 1 / math.Sqrt(c.failures())
	scaleOf := func(s, v float64) float64 { return oldest - v*math.Exp(-s) }
	v := math.Log(rate) + oldest
	byShape := func(s float64) float64 {
		_, l := peak(func(v float64) float64 { return c.ofWeibull(s, scaleOf(s, v)) }, v, step)
		return l
	}
	s, l := peak(byShape, 0, max(step, 0.05))
	if math.Abs(s) > farShape || !(l > byShape(farShape)+1e-6 && l > byShape(-farShape)+1e-6) {
		return &NoFit{"the counts by period do not tell at what ages units fail"}
	}
	at, _ := peak(func(v float64) float64 { return c.ofWeibull(s, scaleOf(s, v)) }, v, step)
	*fit = Fit{Shape: math.Exp(s), Scale: math.Exp(scaleOf(s, at)), LogLik: l, Failures: int(math.Round(c.failures()))}
	byScale := func(m float64) float64 {
		_, l := peak(func(s float64) float64 { return c.ofWeibull(s, m) }, s, step)
		return l
	}
	return c.limits(fit, byShape, byScale, l-statistics.ChiSquaredQuantile(confidence, 1)/2)
}

// limits sets the limits of shape and scale, at which the profiles fall to least.
func (c *counts) limits(fit *Fit, byShape, byScale func(x float64) float64, least float64) (err error) {
	step := 1 / math.Sqrt(c.failures())
	s, m := math.Log(fit.Shape), math.Log(fit.Scale)
	for _, side := range []struct {
		to            *Maybe
		f             func(float64) float64
		at, step, far float64
	}{{&fit.ShapeLow, byShape, s, -2 * step, farShape}, {&fit.ShapeHigh, byShape, s, 2 * step, farShape},
		{&fit.ScaleLow, byScale, m, -step / fit.Shape, farScale}, {&fit.ScaleHigh, byScale, m, step / fit.Shape, farScale}} {
		*side.to, err = falls(func(x float64) float64 {
			if math.Abs(x-side.at) > side.far {
				return math.Inf(-1)
			}
			return side.f(x) - least
		}, side.at, side.step)
		if err != nil {
			return fmt.Errorf("limits of the fit: %w", err)
		}
		if math.Abs(math.Log(side.to.Value)-side.at) > side.far-1e-6 {
			*side.to = Maybe{None: "the likelihood stays near its peak however far"}
		}
	}
	return nil
}

// peak returns the highest value of f, and where it is, from a start on in strides that double, then by golden section with parabolas (Brent,
// Algorithms for Minimization without Derivatives, 1973, chapter 5). f has one peak; −Inf is lower than all.
func peak(f func(float64) float64, start, step float64) (x, highest float64) {
	a, b, c := start-step, start, start+step
	fa, fb, fc := f(a), f(b), f(c)
	for by, tries := step, 0; !(fb >= fa && fb >= fc) && tries < 40; tries++ {
		if by *= 1.6; fc > fa {
			a, b, c, fa, fb = b, c, c+by, fb, fc
			fc = f(c)
		} else {
			a, b, c, fb, fc = a-by, a, b, fa, fb
			fa = f(a)
		}
	}
	const golden = 0.381966011250105
	for range 60 {
		if c-a < 1e-8 {
			break
		}
		p, q := (b-a)*(b-a)*(fb-fc)-(b-c)*(b-c)*(fb-fa), (b-a)*(fb-fc)-(b-c)*(fb-fa)
		x := b - 0.5*p/q
		if !(x > a+1e-9 && x < c-1e-9 && math.Abs(x-b) > 1e-10 && math.Abs(x-b) < 0.4*(c-a)) {
			if c-b > b-a {
				x = b + golden*(c-b)
			} else {
				x = b - golden*(b-a)
			}
		}
		switch y := f(x); {
		case y >= fb && x > b:
			a, fa, b, fb = b, fb, x, y
		case y >= fb:
			c, fc, b, fb = b, fb, x, y
		case x > b:
			c, fc = x, y
		default:
			a, fa = x, y
		}
	}
	return b, fb
}
