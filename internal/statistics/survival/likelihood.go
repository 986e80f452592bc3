package survival

import (
	"math"

	"hindwatt/internal/numeric"
)

// likelihood is the Weibull log-likelihood of lives, as a function of the shape b and of
// λ = −b·log scale. Ages are in units of the largest From, so that no power overflows.
//
// A failure between two ages counts as still good at the first, and log(1 − e^(−θ(t₂^b − t₁^b))), θ = e^λ, more.
type likelihood struct {
	unit     float64 // log of the unit of age
	failures float64 // at an exact age
	sumLog   float64 // of their ages
	sums     powerSums
	between  []interval
	units    float64 // in between
}

// interval is units that failed between two ages, given by their logarithms.
type interval struct{ from, to, count float64 }

// logOf0 stands for the logarithm of 0: e to its powers is 0, and so is that times it.
const logOf0 = -math.MaxFloat64

func logAge(t float64) float64 {
	if t == 0 {
		return logOf0
	}
	return numeric.Log(t)
}

// newLikelihood gathers what the lives tell.
func newLikelihood(lives []Life) *likelihood {
	f := &likelihood{unit: logOf0}
	logs, weights := make([]float64, 0, len(lives)), make([]float64, 0, len(lives))
	for _, life := range lives {
		from, n := logAge(life.From), float64(life.Count)
		if from > logOf0 { // ages at 0 add nothing
			logs, weights = append(logs, from), append(weights, n)
			f.unit = max(f.unit, from)
		}
		if life.Entry > 0 {
			logs, weights = append(logs, logAge(life.Entry)), append(weights, -n)
		}
		switch {
		case life.failed():
			f.failures += n
			f.sumLog += n * from
		case !life.good():
			f.between = append(f.between, interval{from, logAge(life.To), n})
			f.units += n
		}
	}
	f.sums = powerSums{logs: logs, weights: weights}
	f.rescale()
	return f
}

// rescale takes the logarithms to the unit of age.
func (f *likelihood) rescale() {
	f.sumLog -= f.failures * f.unit
	for i := range f.sums.logs {
		f.sums.logs[i] -= f.unit
	}
	for i := range f.between {
		if f.between[i].from > logOf0 {
			f.between[i].from -= f.unit
		}
		f.between[i].to -= f.unit
	}
}

// at returns the log-likelihood, and its derivatives by b and by λ.
func (f *likelihood) at(b, lambda float64) (l, byShape, byLambda float64) {
	s0, s1 := f.sums.at(b)
	theta := math.Exp(lambda)
	l = f.failures*(math.Log(b)+lambda) + (b-1)*f.sumLog - theta*s0
	byShape = f.failures/b + f.sumLog - theta*s1
	byLambda = f.failures - theta*s0
	for _, i := range f.between {
		width, slope := i.width(b)
		x := theta * width
		l += i.count * log1mexp(x)
		byLambda += i.count * overExpm1(x)
		byShape += i.count * overExpm1(x) * slope
	}
	return l, byShape, byLambda
}

// width returns to^b − from^b, and the derivative of its logarithm by b.
func (i interval) width(b float64) (width, slope float64) {
	to, from := numeric.Exp(b*i.to), numeric.Exp(b*i.from)
	width = to - from
	if width == 0 { // both vanish, from faster
		return 0, i.to
	}
	return width, (to*i.to - from*i.from) / width
}

// log1mexp is log(1 − e^−x).
func log1mexp(x float64) float64 {
	if x < math.Ln2 {
		return math.Log(-math.Expm1(-x))
	}
	return math.Log1p(-math.Exp(-x))
}

// overExpm1 is x/(e^x − 1), which falls from 1 at x = 0.
func overExpm1(x float64) float64 {
	switch {
	case x == 0:
		return 1
	case x > 700:
		return 0
	}
	return x / math.Expm1(x)
}

// lambda returns the λ at which the likelihood of a shape has its one peak: the derivative by
// λ, n + Σ x/(e^x − 1) − θ·s₀ with x = θ·width, lies between those with 1 and with 1 − x/2 in its place.
func (f *likelihood) lambda(b float64) (float64, error) {
	const slack = 1e-9
	s0, _ := f.sums.at(b)
	high := math.Log((f.failures + f.units) / s0)
	if len(f.between) == 0 {
		return high, nil
	}
	half := 0.0
	for _, i := range f.between {
		width, _ := i.width(b)
		half += i.count * width / 2
	}
	low := math.Log((f.failures + f.units) / (s0 + half))
	return numeric.FindRoot(func(lambda float64) float64 {
		_, _, byLambda := f.at(b, lambda)
		return byLambda
	}, low-slack, high+slack, 1e-13)
}

// profile returns the largest log-likelihood of a shape, and its derivative by the shape.
func (f *likelihood) profile(b float64) (l, slope float64, err error) {
	lambda, err := f.lambda(b)
	if err != nil {
		return 0, 0, err
	}
	l, slope, _ = f.at(b, lambda)
	return l, slope, nil
}
