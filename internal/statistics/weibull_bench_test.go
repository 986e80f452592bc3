package statistics_test

import (
	"math"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics/survival"
)

// fleet is units that fail after a Weibull time of shape 1.7 and scale 1500, watched for 100 to 1200:
// 77 % are still good.
func fleet(units int) []survival.Life {
	s := numeric.NewStream(7)
	lives := make([]survival.Life, units)
	for i := range lives {
		failure := 1500 * math.Pow(-math.Log1p(-s.Float64()), 1/1.7)
		if watched := s.Uniform(100, 1200); failure <= watched {
			lives[i] = survival.Failed(failure)
		} else {
			lives[i] = survival.Good(watched)
		}
	}
	return lives
}

// BenchmarkWeibull fits 100,000 units, with the 95 % limits of shape and scale.
func BenchmarkWeibull(b *testing.B) {
	lives := fleet(100_000)
	for b.Loop() {
		if _, err := survival.Weibull(lives, 0.95); err != nil {
			b.Fatal(err)
		}
	}
}

// Shape, scale and limits of the shape as a program in C finds them with plain sums and Newton's
// steps to 1e-9 (computed independently).
func TestWeibullOfManyUnits(t *testing.T) {
	f, err := survival.Weibull(fleet(100_000), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name           string
		got, want, tol float64
	}{{"shape", f.Shape, 1.690649442, 2e-9}, {"scale", f.Scale, 1510.0090362, 1e-6},
		{"shape low", f.ShapeLow.Value, 1.672402120, 2e-9}, {"shape high", f.ShapeHigh.Value, 1.709008061, 2e-9}} {
		if !(math.Abs(c.got-c.want) <= c.tol) {
			t.Errorf("%s = %.10g; want %.10g", c.name, c.got, c.want)
		}
	}
}
