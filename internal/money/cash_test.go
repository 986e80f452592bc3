package money

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func rates(t *testing.T, flows ...float64) []float64 {
	t.Helper()
	r, err := RatesOfReturn(flows)
	if err != nil {
		t.Fatalf("%v: %v", flows, err)
	}
	return r
}

// TestRates: Brealey, Myers and Allen, Principles of Corporate Finance, chapter 5 (from memory), printed
// in percent; the last rows follow from the definition.
func TestRates(t *testing.T) {
	for _, c := range []struct {
		flows, want []float64
		tol         float64
	}{
		{[]float64{-4000, 2000, 4000}, []float64{0.2808}, 5e-5},
		{[]float64{-4000, 25000, -25000}, []float64{0.25, 4}, 1e-12},
		{[]float64{1000, -3000, 2500}, nil, 0},
		{[]float64{1000, -1500}, []float64{0.5}, 1e-14},
		{[]float64{-100, 230, -132}, []float64{0.1, 0.2}, 1e-12},
		{[]float64{-100, 220, -121}, []float64{0.1}, 1e-8}, // touches 0
		{[]float64{-1, 2, -1}, []float64{0}, 0},
		{[]float64{2, -3, 0, 1}, []float64{0}, 0}, {[]float64{-1, 0, 3, -2}, []float64{0}, 0},
		{[]float64{-1, 3, -3, 1}, []float64{0}, 1e-5}, // three times the same
		{[]float64{0, 0, -100, 110, 0}, []float64{0.1}, 1e-14},
		{[]float64{-100, 0, 0, 50}, []float64{math.Cbrt(0.5) - 1}, 1e-14}, // half is lost
		{[]float64{-1e-9, 1e9}, []float64{1e18 - 1}, 1e5},
		{[]float64{100, 5}, nil, 0}, {[]float64{-100}, nil, 0}, {[]float64{0, 0}, nil, 0}, {nil, nil, 0},
	} {
		got := rates(t, c.flows...)
		if len(got) != len(c.want) {
			t.Errorf("%v: rates %v, want %v", c.flows, got, c.want)
			continue
		}
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > c.tol {
				t.Errorf("%v: rate %v, want %v ± %v", c.flows, got[i], c.want[i], c.tol)
			}
		}
	}
}

// TestRatesChosen makes the flows that have chosen rates: the product of (1 + r - x) in x = 1 + rate.
func TestRatesChosen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		chosen := rapid.SliceOfNDistinct(rapid.IntRange(-9, 40), 1, 6, rapid.ID).Draw(t, "tenths")
		slices.Sort(chosen)
		flows := []int{-1} // times 10 for each factor, from the last period to the first
		for _, tenths := range chosen {
			next := make([]int, len(flows)+1)
			for k, c := range flows {
				next[k] -= c * (10 + tenths)
				next[k+1] += 10 * c
			}
			flows = next
		}
		var in []float64
		for _, c := range slices.Backward(flows) {
			in = append(in, float64(c))
		}
		got, err := RatesOfReturn(in)
		if err != nil || len(got) != len(chosen) {
			t.Fatalf("%v: rates %v %v, want tenths %v", in, got, err, chosen)
		}
		for i, r := range got {
			if math.Abs(r-float64(chosen[i])/10) > 1e-6 {
				t.Fatalf("%v: rate %v, want %d tenths", in, r, chosen[i])
			}
		}
	})
}

// TestRatesTouching: (1 + rate - x)² in x = 1 + rate touches 0 at one rate.
func TestRatesTouching(t *testing.T) {
	for hundredths := 1; hundredths < 2000; hundredths++ {
		x := float64(hundredths) // of x
		if r := rates(t, 1e4, -200*x, x*x); len(r) != 1 || math.Abs(r[0]-(x/100-1)) > 1e-6*x {
			t.Errorf("rates %v, want %v", r, x/100-1)
		}
	}
}

// TestRatesTouchingNought: (1 - v)²·(a + b·v + c·v²) touches 0 at v = 1 only, and all else near it is
// rounding.
func TestRatesTouchingNought(t *testing.T) {
	for n := range 729 {
		a, b, c := float64(n%9+1), float64(n/9%9+1), float64(n/81+1)
		if r := rates(t, a, b-2*a, a-2*b+c, b-2*c, c); len(r) != 1 || r[0] != 0 {
			t.Errorf("a %v, b %v, c %v: rates %v, want 0", a, b, c, r)
		}
	}
}

