package money

import (
	"errors"
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// LotMean returns the mean time of one unit of a lot by the unit theory, as a multiple of the time
// of the first unit ever: (T(done+n) − T(done))/n.
//
//	rate  0 < rate ≤ 1
//	done  units made before the lot, ≥ 0
//	n     units of the lot, ≥ 1; done+n up to 10⁹
func LotMean(rate float64, done, n int) (float64, error) {
	if done < 0 || n < 1 || n > maxFrom-done {
		return 0, fmt.Errorf("money: a lot of %d units after %d; want 1 or more after 0 or more, up to %d in all", n, done, maxFrom)
	}
	if !(rate > 0 && rate <= 1) {
		return 0, fmt.Errorf("money: learning rate %g; want more than 0, up to 1", rate)
	}
	return lotMean(numeric.Log(rate)/math.Ln2, done, n), nil
}

// lotMean is LotMean by the exponent. A lot that is short beside what went before is taken at its
// middle: the term left out is below b(b−1)/24·(n/(done+n/2))², 2e-6 here.
func lotMean(b float64, done, n int) float64 {
	if middle := float64(done) + (float64(n)+1)/2; float64(n) < 0.005*float64(done) || b > 0 {
		return numeric.Pow(middle, b)
	}
	before := 0.0
	if done > 0 {
		before = powerSum(b, done)
	}
	return (powerSum(b, done+n) - before) / float64(n) // [M6]
}

// A Lot is a number of units made together, and the time that one of them took.
type Lot struct {
	Units int     // ≥ 1
	Each  float64 // time of one unit, in any unit, > 0
}

// A LearningFit is a learning curve through lots.
type LearningFit struct {
	Rate, Low, High float64 // of the unit theory, with its 95 % limits; above 1 where units take longer and longer
	First           float64 // time of the first unit, in the unit of the lots
	SD              float64 // of ln(time) about the curve
	SlopeU          float64 // standard uncertainty of b = log2(Rate)
	DOF             float64 // of SD and SlopeU
	Cumulative      float64 // rate of Wright's cumulative average through the same lots
	Middles         []float64
}

// fewLots and leastGrowth are what a fit needs: lots, and last over first middle.
const (
	fewLots     = 4
	leastGrowth = 2
)

// ErrFewLots is what FitLearning's error wraps where the lots do not tell a curve.
var ErrFewLots = errors.New("too few lots for a learning curve")

// FitLearning fits the unit theory to lots in the order in which they were made: a straight line
// through ln(time) over ln(n) by least squares, each lot at its middle, the n whose unit takes the
// lot's mean time. The middle depends on the curve and is found by repetition. Limits are by t
// with two degrees of freedom less than lots. Middles are the lots' n, in their order.
//
// Source: unit theory, Crawford 1944; the lot's middle is common practice, no source.
func FitLearning(lots []Lot, tQuantile func(p, dof float64) float64) (LearningFit, error) {
	if len(lots) < fewLots {
		return LearningFit{}, fmt.Errorf("money: %w: %d, want %d or more", ErrFewLots, len(lots), fewLots)
	}
	before := make([]int, len(lots)+1)
	for i, l := range lots {
		if l.Units < 1 || l.Units > maxFrom-before[i] || !(l.Each > 0 && l.Each <= math.MaxFloat64) {
			return LearningFit{}, fmt.Errorf("money: lot %d has %d units of %g; want 1 or more, of a time above 0", i+1, l.Units, l.Each)
		}
		before[i+1] = before[i] + l.Units
	}
	fit := LearningFit{Middles: make([]float64, len(lots))}
	x, y := make([]float64, len(lots)), make([]float64, len(lots))
	var line straight
	for range 30 {
		for i, l := range lots {
			fit.Middles[i] = lotMiddle(line.slope, before[i], l.Units)
			x[i], y[i] = numeric.Log(fit.Middles[i]), numeric.Log(l.Each)
		}
		last := line.slope
		line = fitLine(x, y)
		if math.Abs(line.slope-last) < 1e-12 {
			break
		}
	}
	if growth := fit.Middles[len(lots)-1] / fit.Middles[0]; growth < leastGrowth {
		return LearningFit{}, fmt.Errorf("money: %w: the number of units grew by %.2g only; want %d times or more", ErrFewLots, growth, leastGrowth)
	}
	fit.DOF = float64(len(lots) - 2)
	fit.SD, fit.SlopeU = line.sd, line.slopeU
	half := tQuantile(0.975, fit.DOF) * line.slopeU
	power := func(b float64) float64 { return numeric.Exp(b * math.Ln2) }
	fit.Rate, fit.Low, fit.High = power(line.slope), power(line.slope-half), power(line.slope+half)
	fit.First = numeric.Exp(line.intercept)
	total := 0.0
	for i, l := range lots {
		total += float64(l.Units) * l.Each
		x[i], y[i] = numeric.Log(float64(before[i+1])), numeric.Log(total/float64(before[i+1]))
	}
	fit.Cumulative = power(fitLine(x, y).slope) // Wright 1936
	for _, v := range []float64{fit.Rate, fit.Low, fit.High, fit.First, fit.SD, fit.Cumulative} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return LearningFit{}, fmt.Errorf("money: %w: they lie on no curve", ErrFewLots)
		}
	}
	return fit, nil
}

// lotMiddle is the n whose unit takes the mean time of the lot, by the exponent b.
func lotMiddle(b float64, done, n int) float64 {
	if math.Abs(b) < 1e-9 || b > 0 {
		return float64(done) + (float64(n)+1)/2
	}
	return numeric.Pow(lotMean(b, done, n), 1/b)
}

// straight is a line y = intercept + slope·x by least squares.
type straight struct{ intercept, slope, sd, slopeU float64 }

func fitLine(x, y []float64) straight {
	n := float64(len(x))
	var mx, my, sxx, sxy, rest float64
	for i := range x {
		mx, my = mx+x[i]/n, my+y[i]/n
	}
	for i := range x {
		sxx += (x[i] - mx) * (x[i] - mx)
		sxy += (x[i] - mx) * (y[i] - my)
	}
	l := straight{slope: sxy / sxx}
	l.intercept = my - l.slope*mx
	for i := range x {
		d := y[i] - l.intercept - l.slope*x[i]
		rest += d * d
	}
	l.sd = math.Sqrt(rest / (n - 2))
	l.slopeU = l.sd / math.Sqrt(sxx)
	return l
}
