package bench

import (
	"math"
	"strings"
	"testing"

	"hindwatt/internal/statistics"
)

// With a perfect meter the number is that of statistics, which integrates where this draws.
func TestSettleIntegrated(t *testing.T) {
	for _, c := range []struct {
		n        int
		mean, sd float64
	}{{3, 0.03, 0.05}, {5, 0.03, 0.075}, {4, 0, 0.08}, {10, 0.1, 0.055}} {
		r := run(t, input(perfect, lot(c.n, c.mean, c.sd)...))
		all, kept, ok, err := statistics.SettleN(c.mean, c.sd, c.n, statistics.Bound{Min: -0.2, Max: 0.2, Proportion: 0.95, Confidence: 0.95}, mostUnits)
		if err != nil || !ok || !kept {
			t.Fatal(kept, ok, err)
		}
		near(t, "units in all", float64(c.n+settle(t, r, -0.2, 0.2).More), float64(all), math.Max(1, 0.12*float64(all)))
	}
}

// So many units, with the mean and standard deviation found, do settle it, and half of what they add does not.
func TestSettleSettles(t *testing.T) {
	for _, c := range []struct {
		mean, sd float64
		carry    *Carry
	}{
		{0.03, 0.06, nil},
		{0.05, 0.05, drift(100, 40, 0.01, 0.03, 0.01)},
		{0.13, 0.1, nil}, // too few inside: settled by the upper limit
	} {
		in := input(meter(0.02), lot(4, c.mean, c.sd)...)
		in.Carry = c.carry
		found := settle(t, run(t, in), -0.2, 0.2)
		if found.Never || found.More < 2 {
			t.Errorf("mean %v, sd %v: %+v; want a number of units", c.mean, c.sd, found)
			continue
		}
		settled := func(n int) bool {
			in := input(meter(0.02), lot(n, c.mean, c.sd)...)
			in.Carry = c.carry
			i := inside(t, run(t, in), -0.2, 0.2)
			return i.Low >= 0.95 || i.High < 0.95
		}
		if n := 4 + found.More; !settled(n+n/5+1) || settled(4+found.More/2) {
			t.Errorf("mean %v, sd %v: %+v; want the number from which on it is settled", c.mean, c.sd, found)
		}
	}
}

func TestSettleNever(t *testing.T) {
	carried := func(in Input, c *Carry) Input { in.Carry = c; return in }
	for _, c := range []struct {
		name string
		in   Input
		want string
	}{
		{"coarse meter", input(meter(0.16), lot(10, 0.03, 0.05)...),
			"no number of units would settle it with this meter: its ±0.16 V stays, however many are read; with one within ±0.04 V, about "},
		{"unknown drift", carried(input(meter(0.01), lot(10, 0.03, 0.05)...), drift(100, 40, 0.1, 0.02, 0)),
			"no number of units would settle it from these conditions: what the model does not know where it carries the readings over (±0."},
		{"both", carried(input(meter(0.2), lot(10, 0, 0.03)...), drift(100, 40, 0.09, 0.02, 0)),
			"no number of units would settle it: the meter's ±0.2 V and what the model does not know"},
		{"just what is asked", input(perfect, lot(10, 0, 0.2/1.9600)...),
			"10000 units would not settle it: the share found, 95 %, is too near the 95 % asked"},
		{"one unit", input(meter(0.01), 0.03), "one unit shows no spread"},
		{"no meter", input(nil, 0.03, 0.04), "no number of units would settle it while the meter's accuracy is not known: name the meter with meter=…"},
		{"alike", input(perfect, 0.03, 0.03), "the units read alike"},
	} {
		got := settle(t, run(t, c.in), -0.2, 0.2)
		if !got.Never || !strings.HasPrefix(got.Why, c.want) {
			t.Errorf("%s: %+v; want never, and %q…", c.name, got, c.want)
		}
	}
}

func TestSettledAlready(t *testing.T) {
	for _, mean := range []float64{0, 1} {
		if got := settle(t, run(t, input(meter(0.01), lot(10, mean, 0.02)...)), -0.2, 0.2); got != (Settle{}) {
			t.Errorf("mean %v: %+v; want it settled", mean, got)
		}
	}
}
