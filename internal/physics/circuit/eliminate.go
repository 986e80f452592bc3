package circuit

import "math"

// eliminate solves rows·y = f for y, which replaces f: Gauss with pivots by the largest in the column (Golub and Van
// Loan, Matrix Computations, 4th ed. 2013, algorithm 3.4.1). Row and column 0, those of Ground, are left out. It
// returns false if a column has no pivot. The matrix is used up; rows end in another order: what is left, with the swaps, serves again.
//
//	swaps  len(rows) places, for again; nil if there is no again
func eliminate(rows [][]float64, f []float64, swaps []int32) bool {
	n := len(rows)
	f = f[:n]
	for k := 1; k < n; k++ {
		p, most := k, math.Abs(rows[k][k])
		for i := k + 1; i < n; i++ {
			if v := math.Abs(rows[i][k]); v > most {
				p, most = i, v
			}
		}
		if !(most > 0) {
			return false
		}
		rows[k], rows[p] = rows[p], rows[k]
		f[k], f[p] = f[p], f[k]
		if swaps != nil {
			swaps[k] = int32(p)
		}
		from := rows[k]
		inverse, fk := 1/from[k], f[k]
		from = from[k+1:]
		for i := k + 1; i < n; i++ {
			row := rows[i]
			if row[k] == 0 {
				continue
			}
			m := row[k] * inverse
			row[k] = m
			subtract(row[k+1:], from, m)
			f[i] -= float64(m * fk)
		}
	}
	back(rows, f)
	return true
}

// again solves for another right side with what eliminate left.
func again(rows [][]float64, f []float64, swaps []int32) {
	f = f[:len(rows)]
	for k := 1; k < len(rows); k++ {
		p := swaps[k]
		f[k], f[p] = f[p], f[k]
	}
	for i := 2; i < len(rows); i++ {
		sum := f[i]
		for j, m := range rows[i][:i] {
			if j > 0 {
				sum -= float64(m * f[j])
			}
		}
		f[i] = sum
	}
	back(rows, f)
}

// back solves the upper triangle.
func back(rows [][]float64, f []float64) {
	n := len(rows)
	for i := n - 1; i > 0; i-- {
		row := rows[i][:n]
		sum := f[i]
		for j := i + 1; j < n; j++ {
			sum -= float64(row[j] * f[j])
		}
		f[i] = sum / row[i]
	}
}

// subtract takes m times from from to, of equal length.
func subtract(to, from []float64, m float64) {
	for len(to) >= 4 && len(from) >= 4 {
		to[0] -= float64(m * from[0])
		to[1] -= float64(m * from[1])
		to[2] -= float64(m * from[2])
		to[3] -= float64(m * from[3])
		to, from = to[4:], from[4:]
	}
	for i, v := range from[:len(to)] {
		to[i] -= float64(m * v)
	}
}
