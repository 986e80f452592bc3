package statistics

import "fmt"

// A Bound is what is promised of a measured value, and of how many units.
type Bound struct {
	Min, Max   float64 // ±Inf where open, not both
	Proportion float64 // of units that keep inside, 0 < Proportion < 1
	Confidence float64 // 0 < Confidence < 1
}

// SettleN returns how many units in all must be measured until the proportion of units inside the
// bound is settled, if the mean and standard deviation found with n of them stay: until
// NormalProportion's low is at least the proportion (kept is then true), or its high is below it. It is n if
// they settle it already. ok is false if that takes more than limit units, which it does where the proportion
// found is just the one asked.
func SettleN(mean, sd float64, n int, b Bound, limit int) (units int, kept, ok bool, err error) {
	if !(b.Proportion > 0 && b.Proportion < 1) {
		return 0, false, false, fmt.Errorf("proportion is %v; want more than 0 and less than 1", b.Proportion)
	}
	first, err := newProportion(mean, sd, n, b.Min, b.Max, b.Confidence)
	if err != nil {
		return 0, false, false, err
	}
	y := NormalQuantile(b.Proportion)
	kept = first.best() >= b.Proportion
	settled := func(n int) bool {
		q := *first
		q.n, q.chi = n, newChi(float64(n-1))
		if kept {
			return q.exceeds(y) >= b.Confidence
		}
		return q.shows(y) > b.Confidence
	}
	if settled(n) {
		return n, kept, true, nil
	}
	lo, hi := n, n
	for !settled(hi) {
		if hi >= limit {
			return 0, kept, false, nil
		}
		lo, hi = hi, min(2*hi, limit)
	}
	for hi-lo > 1 {
		if middle := (lo + hi) / 2; settled(middle) {
			hi = middle
		} else {
			lo = middle
		}
	}
	return hi, kept, true, nil
}
