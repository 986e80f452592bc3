package search

import "math"

// runs holds, for each reason, sums over the groups up to each: what failed, what was expected, and its variance. A run of groups is
// a difference of two sums; its variance also needs the pairs of groups in it.
type runs struct {
	*table
	reasons  int         // and all together
	failed   [][]float64 // [reason][group+1]
	expected [][]float64
	variance [][]float64 // [reason][pair(from, to)]
}

// pair is the place of the run from..to among all.
func (t *table) pair(from, to int) int { return from*t.groups - from*(from-1)/2 + to - from }

// pairs is how many runs there are.
func (t *table) pairs() int { return t.groups * (t.groups + 1) / 2 }

func newRuns(t *table) *runs {
	r := &runs{table: t, reasons: len(t.reasons) + 1}
	for range r.reasons {
		r.failed = append(r.failed, make([]float64, t.groups+1))
		r.expected = append(r.expected, make([]float64, t.groups+1))
		r.variance = append(r.variance, make([]float64, t.pairs()))
	}
	// Σ over ages of spread·share·share' of each two groups, up to each: the variance of a run is its Σ spread·share less this.
	squares := make([][]float64, r.reasons)
	linear := make([][]float64, r.reasons)
	for k := range squares {
		squares[k], linear[k] = make([]float64, t.groups*t.groups), make([]float64, t.groups+1)
	}
	r.gather(squares, linear)
	for k := range r.reasons {
		accumulate(r.failed[k])
		accumulate(r.expected[k])
		accumulate(linear[k])
		r.spread(k, squares[k], linear[k])
	}
	return r
}

// accumulate turns x, of which x[g+1] belongs to g, into sums up to each.
func accumulate(x []float64) {
	for g := 1; g < len(x); g++ {
		x[g] += x[g-1]
	}
}

// gather adds up the ages.
func (r *runs) gather(squares, linear [][]float64) {
	share, by := make([]float64, r.groups), make([]int32, r.reasons)
	for i, at := range r.ages {
		for g := range share {
			share[g] = float64(r.atRisk[i*r.groups+g]) / at.n
		}
		clear(by)
		by[0] = int32(at.count)
		for _, f := range at.failures {
			r.failed[0][f.group+1] += float64(f.count)
			if f.reason > 0 {
				by[f.reason] += f.count
				r.failed[f.reason][f.group+1] += float64(f.count)
			}
		}
		for k, count := range by {
			if count == 0 {
				continue
			}
			d := float64(count)
			spread := 0.0
			if at.n > 1 {
				spread = d * (at.n - d) / (at.n - 1) // hypergeometric
			}
			for g, p := range share {
				r.expected[k][g+1] += d * p
				linear[k][g+1] += spread * p
				if spread > 0 && p > 0 {
					row := squares[k][g*r.groups : (g+1)*r.groups]
					by := spread * p
					for h := g; h < len(row); h++ {
						row[h] += by * share[h]
					}
				}
			}
		}
	}
}

// spread sets the variance of each run: Σ spread·(P − P²) with P the share of the run.
func (r *runs) spread(k int, squares, linear []float64) {
	for from := range r.groups {
		square := 0.0
		for to := from; to < r.groups; to++ {
			for g := from; g < to; g++ {
				square += 2 * squares[g*r.groups+to]
			}
			square += squares[to*r.groups+to]
			r.variance[k][r.pair(from, to)] = max(0, linear[to+1]-linear[from]-square)
		}
	}
}

// of returns what failed of a reason in a run, what was expected, and its variance.
func (r *runs) of(reason, from, to int) (observed, expected, variance float64) {
	return r.failed[reason][to+1] - r.failed[reason][from], max(0, r.expected[reason][to+1]-r.expected[reason][from]), r.variance[reason][r.pair(from, to)]
}

// total returns what failed of a reason in all groups.
func (r *runs) total(reason int) float64 { return r.failed[reason][r.groups] }

// scored is a run and what it scores.
type scored struct {
	from, to, reason   int
	observed, expected float64
	score              float64
}

// each visits every run of groups but the whole, with every reason, in a fixed order.
func (r *runs) each(visit func(reason, from, to int)) {
	for reason := range r.reasons {
		for from := range r.groups {
			for to := from; to < r.groups && (to == from || !r.broken[to]); to++ {
				if to-from+1 < r.groups {
					visit(reason, from, to)
				}
			}
		}
	}
}

// best returns the run with the highest score, the first of equal ones; nil if none scores.
func (r *runs) best() *scored {
	var best *scored
	r.each(func(reason, from, to int) {
		observed, expected, variance := r.of(reason, from, to)
		if s := score(observed, expected, variance); s > 0 && (best == nil || s > best.score*(1+1e-12)) {
			best = &scored{from, to, reason, observed, expected, s}
		}
	})
	return best
}

// score returns the deviance [F15], 0 unless more failed than expected.
func score(observed, expected, variance float64) float64 {
	const rounding = 1e-9
	if !(observed > expected+rounding && variance > rounding*expected) {
		return 0
	}
	poisson := observed * math.Log(observed/expected)
	if expected-variance <= rounding*expected {
		return 2 * (poisson - (observed - expected))
	}
	n := expected * expected / (expected - variance)
	if observed >= n { // the most that can be
		return 2 * n * math.Log(n/expected)
	}
	return 2 * (poisson + (n-observed)*math.Log((n-observed)/(n-expected)))
}
