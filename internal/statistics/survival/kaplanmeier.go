package survival

import (
	"fmt"
	"math"
	"sort"

	"hindwatt/internal/statistics"
)

// A Step is an age at which units failed.
type Step struct {
	Age            float64
	AtRisk, Failed float64 // units
	Survival       float64 // from this age on
	Greenwood      float64 // Σ d/(n(n−d)), the relative variance of Survival; +Inf where it is 0
}

// A Curve is the part of units that survive an age, by Kaplan and Meier's product.
type Curve struct {
	Steps    []Step  // at rising ages
	Last     float64 // the largest age of any unit
	Units    int
	Failures int
}

// KaplanMeier returns the curve of units whose ages at failure are exact or open, with late entry.
//
// Source: Kaplan and Meier, Journal of the American Statistical Association 53 (1958), p. 457; late entry as
// Kalbfleisch and Prentice, The Statistical Analysis of Failure Time Data, 2nd ed. 2002, section 1.3.
func KaplanMeier(lives []Life) (Curve, error) {
	var c Curve
	survival, sum := 1.0, 0.0
	err := risk([][]Life{lives}, func(age float64, atRisk, failed []float64) {
		n, d := atRisk[0], failed[0]
		survival *= (n - d) / n
		sum += d / (n * (n - d)) // Greenwood; +Inf at d = n
		c.Steps = append(c.Steps, Step{age, n, d, survival, sum})
		c.Failures += int(d)
	})
	for _, l := range lives {
		c.Last = max(c.Last, l.From)
		c.Units += l.Count
	}
	return c, err
}

// Why a survival has no limits.
const (
	noneFailed = "no unit had failed by then, so log-log limits do not exist"
	allFailed  = "all units at risk had failed by then, so Greenwood's variance does not exist"
)

// An Estimate is the part of units that survive an age.
type Estimate struct {
	Survival, SE, Low, High Maybe
}

// At returns the part that survives an age, its standard error by Greenwood, and limits on the scale of
// log(−log S), which keeps them between 0 and 1 (Kalbfleisch and Prentice 2002, eq. 1.15). Beyond the last age of a
// unit still good the curve is not known.
func (c Curve) At(age, confidence float64) (Estimate, error) {
	switch {
	case !(confidence > 0 && confidence < 1):
		return Estimate{}, fmt.Errorf("confidence is %v; want more than 0 and less than 1", confidence)
	case !(age >= 0):
		return Estimate{}, fmt.Errorf("age is %v; want 0 or more", age)
	}
	i := sort.Search(len(c.Steps), func(i int) bool { return c.Steps[i].Age > age })
	step := Step{Survival: 1}
	if i > 0 {
		step = c.Steps[i-1]
	}
	s := step.Survival
	none := func(why string) Maybe { return Maybe{None: why} }
	switch {
	case age > c.Last && s > 0:
		no := none(fmt.Sprintf("no unit was watched beyond the age of %g", c.Last))
		return Estimate{no, no, no, no}, nil
	case s == 1:
		no := none(noneFailed)
		return Estimate{Maybe{Value: 1}, Maybe{}, no, no}, nil
	case s == 0:
		no := none(allFailed)
		return Estimate{Maybe{}, no, no, no}, nil
	}
	low, high := logLog(s, step.Greenwood, statistics.NormalQuantile((1+confidence)/2))
	return Estimate{Maybe{Value: s}, Maybe{Value: s * math.Sqrt(step.Greenwood)}, low, high}, nil
}

// Exhausted returns the age at which all units at risk failed though others were watched beyond it, so that
// the curve is 0 too early; ok is false if there is none. It happens where few units are watched from the beginning.
func (c Curve) Exhausted() (age float64, ok bool) {
	for _, step := range c.Steps {
		if step.Survival == 0 {
			return step.Age, step.Age < c.Last
		}
	}
	return 0, false
}

// Median returns the first age that no more than half of the units survive.
func (c Curve) Median() Maybe {
	const rounding = 1e-12
	for _, step := range c.Steps {
		if step.Survival <= 0.5+rounding {
			return Maybe{Value: step.Age}
		}
	}
	return Maybe{None: "more than half survive"}
}
