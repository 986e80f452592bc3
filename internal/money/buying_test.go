package money

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func cents(n int) Amount {
	a, err := New(float64(n)/100, "EUR")
	if err != nil {
		panic(err)
	}
	return a
}

// TestBreakEvenIsExact against whole cents.
func TestBreakEvenIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fixed, price, variable := rapid.IntRange(0, 1e8).Draw(t, "fixed"), rapid.IntRange(0, 9999).Draw(t, "price"), rapid.IntRange(0, 9999).Draw(t, "variable")
		units, whole, ok := BreakEven(cents(fixed), cents(price), cents(variable))
		margin := price - variable
		if ok != (margin > 0) {
			t.Fatalf("ok %v at a margin of %d", ok, margin)
		}
		if ok && (whole != float64((fixed+margin-1)/margin) || math.Abs(units-float64(fixed)/float64(margin)) > 1e-14*units) {
			t.Fatalf("%v, whole %v of %d/%d", units, whole, fixed, margin)
		}
	})
}

// TestBreakEvenOnTheUnit: where a whole number of units earns the fixed cost exactly, it is that number.
func TestBreakEvenOnTheUnit(t *testing.T) {
	for margin := 1; margin < 200; margin++ {
		for n := 1; n < 200; n++ {
			if _, whole, ok := BreakEven(cents(n*margin), cents(margin+30), cents(30)); !ok || whole != float64(n) {
				t.Errorf("%d cents of %d each: %v", n*margin, margin, whole)
			}
		}
	}
}

// TestBreakEvenHuge: from 2^53 on every float64 is a whole number.
func TestBreakEvenHuge(t *testing.T) {
	for _, fixed := range []float64{1 << 53, 1e300} {
		sum, err := New(fixed, "")
		if err != nil {
			t.Fatal(err)
		}
		if units, whole, ok := BreakEven(sum, amount(t, "1"), Amount{}); !ok || units != fixed || whole != fixed {
			t.Errorf("%v: %v %v", fixed, units, whole)
		}
	}
}

// TestOrderQuantityByTrial tries every quantity.
func TestOrderQuantityByTrial(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		need := rapid.IntRange(1, 60).Draw(t, "need")
		var breaks []Break
		from := 0
		for range rapid.IntRange(1, 4).Draw(t, "breaks") {
			from += rapid.IntRange(1, 20).Draw(t, "from")
			breaks = append(breaks, Break{from, cents(rapid.IntRange(0, 30).Draw(t, "price"))})
		}
		best, least := 0, Amount{}
		for q := max(need, breaks[0].From); q <= 100; q++ {
			var price Amount
			for _, b := range breaks {
				if b.From <= q {
					price = b.Price
				}
			}
			if c := price.Times(q); best == 0 || c.Cmp(least) < 0 {
				best, least = q, c
			}
		}
		q, cost, err := OrderQuantity(need, breaks)
		if err != nil || q != best || cost.Cmp(least) != 0 {
			t.Fatalf("%d for %v %v, want %d for %v", q, cost.Float64(), err, best, least.Float64())
		}
	})
}

// TestOrderIsBooked: 7 · 0.0375 EUR = 0.2625 EUR, in a currency without minor unit 0.2625 JPY.
func TestOrderIsBooked(t *testing.T) {
	for text, want := range map[string]string{"1:0.0375 EUR": "0.26 EUR", "1:0.0375 JPY": "0 JPY", "1:0.0375": "0.2625"} {
		breaks, err := ParseBreaks(text)
		if err != nil {
			t.Fatal(err)
		}
		if _, cost, err := OrderQuantity(7, breaks); err != nil || cost.Cmp(amount(t, want)) != 0 {
			t.Errorf("%s: %v %v, want %s", text, cost.Float64(), err, want)
		}
	}
	for _, need := range []int{0, -1} {
		if _, _, err := OrderQuantity(need, []Break{{1, cents(1)}}); err == nil {
			t.Errorf("a need of %d is accepted", need)
		}
	}
	if _, _, err := OrderQuantity(1, nil); err == nil {
		t.Error("no price is accepted")
	}
}

// TestGoodUnitByCounting sends 1000 units through three steps: 3000 is paid for the first, 900
// stay; 1800 for the second, 720 stay; 720 for the third, 684 stay. Computed independently.
func TestGoodUnitByCounting(t *testing.T) {
	rolled, cost, ok, err := GoodUnit([]float64{3, 2, 1}, []float64{0.9, 0.8, 0.95})
	if err != nil || !ok || math.Abs(rolled-0.684) > 1e-15 || math.Abs(cost-5520./684) > 1e-14 {
		t.Errorf("%v %v %v %v", rolled, cost, ok, err)
	}
	if _, _, ok, err := GoodUnit([]float64{3, 2}, []float64{0, 1}); ok || err != nil {
		t.Errorf("no unit passes, but ok is %v, %v", ok, err)
	}
	if _, _, ok, err := GoodUnit([]float64{0}, []float64{0}); ok || err != nil {
		t.Errorf("no unit passes, but ok is %v, %v", ok, err)
	}
	if _, _, _, err := GoodUnit([]float64{3, 2}, []float64{1}); err == nil {
		t.Error("two costs and one yield are accepted")
	}
}
