package bench

import (
	"math"
	"strings"
	"testing"

	"hindwatt/internal/numeric"
)

// twoBatches are units of two batches with a spread of 10 mV, the second's mean off by so much.
func twoBatches(seed uint64, off float64, n int, named bool) Input {
	s := numeric.NewStream(seed)
	values := make([]float64, 2*n)
	for i := range values {
		values[i] = 27.3 + 0.01*s.Norm() + off*float64(i/n)
	}
	in := input(meter(0.001), values...)
	for i := range in.Readings {
		if named {
			in.Readings[i].Batch = []string{"b20", "b29"}[i/n]
		}
	}
	return in
}

func groups(t *testing.T, in Input) string {
	t.Helper()
	for _, n := range run(t, in).Warnings {
		if strings.Contains(n.Text, "says too little of each") {
			if n.Remedy == "" {
				t.Error("no remedy")
			}
			return n.Text
		}
	}
	return ""
}

// Two batches, or two kinds of unit that nobody named, are told apart where they differ by far more than their units, and lots that do not
// are told apart about as seldom as the level says: 1 in 100.
func TestGroups(t *testing.T) {
	if said := groups(t, twoBatches(1, 0.08, 3, true)); !strings.Contains(said, "b20 (3 units) at 27.") || !strings.Contains(said, "b29 (3 units)") {
		t.Errorf("two batches: %q", said)
	}
	if said := groups(t, twoBatches(1, 0.12, 6, false)); !strings.Contains(said, "two groups, 6 about 27.") || !strings.Contains(said, "and 6 about 27.4") {
		t.Errorf("two groups: %q", said)
	}
	for _, named := range []bool{true, false} {
		told := 0
		const runs = 200
		for seed := range uint64(runs) {
			if groups(t, twoBatches(seed+10, 0, 6, named)) != "" {
				told++
			}
		}
		if most := 2*surely*runs + 3*math.Sqrt(2*surely*runs); float64(told) > most { // two tests at 1 % each
			t.Errorf("batches named %v: %d of %d lots of one kind are told apart", named, told, runs)
		}
	}
}

// The F of JCGM 100:2008, table H.9 (H.5.2.2): ten days of five readings, S between 57 µV of means, S within 85 µV: F = 2.25 with 9 and 40
// degrees of freedom, between F(0.95) = 2.12 and F(0.975) = 2.45 (from memory). Built here from numbers with these spreads.
func TestF(t *testing.T) {
	var values []float64
	var batches []string
	// ten means with a standard deviation of 57 µV, each of five with 85 µV
	dayUnit, withinUnit := []float64{-4.5, -3.5, -2.5, -1.5, -0.5, 0.5, 1.5, 2.5, 3.5, 4.5}, []float64{-2, -1, 0, 1, 2}
	sd := func(x []float64) float64 { return math.Sqrt(covariance(x, x)) }
	for d, a := range dayUnit {
		for _, b := range withinUnit {
			values = append(values, 10+57e-6*a/sd(dayUnit)+85e-6*b/sd(withinUnit))
			batches = append(batches, string(rune('a'+d)))
		}
	}
	in := input(meter(1e-9), values...)
	for i := range in.Readings {
		in.Readings[i].Batch = batches[i]
	}
	r := run(t, in)
	p, _ := r.batches()
	if !(p > 0.025 && p < 0.05) {
		t.Errorf("p = %v", p)
	}
}
