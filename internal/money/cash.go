package money

import (
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/numeric"
)

// PresentValue returns what a cash flow is worth at the time of its first figure.
//
//	flows  one figure a period, the first at once; finite
//	rate   of discount per period, > -1
//
// It is ±Inf or NaN only where a figure discounted is beyond float64.
func PresentValue(flows []float64, rate float64) float64 {
	sum := 0.0
	for _, flow := range slices.Backward(flows) {
		sum = sum/(1+rate) + flow // [M2]
	}
	return sum
}

// RatesOfReturn returns every rate per period above -1 at which the present value of a cash
// flow is 0, ascending: none, one or several. Flows that are all 0 have none.
//
//	flows  finite, at most MaxItems, else an error
//
// All are found, whatever their number: with v = 1/(1 + rate), the present value P(v) is a
// polynomial with s changes of sign, and α between the powers of one change,
// the derivative of v^(-α)·P(v) has s - 1 of them (Laguerre's proof of Descartes' rule
// of signs, J. Math. Pures Appl. 9, 1883; from memory). Between the zeros of the derivative, found in the same way, v^(-α)·P(v) rises or
// falls throughout, so that each change of its sign is bracketed alone. A present value that
// touches 0 without changing sign, within the rounding of its terms, counts as one rate.
func RatesOfReturn(flows []float64) ([]float64, error) {
	if len(flows) > MaxItems {
		return nil, fmt.Errorf("money: %d flows; want at most %d", len(flows), MaxItems)
	}
	for k, flow := range flows {
		if math.IsNaN(flow) || math.IsInf(flow, 0) {
			return nil, fmt.Errorf("money: flow %d is %g; want a number", k, flow)
		}
	}
	at, err := polynomial(flows).zeros()
	if err != nil {
		return nil, err
	}
	var rates []float64
	for _, t := range slices.Backward(at) {
		rates = append(rates, math.Expm1(-t)) // rate = 1/v - 1
	}
	return rates, nil
}

// polynomial has the coefficients of v^0, v^1, …, as a function of t = ln v.
type polynomial []float64

// zeros returns all real t at which p is 0, ascending.
func (p polynomial) zeros() ([]float64, error) {
	p = p.scaled()
	alpha, ok := p.change()
	if !ok {
		return nil, nil
	}
	derivative := make(polynomial, len(p)) // of v^(-α)·p, times v^(α + 1)
	for k, c := range p {
		derivative[k] = (float64(k) - alpha) * c
	}
	turns, err := derivative.zeros()
	if err != nil {
		return nil, err
	}
	low, high := p.bounds()
	points := append(turns, low, 0, high)
	slices.Sort(points)
	return p.between(points)
}

// scaled returns p with 1 as its largest coefficient and without zeros at its ends, which leaves
// its zeros as they are.
func (p polynomial) scaled() polynomial {
	largest := 0.0
	for _, c := range p {
		largest = max(largest, math.Abs(c))
	}
	var q polynomial
	for _, c := range p {
		if c != 0 { // else the quotient may be 0/0
			c /= largest
		}
		if len(q) > 0 || c != 0 {
			q = append(q, c)
		}
	}
	for len(q) > 0 && q[len(q)-1] == 0 {
		q = q[:len(q)-1]
	}
	return q
}

// change returns a number between the powers at the first change of sign; ok is false without one.
func (p polynomial) change() (alpha float64, ok bool) {
	last := 0 // of the coefficients that are not 0; p begins with one
	for k, c := range p {
		if c != 0 && math.Signbit(c) != math.Signbit(p[last]) {
			return float64(last+k) / 2, true
		}
		if c != 0 {
			last = k
		}
	}
	return 0, false
}

// bounds returns t below and above all zeros: v > |c₀|/(|c₀| + max|c|) and
// v < 1 + max|c|/|c_n| (Cauchy), taken wider, with max|c| = 1.
func (p polynomial) bounds() (low, high float64) {
	return math.Log(math.Abs(p[0])) - 1, 1 - math.Log(math.Abs(p[len(p)-1]))
}

// between finds the zeros among ascending points between which p changes its sign at most once.
// At the first point p is not 0. Neighbouring points at which it is are one zero.
func (p polynomial) between(points []float64) ([]float64, error) {
	var found []float64
	last := p.sign(p.at(points[0]))
	for i, t := range points[1:] {
		sign := p.sign(p.at(t))
		switch {
		case sign == 0 && last != 0:
			found = append(found, t)
		case sign*last < 0:
			root, err := numeric.FindRoot(func(t float64) float64 { v, _ := p.at(t); return v }, points[i], t, tolerance)
			if err != nil {
				return nil, err
			}
			found = append(found, root)
		}
		last = sign
	}
	return found, nil
}

// tolerance of t = -ln(1 + rate).
const tolerance = 1e-15

// at returns p and the sum of the sizes of its terms, both divided by v^n for t > 0.
func (p polynomial) at(t float64) (value, size float64) {
	v := math.Exp(-math.Abs(t))
	for k := range p {
		c := p[k]
		if t <= 0 {
			c = p[len(p)-1-k]
		}
		value = float64(value*v) + c
		size = float64(size*v) + math.Abs(c)
	}
	return value, size
}

// sign returns the sign of a value, 0 if rounding may have made it: 3n roundings of Horner's
// scheme and of v (Higham, Accuracy and Stability of Numerical Algorithms, 5.1).
func (p polynomial) sign(value, size float64) int {
	switch {
	case math.Abs(value) <= 4*float64(len(p))*0x1p-53*size:
		return 0
	case value < 0:
		return -1
	}
	return 1
}
