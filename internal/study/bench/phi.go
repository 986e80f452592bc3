package bench

import (
	"math"

	"hindwatt/internal/statistics"
)

// A table of the normal distribution, since a share takes some 10^5 of its values.
const (
	tableEnd  = 8  // deviates either way
	tableStep = 32 // nodes a deviate
)

var table = func() (t [2*tableEnd*tableStep + 2]struct{ value, slope float64 }) {
	for i := range t {
		z := float64(i)/tableStep - tableEnd
		t[i].value, t[i].slope = statistics.NormalCDF(z), math.Exp(-z*z/2)/math.Sqrt(2*math.Pi)/tableStep
	}
	return t
}()

// phi is the normal distribution function to 4e-9: Hermite's cubic between nodes h apart is within h⁴/384 of the
// largest fourth derivative, 1.4 (Abramowitz and Stegun, 25.2, for the remainder). z is not NaN.
func phi(z float64) float64 {
	switch {
	case z <= -tableEnd:
		return 0
	case z >= tableEnd:
		return 1
	}
	x := (z + tableEnd) * tableStep
	i := int(x)
	t, a, b := x-float64(i), &table[i], &table[i+1]
	rise := b.value - a.value
	return a.value + t*(a.slope+t*((3*rise-2*a.slope-b.slope)+t*(a.slope+b.slope-2*rise)))
}
