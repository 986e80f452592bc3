package setpoint

import (
	"hindwatt/internal/page"
	"slices"
)

// A Point is one set of conditions, in SI units.
type Point struct {
	Ambient float64  // K
	Charge  *float64 // A; nil: drawn as in use
	Load    *float64 // A; nil: drawn as in use
	Voltage *float64 // V at the terminals, of the display; nil: the middle of its range
	// ByTrimMeter takes the voltage as the instrument of the trim shows it, so that its error,
	// which readings by the same instrument share, cancels.
	ByTrimMeter bool
	Aged        bool // of the age that the conditions speak of, if they do; false: new
}

// An Interval is a best value between two limits.
type Interval struct{ Best, Low, High float64 }

// A Line is what one input contributes to a standard uncertainty.
type Line struct {
	Name, From   string
	Unknown      bool    // the same for all units
	Sensitivity  float64 // V per unit of the input
	Contribution float64 // V, ≥ 0
	Share        float64 // of the variance, 0..1
}

// Linear is the uncertainty by the law of propagation (JCGM 100), at one point.
type Linear struct {
	At        Point
	Value, U  float64 // V
	Low, High float64 // V, 95 %
	Lines     []Line  // largest share first
}

// Sampled is the uncertainty by propagation of distributions (JCGM 101), at the point of Linear.
type Sampled struct {
	Mean, U             float64 // V
	Low, High           float64 // V, 95 %, equal tails
	ShortLow, ShortHigh float64 // V, the shortest 95 %
}

// Worst holds the arithmetic extremes over the conditions: every input at its worst limit at once.
type Worst struct {
	Low, High     float64 // V
	AtLow, AtHigh Point
}

// Result is the answer of the study.
type Result struct {
	Input    Input
	Outcomes []*Outcome // in the order of Quantities
	Cautions []page.Note
	lacks    []lack
	chain    *chain // nil if nothing could be computed
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
		asked := len(quantities) == 0 || slices.Contains(quantities, l.quantity)
		if asked && !slices.Contains(list, l.need) {
			list = append(list, l.need)
		}
	}
	return list
}
