package statistics

import (
	"math"
	"testing"

	"hindwatt/internal/numeric"
)

// Counts drawn from known proportions: with few inner draws the limits must be those of the proportions
// themselves, which the counts alone would set too wide.
func TestNestedTakesOutBinomialNoise(t *testing.T) {
	s := numeric.NewStream(5)
	const outer, inner = 4000, 50
	proportions, counts := make([]float64, outer), make([]int, outer)
	raw := make([]float64, outer)
	for i := range counts {
		proportions[i] = 0.9 + 0.03*s.Norm()
		for range inner {
			if s.Float64() < proportions[i] {
				counts[i]++
			}
		}
		raw[i] = float64(counts[i]) / inner
	}
	best, low, high, err := Nested{Inside: counts, Units: inner}.Proportion(0.95)
	if err != nil {
		t.Fatal(err)
	}
	want := Quantiles(proportions, 0.05, 0.95)
	near(t, "best", best, 0.9, 0.003)
	near(t, "low", low, want[0], 0.008)
	near(t, "high", high, want[1], 0.008)
	if noisy := Quantile(raw, 0.05); !(noisy < want[0]-0.02) {
		t.Errorf("the counts' own quantile %v shows no noise to take out", noisy)
	}
}

func TestNestedEdges(t *testing.T) {
	for _, c := range []struct {
		inside          []int
		best, low, high float64
	}{
		{[]int{100, 100, 100}, 1, 1, 1}, {[]int{0, 0}, 0, 0, 0}, {[]int{50, 51, 49, 50}, 0.5, 0.5, 0.5},
	} {
		best, low, high, err := Nested{c.inside, 100}.Proportion(0.95)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "best", best, c.best, 1e-12)
		near(t, "low", low, c.low, 1e-12)
		near(t, "high", high, c.high, 1e-12)
	}
	// Pairs of units of one proportion, 1/2: all the scatter of the counts is binomial, as n-1 alone tells.
	pairs := make([]int, 1000)
	for i := range pairs {
		pairs[i] = []int{0, 1, 1, 2}[i%4]
	}
	_, low, high, err := Nested{pairs, 2}.Proportion(0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "low of pairs", low, 0.5, 0.02)
	near(t, "high of pairs", high, 0.5, 0.02)
	for _, n := range []Nested{{[]int{1}, 10}, {[]int{1, 2}, 1}, {[]int{1, 11}, 10}, {[]int{-1, 1}, 10}} {
		_, _, _, err := n.Proportion(0.95)
		refused(t, err, "draw")
	}
	_, _, _, err = Nested{[]int{1, 2}, 10}.Proportion(1)
	refused(t, err, "confidence")
}

// A measured population told as draws of what is unknown about it: the tolerance limits of the simulation
// are those of the exact factor, by another way.
func TestToleranceLimits(t *testing.T) {
	long(t)
	const n, outer, inner = 10, 2000, 2000
	draws, err := PivotalDraws(n, outer, 3)
	if err != nil {
		t.Fatal(err)
	}
	values := make([][]float64, outer)
	s := numeric.NewStream(4)
	for i, d := range draws {
		values[i] = make([]float64, inner)
		s.FillNorm(values[i])
		for j, z := range values[i] {
			values[i][j] = d.Z*d.Scale/math.Sqrt(n) + d.Scale*z
		}
	}
	low, high, err := ToleranceLimits(values, 0.95, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	k, err := ToleranceFactor(n, 0.95, 0.95, 2)
	if err != nil {
		t.Fatal(err)
	}
	// The interval holds both equal tails of 95 % of draws, a little more than content alone asks for.
	for _, end := range []float64{-low, high} {
		if !(end > 0.95*k && end < 1.15*k) {
			t.Errorf("limits %v..%v; want ±%v or a little more", low, high, k)
		}
	}
	if _, _, err := ToleranceLimits(values[:1], 0.95, 0.95); err == nil {
		t.Error("one outer draw was taken")
	}
	// By hand: each draw's quantiles are its ends nearly; 3 of 4 draws must be enclosed.
	low, high, err = ToleranceLimits([][]float64{{-1, 1}, {-2, 2}, {-3, 3}, {-9, 9}}, 1-1e-12, 0.75)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "low", low, -3, 1e-9)
	near(t, "high", high, 3, 1e-9)
}

// The draws' moments: E Z = 0, E Z² = 1, E Scale^-2 = E χ²/(n-1) = 1.
func TestPivotalDraws(t *testing.T) {
	for _, n := range []int{2, 5, 30} {
		draws, err := PivotalDraws(n, 5000, 9)
		if err != nil {
			t.Fatal(err)
		}
		var z, z2, inverse, cross float64
		for _, d := range draws {
			z += d.Z / 5000
			z2 += d.Z * d.Z / 5000
			inverse += 1 / (d.Scale * d.Scale) / 5000
			cross += d.Z / d.Scale / 5000
		}
		near(t, "Z", z, 0, 1e-3)
		near(t, "Z²", z2, 1, 2e-3)
		near(t, "1/Scale²", inverse, 1, 2e-3)
		near(t, "independence", cross, 0, 0.05)
		again, _ := PivotalDraws(n, 5000, 9)
		if again[123] != draws[123] {
			t.Error("same seed, other draws")
		}
	}
	_, err := PivotalDraws(1, 10, 1)
	refused(t, err, "2 or more")
	_, err = PivotalDraws(5, 0, 1)
	refused(t, err, "1 or more")
}
