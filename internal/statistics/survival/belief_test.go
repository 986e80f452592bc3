package survival

import (
	"context"
	"math"
	"testing"

	"hindwatt/internal/numeric"
)

// believed draws a fleet of units watched to 100..1200 and asks whether its fit deserves belief.
func believed(t *testing.T, seed uint64, units, draws int, age func(u float64) float64) Belief {
	t.Helper()
	s := numeric.NewStream(31, seed)
	var lives []Life
	for range units {
		failure, to := age(s.Float64()), s.Uniform(100, 1200)
		if failure <= to {
			lives = append(lives, Failed(failure))
		} else {
			lives = append(lives, Good(to))
		}
	}
	b, err := fit(t, lives).believe(context.Background(), lives, seed, draws)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func ofShape(shape float64) func(u float64) float64 {
	return func(u float64) float64 { return 1500 * math.Pow(-math.Log1p(-u), 1/shape) }
}

func TestPatterns(t *testing.T) {
	for _, c := range []struct {
		shape float64
		want  Pattern
	}{{0.5, Early}, {1, Chance}, {2.5, WearOut}} {
		if b := believed(t, 1, 400, 19, ofShape(c.shape)); b.Pattern != c.want || (b.Exponential < 0.05) != (c.want != Chance) {
			t.Errorf("shape %v: %+v", c.shape, b)
		}
	}
	few := watched([]float64{3, 4, 5, 6}, []float64{7, 8})
	b, err := fit(t, few).Believe(context.Background(), few, 1)
	if err != nil || b.Pattern != TooFew || b.Fit.None == "" {
		t.Errorf("four failures: %+v, %v", b, err)
	}
}

// Against the exponential, the placebo arm of Gehan's data: twice the difference of the log-likelihoods as plain sums have them.
func TestAgainstTheExponential(t *testing.T) {
	f := fit(t, leukaemia[1])
	b, err := f.Believe(context.Background(), leukaemia[1], 1)
	if err != nil {
		t.Fatal(err)
	}
	best := highest(func(scale float64) float64 { return plain(leukaemia[1], 1, scale) }, 1, 100)
	near(t, "p", b.Exponential, math.Erfc(math.Sqrt(f.LogLik-best)), 1e-7)
}

// Of fleets that follow a Weibull distribution a goodness of fit below 0.1 comes in a tenth (200 fleets: 3 standard
// deviations are 0.064), whatever the share that failed.
func TestGoodnessOfFitIsFair(t *testing.T) {
	for _, c := range []struct {
		units int
		shape float64
	}{{60, 0.7}, {150, 1.8}} {
		low := 0
		for seed := range uint64(200) {
			if b := believed(t, seed, c.units, 99, ofShape(c.shape)); b.Fit.None == "" && b.Fit.Value <= 0.1 {
				low++
			}
		}
		t.Logf("%+v: %d of 200", c, low)
		if share := float64(low) / 200; math.Abs(share-0.1) > 0.064 {
			t.Errorf("%+v: p ≤ 0.1 in %v of fleets", c, share)
		}
	}
}

// A tenth that fails at once beside wear at an age is no Weibull distribution.
func TestGoodnessOfFitFindsAMixture(t *testing.T) {
	b := believed(t, 5, 1500, 199, func(u float64) float64 {
		if u < 0.1 {
			return 1 + 200*u
		}
		return 700 + 300*u
	})
	if !(b.Fit.None == "" && b.Fit.Value < 0.01) {
		t.Errorf("%+v", b)
	}
}

// The draws follow the binomial distribution: mean and variance, and the chance of none.
func TestBinomialDraws(t *testing.T) {
	s := numeric.NewStream(1)
	for _, c := range []struct{ n, p float64 }{{20, 0.03}, {20, 0.9}, {100_000, 2e-4}, {5000, 0.4}} {
		const draws = 20000
		sum, square, none := 0.0, 0.0, 0.0
		for range draws {
			x := binomial(&s, c.n, c.p)
			sum, square = sum+x, square+x*x
			if x == 0 {
				none++
			}
		}
		mean, variance := sum/draws, c.n*c.p*(1-c.p)
		near(t, "mean", mean, c.n*c.p, 4*math.Sqrt(variance/draws))
		near(t, "variance", square/draws-mean*mean, variance, 4*variance*math.Sqrt((2+1/variance)/draws))
		zero := math.Pow(1-c.p, c.n)
		near(t, "none", none/draws, zero, 4*math.Sqrt(zero/draws)+1e-9)
	}
}

func BenchmarkBelieve(b *testing.B) {
	s := numeric.NewStream(7)
	var lives []Life
	for range 100_000 {
		if failure, to := ofShape(1.7)(s.Float64()), s.Uniform(100, 1200); failure <= to {
			lives = append(lives, Failed(failure))
		} else {
			lives = append(lives, Good(to))
		}
	}
	f, err := Weibull(lives, 0.95)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := f.Believe(context.Background(), lives, 1); err != nil {
			b.Fatal(err)
		}
	}
}
