package numeric

import (
	"errors"
	"math"
	"testing"
)

func TestFindRoot(t *testing.T) {
	for _, c := range []struct {
		name         string
		f            func(float64) float64
		lo, hi, root float64
	}{
		{"cos x = x", func(x float64) float64 { return Cos(x) - x }, 0, 1, 0.7390851332151607},        // OEIS A003957
		{"x³ - 2x - 5", func(x float64) float64 { return x*x*x - 2*x - 5 }, 2, 3, 2.0945514815423265}, // Wallis's, 1685
		{"e^x = 3", func(x float64) float64 { return Exp(x) - 3 }, -5, 5, math.Log(3)},
		{"steep", func(x float64) float64 { return Exp(40*x) - 1 }, -30, 20, 0},
		{"flat", func(x float64) float64 { return (x - 1) * (x - 1) * (x - 1) }, 0, 3, 1},
		{"step", func(x float64) float64 { return math.Copysign(1, x-0.3) }, 0, 1, 0.3},
		{"backwards", func(x float64) float64 { return x - 0.3 }, 1, 0, 0.3},
		{"at an end", func(x float64) float64 { return x }, 0, 1, 0},
		{"infinite at an end", func(x float64) float64 { return math.Log(x) + 1 }, 0, 1, 1 / math.E},
		{"tiny", func(x float64) float64 { return x - 1e-200 }, -1, 1, 1e-200},
	} {
		for _, tol := range []float64{0, 1e-6} {
			calls := 0
			x, err := FindRoot(func(x float64) float64 { calls++; return c.f(x) }, c.lo, c.hi, tol)
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
				continue
			}
			limit := max(tol, 1e-15*math.Abs(c.root))
			if c.name == "flat" {
				limit = max(limit, 1e-5) // f itself is 0 within that
			}
			if c.name == "steep" {
				limit = max(limit, 1e-17) // the same
			}
			if c.name == "tiny" {
				limit = max(limit, 1e-214)
			}
			if !(math.Abs(x-c.root) <= limit) {
				t.Errorf("%s: root %v within %v; want %v", c.name, x, tol, c.root)
			}
			if most := 130; calls > most && c.name != "tiny" {
				t.Errorf("%s: %d calls", c.name, calls)
			}
		}
	}
}

func TestFindRootRefuses(t *testing.T) {
	nan := math.NaN()
	line := func(x float64) float64 { return x - 0.5 }
	for _, c := range []struct {
		f           func(float64) float64
		lo, hi, tol float64
		is          error
	}{
		{line, 1, 2, 0, ErrNoSignChange}, {line, -1, 0, 0, ErrNoSignChange},
		{func(x float64) float64 { return nan }, 0, 1, 0, ErrNotANumber},
		{func(x float64) float64 { return math.Sqrt(x) - 1 }, -1, 4, 0, ErrNotANumber},
		{func(x float64) float64 { // not a number in the middle only
			if x > 0.2 && x < 0.8 {
				return nan
			}
			return x - 0.5
		}, 0, 1, 0, ErrNotANumber},
		{line, nan, 1, 0, nil}, {line, 0, math.Inf(1), 0, nil}, {line, 0, 1, -1, nil}, {line, 0, 1, nan, nil},
	} {
		x, err := FindRoot(c.f, c.lo, c.hi, c.tol)
		if err == nil || c.is != nil && !errors.Is(err, c.is) {
			t.Errorf("%v..%v: root %v, error %v; want %v", c.lo, c.hi, x, err, c.is)
		}
	}
}
