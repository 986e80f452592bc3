package numeric

import "math"

// Select returns the k-th smallest element of x, counted from 0, and reorders x so that
// it stands at x[k], none before it is larger and none behind it smaller. x must hold no NaN;
// k outside 0..len(x)-1 panics.
//
// Floyd and Rivest (Communications of the ACM 18, 1975, algorithm 489): for a long x the
// pivot is the same order statistic of a small part, so that few elements are moved.
func Select(x []float64, k int) float64 {
	lo, hi := 0, len(x)-1
	_ = x[k]
	for lo < hi {
		if hi-lo > 600 {
			sample(x, lo, hi, k)
		}
		i, j := part(x, lo, hi, x[k])
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return x[k]
		}
	}
	return x[k]
}

// sample puts near k, by selection in a part of lo..hi about k, an element whose rank
// in the whole is near k.
func sample(x []float64, lo, hi, k int) {
	n, rank := float64(hi-lo+1), float64(k-lo+1)
	z := Log(n)
	size := float64(0.5 * Exp(float64(2.0/3*z)))
	spread := float64(0.5 * math.Sqrt(float64(z*size)*(n-size)/n))
	if rank < n/2 {
		spread = -spread
	}
	from := max(lo, int(float64(k)-float64(rank*size)/n+spread))
	to := min(hi, int(float64(k)+float64((n-rank)*size)/n+spread))
	if from <= k && k <= to {
		Select(x[from:to+1], k-from)
	}
}

// part orders x[lo..hi] about a pivot that is among them: x[..j] ≤ pivot, x[i..] ≥ pivot, j < i,
// and what stands between equals it (Hoare).
func part(x []float64, lo, hi int, pivot float64) (i, j int) {
	i, j = lo, hi
	for i <= j {
		for x[i] < pivot {
			i++
		}
		for x[j] > pivot {
			j--
		}
		if i <= j {
			x[i], x[j] = x[j], x[i]
			i++
			j--
		}
	}
	return i, j
}
