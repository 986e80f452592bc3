package statistics

import (
	"math"
	"slices"

	"hindwatt/internal/numeric"
)

// Quantile returns the p-quantile of x, 0 ≤ p ≤ 1, by linear interpolation between
// order statistics: with h = (n-1)·p it lies the part h - ⌊h⌋ of the way from the ⌊h⌋-th to the
// next element, counted from 0 (definition 7 of Hyndman and Fan, The American
// Statistician 50, 1996, p. 361). Quantile(x, 0.5) is the usual median.
//
// x is reordered; it must hold at least one element and no NaN. An empty x or a p outside 0..1 is
// a fault of the program and panics.
func Quantile(x []float64, p float64) float64 {
	return Quantiles(x, p)[0]
}

// Quantiles returns the quantiles of x at each p, as Quantile defines them, in the order asked.
// Each selection works only on the part of x that those before it left open.
func Quantiles(x []float64, p ...float64) []float64 {
	if len(x) == 0 {
		panic("statistics: quantile of no values")
	}
	ranks := make([]int, 0, 2*len(p))
	for _, p := range p {
		if !(p >= 0 && p <= 1) {
			panic("statistics: quantile outside 0..1")
		}
		k := int(p * float64(len(x)-1))
		ranks = append(ranks, k, min(k+1, len(x)-1))
	}
	slices.Sort(ranks)
	settle(x, slices.Compact(ranks))
	q := make([]float64, len(p))
	for i, p := range p {
		h := p * float64(len(x)-1)
		k := int(h)
		low, high := x[k], x[min(k+1, len(x)-1)]
		q[i] = low
		if part := h - math.Floor(h); part > 0 && high > low {
			q[i] = low*(1-part) + high*part
		}
	}
	return q
}

// settle reorders x so that each of the ranks, in rising order, stands in its place.
func settle(x []float64, ranks []int) {
	if len(ranks) == 0 {
		return
	}
	from, middle := 0, len(ranks)/2
	k := ranks[middle]
	numeric.Select(x[from:], k)
	settle(x[:k], ranks[:middle])
	above := slices.Clone(ranks[middle+1:])
	for i := range above {
		above[i] -= k + 1
	}
	settle(x[k+1:], above)
}
