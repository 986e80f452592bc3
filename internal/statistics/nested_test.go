package statistics

import (
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
