package circuit

import "math"

// eliminate solves rows·y = f for y, which replaces f: Gauss with pivots by the largest in the column (Golub and Van
// Loan, Matrix Computations, 4th ed. 2013, algorithm 3.4.1). Row and column 0, those of Ground, are left out. It
// returns false if a column has no pivot. The matrix is used up; rows end in another order.
func eliminate(rows [][]float64, f []float64) bool {
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
		from := rows[k]
		inverse, fk := 1/from[k], f[k]
		from = from[k+1:]
		for i := k + 1; i < n; i++ {
			row := rows[i]
			if row[k] == 0 {
				continue
			}
			m := row[k] * inverse
			subtract(row[k+1:], from, m)
			f[i] -= float64(m * fk)
		}
	}
	for i := n - 1; i > 0; i-- {
		row := rows[i][:n]
		sum := f[i]
		for j := i + 1; j < n; j++ {
			sum -= float64(row[j] * f[j])
		}
		f[i] = sum / row[i]
	}
	return true
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
