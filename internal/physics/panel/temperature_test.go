package panel

import (
	"math"
	"testing"
)

func TestCellTemperature(t *testing.T) {
	for _, c := range []struct{ got, want, tol float64 }{
		{CellTemperature(noctAir, noctSun, UsualNOCT), UsualNOCT, 1e-9}, // by definition
		{CellTemperature(298.15, 0, UsualNOCT), 298.15, 0},
		{CellTemperature(298.15, 1000, UsualNOCT) - 298.15, 31.25, 1e-9},             // 25/800·1000, by hand
		{WindyTemperature(noctAir, noctSun, UsualNOCT, 1, 0), UsualNOCT, 1e-9},       // 5.7 + 3.8 = 9.5: the NOCT is of 1 m/s, no load
		{WindyTemperature(298.15, 1000, UsualNOCT, 1, 0.15) - 298.15, 26.0417, 1e-4}, // by hand
		{FaimanTemperature(298.15, 1000, 1) - 298.15, 31.407, 1e-3},                  // 1000/31.84, by hand
		{Lagging(Minutes, Minutes), 1 / math.E, 1e-15},
		{Lagging(0, Minutes), 1, 0},
		{Fading(10, 0), 0.05, 1e-12}, {Fading(-1, 0), 0, 0}, {Fading(1000, 0.01), 1, 0},
		{Settling(0, 0.2, 3.6e8), 1, 0}, {Settling(3.6e8, 0.2, 3.6e8), 1 - 0.2*(1-1/math.E), 1e-12}, {Settling(1e20, 0.2, 3.6e8), 0.8, 1e-12},
	} {
		if !(math.Abs(c.got-c.want) <= c.tol) {
			t.Errorf("%v, want %v", c.got, c.want)
		}
	}
}

func TestDoubt(t *testing.T) {
	for _, c := range []struct {
		g, t float64
		said bool
	}{{1000, 298, false}, {0, 280, false}, {50, 298, true}, {1300, 298, true}, {800, 360, true}, {800, 250, true}} {
		if got := Doubt(c.g, c.t) != ""; got != c.said {
			t.Errorf("%v W/m², %v K: %q", c.g, c.t, Doubt(c.g, c.t))
		}
	}
}
