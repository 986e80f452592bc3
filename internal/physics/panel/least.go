package panel

import "math"

// A matrix has a row for each reading and a column for each parameter.
type matrix [][parameters]float64

// scale divides each column by its length and returns the lengths.
func (m matrix) scale() (scaled matrix, length [parameters]float64, ok bool) {
	for k := range length {
		var sum float64
		for _, row := range m {
			sum += float64(row[k] * row[k])
		}
		length[k] = math.Sqrt(sum)
		if !(length[k] > 0 && length[k] <= math.MaxFloat64) {
			return nil, length, false
		}
	}
	for _, row := range m {
		for k := range row {
			row[k] /= length[k]
		}
		scaled = append(scaled, row)
	}
	return scaled, length, true
}

// solve returns the step that comes nearest to the rest, each column damped in proportion to its length (Marquardt);
// damping 0 is the step of Gauss and Newton. ok is false where the columns do not determine it.
func (m matrix) solve(rest []float64, damping float64) (step [parameters]float64, ok bool) {
	scaled, length, ok := m.scale()
	if !ok {
		return step, false
	}
	right := append([]float64(nil), rest...)
	for k := range length {
		var row [parameters]float64
		row[k] = math.Sqrt(damping)
		scaled, right = append(scaled, row), append(right, 0)
	}
	scaled.triangle(right)
	for k := parameters - 1; k >= 0; k-- {
		v := right[k]
		for l := k + 1; l < parameters; l++ {
			v -= float64(scaled[k][l] * step[l])
		}
		if scaled[k][k] == 0 {
			return step, false
		}
		step[k] = v / scaled[k][k]
	}
	for k := range step {
		step[k] /= length[k]
	}
	return step, true
}

// triangle makes the matrix upper triangular by Householder's reflections, and applies them to the right side.
func (m matrix) triangle(right []float64) {
	for k := range parameters {
		var norm float64
		for _, row := range m[k:] {
			norm += float64(row[k] * row[k])
		}
		norm = -math.Copysign(math.Sqrt(norm), m[k][k])
		if norm == 0 {
			continue
		}
		v := make([]float64, len(m)-k)
		var square float64
		for i := range v {
			v[i] = m[k+i][k]
			if i == 0 {
				v[i] -= norm
			}
			square += float64(v[i] * v[i])
		}
		reflect := func(at func(i int) *float64) {
			var dot float64
			for i := range v {
				dot += float64(v[i] * *at(i))
			}
			for i := range v {
				*at(i) -= float64(2 * dot / square * v[i])
			}
		}
		for l := k; l < parameters; l++ {
			reflect(func(i int) *float64 { return &m[k+i][l] })
		}
		reflect(func(i int) *float64 { return &right[k+i] })
	}
}

// variances returns the diagonal of (JᵀJ)⁻¹; ok is false where a column depends on the others.
func (m matrix) variances() (v [parameters]float64, ok bool) {
	scaled, length, ok := m.scale()
	if !ok || len(m) < parameters {
		return v, false
	}
	scaled.triangle(make([]float64, len(m)))
	var inverse [parameters][parameters]float64 // of the triangle
	for c := range parameters {
		for r := c; r >= 0; r-- {
			sum := 0.0
			if r == c {
				sum = 1
			}
			for k := r + 1; k <= c; k++ {
				sum -= float64(scaled[r][k] * inverse[k][c])
			}
			if math.Abs(scaled[r][r]) < 1e-13 {
				return v, false
			}
			inverse[r][c] = sum / scaled[r][r]
		}
	}
	for r := range parameters {
		for c := r; c < parameters; c++ {
			v[r] += float64(inverse[r][c] * inverse[r][c])
		}
		v[r] /= length[r] * length[r]
	}
	return v, true
}
