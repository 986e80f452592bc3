package statistics

import (
	"math"
	"testing"
)

// Shared cases REL-07, -09, -11 (Clopper and Pearson 1934; computed independently), and limits in closed
// form: 0 of n gives 1-(α/2)^(1/n) above.
func TestBinomialLimits(t *testing.T) {
	for _, c := range []struct {
		k, n           int
		confidence     float64
		low, high, tol float64
	}{
		{0, 20, 0.95, 0, 0.168433, 2e-6}, {1, 50, 0.95, 0.000506, 0.106470, 2e-6}, {20, 20, 0.95, 0.831567, 1, 2e-6},
		{0, 1, 0.95, 0, 0.975, 1e-12}, {1, 2, 0.95, 1 - math.Sqrt(0.975), math.Sqrt(0.975), 1e-12},
		{0, 0, 0.95, 0, 1, 0}, {0, 1000000, 0.95, 0, -math.Expm1(math.Log(0.025) / 1e6), 1e-14},
		{0, 1000000000, 0.95, 0, -math.Expm1(math.Log(0.025) / 1e9), 1e-14}, // the library keeps 6 digits here
		{0, 20, 0.9, 0, 1 - math.Pow(0.05, 1.0/20), 1e-12},
	} {
		low, high, err := BinomialLimits(c.k, c.n, c.confidence)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "low", low, c.low, c.tol)
		near(t, "high", high, c.high, c.tol)
	}
	for n := range 40 { // mirror, order, and the tail at the limit itself
		for k := range n + 1 {
			low, high, _ := BinomialLimits(k, n, 0.9)
			mirrorLow, mirrorHigh, _ := BinomialLimits(n-k, n, 0.9)
			near(t, "mirror", low, 1-mirrorHigh, 1e-12)
			near(t, "mirror", high, 1-mirrorLow, 1e-12)
			if k > 0 {
				near(t, "tail above", binomialTail(k, n, low), 0.05, 1e-10)
			}
			if k < n {
				near(t, "tail below", 1-binomialTail(k+1, n, high), 0.05, 1e-10)
			}
		}
	}
	for _, c := range [][2]int{{-1, 5}, {6, 5}, {0, -1}} {
		_, _, err := BinomialLimits(c[0], c[1], 0.95)
		refused(t, err, "0 ≤")
	}
	_, _, err := BinomialLimits(1, 5, 1)
	refused(t, err, "confidence")
}

// binomialTail sums the probability of k or more of n, term by term.
func binomialTail(k, n int, p float64) float64 {
	var sum float64
	for i := k; i <= n; i++ {
		a, _ := math.Lgamma(float64(n + 1))
		b, _ := math.Lgamma(float64(i + 1))
		c, _ := math.Lgamma(float64(n - i + 1))
		sum += math.Exp(a - b - c + float64(i)*math.Log(p) + float64(n-i)*math.Log1p(-p))
	}
	return sum
}

// Shared case REL-27 (Garwood 1936; computed independently).
func TestPoissonLimits(t *testing.T) {
	for _, c := range []struct {
		events                   int
		exposure, low, high, tol float64
	}{{0, 1, 0, 3.6889, 1e-4}, {2, 800, 0.00030276, 0.00903086, 1e-7}, {7, 23.5, 0.11976, 0.61373, 1e-5},
		{0, 1, 0, math.Log(40), 1e-12}} {
		low, high, err := PoissonLimits(c.events, c.exposure, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "low", low, c.low, c.tol)
		near(t, "high", high, c.high, c.tol)
	}
	low, high, err := PoissonLimits(1000000000, 1, 0.95) // many events: normal, JCGM-like ±1.96 √n
	if err != nil {
		t.Fatal(err)
	}
	near(t, "low of 10^9", low, 1e9-1.959964*math.Sqrt(1e9), 3)
	near(t, "high of 10^9", high, 1e9+1.959964*math.Sqrt(1e9), 4)
	for _, c := range []struct {
		events               int
		exposure, confidence float64
		says                 string
	}{{-1, 1, 0.95, "events"}, {1, 0, 0.95, "exposure"}, {1, math.Inf(1), 0.95, "exposure"}, {1, math.NaN(), 0.95, "exposure"}, {1, 1, 0, "confidence"}} {
		_, _, err := PoissonLimits(c.events, c.exposure, c.confidence)
		refused(t, err, c.says)
	}
}
