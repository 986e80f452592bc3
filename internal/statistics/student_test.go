package statistics

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// Percentage points of Abramowitz and Stegun, Handbook of Mathematical Functions (1964), table 26.10, from memory: A(t|ν) to the digits
// that the points have.
func TestStudentInTheTable(t *testing.T) {
	for _, row := range []struct {
		nu   int
		a, t float64 // within ±t with the probability a
	}{
		{1, 0.5, 1.000}, {1, 0.9, 6.314}, {1, 0.99, 63.657}, {2, 0.95, 4.303}, {3, 0.95, 3.182}, {4, 0.99, 4.604}, {5, 0.95, 2.571},
		{9, 0.9, 1.833}, {10, 0.95, 2.228}, {10, 0.999, 4.587}, {20, 0.99, 2.845}, {30, 0.95, 2.042}, {120, 0.95, 1.980},
	} {
		s := NewStudent(row.nu)
		within := func(t float64) float64 { return s.CDF(t) - s.CDF(-t) }
		if low, high := within(row.t-0.0005), within(row.t+0.0005); !(low <= row.a && row.a <= high) {
			t.Errorf("ν = %d: within ±%v is %v to %v, want %v", row.nu, row.t, low, high, row.a)
		}
	}
}

// The sums are the same as the incomplete beta function of a general-purpose library, which has 13 digits at ν = 200, and the integral is that of the function.
func TestStudentAgainstTheLibrary(t *testing.T) {
	for _, nu := range []int{1, 2, 3, 4, 5, 10, 11, 29, 30, 199, 200, 201, 1000} {
		s, want := NewStudent(nu), distuv.StudentsT{Sigma: 1, Nu: float64(nu)}
		for _, u := range []float64{0, 0.1, -0.3, 1, -2.2, 4, -9, 50, -1e4} {
			if math.Abs(s.CDF(u)-want.CDF(u)) > 1e-13 || math.Abs(s.Prob(u)-want.Prob(u)) > 1e-12*want.Prob(u) {
				t.Errorf("ν = %d at %v: %v and %v, want %v and %v", nu, u, s.CDF(u), s.Prob(u), want.CDF(u), want.Prob(u))
			}
		}
		for _, end := range []float64{-1, 0.5, 3} {
			is := s.Below(end) - s.Below(-2)
			if sum := quad.Fixed(want.CDF, -2, end, 60, nil, 0); math.Abs(is-sum) > 1e-12 {
				t.Errorf("ν = %d: from -2 to %v %v, want %v", nu, end, is, sum)
			}
		}
	}
	if up, down := NewStudent(6).CDF(1e300), NewStudent(7).CDF(-1e300); up != 1 || down != 0 {
		t.Errorf("far out %v and %v", up, down)
	}
}

func BenchmarkStudent(b *testing.B) {
	s, u := NewStudent(10), 0.0
	for b.Loop() {
		u += s.Below(u/1e9) - s.CDF(0.2)
	}
}
