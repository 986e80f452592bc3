package money

import "testing"

func euro(t *testing.T, v float64) Amount {
	t.Helper()
	a, err := New(v, "EUR")
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// Sums of a tenth are exact, as they are not in float64. By hand.
func TestPlus(t *testing.T) {
	sum := Amount{}
	for range 10 {
		sum = sum.Plus(euro(t, 0.1))
	}
	if sum.Cmp(euro(t, 1)) != 0 || sum.Currency() != "EUR" {
		t.Errorf("ten times 0.10 EUR is %v %s", sum.Float64(), sum.Currency())
	}
}

// 79 EUR with 20 % tax: 79/6 = 13.1666…, booked 13.17; 120 with 19 %: 19.1596… By hand.
func TestIncluded(t *testing.T) {
	for _, c := range []struct{ price, rate, want float64 }{{79, 0.2, 13.17}, {120, 0.19, 19.16}, {34, 0, 0}} {
		got, err := euro(t, c.price).Included(c.rate)
		if err != nil || got.Booked().Float64() != c.want {
			t.Errorf("tax of %g in %g: %v, %v; want %v", c.rate, c.price, got.Float64(), err, c.want)
		}
	}
	if _, err := euro(t, 1).Included(-0.1); err == nil {
		t.Error("a tax below 0 was accepted")
	}
}

// 12.50 USD at 0.92 are 11.50 EUR. By hand.
func TestInto(t *testing.T) {
	usd, _ := New(12.5, "USD")
	got, err := usd.Into("EUR", 0.92)
	if err != nil || got.Cmp(euro(t, 11.5)) != 0 || got.Currency() != "EUR" {
		t.Errorf("%v %s, %v", got.Float64(), got.Currency(), err)
	}
}

// 100.00 over 1:1:1 is 33.34, 33.33, 33.33 (largest remainder); over 31 and 28 days 52.54 and 47.46. By hand.
func TestSpread(t *testing.T) {
	for _, c := range []struct {
		a       float64
		weights []int
		want    []float64
	}{
		{100, []int{1, 1, 1}, []float64{33.34, 33.33, 33.33}},
		{-100, []int{1, 1, 1}, []float64{-33.34, -33.33, -33.33}},
		{100, []int{31, 28}, []float64{52.54, 47.46}},
		{5, []int{0, 0}, []float64{5, 0}},
		{0.02, []int{1, 1, 1}, []float64{0.01, 0.01, 0}},
	} {
		got, sum := euro(t, c.a).Spread(c.weights), Amount{}
		for i, part := range got {
			sum = sum.Plus(part)
			if part.Float64() != c.want[i] {
				t.Errorf("%g over %v: part %d is %v; want %v", c.a, c.weights, i, part.Float64(), c.want[i])
			}
		}
		if sum.Cmp(euro(t, c.a)) != 0 {
			t.Errorf("%g over %v adds up to %v", c.a, c.weights, sum.Float64())
		}
	}
}
