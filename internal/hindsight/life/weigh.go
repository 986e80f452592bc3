package life

import (
	"cmp"
	"math"
	"slices"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

// streams of draws, by what they are for: the same for all changes, so that their differences are paired.
const (
	forUnits   = iota + 1 // how many were sold
	forReturns            // which of the returns does not come
	forWork               // how far what one saves, and what is paid once, lies between its limits
	forShares             // likewise the shares of returns
)

// draw is a value of a quantity at a probability u.
func draw(q quantity.Quantity, u float64) float64 {
	switch q.Spread {
	case quantity.Limits, quantity.Range:
		return q.Low + u*(q.High-q.Low)
	case quantity.Normal:
		return q.Value + q.SD*statistics.NormalQuantile(min(max(u, 1e-9), 1-1e-9))
	}
	return q.Value
}

// within is a value of an interval of 95 % that is taken as normal, at a probability u.
func (i Interval) within(u float64) float64 {
	z := statistics.NormalQuantile(min(max(u, 1e-9), 1-1e-9)) / statistics.NormalQuantile(0.975)
	if z < 0 {
		return i.Best + z*(i.Best-i.Low)
	}
	return i.Best + z*(i.High-i.Best)
}

const hour = 3600 // s

// weigh draws lives and sums over each what a change does, [N1] to [N3].
func (r *Result) weigh() {
	price := 0.0
	if h := r.base.Production.Work.Hour; h.Set() {
		price = h.Quantity.Value // money/s
	}
	n := r.asked.Samples
	for i := range r.Changes {
		c := &r.Changes[i]
		was, more := newSums(n), newSums(n)
		for k := range n {
			units := numeric.NewStream(r.asked.Seed, forUnits, uint64(k))
			work := numeric.NewStream(r.asked.Seed, forWork, uint64(k))
			shares := numeric.NewStream(r.asked.Seed, forShares, uint64(k))
			sold := math.Round(r.Sold.Low + units.Float64()*(r.Sold.High-r.Sold.Low))
			saves, faster := c.Saves.within(work.Float64()), c.Faster.within(work.Float64())
			once := draw(c.Tooling, work.Float64())
			hours := draw(c.Hours, work.Float64()) // s
			spared, cost, time := 0.0, 0.0, 0.0
			for _, one := range c.Removes {
				share := min(max(draw(one.share, shares.Float64()), 0), 1)
				stays := numeric.NewStream(r.asked.Seed, forReturns, uint64(k), hash(one.reason))
				for j := range one.back {
					if stays.Float64() < share { // [N1]
						spared, cost, time = spared+1, cost+one.back[j], time+one.time[j]
					}
				}
			}
			was.put(k, sold*saves+cost-once-hours*price, sold*faster+time-hours, spared) // [N2]
			if part := r.More / max(sold, 1); r.More > 0 {                               // [N3]
				more.put(k, r.More*saves+part*cost-once-hours*price, r.More*faster+part*time-hours, part*spared)
			}
		}
		c.samples = was.money
		c.Was, c.More = was.tally(), more.tally()
	}
}

// hash is a number for a reason, so that its returns are drawn alike for all changes.
func hash(text string) uint64 {
	h := uint64(14695981039346656037)
	for _, b := range []byte(text) {
		h = (h ^ uint64(b)) * 1099511628211
	}
	return h
}

type sums struct{ money, hours, returns []float64 }

func newSums(n int) sums {
	return sums{make([]float64, n), make([]float64, n), make([]float64, n)}
}

func (s *sums) put(k int, money, seconds, returns float64) {
	s.money[k], s.hours[k], s.returns[k] = money, seconds/hour, returns
}

func (s *sums) tally() Tally { return Tally{interval(s.money), interval(s.hours), interval(s.returns)} }

// interval is the mean with the limits that hold 95 of 100.
func interval(x []float64) Interval {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	q := statistics.Quantiles(x, 0.025, 0.975)
	return Interval{sum / float64(len(x)), q[0], q[1]}
}

// rank puts what pays most first, and finds those that nothing else is better than for sure: of which the paired difference from the
// first may be none.
func (r *Result) rank() {
	slices.SortStableFunc(r.Changes, func(a, b Change) int { return cmp.Compare(b.Was.Money.Best, a.Was.Money.Best) })
	first := &r.Changes[0]
	for i := range r.Changes {
		c := &r.Changes[i]
		less := make([]float64, len(c.samples))
		for k := range less {
			less[k] = first.samples[k] - c.samples[k]
		}
		if i == 0 || interval(less).Low <= 0 {
			r.Best = append(r.Best, c.Name)
		}
	}
}

// Worth says whether a change would have paid.
func (c *Change) Worth() Worth { return worth(c.Was.Money) }

// WorthNow says whether it pays for the units still to be made.
func (c *Change) WorthNow() Worth { return worth(c.More.Money) }
