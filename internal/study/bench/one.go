package bench

import (
	"math"

	"hindwatt/internal/statistics"
)

// one fills in what a single unit tells: its value within the limits of its reading [R4].
func (r *Result) one() {
	low, high := r.carried()
	own := r.oneOwn()
	value := r.sample.mean
	best := value + (low.Best+high.Best)/2
	r.MeanWithoutMeter = Interval{Best: best, Low: value - own + low.Low, High: value + own + high.High}
	limit := r.sample.limit()
	r.Mean = Interval{Best: best, Low: r.MeanWithoutMeter.Low - limit, High: r.MeanWithoutMeter.High + limit}
	if r.sample.open() {
		r.Mean = opened(r.Mean)
	}
	r.Tolerance = opened(r.Mean)
}

// oneOwn is how far a single unit's value may be off by what belongs to each reading alone, with
// confidence: by what is known of each reading, or by how readings of the unit differ.
func (r *Result) oneOwn() float64 {
	u := r.sample.units[0]
	own := normal(r.Input.Confidence) * u.own
	if k := len(u.values); k > 1 {
		se := math.Sqrt(covariance(u.values, u.values) / float64(k))
		own = max(own, statistics.StudentTQuantile((1+r.Input.Confidence)/2, float64(k-1))*se)
	}
	return own
}

// carried are the values between which a carry may take a unit, with confidence: the means, and the
// lowest Low and highest High.
func (r *Result) carried() (low, high Interval) {
	c := r.Input.Carry
	if c == nil {
		return
	}
	p := (1 - r.Input.Confidence) / 2
	low = Interval{Best: mean(c.Low), Low: statistics.Quantile(append([]float64(nil), c.Low...), p)}
	high = Interval{Best: mean(c.High), High: statistics.Quantile(append([]float64(nil), c.High...), 1-p)}
	return low, high
}

// oneInside is the share of units by a count of one [R13]: limits of Clopper and Pearson (1934), one-sided,
// for 1 of 1 (p¹ ≥ 1 - confidence) and 0 of 1. The unit counts neither way where its reading leaves
// open on which side of the bound it is.
func (r *Result) oneInside(min, max float64) Interval {
	low, high := still[:], still[:]
	if c := r.Input.Carry; c != nil {
		low, high = c.Low, c.High
	}
	half := r.sample.limit()
	if r.Units == 1 {
		half += r.oneOwn()
	}
	value, n := r.sample.mean, float64(len(low))
	var best, surely, never float64
	for i := range low {
		from, to := min-low[i], max-high[i] // the values of the unit that keep it inside
		switch {
		case from <= value-half && value+half <= to:
			surely++
		case value+half < from || to < value-half || to < from:
			never++
		}
		if from <= value && value <= to {
			best++
		}
	}
	out := Interval{Best: best / n, High: 1}
	switch confidence := r.Input.Confidence; {
	case r.sample.open():
	case surely/n >= confidence:
		out.Low = 1 - confidence
	case never/n >= confidence:
		out.High = confidence
	}
	return out
}
