package statistics

import (
	"errors"
	"math"
	"testing"
)

// By hand: 4·0.005, 3·0.01, 2·0.03, and 0.04 is lifted to the one before.
func TestHolm(t *testing.T) {
	got := Holm([]float64{0.01, 0.04, 0.03, 0.005})
	for i, want := range []float64{0.03, 0.06, 0.06, 0.02} {
		if math.Abs(got[i]-want) > 1e-15 {
			t.Errorf("adjusted %v; want %v", got[i], want)
		}
	}
	if got := Holm([]float64{0.7, 0.9}); got[0] != 1 || got[1] != 1 {
		t.Errorf("%v", got)
	}
	if len(Holm(nil)) != 0 {
		t.Error("of none")
	}
}

// plainBinomial sums the distribution term by term.
func plainBinomial(from, to, n int, p float64) float64 {
	sum := 0.0
	for k := from; k <= to; k++ {
		a, _ := math.Lgamma(float64(n + 1))
		b, _ := math.Lgamma(float64(k + 1))
		c, _ := math.Lgamma(float64(n - k + 1))
		sum += math.Exp(a - b - c + float64(k)*math.Log(p) + float64(n-k)*math.Log(1-p))
	}
	return sum
}

// At its limits the ratio makes what was seen as rare as the level says, summed term by term (computed independently).
func TestPoissonRatio(t *testing.T) {
	r, err := PoissonRatio(11, 800, 21, 3011, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	share := func(ratio float64) float64 { return ratio * 800 / (ratio*800 + 3011) }
	for name, c := range map[string]struct{ got, want float64 }{
		"ratio":       {r.Ratio, 11. / 800 / (21. / 3011)},
		"at low":      {plainBinomial(11, 32, 32, share(r.Low)), 0.025},
		"at high":     {plainBinomial(0, 11, 32, share(r.High)), 0.025},
		"probability": {r.P, 2 * plainBinomial(11, 32, 32, share(1))},
	} {
		if math.Abs(c.got-c.want) > 1e-9 {
			t.Errorf("%s = %v; want %v", name, c.got, c.want)
		}
	}
	other, _ := PoissonRatio(21, 3011, 11, 800, 0.95)
	if math.Abs(other.Low*r.High-1) > 1e-12 || math.Abs(other.P-r.P) > 1e-12 {
		t.Errorf("the other way round: %+v and %+v", r, other)
	}
	if r, err := PoissonRatio(3, 1, 0, 1, 0.95); err != nil || !math.IsInf(r.Ratio, 1) || !math.IsInf(r.High, 1) || math.Abs(r.P-0.25) > 1e-12 {
		t.Errorf("none on the other side: %+v, %v", r, err)
	}
	if r, err := PoissonRatio(0, 1, 3, 2, 0.95); err != nil || r.Ratio != 0 || r.Low != 0 {
		t.Errorf("none on this side: %+v, %v", r, err)
	}
	if _, err := PoissonRatio(0, 1, 0, 2, 0.95); !errors.Is(err, ErrNoEvents) {
		t.Errorf("none at all: %v", err)
	}
	if _, err := PoissonRatio(1, 0, 2, 2, 0.95); err == nil {
		t.Error("no exposure: no error")
	}
}

// With no event past in an exposure, more than y future ones in another like it come with probability 2^-(y+1): by hand.
func TestPredictPoisson(t *testing.T) {
	for _, c := range []struct {
		level float64
		high  int
	}{{0.5, 1}, {0.9, 4}, {0.95, 5}} { // ½^(y+1) ≤ (1−level)/2 first at y+1 = 2, 5, 6
		low, high, err := PredictPoisson(0, 10, 10, c.level)
		if err != nil || low != 0 || high != c.high {
			t.Errorf("%v: %d to %d, %v; want 0 to %d", c.level, low, high, err, c.high)
		}
	}
	// Coverage by summing both distributions: never less than the level.
	for _, mean := range []float64{0.5, 3, 12} {
		inside := 0.0
		for x := range 60 {
			low, high, err := PredictPoisson(x, 2, 1, 0.9)
			if err != nil {
				t.Fatal(err)
			}
			for y := low; y <= high; y++ {
				inside += poisson(x, 2*mean) * poisson(y, mean)
			}
		}
		if inside < 0.9 || inside > 0.995 {
			t.Errorf("mean %v: inside with probability %v", mean, inside)
		}
	}
	if _, _, err := PredictPoisson(1, 0, 1, 0.9); err == nil {
		t.Error("no exposure: no error")
	}
}

func poisson(k int, mean float64) float64 {
	l, _ := math.Lgamma(float64(k + 1))
	return math.Exp(float64(k)*math.Log(mean) - mean - l)
}

// Coverage by summing both distributions, and the limit of many units is Poisson's.
func TestPredictBinomial(t *testing.T) {
	const n, m = 30, 20
	for _, p := range []float64{0.03, 0.3, 0.9} {
		inside := 0.0
		for x := range n + 1 {
			low, high, err := PredictBinomial(x, n, m, 0.9)
			if err != nil {
				t.Fatal(err)
			}
			inside += plainBinomial(x, x, n, p) * plainBinomial(low, high, m, p)
		}
		if inside < 0.9 || inside > 0.9999 {
			t.Errorf("p = %v: inside with probability %v", p, inside)
		}
	}
	low, high, err := PredictBinomial(7, 2_000_000, 1_000_000, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if a, b, _ := PredictPoisson(7, 2, 1, 0.95); a != low || b != high {
		t.Errorf("%d to %d; Poisson %d to %d", low, high, a, b)
	}
	if low, high, err := PredictBinomial(3, 3, 0, 0.9); err != nil || low != 0 || high != 0 {
		t.Errorf("of none: %d to %d, %v", low, high, err)
	}
	if _, _, err := PredictBinomial(4, 3, 1, 0.9); err == nil {
		t.Error("4 of 3: no error")
	}
}
