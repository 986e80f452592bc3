package money

import (
	"math"
	"testing"

	"hindwatt/internal/numeric"
)

// Unit 10 and 100 take .84/.70/.58 and .71/.50/.34 of unit 1 at rates of 95/90/85 %: the usual
// tables of the unit theory, to their two printed digits (from memory).
func TestLotMeanOfOneUnitIsTheTable(t *testing.T) {
	for _, c := range []struct{ rate, ten, hundred float64 }{{0.95, 0.84, 0.71}, {0.90, 0.70, 0.50}, {0.85, 0.58, 0.34}} {
		for n, want := range map[int]float64{10: c.ten, 100: c.hundred} {
			got, err := LotMean(c.rate, n-1, 1)
			if err != nil || math.Abs(got-want) > 0.005 {
				t.Errorf("rate %g, unit %d: %g, %v; want %g", c.rate, n, got, err, want)
			}
		}
	}
}

// Lots without scatter give back the curve that they were made from (computed independently by
// adding unit by unit).
func TestFitLearningFindsTheCurve(t *testing.T) {
	const rate, first = 0.9, 100.0
	b := math.Log2(rate)
	var lots []Lot
	done := 0
	for _, n := range []int{10, 20, 40, 40, 80} {
		sum := 0.0
		for k := done + 1; k <= done+n; k++ {
			sum += first * math.Pow(float64(k), b)
		}
		lots, done = append(lots, Lot{n, sum / float64(n)}), done+n
	}
	fit, err := FitLearning(lots, func(_, _ float64) float64 { return 2 })
	if err != nil || math.Abs(fit.Rate-rate) > 1e-6 || math.Abs(fit.First-first) > 1e-3 {
		t.Errorf("%+v, %v; want rate %g, first %g", fit, err, rate, first)
	}
	if _, err := FitLearning(lots[:3], nil); err == nil {
		t.Error("three lots give a curve")
	}
}

// A price break never raises the total cost of a need, a minimum or pack never lowers it.
func TestOrderLaws(t *testing.T) {
	s := numeric.NewStream(1)
	price := func(v float64) Amount { a, _ := New(math.Round(v*100)/100, "EUR"); return a }
	for range 2000 {
		breaks := []Break{{1, price(1 + s.Float64())}, {10 + s.Intn(20), price(0.5 + s.Float64())}}
		need := 1 + s.Intn(60)
		before, err := Terms{Breaks: breaks[:1]}.Order(need)
		if err != nil {
			t.Fatal(err)
		}
		cheaper := append(breaks[:1:1], Break{breaks[1].From, price(0.4 + 0.5*s.Float64())})
		after, _ := Terms{Breaks: cheaper}.Order(need)
		if after.Cost.Cmp(before.Cost) > 0 {
			t.Fatalf("a break raises the cost of %d from %v to %v", need, before.Cost.Float64(), after.Cost.Float64())
		}
		pack := 1 + s.Intn(12)
		packed, _ := Terms{Breaks: cheaper, Minimum: s.Intn(80), Pack: pack}.Order(need)
		if packed.Cost.Cmp(after.Cost) < 0 || packed.Quantity%pack != 0 || packed.Quantity < need {
			t.Fatalf("%d in packs of %d: %+v, without %+v", need, pack, packed, after)
		}
	}
}

func TestOrderRefuses(t *testing.T) {
	for _, need := range []int{0, -1, maxFrom + 1} {
		if _, err := (Terms{Breaks: []Break{{From: 1}}}).Order(need); err == nil {
			t.Errorf("an order of %d is accepted", need)
		}
	}
}
