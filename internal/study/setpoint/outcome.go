package setpoint

import (
	"context"
	"fmt"
	"math"

	"hindwatt/internal/statistics"
)

// Outcome is all about one quantity.
type Outcome struct {
	Quantity string   // "float-error"
	Nominal  Interval // V: every input at its nominal, lowest and highest over the conditions; Best: at Linear.At
	Worst    Worst
	Linear   Linear
	Never    string // why it is never reached, a converter being full before; no unit is inside then, and there are no other figures

	aim     aim
	at      int // place of Linear
	input   *Input
	samples *gather
	codes   *codes
}

// Inside returns the share of units whose whole deviation over the conditions lies between min
// and max (±Inf is open). Low and High are what the share stays above, and below, each with
// this confidence, for what is merely unknown and for the number of samples [S14].
func (o *Outcome) Inside(min, max, confidence float64) (Interval, error) {
	if !(min < max) {
		return Interval{}, fmt.Errorf("setpoint: %s: bound %v..%v; want min < max", o.Quantity, min, max)
	}
	if o.Never != "" {
		return Interval{}, nil
	}
	inner := o.samples.inner
	nested := statistics.Nested{Inside: make([]int, o.outer()), Units: inner}
	from, to := o.codes.between(min, max)
	for j := range nested.Inside {
		lows, highs := o.codes.lows[j*inner:(j+1)*inner], o.codes.highs[j*inner:(j+1)*inner]
		for i, low := range lows {
			if int(low) >= from && int(highs[i]) <= to {
				nested.Inside[j]++
			}
		}
	}
	total := 0
	for _, n := range nested.Inside {
		total += n
	}
	best := float64(total) / float64(len(o.codes.lows))
	_, low, high, err := nested.Proportion(confidence)
	if total == 0 || total == len(o.codes.lows) {
		low, high = best, best
	}
	if err != nil {
		return Interval{}, fmt.Errorf("setpoint: %s: %w", o.Quantity, err)
	}
	few := statistics.NormalQuantile(confidence) * math.Sqrt(best*(1-best)/float64(len(o.codes.lows)))
	return Interval{best, math.Max(0, math.Min(low, best)-few), math.Min(1, math.Max(high, best)+few)}, nil
}

func (o *Outcome) outer() int { return len(o.samples.sums[0]) }

// Tolerance returns the interval within which at least the proportion of units stays over the
// conditions, with this confidence for what is merely unknown. Best is the mean of all units. It is an
// error that says Never where that is set, as it is of MeanOver and Sampled.
//
// Each end leaves out half of the rest of the units; of the ends of all outer draws that quantile
// is taken which leaves out half of the rest of the confidence.
func (o *Outcome) Tolerance(proportion, confidence float64) (Interval, error) {
	if !(proportion > 0 && proportion < 1 && confidence > 0 && confidence < 1) {
		return Interval{}, fmt.Errorf("setpoint: %s: proportion %v, confidence %v; want both between 0 and 1", o.Quantity, proportion, confidence)
	}
	if err := o.noFigure(); err != nil {
		return Interval{}, err
	}
	low := o.end(o.codes.lows, (1-proportion)/2, (1-confidence)/2)
	high := o.end(o.codes.highs, (1+proportion)/2, (1+confidence)/2)
	return Interval{min(max(o.mean(), low), high), low, high}, nil
}

// end returns the quantile q, over outer draws, of the units' quantile p. That quantile scatters
// about its true value because units are few; its variance p(1-p)/(n·f²), f being the density there
// (Kendall and Stuart, The Advanced Theory of Statistics, vol. 1, 10.10), is taken out as
// statistics.Nested does of a count.
func (o *Outcome) end(values []uint16, p, q float64) float64 {
	n, outer := o.samples.inner, o.outer()
	near := min(p, 1-p) / 4
	pooled := o.codes.quantiles(values, p-near, p, p+near)
	if !o.samples.unknown() {
		return pooled[1]
	}
	perDensity := (pooled[2] - pooled[0]) / (2 * near)
	noise := perDensity * perDensity * p * (1 - p) / float64(n)
	each := make([]float64, outer)
	for j := range each {
		each[j] = o.codes.quantiles(values[j*n:(j+1)*n], p)[0]
	}
	mean, total := meanVariance(each)
	shrink := 0.0
	if total > noise {
		shrink = math.Sqrt((total - noise) / total)
	}
	return mean + shrink*(statistics.Quantile(each, q)-mean)
}

func meanVariance(x []float64) (mean, variance float64) {
	mean = sum(x) / float64(len(x))
	for _, v := range x {
		variance += (v - mean) * (v - mean) / float64(len(x)-1)
	}
	return mean, variance
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

// mean is that of all units over all places.
func (o *Outcome) mean() float64 {
	total := 0.0
	for _, s := range o.samples.sums {
		total += sum(s)
	}
	return total / float64(len(o.samples.sums)*len(o.codes.lows))
}

// MeanOver returns the mean over units, from its lowest to its highest over the conditions, with
// this confidence for what is merely unknown.
func (o *Outcome) MeanOver(confidence float64) (Interval, error) {
	if !(confidence > 0 && confidence < 1) {
		return Interval{}, fmt.Errorf("setpoint: %s: confidence %v; want between 0 and 1", o.Quantity, confidence)
	}
	if err := o.noFigure(); err != nil {
		return Interval{}, err
	}
	g := o.samples
	lows, highs := make([]float64, o.outer()), make([]float64, o.outer())
	for j := range lows {
		lows[j], highs[j] = math.Inf(1), math.Inf(-1)
		for _, sums := range g.sums {
			mean := sums[j] / float64(g.inner)
			lows[j], highs[j] = min(lows[j], mean), max(highs[j], mean)
		}
	}
	if !g.unknown() { // the draws differ only by the number of samples
		return Interval{o.mean(), sum(lows) / float64(len(lows)), sum(highs) / float64(len(highs))}, nil
	}
	return Interval{o.mean(), statistics.Quantile(lows, (1-confidence)/2), statistics.Quantile(highs, (1+confidence)/2)}, nil
}

// Sampled computes the uncertainty by propagation of distributions (JCGM 101) at the point
// Linear.At, from as many samples as the run's [S13].
func (o *Outcome) Sampled(ctx context.Context) (Sampled, error) {
	return o.sampledInto(ctx, make([]float64, o.input.Outer*o.input.Inner))
}

// sampledInto is Sampled with room for the samples: first touching memory costs more than drawing.
func (o *Outcome) sampledInto(ctx context.Context, room []float64) (Sampled, error) {
	if err := o.noFigure(); err != nil {
		return Sampled{}, err
	}
	in, c := o.input, o.samples.c
	g := newGather(c, o.aim, o.samples.places[o.at:o.at+1], in.Outer, in.Inner, floats{lows: room})
	g.one = true
	if err := c.sample(ctx, in.Seed, in.Outer, in.Inner, g); err != nil {
		return Sampled{}, err
	}
	r := statistics.Summarise(room, 0.95)
	return Sampled{r.Mean, r.U, r.Low, r.High, r.ShortLow, r.ShortHigh}, nil
}
