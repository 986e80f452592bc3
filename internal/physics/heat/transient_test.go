package heat

import (
	"math"
	"testing"
)

var someStages = Stages{{0.5, 1e-3}, {1.5, 50e-3}, {3, 0.4}, {20, 12}}

// Pulses one after the other, by superposition, end in the periodic state.
func TestPeakIsWhatManyPulsesEndIn(t *testing.T) {
	const power, duty, period = 20, 0.3, 0.1
	var steps []Step
	for k := range 2000 {
		steps = append(steps, Step{float64(k) * period, power}, Step{(float64(k) + duty) * period, 0})
	}
	at := (1999 + duty) * period
	near(t, "peak", someStages.Rise(steps, at), someStages.Peak(power, duty, period), 1e-4)
}

// A stage is an RC: its differential equation, in small steps, gives the response to a step.
func TestResponseIsThatOfTheEquation(t *testing.T) {
	const dt, until = 1e-6, 5e-3
	want := 0.0
	for _, s := range someStages {
		rise := 0.0
		for range int(until / dt) {
			rise += dt * (s.Resistance - rise) / s.Time
		}
		want += rise
	}
	near(t, "Z(5 ms)", someStages.At(until), want, 1e-4)
}

func TestLimitsOfPulses(t *testing.T) {
	z := someStages
	near(t, "duty 1", z.Peak(7, 1, 0.01), 7*z.Steady(), 1e-9)
	near(t, "duty 0", z.Peak(7, 0, 0.01), 0, 0)
	near(t, "fast", z.Peak(7, 0.25, 1e-9), z.Mean(7, 0.25), 1e-6)
	near(t, "slow", z.Peak(7, 0.25, 1e6), 7*z.Steady(), 1e-9)
	slope := 0.0
	for _, s := range z {
		slope += s.Resistance / s.Time
	}
	near(t, "adiabatic", z.At(1e-9)/1e-9, slope, 1e-3)
	for _, x := range []float64{1e-12, 1e-5, 9.99e-4, 1.001e-3, 1, 50, 1e6} {
		near(t, "1-exp", settles(x), -math.Expm1(-x), 3e-13*settles(x))
	}
	for _, bad := range []Stages{nil, {{0, 1}}, {{1, 0}}, {{math.NaN(), 1}}, {{1, math.Inf(1)}}} {
		if bad.Check() == nil {
			t.Errorf("%v: no fault", bad)
		}
	}
}
