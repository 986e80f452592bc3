package survival

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// near holds got to want within tol.
func near(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g; want %.12g ± %g", name, got, want, tol)
	}
}

// exists returns the value of a figure that must exist.
func exists(t *testing.T, name string, m Maybe) float64 {
	t.Helper()
	if m.None != "" {
		t.Errorf("%s does not exist: %s", name, m.None)
	}
	return m.Value
}

// refused holds that err is there and says words; a NoFit if noFit.
func refused(t *testing.T, err error, noFit bool, words string) {
	t.Helper()
	var no *NoFit
	if err == nil || !strings.Contains(err.Error(), words) || errors.As(err, &no) != noFit {
		t.Errorf("error %v (no fit: %v); want one that says %q (no fit: %v)", err, errors.As(err, &no), words, noFit)
	}
}

// watched makes lives of ages at failure and of ages still good.
func watched(failed, good []float64) []Life {
	var lives []Life
	for _, t := range failed {
		lives = append(lives, Failed(t))
	}
	for _, t := range good {
		lives = append(lives, Good(t))
	}
	return lives
}

// leukaemia is the remission times, in weeks, of Gehan, Biometrika 52 (1965), p. 203: 6-MP and placebo.
var leukaemia = [][]Life{
	watched([]float64{6, 6, 6, 7, 10, 13, 16, 22, 23}, []float64{6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35}),
	watched([]float64{1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23}, nil),
}

// truncated is units of which all but the first two were watched from a later age on.
var truncated = []Life{Failed(30), Good(100), {20, 40, 40, 1}, {35, 90, 90, 1}, {50, 120, math.Inf(1), 2}, {60, 80, 80, 1}, {10, 70, 70, 1}}

// inspected is 60 units found failed between inspections, or still good at the last (invented).
var inspected = []Life{{0, 0, 100, 2}, {0, 100, 200, 4}, {0, 200, 400, 10}, {0, 400, 800, 21}, {0, 800, 1200, 9}, {0, 1200, math.Inf(1), 14}}
