package fit

import (
	"math"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// linear is the formula as straight lines about a point: the triangle of its columns, each in units
// of its length, and the residuals in the same turned frame.
type linear struct {
	columns []int     // parameters that may move
	length  []float64 // of each column, the longest so far
	r       [][]float64
	right   []float64 // the turned residuals, with the sign that a step has
}

// linear makes the straight lines. A parameter at a bound that the residuals push it against
// is left out.
func (s *search) linear() (*linear, bool) {
	n, p := s.problem.Points, len(s.at)
	values := make([]float64, n*p)
	j := make([][]float64, n)
	for i := range j {
		j[i] = values[i*p : (i+1)*p]
	}
	if !s.jacobian(j) {
		return nil, false
	}
	l := &linear{}
	for k := range s.at {
		if s.fixed[k] {
			continue
		}
		var square, slope float64
		for i, row := range j {
			square += row[k] * row[k]
			slope += row[k] * s.r[i]
		}
		if !finite(square) {
			return nil, false
		}
		if s.steps > patience {
			s.length[k] = 0
		}
		s.length[k] = math.Max(s.length[k], math.Sqrt(square)) // Moré, eq. 6.3
		q := &s.problem.Parameters[k]
		if low, high := q.bounds(); s.at[k] <= low && slope >= 0 || s.at[k] >= high && slope <= 0 {
			continue
		}
		l.columns = append(l.columns, k)
		l.length = append(l.length, s.length[k])
		if s.length[k] == 0 {
			l.length[len(l.length)-1] = 1
		}
	}
	l.turn(j, s.r)
	return l, true
}

// turn brings columns and residuals to triangular form by Householder's reflections.
func (l *linear) turn(j [][]float64, r []float64) {
	n, p := len(j), len(l.columns)
	a := blas64.General{Rows: n, Cols: p + 1, Stride: p + 1, Data: make([]float64, n*(p+1))}
	for i, row := range j {
		to := a.Data[i*(p+1):]
		for c, k := range l.columns {
			to[c] = row[k] / l.length[c]
		}
		to[p] = -r[i]
	}
	triangle(a)
	l.right = make([]float64, p)
	for c := range p {
		l.r = append(l.r, a.Data[c*(p+1):c*(p+1)+p])
		l.right[c] = a.Data[c*(p+1)+p]
	}
}

// triangle makes the upper triangle of a into that of its QR decomposition.
func triangle(a blas64.General) {
	tau := make([]float64, min(a.Rows, a.Cols))
	var size [1]float64
	lapack64.Geqrf(a, tau, size[:], -1)
	work := make([]float64, int(size[0]))
	lapack64.Geqrf(a, tau, work, len(work))
}

// offset is the length of what a whole step would take off the residuals.
func (l *linear) offset() float64 {
	var sum float64
	for _, v := range l.right {
		sum += v * v
	}
	return math.Sqrt(sum)
}

// expected is what a step takes off the sum of squares.
func (l *linear) expected(step []float64) float64 {
	var before, after float64
	for c, v := range l.right {
		rest := v
		for d := c; d < len(step); d++ {
			rest -= l.r[c][d] * step[d]
		}
		before += v * v
		after += rest * rest
	}
	return before - after
}

// solve returns the step that brings the residuals nearest to 0, each parameter in its unit held back
// by the damping. Where columns depend on each other and nothing holds them back, the parameter stays.
func (l *linear) solve(damping float64) []float64 {
	p := len(l.columns)
	a := blas64.General{Rows: 2 * p, Cols: p + 1, Stride: p + 1, Data: make([]float64, 2*p*(p+1))}
	if p == 0 {
		return nil
	}
	for c := range p {
		copy(a.Data[c*(p+1)+c:c*(p+1)+p], l.r[c][c:])
		a.Data[c*(p+1)+p] = l.right[c]
		a.Data[(p+c)*(p+1)+c] = math.Sqrt(damping)
	}
	triangle(a)
	step := make([]float64, p)
	for c := p - 1; c >= 0; c-- {
		row := a.Data[c*(p+1):]
		v := row[p]
		for d := c + 1; d < p; d++ {
			v -= row[d] * step[d]
		}
		if math.Abs(row[c]) > 1e-15 {
			step[c] = v / row[c]
		}
	}
	return step
}

// inverse returns (JᵀJ)⁻¹; ok is false where a column depends on the others.
func (l *linear) inverse() (v [][]float64, ok bool) {
	p := len(l.columns)
	up := make([][]float64, p) // of the triangle, in the parameters' own units
	for c := range up {
		up[c] = make([]float64, p)
	}
	for c := range p {
		var square float64
		for r := 0; r <= c; r++ {
			square += l.r[r][c] * l.r[r][c]
		}
		if math.Abs(l.r[c][c]) <= 1e-13*math.Sqrt(square) {
			return nil, false
		}
		for r := c; r >= 0; r-- {
			sum := 0.0
			if r == c {
				sum = 1
			}
			for k := r + 1; k <= c; k++ {
				sum -= l.r[r][k] * up[k][c]
			}
			up[r][c] = sum / l.r[r][r]
		}
	}
	v = make([][]float64, p)
	for a := range v {
		v[a] = make([]float64, p)
		for b := range v[a] {
			for c := max(a, b); c < p; c++ {
				v[a][b] += up[a][c] * up[b][c]
			}
			v[a][b] /= l.length[a] * l.length[b]
		}
	}
	return v, true
}
