package heat

import (
	"fmt"

	"hindwatt/internal/numeric"
)

// A Stage is one term of a transient thermal impedance (Foster network).
type Stage struct {
	Resistance float64 // K/W
	Time       float64 // time constant, s
}

// Stages is a transient thermal impedance, Z(t) = Σ R·(1 − exp(−t/τ)).
type Stages []Stage

// Check returns the first fault.
func (z Stages) Check() error {
	if len(z) == 0 {
		return fmt.Errorf("no stage; want one or more, each a thermal resistance and a time")
	}
	for _, s := range z {
		if !(s.Resistance > 0 && s.Resistance < 1e12 && s.Time > 0 && s.Time < 1e12) {
			return fmt.Errorf("stage of %g K/W and %g s; want both more than 0", s.Resistance, s.Time)
		}
	}
	return nil
}

// At returns Z(t), K/W: the rise for each watt, t after it was turned on [H36]. Far below the shortest time constant it
// grows with t alone, as for a part that keeps all its heat.
func (z Stages) At(t float64) float64 {
	sum := 0.0
	for _, s := range z {
		sum += s.Resistance * settles(t/s.Time)
	}
	return sum
}

// Steady returns ΣR, K/W.
func (z Stages) Steady() float64 {
	sum := 0.0
	for _, s := range z {
		sum += s.Resistance
	}
	return sum
}

// Peak returns the rise at the end of each pulse, K, once pulses have gone on for long [H37]:
// P·Σ R·(1 − exp(−D·T/τ))/(1 − exp(−T/τ)).
//
//	power   of a pulse, W
//	duty    share of the period, 0..1
//	period  s, > 0
func (z Stages) Peak(power, duty, period float64) float64 {
	sum := 0.0
	for _, s := range z {
		sum += s.Resistance * settles(duty*period/s.Time) / settles(period/s.Time)
	}
	return power * sum
}

// Mean returns P·D·ΣR, K [H38].
func (z Stages) Mean(power, duty float64) float64 { return power * duty * z.Steady() }

// A Step is a change of power.
type Step struct {
	At    float64 // s
	Power float64 // from then on, W
}

// Rise returns the rise at a time under steps of power, in order of time, K: the sum of the responses to each change [H39].
func (z Stages) Rise(steps []Step, at float64) float64 {
	rise, before := 0.0, 0.0
	for _, s := range steps {
		if s.At >= at {
			break
		}
		rise += (s.Power - before) * z.At(at-s.At)
		before = s.Power
	}
	return rise
}

// settles returns 1 − exp(−x), x ≥ 0, to full precision for small x too.
func settles(x float64) float64 {
	if x < 1e-3 {
		return x * (1 - x/2*(1-x/3*(1-x/4)))
	}
	return 1 - numeric.Exp(-x)
}
