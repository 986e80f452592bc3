package soak

import (
	"math"
	"strings"
	"testing"

	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %v, want %v ± %v", what, got, want, tol)
	}
}

// TestTruth: with next to no noise the steady rise, both time constants and the thermal resistance come back.
func TestTruth(t *testing.T) {
	in := truth{rise: 40, fastPart: 12, slow: 1200, fast: 60, white: 1e-3, run: 4800, every: 10}.log(1)
	in.Power = &quantity.Quantity{Value: 5, Low: 5, High: 5, Dim: quantity.Power}
	r, err := Run(in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rise", r.Rise.Best, 40, 1e-3)
	near(t, "slow", r.Times[0].Best, 1200, 0.5)
	near(t, "fast", r.Times[1].Best, 60, 0.1)
	near(t, "share of the fast", r.Shares[1], 0.3, 1e-3)
	near(t, "resistance", r.Resistance.Best, 8, 2e-4)
	near(t, "temperature", r.Temperature.Best, 296.15+40, 1e-3)
	near(t, "reached", r.Reached, 1-0.7*math.Exp(-4), 1e-3)
}

// TestStoppedEarly: the sooner a run stops, the wider the limits; and it is said.
func TestStoppedEarly(t *testing.T) {
	width := 0.0
	for _, run := range []float64{4800, 2400, 1200, 600} {
		r, err := Run(truth{rise: 40, fastPart: 12, slow: 1200, fast: 60, noise: 0.1, follows: 30, white: 0.05, run: run, every: 10}.log(2))
		if err != nil {
			t.Fatal(err)
		}
		w := r.Rise.High - r.Rise.Low
		if r.Rise.OpenHigh {
			w = math.Inf(1)
		}
		if !(w > width) || !r.Rise.Holds(40) {
			t.Errorf("%v s: %+v, no wider than %v", run, r.Rise, width)
		}
		width = w
		said := false
		for _, n := range r.Warnings {
			said = said || strings.HasPrefix(n.Text, "the run ended after ")
		}
		if said != (run < 4*r.Times[0].Best) {
			t.Errorf("%v s: %v", run, r.Warnings)
		}
	}
}

// TestMeter: one thermometer of ±(1 % + 2 K) leaves ±1 % of the rise, two leave all.
func TestMeter(t *testing.T) {
	in := truth{rise: 40, fastPart: 12, slow: 1200, fast: 60, white: 1e-3, run: 6000, every: 10}.log(1)
	in.Meter = &bench.Meter{Name: "a", Accuracy: quantity.Accuracy{Relative: 0.01, Absolute: quantity.Quantity{Value: 2}}, Digit: 0.1}
	in.AmbientMeter = in.Meter
	one, err := Run(in)
	if err != nil {
		t.Fatal(err)
	}
	// JCGM 100: √((0.4² + 0.05² + 0.05²)/3)
	near(t, "half-width", one.Rise.High-one.Rise.Best, 1.96*math.Sqrt((0.16+2*0.0025)/3), 2e-3)
	other := *in.Meter
	other.Name = "b"
	in.AmbientMeter = &other
	two, err := Run(in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "half-width", two.Rise.High-two.Rise.Best, 1.96*math.Sqrt((2.63*2.63+2.23*2.23)/3), 5e-3)
}

func TestRefuses(t *testing.T) {
	for want, spoil := range map[string]func(*Input){
		"soak: d1: 3 readings; want 8 or more, spread over the warm-up":               func(in *Input) { in.Time = in.Time[:3] },
		"soak: d1: 120 temperatures for 121 times; want as many":                      func(in *Input) { in.Temperature = in.Temperature[1:] },
		"soak: d1: 2 ambient temperatures for 121 times; want as many, or one":        func(in *Input) { in.Ambient = []float64{290, 290} },
		"soak: d1: time 3, 5 s, is not after the one before, 10 s; want rising times": func(in *Input) { in.Time[2] = 5 },
		"soak: d1: reading 1: NaN K over an ambient of 296.15 K; want temperatures":   func(in *Input) { in.Temperature[0] = math.NaN() },
		"soak: d1: level is 2; want more than 0 and less than 1":                      func(in *Input) { in.Level = 2 },
	} {
		in := truth{rise: 40, slow: 1200, fast: 60, white: 0.1, run: 1200, every: 10}.log(1)
		spoil(&in)
		if _, err := Run(in); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

// TestFlat: readings that all are the same give no NaN, no panic and a rise of their own.
func TestFlat(t *testing.T) {
	in := truth{rise: 0, slow: 1200, fast: 60, run: 1200, every: 10}.log(1)
	r, err := Run(in)
	if err != nil {
		return // a clear refusal is as good
	}
	for _, v := range []float64{r.Rise.Best, r.Rise.Low, r.Rise.High, r.Times[0].Best, r.Reached, r.Scatter} {
		if !(math.Abs(v) <= math.MaxFloat64) {
			t.Errorf("%+v", r)
		}
	}
	r.Page()
}
