package setpoint

import (
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/statistics"
)

// Outcome is all about one quantity.
type Outcome struct {
	Quantity string   // "float-error"
	Nominal  Interval // V: every input at its nominal, lowest and highest over the conditions; Best: at Linear.At
	Worst    Worst
	Linear   Linear
	samples  *gather
	sampled  *Sampled
}

// Inside returns the share of units whose whole deviation over the conditions lies between min
// and max (±Inf is open). Low and High are what the share stays above, and below, each with
// this confidence, for what is merely unknown and for the number of samples [S14].
func (o *Outcome) Inside(min, max, confidence float64) (Interval, error) {
	if !(min < max) {
		return Interval{}, fmt.Errorf("setpoint: %s: bound %v..%v; want min < max", o.Quantity, min, max)
	}
	g := o.samples
	nested := statistics.Nested{Inside: make([]int, len(g.sums[0])), Units: g.inner}
	for j := range nested.Inside {
		lows, highs := g.lows[j*g.inner:(j+1)*g.inner], g.highs[j*g.inner:(j+1)*g.inner]
		for i, low := range lows {
			if low >= min && highs[i] <= max {
				nested.Inside[j]++
			}
		}
	}
	best, low, high, err := nested.Proportion(confidence)
	if err != nil {
		return Interval{}, fmt.Errorf("setpoint: %s: %w", o.Quantity, err)
	}
	few := statistics.NormalQuantile(confidence) * math.Sqrt(best*(1-best)/float64(len(g.lows)))
	return Interval{best, math.Max(0, low-few), math.Min(1, high+few)}, nil
}

// Tolerance returns the interval within which at least the proportion of units stays over the
// conditions, with this confidence for what is merely unknown. Best is the mean of the units' middles.
//
// Each end leaves out half of the rest of the units; of the ends of all outer draws that quantile
// is taken which leaves out half of the rest of the confidence.
func (o *Outcome) Tolerance(proportion, confidence float64) (Interval, error) {
	if !(proportion > 0 && proportion < 1 && confidence > 0 && confidence < 1) {
		return Interval{}, fmt.Errorf("setpoint: %s: proportion %v, confidence %v; want both between 0 and 1", o.Quantity, proportion, confidence)
	}
	mean := o.middle()
	low := o.end(o.samples.lows, (1-proportion)/2, (1-confidence)/2)
	high := o.end(o.samples.highs, (1+proportion)/2, (1+confidence)/2)
	return Interval{min(max(mean, low), high), low, high}, nil
}

// end returns the quantile q, over outer draws, of the units' quantile p. That quantile scatters
// about its true value because units are few; its variance p(1-p)/(n·f²), f being the density there
// (Kendall and Stuart, The Advanced Theory of Statistics, vol. 1, 10.10), is taken out as Nested does
// of a count.
func (o *Outcome) end(values []float64, p, q float64) float64 {
	n, outer := o.samples.inner, len(o.samples.sums[0])
	near := min(p, 1-p) / 4
	pooled := statistics.Quantiles(slices.Clone(values), p-near, p, p+near)
	if !o.samples.unknown() || n < 2 {
		return pooled[1]
	}
	noise := (pooled[2] - pooled[0]) / (2 * near) // 1/f
	noise *= noise * p * (1 - p) / float64(n)
	each, units := make([]float64, outer), make([]float64, n)
	var mean, total float64
	for j := range each {
		copy(units, values[j*n:])
		each[j] = statistics.Quantile(units, p)
		mean += each[j] / float64(outer)
	}
	for _, x := range each {
		total += (x - mean) * (x - mean) / float64(outer-1)
	}
	shrink := 0.0
	if total > noise {
		shrink = math.Sqrt((total - noise) / total)
	}
	return mean + shrink*(statistics.Quantile(each, q)-mean)
}

// unknown reports whether anything is the same, unknown, for all units.
func (g *gather) unknown() bool {
	for _, d := range g.c.draws {
		if d.unknown && d.shape != fixed {
			return len(g.sums[0]) > 1
		}
	}
	return false
}

func (o *Outcome) middle() float64 {
	g := o.samples
	total := 0.0
	for i, low := range g.lows {
		total += (low + g.highs[i]) / 2
	}
	return total / float64(len(g.lows))
}

// MeanOver returns the mean over units, from its lowest to its highest over the conditions, with
// this confidence for what is merely unknown.
func (o *Outcome) MeanOver(confidence float64) (Interval, error) {
	if !(confidence > 0 && confidence < 1) {
		return Interval{}, fmt.Errorf("setpoint: %s: confidence %v; want between 0 and 1", o.Quantity, confidence)
	}
	g := o.samples
	outer := len(g.sums[0])
	lows, highs := make([]float64, outer), make([]float64, outer)
	for j := range lows {
		lows[j], highs[j] = math.Inf(1), math.Inf(-1)
		for _, sums := range g.sums {
			mean := sums[j] / float64(g.inner)
			lows[j], highs[j] = min(lows[j], mean), max(highs[j], mean)
		}
	}
	if !g.unknown() { // the draws differ only by the number of samples
		return Interval{o.middle(), sum(lows) / float64(outer), sum(highs) / float64(outer)}, nil
	}
	return Interval{o.middle(), statistics.Quantile(lows, (1-confidence)/2), statistics.Quantile(highs, (1+confidence)/2)}, nil
}

// Sampled returns the uncertainty by propagation of distributions (JCGM 101) at the point
// Linear.At [S13]. Not for use by two goroutines at once.
func (o *Outcome) Sampled() Sampled {
	if o.sampled == nil {
		r := statistics.Summarise(slices.Clone(o.samples.at), 0.95)
		o.sampled = &Sampled{r.Mean, r.U, r.Low, r.High, r.ShortLow, r.ShortHigh}
	}
	return *o.sampled
}
