package setpoint

import (
	"context"
	"errors"

	"hindwatt/internal/page"
)

var errSoon = errors.New("setpoint: being written")

// A Point is one set of conditions, in SI units.
type Point struct {
	Ambient float64  // K
	Charge  *float64 // A; nil: drawn as in use
	Load    *float64 // A; nil: drawn as in use
	// ByTrimMeter takes the voltage as the instrument of the trim shows it, so that its error,
	// which readings by the same instrument share, cancels.
	ByTrimMeter bool
}

// An Interval is a best value between two limits.
type Interval struct{ Best, Low, High float64 }

// A Line is what one input contributes to a standard uncertainty.
type Line struct {
	Name, From   string
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

// Worst holds the arithmetic extremes: every input at its worst limit at once.
type Worst struct {
	Low, High     float64 // V
	AtLow, AtHigh Point
}

// Outcome is all about one quantity.
type Outcome struct {
	Quantity string   // "float-error"
	Nominal  Interval // V: with every input at its nominal, over the conditions
	Worst    Worst
	Linear   Linear
	Sampled  Sampled
	lows     []float64
	highs    []float64
	outer    int
}

// Inside returns the share of units whose whole deviation over the conditions lies between min
// and max (±Inf is open), with its 95 % limits from what is merely unknown.
func (o *Outcome) Inside(min, max, confidence float64) (Interval, error) { return Interval{}, errSoon }

// Tolerance returns the interval that holds a proportion of the units with a confidence.
func (o *Outcome) Tolerance(proportion, confidence float64) (Interval, error) {
	return Interval{}, errSoon
}

// MeanOver returns the mean over units, lowest and highest over the conditions, with a confidence.
func (o *Outcome) MeanOver(confidence float64) (Interval, error) { return Interval{}, errSoon }

// Result is the answer of the study.
type Result struct {
	Input    Input
	Outcomes []*Outcome
	Cautions []page.Note
	lacks    []lack
}

type lack struct {
	page.Lack
	quantities []string
}

// Outcome returns what was found about a quantity; nil if it was not asked or could not be computed.
func (r *Result) Outcome(name string) *Outcome { return nil }

// Lacks returns what is missing for the quantities named, or for any if none is named.
func (r *Result) Lacks(quantities ...string) []page.Lack { return nil }

// Carry is, for simulated units, how far the deviation over the conditions lies below and above
// that at the point of a measurement.
type Carry struct {
	Groups    int       // of equal size; what is merely unknown is the same within one
	Low, High []float64 // V, group after group
}

// Carry draws n units in 100 groups.
func (r *Result) Carry(ctx context.Context, quantity string, from Point, n int) (Carry, error) {
	return Carry{}, errSoon
}

// AtPoint is the distribution of a quantity at one point.
type AtPoint struct {
	Mean      float64   // V, over units and over what is unknown
	UnitSD    float64   // V, from unit to unit
	UnknownSD float64   // V, of the mean, from what is merely unknown
	Means     []float64 // V, the mean over units for each draw of the unknown, rising
	Low, High float64   // V, 95 % of units
}

// At returns the distribution at one point, to be compared with a measurement made there.
func (r *Result) At(ctx context.Context, quantity string, at Point) (AtPoint, error) {
	return AtPoint{}, errSoon
}

// A Bound is what a promise allows for a quantity, V; nil is open. Text names the promise.
type Bound struct {
	Quantity string
	Min, Max *float64
	Text     string
}

// Run computes the study.
func Run(ctx context.Context, in Input) (*Result, error) { return nil, errSoon }

// Names lists the inputs as the budget names them, for Input.Unknown.
func Names() []string { return nil }

// Target returns the compensated target of a level in V ("float") at a battery's ambient in K.
func (in Input) Target(level string, ambient float64) (float64, bool) { return 0, false }

// Page words the answer, with the bounds of promises drawn in.
func (r *Result) Page(ctx context.Context, bounds ...Bound) (page.Page, error) {
	return page.Page{}, errSoon
}
