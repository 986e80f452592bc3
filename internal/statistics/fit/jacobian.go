package fit

import "math"

// jacobian sets j, a row a residual, for the parameters that are free.
//
//	r  the residuals there
func (s *search) jacobian(j [][]float64) bool {
	if f := s.problem.Jacobian; f != nil {
		if !f(s.at, j) {
			return false
		}
	} else if !s.differences(j) {
		return false
	}
	for _, row := range j {
		for k := range s.at {
			if !finite(row[k]) {
				return false
			}
		}
	}
	return true
}

// differences sets j by central differences, or by three points on one side where a bound or the
// formula leaves no room on the other; both err by h².
func (s *search) differences(j [][]float64) bool {
	at := append([]float64(nil), s.at...)
	a, b := make([]float64, s.problem.Points), make([]float64, s.problem.Points)
	value := func(k int, v float64, r []float64) bool {
		if q := &s.problem.Parameters[k]; v != q.within(v) {
			return false
		}
		at[k] = v
		_, ok := s.problem.residuals(at, r)
		at[k] = s.at[k]
		return ok
	}
	for k, v := range s.at {
		if s.fixed[k] {
			continue
		}
		h := stepOf(v, s.problem.Parameters[k].size())
		switch {
		case value(k, v+h, a) && value(k, v-h, b):
			for i := range j {
				j[i][k] = (a[i] - b[i]) / (2 * h)
			}
			continue
		case value(k, v+h, a) && value(k, v+2*h, b):
		case value(k, v-h, a) && value(k, v-2*h, b):
			h = -h
		default:
			return false
		}
		for i := range j {
			j[i][k] = (4*a[i] - b[i] - 3*s.r[i]) / (2 * h)
		}
	}
	return true
}

// stepOf is the step of a difference: the cube root of the rounding error, times the parameter's
// size, so that h is a difference of two numbers of the machine.
func stepOf(v, size float64) float64 {
	const root = 6e-6 // of 2⁻⁵²
	h := root * math.Max(math.Abs(v), 1e-3*size)
	return (v + h) - v
}
