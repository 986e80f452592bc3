package figure

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestNumber(t *testing.T) {
	for _, c := range []struct {
		v        float64
		decimals int
		want     string
	}{
		{0, 0, "0"}, {math.Copysign(0, -1), 1, "0.0"}, {-0.004, 2, "0.00"}, {-0.006, 2, "-0.01"}, {9999, 0, "9999"}, {10000, 0, "10,000"},
		{-1234567.25, 2, "-1,234,567.25"}, {999999999999, 0, "999,999,999,999"}, {1e12, 0, "1e12"}, {-2.5e300, 0, "-2.5e300"}, {4e-10, 3, "4e-10"}, {2.5, -3, "2"},
	} {
		if got := number(c.v, c.decimals); got != c.want {
			t.Errorf("number(%v, %d) = %q, want %q", c.v, c.decimals, got, c.want)
		}
	}
	for v, want := range map[float64]string{0.2: "0.2", 0.1 + 0.2: "0.3", 200.00000000000003: "200", 27.301: "27.301", 1412: "1412", 14120: "14,120", -0.5: "-0.5"} {
		if got := short(v); got != want {
			t.Errorf("short(%v) = %q, want %q", v, got, want)
		}
	}
}

func TestMinus(t *testing.T) {
	for s, want := range map[string]string{"-0.2 V": "−0.2 V", "-10..-5 °C": "−10..−5 °C", "one-point": "one-point", "C-0412": "C-0412", "(-3)": "(−3)", "-": "-", "": ""} {
		if got := minus(s); got != want {
			t.Errorf("minus(%q) = %q, want %q", s, got, want)
		}
	}
}

// Wanted values were written down by hand.
func TestTicks(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      int
		values    []float64
		decimals  int
	}{
		{0, 10, 10, []float64{0, 2, 4, 6, 8, 10}, 0},
		{-0.3, 0.3, 6, []float64{-0.2, 0, 0.2}, 1},
		{-0.3, 0.3, 7, []float64{-0.3, -0.2, -0.1, 0, 0.1, 0.2, 0.3}, 1},
		{-10, 45, 11, []float64{-10, 0, 10, 20, 30, 40}, 0},
		{27.1, 27.5, 8, []float64{27.1, 27.2, 27.3, 27.4, 27.5}, 1},
		{0, 3e6, 6, []float64{0, 1e6, 2e6, 3e6}, 0},
		{1e-7, 5e-7, 8, []float64{1e-7, 2e-7, 3e-7, 4e-7, 5e-7}, 7},
	} {
		var values []float64
		for _, k := range (axis{low: c.low, high: c.high}).ticks(c.want) {
			values = append(values, k.at)
			if want := tickText(k.at, c.decimals); k.text != want {
				t.Errorf("tick %g is written %q, want %q", k.at, k.text, want)
			}
		}
		if !slices.Equal(values, c.values) {
			t.Errorf("ticks of %g..%g, about %d: %v, want %v", c.low, c.high, c.want, values, c.values)
		}
		for _, v := range values {
			if v == 0 && math.Signbit(v) {
				t.Errorf("ticks of %g..%g: -0", c.low, c.high)
			}
		}
	}
}

func TestRoundedHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(-1e12, 1e12).Draw(t, "low")
		high := low + rapid.Float64Range(0, 1e12).Draw(t, "width")
		a := rounded(low, high, 0, 100)
		slack := 1e-8 * (a.high - a.low)
		if !(a.low <= low+slack && a.high >= high-slack && a.low < a.high) {
			t.Fatalf("%g..%g gave %g..%g", low, high, a.low, a.high)
		}
		if high-low > 1e-80 && high-low > 1e-6*max(math.Abs(low), math.Abs(high)) && a.high-a.low > 1.45*(high-low) {
			t.Fatalf("%g..%g gave %g..%g, much wider", low, high, a.low, a.high)
		}
	})
}

// Wanted ends were chosen by eye from the bound and marks, before the rule was written, except where said.
func TestStripAxis(t *testing.T) {
	for name, want := range map[string][2]float64{
		"no-evidence": {0, 10},     // the look's own example
		"at-most":     {0, 2},      // the look's own example
		"within":      {-0.5, 0.5}, // symmetric, as the bound
		"at-least":    {7, 13},     // bound in the middle
		"nothing":     {0, 1},
	} {
		s := strips[name]
		a := stripAxis(tidy(s.Marks), newBound(s.Min, s.Max), 0, 1)
		if a.low != want[0] || a.high != want[1] {
			t.Errorf("%s: axis %g..%g, want %g..%g", name, a.low, a.high, want[0], want[1])
		}
	}
}
