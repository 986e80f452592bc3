package accounts

import (
	"math"
	"testing"
)

// The interval by drawing agrees with that of the law of propagation where all is nearly linear and several spreads
// are alike: within 5 % of the half-width. Neither knows of the other.
func TestDrawingAgreesWithPropagation(t *testing.T) {
	in := example(t)
	for _, kind := range []string{"a", "b", "c", "d", "e", "f"} {
		in.Spent = append(in.Spent, Spent{Row: on("2021-02-01"), Kind: kind, Amount: val(t, "10..20 EUR")})
	}
	r := run(t, in)
	drawn, lawful := r.HourPaid.High-r.HourPaid.Low, r.Budget.High/3600-r.Budget.Low/3600
	if math.Abs(drawn/lawful-1) > 0.05 {
		t.Errorf("drawn %.4g, by propagation %.4g", drawn*3600, lawful*3600)
	}
	// u of the net: √(6·(5/√3)²) = 7.071 EUR, over 20 h, times 2·1.96 = 1.386 EUR/h. By hand.
	if math.Abs(lawful*3600-1.386) > 0.001 {
		t.Errorf("by propagation %.4f; want 1.386", lawful*3600)
	}
}

// Rows of one kind err together: two of 10..20 EUR spread as one of 20..40; two kinds as their root sum of squares. By hand.
func TestTogether(t *testing.T) {
	wide := func(kinds ...string) float64 {
		in := example(t)
		for _, kind := range kinds {
			in.Spent = append(in.Spent, Spent{Row: on("2021-02-01"), Kind: kind, Amount: val(t, "10..20 EUR")})
		}
		return run(t, in).Budget.U
	}
	near(t, "one kind", wide("a", "a"), 2*wide("a"))
	near(t, "two kinds", wide("a", "b"), math.Sqrt2*wide("a"))
}

// At another price the hour is paid as if all had been sold at it: the accounts made again say the same.
func TestAnotherPrice(t *testing.T) {
	in := example(t)
	in.Sold, in.Rates = in.Sold[:1], nil
	in.MarketPrice = val(t, "100 EUR")
	rows := run(t, in).prices().Rows
	in.Sold[0].Price = val(t, "100 EUR")
	again := run(t, in)
	last := rows[len(rows)-1]
	if want := again.hourly(again.HourPaid.Best); last[2] != want {
		t.Errorf("%v; want %s", last, want)
	}
}
