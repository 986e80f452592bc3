package statistics

import (
	"errors"
	"fmt"
	"math"

	"hindwatt/internal/quantity"
)

// A Contribution is one line of an uncertainty budget.
type Contribution struct {
	Name         string
	U            float64 // standard uncertainty of the input
	Sensitivity  float64 // ∂f/∂x at the estimates; 0 for an exact input
	Contribution float64 // Sensitivity · U, with sign
	Share        float64 // part of the variance; adds up to 1; correlation can make one negative
}

// A Budget is a figure with its uncertainty, and where that comes from.
type Budget struct {
	Value, U  float64
	DOF       float64 // effective degrees of freedom, +Inf if none of the inputs limits them
	Low, High float64 // 95 % interval
	Lines     []Contribution
}

// Interval returns the expanded interval Value ± k·U at a level, 0 < level < 1, and its k: the
// quantile of t for DOF truncated to the next lower whole number, as JCGM 100 G.4.1 and G.6.4
// take it (below 1, DOF as it is).
func (b Budget) Interval(level float64) (low, high, k float64, err error) {
	if !(level > 0 && level < 1) {
		return 0, 0, 0, fmt.Errorf("level is %v; want more than 0 and less than 1", level)
	}
	dof := b.DOF
	if dof >= 1 {
		dof = math.Floor(dof * (1 + 1e-9))
	}
	k = -StudentTQuantile((1-level)/2, dof)
	return b.Value - k*b.U, b.Value + k*b.U, k, nil
}

// Propagate returns the uncertainty of f by the law of propagation (JCGM 100:2008 5.1.2, with
// correlation 5.2.2), with effective degrees of freedom (G.4.1) and a 95 % interval by t.
//
//	f     the figure for given inputs, in the order of in; must not keep its argument
//	in    the inputs, names all different
//	corr  their correlations; nil if they are independent
//
// Sensitivities are derivatives at the estimates, by differences over ±h and ±2h of
// fourth order, h being a 32nd of the standard uncertainty but at least a
// millionth of the estimate: wide enough for an f that is itself solved to few digits, while the
// error left is (h⁴/30)·f⁽⁵⁾.
//
// Inputs correlated with each other count in the Welch-Satterthwaite formula as one, with the
// fewest degrees of freedom among them: right for simultaneous observations (Willink,
// Metrologia 44, 2007, p. 340), on the safe side otherwise. The formula itself is for
// independent inputs only.
//
// An input at fault, an f that fails or is not finite gives an error that names it.
func Propagate(f func(x []float64) (float64, error), in []Input, corr Correlation) (Budget, error) {
	if err := checkInputs(in); err != nil {
		return Budget{}, err
	}
	c, err := corr.resolve(in)
	if err != nil {
		return Budget{}, err
	}
	x := estimates(in)
	b := Budget{Lines: make([]Contribution, len(in))}
	if b.Value, err = evaluate(f, in, x); err != nil {
		return Budget{}, err
	}
	for i, one := range in {
		line := Contribution{Name: one.Name, U: one.standard()}
		if line.U > 0 {
			if line.Sensitivity, err = derivative(f, in, x, i); err != nil {
				return Budget{}, err
			}
		}
		line.Contribution = line.Sensitivity * line.U
		b.Lines[i] = line
	}
	b.combine(in, c)
	b.Low, b.High, _, err = b.Interval(0.95)
	return b, err
}

func estimates(in []Input) []float64 {
	x := make([]float64, len(in))
	for i := range in {
		x[i] = in[i].Value
	}
	return x
}

// errBeyond is a result that is no number, or larger than any.
var errBeyond = errors.New("the result is no finite number; want inputs that a number can be made of")

// evaluate calls f and makes of a failure or a value that is not finite an error with the inputs.
func evaluate(f func([]float64) (float64, error), in []Input, x []float64) (float64, error) {
	y, err := f(x)
	if err == nil && !finite(y) {
		err = errBeyond
	}
	if err != nil {
		return 0, fmt.Errorf("at %s: %w", writeValues(in, x), err)
	}
	return y, nil
}

// writeValues writes inputs as "a = 1 V, b = 2".
func writeValues(in []Input, x []float64) string {
	s := ""
	for i, one := range in {
		if i > 0 {
			s += ", "
		}
		s += one.Name + " = " + quantity.Format(x[i], one.Dim, one.Unit, 6)
	}
	return s
}

// derivative returns ∂f/∂x[i] at x: Abramowitz and Stegun 25.3.6.
func derivative(f func([]float64) (float64, error), in []Input, x []float64, i int) (float64, error) {
	x0 := x[i]
	defer func() { x[i] = x0 }()
	h := max(in[i].standard()/32, 1e-6*math.Abs(x0))
	var y [2]float64 // f(x+h) - f(x-h), f(x+2h) - f(x-2h)
	var width [2]float64
	for k := range y {
		up, down := x0+float64(k+1)*h, x0-float64(k+1)*h
		x[i] = up
		high, err := evaluate(f, in, x)
		if err != nil {
			return 0, err
		}
		x[i] = down
		low, err := evaluate(f, in, x)
		if err != nil {
			return 0, err
		}
		y[k], width[k] = high-low, up-down
	}
	return (4*y[0]/width[0] - y[1]/width[1]) / 3, nil
}

// combine fills U, DOF and the shares.
func (b *Budget) combine(in []Input, c *correlations) {
	var variance float64
	byGroup, dof := make([]float64, len(in)), make([]float64, len(in))
	for i := range dof {
		dof[i] = math.Inf(1)
	}
	for i := range b.Lines {
		var with float64
		for j := range b.Lines {
			with += c.r[i][j] * b.Lines[j].Contribution
		}
		b.Lines[i].Share = b.Lines[i].Contribution * with // JCGM 100 eq. 16
		variance += b.Lines[i].Share
		g := c.group[i]
		byGroup[g] += b.Lines[i].Share
		if b.Lines[i].Contribution != 0 {
			dof[g] = min(dof[g], in[i].dof())
		}
	}
	b.DOF = math.Inf(1)
	if !(variance > 0) {
		for i := range b.Lines {
			b.Lines[i].Share = 0
		}
		return
	}
	b.U = math.Sqrt(variance)
	var sum float64
	for g := range byGroup {
		part := byGroup[g] / variance
		sum += part * part / dof[g] // JCGM 100 eq. G.2b
	}
	if sum > 0 {
		b.DOF = 1 / sum
	}
	for i := range b.Lines {
		b.Lines[i].Share /= variance
	}
}
