package statistics

import (
	"cmp"
	"slices"
)

// Holm returns the probabilities of several tests, adjusted so that the chance of any false alarm among them stays what each says: the
// smallest is multiplied by the number of tests, the next by one less, and so on, none being less than the one before nor more than 1.
//
//	p  of each test, 0 to 1, in any order; the result has the same
//
// A p outside 0..1 is a fault of the program and panics. Source: Holm, Scandinavian Journal of Statistics 6 (1979), p. 65;
// equation [F12] of docs/models.md.
func Holm(p []float64) []float64 {
	order := make([]int, len(p))
	for i, one := range p {
		if !(one >= 0 && one <= 1) {
			panic("statistics: probability outside 0..1")
		}
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p[a], p[b]) })
	adjusted, least := make([]float64, len(p)), 0.0
	for rank, i := range order {
		least = max(least, min(1, float64(len(p)-rank)*p[i])) // [F12]
		adjusted[i] = least
	}
	return adjusted
}
