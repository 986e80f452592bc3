package bind

import (
	"math"
	"testing"

	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
)

func TestLastDigit(t *testing.T) {
	for text, want := range map[string]float64{
		"27.34 V": 0.01, "27 V": 1, "-0.5 V": 0.1, "27340 mV": 0.001, "27.340 V ±0.1 V": 0.001, "+3.0 A": 0.1,
	} {
		q, err := quantity.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		got := lastDigit(product.Quantity{Leaf: product.Leaf{Text: text}, Quantity: q})
		if math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %v, want %v", text, got, want)
		}
	}
}
