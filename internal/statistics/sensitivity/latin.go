package sensitivity

import "hindwatt/internal/numeric"

// LatinHypercube spreads points over the unit cube so that each of as many equal slices of every input holds exactly one of them.
//
//	points, inputs  ≥ 0
//
// The result is by point, then by input, each number at least 0 and below 1. An input's numbers depend on the seed, on how many points
// there are, and on its place among the inputs, not on how many inputs follow.
func LatinHypercube(points, inputs int, seed uint64) [][]float64 {
	all := make([][]float64, points)
	flat := make([]float64, points*inputs)
	for j := range all {
		all[j] = flat[j*inputs : (j+1)*inputs : (j+1)*inputs]
	}
	slices := make([]int, points)
	for i := range inputs {
		s := numeric.NewStream(seed, uint64(i))
		for j := range slices {
			slices[j] = j
		}
		numeric.Shuffle(&s, slices)
		for j := range all {
			all[j][i] = min((float64(slices[j])+s.Float64())/float64(points), below1) // [X5]
		}
	}
	return all
}

const below1 = 1 - 0x1p-53 // the last slice rounds up to 1 otherwise
