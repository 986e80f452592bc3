package rating

import (
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

// An Interval is a best value between two limits.
type Interval struct {
	Best, Low, High float64
	OpenHigh        bool // no upper limit: some units run away
}

// Outcome is all about one quantity.
type Outcome struct {
	Quantity string
	Dim      quantity.Dimension
	Unit     string  // to show it in
	Nominal  float64 // every input at its nominal, at the worst of the conditions
	At       place
	Duty     float64 // of those looked at, the worst for a nominal unit
	Part, Of string  // what stops a current
	Never    string  // why there is no figure, a nominal unit running away; no unit is inside then
	Stated   bool    // as the folder states it, not summed up from the parts
	From     string  // where it is stated
	Summed   float64 // what the parts add up to, where Stated
	Linear   Linear

	aim          aim
	samples      []float64 // outer after outer
	outer, inner int
}

// Air is the ambient that the figures are of, K.
func (o *Outcome) Air() float64 { return o.At.air }

// Current is the panel's current that the figures are of, A; 0 for the largest current itself.
func (o *Outcome) Current() float64 {
	if o.Quantity == "current" {
		return 0
	}
	return o.At.current
}

// Stops words what ends the current: "the junction of d1 stops it, conducting fully".
func (o *Outcome) Stops() string { return stopWords(o.Part, o.Of) + " stops it, " + dutyWords(o.Duty) }

// Inside returns the share of units that lie between min and max (±Inf is open). Low and High are what the share stays above,
// and below, each with this confidence, for what is merely unknown and for the number of samples [Q5].
func (o *Outcome) Inside(min, max, confidence float64) (Interval, error) {
	if !(min < max) {
		return Interval{}, fmt.Errorf("rating: %s: bound %v..%v; want min < max", o.Quantity, min, max)
	}
	if o.Never != "" {
		return Interval{}, nil
	}
	nested := statistics.Nested{Inside: make([]int, o.outer), Units: o.inner}
	total := 0
	for i, x := range o.samples {
		if x >= min && x <= max {
			nested.Inside[i/o.inner]++
			total++
		}
	}
	best, low, high, err := nested.Proportion(confidence)
	if err != nil {
		return Interval{}, fmt.Errorf("rating: %s: %w", o.Quantity, err)
	}
	n := float64(len(o.samples))
	few := statistics.NormalQuantile(confidence) * math.Sqrt(best*(1-best)/n)
	if total == 0 || total == len(o.samples) { // none in n: 1-confidence = (1-p)^n
		few = -math.Log(1-confidence) / n
	}
	return Interval{Best: best, Low: math.Max(0, math.Min(low, best)-few), High: math.Min(1, math.Max(high, best)+few)}, nil
}

// Tolerance returns the interval within which the proportion of units stays, with this confidence for what is merely unknown:
// of the ends of all outer draws that quantile is taken which leaves out half of the rest of the confidence. Best is a nominal unit,
// which the interval always holds.
func (o *Outcome) Tolerance(proportion, confidence float64) (Interval, error) {
	if !(proportion > 0 && proportion < 1 && confidence > 0 && confidence < 1) {
		return Interval{}, fmt.Errorf("rating: %s: proportion %v, confidence %v; want both between 0 and 1", o.Quantity, proportion, confidence)
	}
	low := o.end((1-proportion)/2, (1-confidence)/2)
	high := o.end((1+proportion)/2, (1+confidence)/2)
	best := math.Min(o.Nominal, math.MaxFloat64)
	if !finite(high) {
		return Interval{Best: best, Low: low, OpenHigh: true}, nil
	}
	return Interval{Best: best, Low: math.Min(low, best), High: math.Max(high, best)}, nil
}

// end returns the quantile p of units, at the quantile q of what is merely unknown: that of the outer draws' means, and the units'
// deviations from them, those of all draws taken together. What means scatter by their units being few is taken out, as
// statistics.Nested does of a count [Q5].
func (o *Outcome) end(p, q float64) float64 {
	if !finite(o.samples...) { // some run away
		return statistics.Quantile(append([]float64{}, o.samples...), p)
	}
	means := o.means()
	apart, off := o.parted(means), make([]float64, len(o.samples))
	grow := math.Sqrt(float64(o.inner) / float64(o.inner-1))
	for i, x := range o.samples {
		off[i] = grow * (x - means[i/o.inner])
	}
	mean, total := meanVariance(means)
	shrink := 0.0
	if total > 0 {
		shrink = apart.UnknownSD / math.Sqrt(total)
	}
	end := mean + shrink*(statistics.Quantile(means, q)-mean) + statistics.Quantile(off, p)
	if o.Dim == quantity.Current { // means and deviations, laid together, may pass below it: no unit does
		return math.Max(end, slices.Min(o.samples))
	}
	return end
}

// MeanOver returns the mean over units, with this confidence for what is merely unknown.
func (o *Outcome) MeanOver(confidence float64) (Interval, error) {
	if !(confidence > 0 && confidence < 1) {
		return Interval{}, fmt.Errorf("rating: %s: confidence %v; want between 0 and 1", o.Quantity, confidence)
	}
	means := o.means()
	q := statistics.Quantiles(means, (1-confidence)/2, (1+confidence)/2)
	best := o.mean()
	if !finite(best, q[1]) {
		return Interval{Best: math.Min(o.Nominal, math.MaxFloat64), Low: finiteOr(q[0], o.Nominal), OpenHigh: true}, nil
	}
	return Interval{Best: best, Low: math.Min(q[0], best), High: math.Max(q[1], best)}, nil
}

// means are those of the units of each outer draw.
func (o *Outcome) means() []float64 {
	out := make([]float64, o.outer)
	for i, x := range o.samples {
		out[i/o.inner] += x / float64(o.inner)
	}
	return out
}

func (o *Outcome) mean() float64 {
	sum := 0.0
	for _, m := range o.means() {
		sum += m
	}
	return sum / float64(o.outer)
}

func meanVariance(x []float64) (mean, variance float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		variance += (v - mean) * (v - mean) / float64(max(len(x)-1, 1))
	}
	return mean, variance
}

func finite(values ...float64) bool {
	for _, v := range values {
		if !(math.Abs(v) <= math.MaxFloat64) {
			return false
		}
	}
	return true
}

func finiteOr(v, otherwise float64) float64 {
	if finite(v) {
		return v
	}
	return otherwise
}
