package statistics

import (
	"fmt"
	"math"
)

// PredictPoisson returns the limits between which the number of events in a future exposure lies, when this many were counted in a
// past one at the same constant rate. All is exact and discrete: each limit is passed with probability (1-level)/2 at most.
//
// Given the number in all, those of the past are binomial: a future number is within the limits if the past one is no rarity
// beside it. Source: Nelson, Applied Life Data Analysis, 1982, chapter 6; equation [F14] of docs/models.md.
func PredictPoisson(events int, past, future, level float64) (low, high int, err error) {
	switch {
	case events < 0:
		return 0, 0, fmt.Errorf("events is %d; want 0 or more", events)
	case !(past > 0 && finite(past) && future > 0 && finite(future) && future/past < 1e6):
		return 0, 0, fmt.Errorf("exposures are %v and %v; want both more than 0, the future one less than a million times the past", past, future)
	case !(level > 0 && level < 1):
		return 0, 0, fmt.Errorf("level is %v; want more than 0 and less than 1", level)
	}
	share := past / (past + future)
	few := func(y int) float64 { return binomialBelow(events, events+y, share) }        // past this few or fewer
	many := func(y int) float64 { return 1 - binomialBelow(events-1, events+y, share) } // this many or more
	if events == 0 {
		many = func(int) float64 { return 1 }
	}
	low, high = predicted(few, many, (1-level)/2, math.MaxInt32)
	return low, high, nil
}

// PredictBinomial returns the limits between which lies the number that will be seen among so many future units, when this many were seen of
// past ones of the same kind; exact as those of PredictPoisson, by the hypergeometric distribution.
//
// Source: Thatcher, Journal of the Royal Statistical Society B 26 (1964), p. 176; Nelson 1982, chapter 6; equation [F14] of docs/models.md.
func PredictBinomial(seen, of, future int, level float64) (low, high int, err error) {
	switch {
	case seen < 0 || of < 1 || seen > of || of > maxCount:
		return 0, 0, fmt.Errorf("%d of %d; want 0 ≤ seen ≤ of, and of 1 to %d", seen, of, maxCount)
	case future < 0 || future > maxCount:
		return 0, 0, fmt.Errorf("future units are %d; want 0 to %d", future, maxCount)
	case !(level > 0 && level < 1):
		return 0, 0, fmt.Errorf("level is %v; want more than 0 and less than 1", level)
	}
	tails := func(y int) (few, many float64) {
		t := hypergeometric{row: of, column: seen + y, other: of + future - seen - y}
		return t.tails(seen)
	}
	low, high = predicted(func(y int) float64 { few, _ := tails(y); return few },
		func(y int) float64 { _, many := tails(y); return many }, (1-level)/2, future)
	return low, high, nil
}

// predicted returns the least and the greatest future number beside which the past one is not too many, or too few. few falls and
// many grows with it.
func predicted(few, many func(y int) float64, tail float64, most int) (low, high int) {
	low = first(0, most, func(y int) bool { return many(y) > tail })
	return low, first(low, most, func(y int) bool { return y == most || few(y+1) <= tail })
}

// first returns the least number from low on, below which is does not hold and from which on it does; high if nowhere.
func first(low, high int, is func(int) bool) int {
	for step := 1; low+step < high; step *= 2 { // near numbers cost less
		if is(low + step) {
			high = low + step
			break
		}
	}
	for low < high {
		if middle := low + (high-low)/2; is(middle) {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return low
}

// tails returns the probabilities of x or fewer and of x or more.
func (t hypergeometric) tails(x int) (below, above float64) {
	mode := int(float64(t.row+1) * float64(t.column+1) / float64(t.column+t.other+2))
	mode = min(max(mode, 0, t.row-t.other), t.row, t.column)
	all, low, high := 0.0, 0.0, 0.0
	t.walk(mode, func(at int, w float64) {
		all += w
		if at <= x {
			low += w
		}
		if at >= x {
			high += w
		}
	})
	return min(low/all, 1), min(high/all, 1)
}
