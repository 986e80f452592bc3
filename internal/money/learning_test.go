package money

import (
	"math"
	"testing"
)

// TestLearningTable: Heizer and Render, Operations Management, learning-curve coefficients (from memory).
func TestLearningTable(t *testing.T) {
	for _, c := range []struct {
		rate             float64
		n                int
		unit, cumulative float64
	}{{0.8, 2, 0.8, 1.8}, {0.8, 4, 0.640, 3.142}, {0.8, 10, 0.477, 6.315}, {0.85, 8, 0.614, 5.936}, {1, 1000, 1, 1000}, {0.8, 1, 1, 1}} {
		unit, all, err := Learning(1, c.rate, c.n)
		if err != nil || math.Abs(unit-c.unit) > 0.0005 || math.Abs(all-c.cumulative) > 0.0005 {
			t.Errorf("%v, unit %d: %v %v %v, want %v %v", c.rate, c.n, unit, all, err, c.unit, c.cumulative)
		}
	}
}

// TestHarmonic: at a rate of 50 % the sum is the harmonic number H_n; H_(10^6) by the OEIS, A002387 and
// comments (from memory), H_(10^9) = ln n + γ + 1/(2n) with the published γ.
func TestHarmonic(t *testing.T) {
	const gamma = 0.57721566490153286061 // DLMF 5.2.3
	for n, want := range map[int]float64{
		10: 7381. / 2520, 100: 5.18737751763962026, 1_000_000: 14.3927267228657236,
		1_000_000_000: math.Log(1e9) + gamma + 0.5e-9,
	} {
		if _, got, err := Learning(1, 0.5, n); err != nil || math.Abs(got-want) > 2e-14*want {
			t.Errorf("H_%d = %.17g, want %.17g", n, got, want)
		}
	}
}

// TestSumAgainstAddition adds the terms one by one, with the rounding errors carried along (Kahan).
func TestSumAgainstAddition(t *testing.T) {
	for _, rate := range []float64{1e-300, 0.01, 0.3, 0.499999999, 0.5, 0.500000001, 0.7, 0.8, 0.95, 0.999999, 1} {
		b := math.Log2(rate)
		sum, rest := 0.0, 0.0
		for k := 1; k <= 300_000; k++ {
			y := math.Pow(float64(k), b) - rest
			next := sum + y
			rest = (next - sum) - y
			sum = next
			switch k {
			case 1, 5, 31, 32, 33, 100, 3000, 300_000:
				if got := powerSum(b, k); math.Abs(got-sum) > 2e-14*sum {
					t.Errorf("rate %v, n %d: %.17g, want %.17g", rate, k, got, sum)
				}
			}
		}
	}
}

// TestBillion: all 10⁹ terms at 80 % added one by one (Kahan), computed independently in 48 s.
func TestBillion(t *testing.T) {
	const want = 1867975.4969642654
	if _, got, err := Learning(1, 0.8, 1_000_000_000); err != nil || math.Abs(got-want) > 1e-13*want {
		t.Errorf("%.17g %v, want %.17g", got, err, want)
	}
}

func TestLearningRefuses(t *testing.T) {
	for _, c := range []struct {
		first, rate float64
		n           int
		say         string
	}{
		{-1, 0.8, 1, "money: first unit takes -1; want 0 or more"},
		{math.Inf(1), 0.8, 1, "money: first unit takes +Inf; want 0 or more"},
		{math.NaN(), 0.8, 1, "money: first unit takes NaN; want 0 or more"},
		{1, 0, 1, "money: learning rate 0; want more than 0, up to 1"},
		{1, 80, 1, "money: learning rate 80; want more than 0, up to 1"},
		{1, math.NaN(), 1, "money: learning rate NaN; want more than 0, up to 1"},
		{1, 0.8, 0, "money: unit 0; want 1 to 1000000000"},
		{1, 0.8, 1_000_000_001, "money: unit 1000000001; want 1 to 1000000000"},
	} {
		if _, _, err := Learning(c.first, c.rate, c.n); err == nil || err.Error() != c.say {
			t.Errorf("%+v: %v", c, err)
		}
	}
}

// TestRemainder searches the largest first term left out over all b.
func TestRemainder(t *testing.T) {
	for b := 0.0; b > -60; b -= 0.001 {
		term := math.Pow(direct, b-7) / 1209600 // B₈/8! = -1/1209600
		for k := range 7 {
			term *= math.Abs(b - float64(k))
		}
		if term > 5e-15 {
			t.Fatalf("b %v: %v", b, term)
		}
	}
}

func BenchmarkLearning(b *testing.B) {
	for b.Loop() {
		if _, _, err := Learning(1, 0.8, 1_000_000_000); err != nil {
			b.Fatal(err)
		}
	}
}