// TestRatesCount counts the zeros exactly by Sturm's theorem.
func TestRatesCount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		flows := rapid.SliceOfN(rapid.IntRange(-9, 9), 1, 9).Draw(t, "flows")
		var in []float64
		for _, c := range flows {
			in = append(in, float64(c))
		}
		got, err := RatesOfReturn(in)
		if err != nil || len(got) != sturm(flows) {
			t.Fatalf("%v: rates %v %v, Sturm counts %d", flows, got, err, sturm(flows))
		}
		for _, r := range got {
			size := 0.0
			for k, c := range in {
				size += math.Abs(c) * math.Pow(1+r, -float64(k))
			}
			if v := PresentValue(in, r); math.Abs(v) > 1e-12*size {
				t.Fatalf("%v: present value %v at the rate %v", flows, v, r)
			}
		}
	})
}

// sturm returns the number of different zeros v > 0 of Σ c_k·v^k.
func sturm(c []int) int {
	var p []*big.Rat // from v^0 up
	for _, x := range c {
		if len(p) > 0 || x != 0 {
			p = append(p, big.NewRat(int64(x), 1))
		}
	}
	p = trim(p)
	if len(p) < 2 {
		return 0
	}
	var d []*big.Rat
	for k, x := range p[1:] {
		d = append(d, new(big.Rat).Mul(x, big.NewRat(int64(k+1), 1)))
	}
	chain := [][]*big.Rat{p, d}
	for {
		r := remainder(chain[len(chain)-2], chain[len(chain)-1])
		if len(r) == 0 {
			break
		}
		for k, x := range r {
			r[k] = new(big.Rat).Neg(x)
		}
		chain = append(chain, r)
	}
	var zero, infinity []int
	for _, q := range chain {
		zero, infinity = append(zero, q[0].Sign()), append(infinity, q[len(q)-1].Sign())
	}
	return signs(zero) - signs(infinity)
}

func signs(s []int) int {
	n, last := 0, 0
	for _, x := range s {
		if x*last < 0 {
			n++
		}
		if x != 0 {
			last = x
		}
	}
	return n
}

func remainder(a, b []*big.Rat) []*big.Rat {
	r := slices.Clone(a)
	for len(r) >= len(b) {
		factor := new(big.Rat).Quo(r[len(r)-1], b[len(b)-1])
		for k := range b {
			at := len(r) - len(b) + k
			r[at] = new(big.Rat).Sub(r[at], new(big.Rat).Mul(factor, b[k]))
		}
		r = trim(r)
	}
	return r
}

func trim(p []*big.Rat) []*big.Rat {
	for len(p) > 0 && p[len(p)-1].Sign() == 0 {
		p = p[:len(p)-1]
	}
	return p
}

// TestRatesLong: a loan of 360 months and a flow that turns each month.
func TestRatesLong(t *testing.T) {
	// 360 payments at 0.5 % a month: payment = 0.005/(1 - 1.005^-360) of the loan, the annuity formula
	loan := []float64{1}
	for range 360 {
		loan = append(loan, -0.005/(1-math.Pow(1.005, -360)))
	}
	if r := rates(t, loan...); len(r) != 1 || math.Abs(r[0]-0.005) > 1e-12 {
		t.Errorf("rates %v, want 0.005", r)
	}
	turns := make([]float64, MaxItems)
	for k := range turns {
		turns[k] = 1 - 2*float64(k%2)
	}
	// 1 - v + v² - … = (1 - v^600)/(1 + v): only v = 1
	if r := rates(t, turns...); len(r) != 1 || r[0] != 0 {
		t.Errorf("rates %v, want 0", r)
	}
}

func TestRatesRefuse(t *testing.T) {
	for _, flows := range [][]float64{{1, math.NaN()}, {math.Inf(1)}, make([]float64, MaxItems+1)} {
		if _, err := RatesOfReturn(flows); err == nil {
			t.Errorf("%d flows are accepted", len(flows))
		}
	}
}

func ExamplePresentValue() {
	// Brealey, Myers and Allen (from memory); printed 339 and -1,934 at 10 %
	fmt.Printf("%.0f %.0f\n", PresentValue([]float64{1000, -3000, 2500}, 0.1), PresentValue([]float64{-4000, 25000, -25000}, 0.1))
	// Output: 339 -1934
}
