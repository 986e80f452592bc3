package heat

import (
	"errors"
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// ErrNoSteadyState says that heat grows faster than it is carried away.
var ErrNoSteadyState = errors.New("no steady state: the loss grows faster with temperature than the heat is carried away; want less current or voltage, a smaller thermal resistance or a cooler place")

// Steady returns the temperature T = Ta + R·P(T) of one part, K, and its loss there, W: the stable, lowest solution [H30].
//
//	loss     convex in temperature, as all of this package are but a Conduction of Quadratic < 0
//	rth      to the ambient, K/W; > 0
//	ambient  K
//
// The error is ErrNoSteadyState or names what cannot be. Newton's method from the ambient: for a convex loss it stays below
// the solution, and a gain R·dP/dT of 1 or more there says that there is none.
func Steady(loss Loss, rth, ambient float64) (t, p float64, err error) {
	if !(rth > 0 && rth <= math.MaxFloat64) {
		return 0, 0, fmt.Errorf("thermal resistance of %g K/W; want more than 0", rth)
	}
	if !(ambient > 0 && ambient <= math.MaxFloat64) {
		return 0, 0, fmt.Errorf("ambient of %g K; want more than 0 K", ambient)
	}
	const most = 500
	t = ambient
	for range most {
		p, slope := loss.At(t)
		step := (ambient + rth*p - t) / (1 - rth*slope)
		switch {
		case !(rth*slope < 1) || !(p <= math.MaxFloat64):
			return 0, 0, ErrNoSteadyState
		case math.Abs(step) <= 1e-13*t:
			return t, p, nil
		}
		t += step
	}
	return 0, 0, ErrNoSteadyState
}

// Gain returns R·dP/dT [H31]: below 1 a state is stable, and small changes of heat change the temperature by 1/(1 − gain) of
// what they would by themselves.
func Gain(loss Loss, rth, t float64) float64 {
	_, slope := loss.At(t)
	return rth * slope
}

// RunawayCurrent returns the current from which a resistance has no steady state at any ambient, A: 1/√(R25·a·D·Rth) [H32].
// ok is false if its resistance does not grow.
func (c *Conduction) RunawayCurrent(rth float64) (i float64, ok bool) {
	g := c.Resistance * c.Tempco * c.Duty * rth
	if !(g > 0) {
		return 0, false
	}
	return 1 / math.Sqrt(g), true
}

// CriticalAmbient returns the largest ambient at which a leakage has a steady state, K: the heat of the last one raises
// the junction by 1/c [H33]. ok is false if nothing grows.
//
//	rth  to the ambient, K/W
func (l *Leakage) CriticalAmbient(rth float64) (t float64, ok bool) {
	x := rth * l.Exponent * l.Voltage * l.Current * l.Duty
	if !(x > 0 && x <= math.MaxFloat64) {
		return 0, false
	}
	return Reference - (numeric.Log(x)+1)/l.Exponent, true
}

// Solutions returns the temperatures at which a resistance linear or quadratic in temperature is in balance, K: none, the stable
// one, or the stable and, above it, the unstable one, past which it runs away [H34].
func (c *Conduction) Solutions(rth, ambient float64) []float64 {
	g := rth * c.Duty * c.Current * c.Current * c.Resistance
	// a·d² + b·d + k = 0 with d = T − 25 °C
	a, b, k := g*c.Quadratic, g*c.Tempco-1, ambient+rth*c.Constant+g-Reference
	if a == 0 {
		if b >= 0 {
			return nil
		}
		return []float64{Reference - k/b}
	}
	root := b*b - 4*a*k
	if root < 0 || b >= 0 || a < 0 {
		return nil
	}
	q := (-b + math.Sqrt(root)) / 2
	if root == 0 {
		return []float64{Reference + q/a}
	}
	return []float64{Reference + k/q, Reference + q/a}
}
