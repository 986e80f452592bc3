package search

import (
	"context"
	"math"

	"hindwatt/internal/numeric"
)

const (
	block = 50 // draws of the whole search that share a stream
	wave  = 4  // blocks between two looks at whether to end
)

// probability returns the probability of a search with this score or more, and the draws made. Draws end early, in
// their order, when certainAlways of them have reached the score.
func (r *runs) probability(ctx context.Context, least float64, o Options, round uint64) (p float64, made int, err error) {
	d := r.drawing(least)
	reached := make([]bool, o.Permutations)
	seen := 0
	for from := 0; from < o.Permutations; from += block * wave {
		to := min(from+block*wave, o.Permutations)
		jobs := (to - from + block - 1) / block
		err := numeric.Parallel(ctx, jobs, func(job int) error {
			a := from + job*block
			s := numeric.NewStream(o.Seed, 0x736561726368, round, uint64(a))
			d.block(&s, reached[a:min(a+block, to)])
			return nil
		})
		if err != nil {
			return 0, 0, err
		}
		for i := from; i < to; i++ {
			if reached[i] {
				seen++
			}
			if seen == certainAlways {
				return float64(seen) / float64(i+1), i + 1, nil
			}
		}
	}
	return float64(seen+1) / float64(o.Permutations+1), o.Permutations, nil
}

// A drawing is all that a draw of the search needs: whom to draw, and how many failures of each run reach the score.
type drawing struct {
	*runs
	draws []lot  // at each age
	alias []pick // of group g at age i: alias[i·groups+g]
	rows  []row
}

// lot is the failures at one age, their reasons in order.
type lot struct{ reasons []int }

// pick is a column of Walker's alias table: the group itself below part of 2^32, else the other.
type pick struct {
	part  uint32
	other int32
}

// row is the runs from one group on, for one reason: the least count at which each reaches the score.
type row struct {
	reason, from int
	least        []int32
}

func (r *runs) drawing(score float64) *drawing {
	d := &drawing{runs: r, alias: make([]pick, len(r.atRisk)), draws: make([]lot, len(r.ages))}
	for i, at := range r.ages {
		for _, f := range at.failures {
			for range f.count {
				d.draws[i].reasons = append(d.draws[i].reasons, f.reason)
			}
		}
		walker(d.alias[i*r.groups:(i+1)*r.groups], r.atRisk[i*r.groups:(i+1)*r.groups], at.n)
	}
	r.each(func(reason, from, to int) {
		last := len(d.rows) - 1
		if last < 0 || d.rows[last].reason != reason || d.rows[last].from != from {
			d.rows = append(d.rows, row{reason: reason, from: from})
			last++
		}
		d.rows[last].least = append(d.rows[last].least, r.least(reason, from, to, score))
	})
	d.prune()
	return d
}

// prune leaves out the ends of rows, and rows, that no draw can reach.
func (d *drawing) prune() {
	kept := d.rows[:0]
	for _, row := range d.rows {
		for len(row.least) > 0 && row.least[len(row.least)-1] == never {
			row.least = row.least[:len(row.least)-1]
		}
		if len(row.least) > 0 {
			kept = append(kept, row)
		}
	}
	d.rows = kept
}

// never is more failures than there are.
const never = math.MaxInt32

// least returns the least number of failures with which a run reaches a score.
func (r *runs) least(reason, from, to int, want float64) int32 {
	const rounding = 1e-9 // the data's own score is reached by the data
	_, expected, variance := r.of(reason, from, to)
	most := r.total(reason)
	want *= 1 - rounding
	if score(most, expected, variance) < want {
		return never
	}
	low, high := math.Floor(expected), most // score(low) < want ≤ score(high)
	guess := math.Ceil(expected + math.Sqrt(want*variance))
	for high-low > 1 {
		if !(guess > low && guess < high) {
			guess = math.Floor((low + high) / 2)
		}
		if score(guess, expected, variance) >= want {
			high = guess
			guess--
		} else {
			low = guess
			guess++
		}
	}
	return int32(high)
}

// walker fills the alias table of one age (Walker 1977; Vose 1991), by which a group comes with its share of the units at risk.
func walker(table []pick, atRisk []int32, n float64) {
	k := float64(len(table))
	part := make([]float64, len(table))
	var small, large []int
	for g, units := range atRisk {
		part[g] = float64(units) / n * k
		if part[g] < 1 {
			small = append(small, g)
		} else {
			large = append(large, g)
		}
	}
	for len(small) > 0 && len(large) > 0 {
		s, l := small[len(small)-1], large[len(large)-1]
		small = small[:len(small)-1]
		table[s] = pick{uint32(min(part[s]*0x1p32, math.MaxUint32)), int32(l)}
		if part[l] -= 1 - part[s]; part[l] < 1 {
			large = large[:len(large)-1]
			small = append(small, l)
		}
	}
	for _, g := range append(small, large...) { // full but for rounding
		table[g] = pick{math.MaxUint32, int32(g)}
	}
}

// block makes one draw of the search for each element of reached, and tells whether it reaches the score.
func (d *drawing) block(s *numeric.Stream, reached []bool) {
	size := d.reasons * (d.groups + 1)
	counts := make([]int32, size*len(reached))
	taken := make([]int32, d.groups)
	for i := range d.draws {
		alias, atRisk := d.alias[i*d.groups:(i+1)*d.groups], d.atRisk[i*d.groups:(i+1)*d.groups]
		for j := range reached {
			count := counts[j*size : (j+1)*size]
			if reasons := d.draws[i].reasons; len(reasons) == 1 {
				count[reasons[0]*(d.groups+1)+int(draw(s, alias))+1]++
			} else {
				d.without(s, alias, atRisk, reasons, taken, count)
			}
		}
	}
	for j := range reached {
		reached[j] = d.reaches(counts[j*size : (j+1)*size])
	}
}

// draw draws a group by an alias table.
func draw(s *numeric.Stream, alias []pick) int32 {
	u := s.Uint64()
	g := int32(u >> 32 * uint64(len(alias)) >> 32)
	if uint32(u) < alias[g].part {
		return g
	}
	return alias[g].other
}

// without draws the groups of several units that failed at one age, none of them twice: a group of which units were drawn already
// is taken only with the part that is left of it.
func (d *drawing) without(s *numeric.Stream, alias []pick, atRisk []int32, reasons []int, taken, count []int32) {
	clear(taken)
	for _, reason := range reasons {
		g := draw(s, alias)
		for atRisk[g] == 0 || taken[g] > 0 && int32(s.Intn(int(atRisk[g]))) < taken[g] {
			g = draw(s, alias)
		}
		taken[g]++
		count[reason*(d.groups+1)+int(g)+1]++
	}
}

// reaches tells whether any run reaches the score; count[g+1] are the failures of group g, by reason, of which those of all
// together are still to be added up.
func (d *drawing) reaches(counts []int32) bool {
	width := d.groups + 1
	all := counts[:width]
	for g := 1; g < width; g++ {
		all[g] += all[g-1]
	}
	for reason := 1; reason < d.reasons; reason++ {
		sum := int32(0)
		one := counts[reason*width : (reason+1)*width]
		for g := range one {
			sum += one[g]
			one[g] = sum
			all[g] += sum
		}
	}
	for i := range d.rows {
		row := &d.rows[i]
		sums := counts[row.reason*width+row.from : (row.reason+1)*width]
		before, sums := sums[0], sums[1:len(row.least)+1]
		for j, least := range row.least[:len(sums)] {
			if sums[j]-before >= least {
				return true
			}
		}
	}
	return false
}
