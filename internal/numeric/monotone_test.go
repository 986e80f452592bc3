package numeric

import (
	"math"
	"testing"
)

func TestMonotone(t *testing.T) {
	x := []float64{0, 0.05, 0.1, 0.2, 0.5, 0.9, 1}
	y := []float64{2.5, 3, 3.15, 3.22, 3.29, 3.34, 3.45}
	m, err := NewMonotone(x, y)
	if err != nil {
		t.Fatal(err)
	}
	for i := range x {
		if got, _ := m.At(x[i]); math.Abs(got-y[i]) > 1e-12 {
			t.Errorf("at %g: %g, want %g", x[i], got, y[i])
		}
	}
	before, _ := m.At(-0.1)
	for v := -0.1; v < 1.1; v += 1e-4 {
		got, slope := m.At(v)
		if got < before-1e-15 || !(slope >= 0) {
			t.Fatalf("falls at %g: %g after %g, slope %g", v, got, before, slope)
		}
		next, _ := m.At(v + 1e-6)
		last, _ := m.At(v - 1e-6)
		if d := (next - last) / 2e-6; math.Abs(d-slope) > 1e-2*(1+math.Abs(slope)) {
			t.Fatalf("slope at %g is %g, by difference %g", v, slope, d)
		}
		before = got
	}
}

func TestMonotoneKeepsExtremes(t *testing.T) {
	m, err := NewMonotone([]float64{0, 1, 2, 3}, []float64{0, 1, 1, 0})
	if err != nil {
		t.Fatal(err)
	}
	for v := 0.0; v <= 3; v += 0.01 {
		if got, _ := m.At(v); got < 0 || got > 1 {
			t.Fatalf("beyond its points at %g: %g", v, got)
		}
	}
}

func TestMonotoneRefuses(t *testing.T) {
	for _, c := range [][2][]float64{{{0}, {0}}, {{0, 0}, {0, 1}}, {{0, 1}, {0, math.NaN()}}, {{0, 1, 2}, {0, 1}}} {
		if _, err := NewMonotone(c[0], c[1]); err == nil {
			t.Errorf("takes %v", c)
		}
	}
}
