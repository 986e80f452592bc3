package statistics

import "fmt"

// maxCount is the largest count of a table that FisherExact takes.
const maxCount = 1_000_000_000

// FisherExact compares two proportions, a of a+b with c of c+d, by Fisher's exact test: all tables
// with the same sums of rows and columns are weighed by the hypergeometric distribution.
//
//	a, b, c, d  counts of the table by rows, 0 to 10⁹ each
//	twoSided    probability of all tables that are no likelier than this one
//	oneSided    probability of this table and all that differ more to the same side, the smaller of both sides
//
// A probability below 1e-290 is given as 0. Tables whose probabilities agree to 1e-7 count as equally
// likely, for they often are and differ by rounding alone. Source: Fisher, Statistical Methods for
// Research Workers, 14th ed. 1970, section 21.02; two sides as Freeman and Halton, Biometrika 38 (1951), p. 141.
func FisherExact(a, b, c, d int) (twoSided, oneSided float64, err error) {
	for _, n := range []int{a, b, c, d} {
		if n < 0 || n > maxCount {
			return 0, 0, fmt.Errorf("count is %d; want 0 to %d", n, maxCount)
		}
	}
	t := hypergeometric{row: a + b, column: a + c, other: b + d}
	mode := (t.row + 1) * (t.column + 1) / (t.row + c + d + 2)
	var seen float64 // weight of the table seen, that of the likeliest being 1
	t.walk(mode, func(x int, w float64) {
		if x == a {
			seen = w
		}
	})
	var all, rare, below, above float64
	t.walk(mode, func(x int, w float64) {
		all += w
		if w <= seen*(1+1e-7) {
			rare += w
		}
		if x <= a {
			below += w
		}
		if x >= a {
			above += w
		}
	})
	return min(rare/all, 1), min(below/all, above/all, 1), nil
}

// hypergeometric is a table's first cell x when row are drawn out of column and other.
type hypergeometric struct{ row, column, other int }

// walk visits the values of x from the mode outward, with their probabilities relative to it, until
// these vanish.
func (t hypergeometric) walk(mode int, visit func(x int, w float64)) {
	const least = 1e-290
	// P(x+1)/P(x)
	ratio := func(x int) float64 {
		return float64(t.column-x) / float64(x+1) * (float64(t.row-x) / float64(t.other-t.row+x+1))
	}
	for x, w := mode, 1.0; w > least; x++ {
		visit(x, w)
		if x == min(t.row, t.column) {
			break
		}
		w *= ratio(x)
	}
	for x, w := mode, 1.0; x > max(0, t.row-t.other); {
		x--
		if w /= ratio(x); w <= least {
			break
		}
		visit(x, w)
	}
}
