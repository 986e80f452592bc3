package statistics

import (
	"math"
	"slices"
	"testing"

	"hindwatt/internal/numeric"
)

// Definition 7 of Hyndman and Fan, by its formula on sorted values.
func TestQuantiles(t *testing.T) {
	s := numeric.NewStream(1)
	for range 300 {
		x := make([]float64, 1+s.Intn(40))
		for i := range x {
			x[i] = math.Round(s.Uniform(-5, 5)) // with ties
		}
		sorted := slices.Sorted(slices.Values(x))
		p := []float64{0, 1, 0.5, s.Float64(), s.Float64(), 0.025}
		for i, got := range Quantiles(x, p...) {
			h := p[i] * float64(len(x)-1)
			k := int(h)
			want := sorted[k] + (h-float64(k))*(sorted[min(k+1, len(x)-1)]-sorted[k])
			near(t, "quantile", got, want, 1e-12)
		}
	}
	near(t, "median", Quantile([]float64{4, 1, 3, 2}, 0.5), 2.5, 0)
	near(t, "no overflow", Quantile([]float64{-math.MaxFloat64, math.MaxFloat64}, 0.5), 0, 0)
}
