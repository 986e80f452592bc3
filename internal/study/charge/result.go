package charge

import (
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

// Result is what the years say.
type Result struct {
	Input    Input
	Years    []Year     // as many as were drawn, each with a unit of its own
	Outcomes []*Outcome // in the order of Quantities
	Warnings []page.Note

	lacks  []lack
	model  *model // nil if nothing could be computed
	others []Input
}

// A lack is what is missing for a quantity; for all if none is named.
type lack struct {
	need     page.Lack
	quantity string
}

// An Interval is a best value between two limits.
type Interval struct{ Best, Low, High float64 }

// An Outcome is one quantity over the years.
type Outcome struct {
	Quantity string
	Dim      quantity.Dimension
	Unit     string // to show it in

	aim     aim
	samples []float64 // one a year
}

func (r *Result) outcome(a aim) *Outcome {
	o := &Outcome{Quantity: a.name, Dim: a.dim, Unit: a.unit, aim: a, samples: make([]float64, len(r.Years))}
	for i := range r.Years {
		o.samples[i] = a.of(&r.Years[i])
	}
	return o
}

// Outcome returns what was found about a quantity; nil if it was not asked or could not be computed.
func (r *Result) Outcome(name string) *Outcome {
	for _, o := range r.Outcomes {
		if o.Quantity == name {
			return o
		}
	}
	return nil
}

// Lacks returns what is missing for the quantities named, or for any if none is named, each once.
func (r *Result) Lacks(quantities ...string) []page.Lack {
	var list []page.Lack
	for _, l := range r.lacks {
		asked := len(quantities) == 0 || l.quantity == "" || slices.Contains(quantities, l.quantity)
		if asked && !slices.Contains(list, l.need) {
			list = append(list, l.need)
		}
	}
	return list
}

// Next returns the mean of the years, and limits between which the next year of the next installed unit lies with this confidence,
// as far as the years reach: they are independent draws, so that it lies between the r-th least and the r-th most of n with
// (n + 1 - 2r)/(n + 1), whatever their distribution [CH3].
func (o *Outcome) Next(confidence float64) Interval {
	x := slices.Sorted(slices.Values(o.samples))
	n := len(x)
	at := func(p float64) float64 {
		k := p*float64(n+1) - 1
		if k <= 0 {
			return x[0]
		}
		if k >= float64(n-1) {
			return x[n-1]
		}
		i := int(math.Floor(k))
		return x[i] + (k-float64(i))*(x[i+1]-x[i])
	}
	sum := 0.0
	for _, v := range o.samples {
		sum += v
	}
	best := sum / float64(n)
	return Interval{Best: best, Low: min(best, at((1-confidence)/2)), High: max(best, at((1+confidence)/2))}
}

// Inside returns the share of years of units between min and max (±Inf is open), with its limits by the number of years [CH4].
func (o *Outcome) Inside(min, max, confidence float64) (Interval, error) {
	if !(min < max) {
		return Interval{}, fmt.Errorf("charge: %s: bound %v..%v; want min < max", o.Quantity, min, max)
	}
	k := 0
	for _, v := range o.samples {
		if v >= min && v <= max {
			k++
		}
	}
	low, high, err := statistics.BinomialLimits(k, len(o.samples), confidence)
	return Interval{Best: float64(k) / float64(len(o.samples)), Low: low, High: high}, err
}

// text writes a figure of the outcome.
func (o *Outcome) text(v float64, digits int) string {
	return quantity.Format(v, o.Dim, o.Unit, digits)
}
