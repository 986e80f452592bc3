package heat

import (
	"errors"
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %v, want %v ± %v", what, got, want, tol)
	}
}

// Numbers of MODELS E2 and E3, recomputed there independently.
func TestSwitchingLosses(t *testing.T) {
	for _, c := range []struct{ edge, frequency, want float64 }{{1e-6, 300, 0.03}, {10e-6, 300, 0.32}, {50e-6, 300, 1.6}, {50e-6, 2000, 10.5}} {
		near(t, "switching", Switching(21, 5, c.edge, c.edge, c.frequency), c.want, 0.026*c.want+0.002)
	}
	edge, ok := EdgeTime(20e-9, 10e3, 10, 5)
	if near(t, "edge", edge, 40e-6, 1e-12); !ok {
		t.Error("no edge")
	}
	if _, ok := EdgeTime(20e-9, 10e3, 5, 5); ok {
		t.Error("an edge though the drive ends at the plateau")
	}
	near(t, "10 m, 5 A", Inductive(10*0.7e-6, 5, 1), 87e-6, 1e-6)
	near(t, "20 m, 8 A", Inductive(20*0.7e-6, 8, 1), 448e-6, 1e-6)
	near(t, "300 Hz", Inductive(20*0.7e-6, 8, 300), 0.134, 0.001)
	if w, ok := Avalanche(7e-6, 5, 60, 20, 300); !ok || math.Abs(w-1.5*Inductive(7e-6, 5, 300)) > 1e-12 {
		t.Errorf("avalanche %v %v", w, ok)
	}
	if _, ok := Avalanche(7e-6, 5, 18, 20, 300); ok {
		t.Error("a clamp below its source")
	}
	near(t, "gate", GateDrive(20e-9, 10, 300), 60e-6, 1e-12)
}

// MODELS E4, recomputed there independently: 60 K/W, c = 0.055 1/K; the drops are not told there: an ordinary and a low one
// for such parts.
func TestLeakageStabilityOfSchottkyDiodes(t *testing.T) {
	for _, c := range []struct {
		leak, volts, forward, drop, duty float64
		celsius                          float64
		steady                           bool
	}{
		{1e-4, 14.4, 0, 0, 1, 100, true}, {1e-4, 28.8, 0, 0, 1, 100, false}, // a night in a hot box
		{1e-4, 14.4, 3, 0.42, 0.5, 90, true}, {1e-4, 14.4, 3, 0.42, 0.5, 100, false}, // shunt regulation at half
		{1e-3, 14.4, 3, 0.32, 0.5, 50, true}, {1e-3, 14.4, 3, 0.32, 0.5, 60, false},
	} {
		loss := Sum{&Leakage{Current: c.leak, Voltage: c.volts, Exponent: DefaultLeakageExponent, Duty: c.duty},
			&Rectifier{Current: c.forward, Drop: c.drop, Tempco: -1.2e-3, Duty: 1 - c.duty}}
		_, _, err := Steady(loss, 60, Celsius0+c.celsius)
		if (err == nil) != c.steady || err != nil && !errors.Is(err, ErrNoSteadyState) {
			t.Errorf("%+v: %v", c, err)
		}
	}
}

// The state of a leakage by Lambert's W, iterated here, independently.
func TestLeakageMeetsLambertW(t *testing.T) {
	l := &Leakage{Current: 1e-4, Voltage: 14.4, Exponent: 0.055, Duty: 1}
	for _, celsius := range []float64{25, 80, 100, 104} {
		ta := Celsius0 + celsius
		p, _ := l.At(ta)
		x, w := -60*l.Exponent*p, 0.0
		for range 10000 {
			w = x * math.Exp(-w) // W e^W = x, lower branch of |w|
		}
		got, _, err := Steady(l, 60, ta)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "junction", got, ta-w/l.Exponent, 1e-6)
	}
}

func TestStableSolutionIsTheLower(t *testing.T) {
	c := &Conduction{Current: 9, Resistance: 0.012, Tempco: 0.0045, Quadratic: 1.6e-5, Duty: 1}
	both := c.Solutions(60, Celsius0+50)
	got, _, err := Steady(c, 60, Celsius0+50)
	if err != nil || len(both) != 2 || both[0] >= both[1] {
		t.Fatalf("%v %v", both, err)
	}
	near(t, "stable", got, both[0], 1e-9)
	for _, s := range both {
		p, _ := c.At(s)
		near(t, "balance", Celsius0+50+60*p, s, 1e-9)
	}
	if Gain(c, 60, both[0]) >= 1 || Gain(c, 60, both[1]) <= 1 {
		t.Errorf("gains %v, %v", Gain(c, 60, both[0]), Gain(c, 60, both[1]))
	}
}

func TestSteadyRefuses(t *testing.T) {
	c := &Conduction{Current: 1, Resistance: 1, Duty: 1}
	for _, x := range [][2]float64{{0, 300}, {-1, 300}, {math.NaN(), 300}, {math.Inf(1), 300}, {1, 0}, {1, math.NaN()}, {1, math.Inf(1)}} {
		if _, _, err := Steady(c, x[0], x[1]); err == nil || errors.Is(err, ErrNoSteadyState) {
			t.Errorf("%v: %v", x, err)
		}
	}
	if _, _, err := Steady(&Conduction{Current: math.Inf(1), Resistance: 1, Duty: 1}, 1, 300); err == nil {
		t.Error("an infinite current: no error")
	}
}
