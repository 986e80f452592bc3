// Package bench answers "What did the bench say?": what readings of one or several units tell of
// the whole population, with the meter's own error kept apart from the scatter of the units.
package bench

import (
	"context"
	"errors"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

var errSoon = errors.New("bench: being written")

// A Meter is the instrument of a reading.
type Meter struct {
	Name     string            // readings of the same name share its error
	Accuracy quantity.Accuracy // "±(0.5 % + 2 digits)"
	Digit    float64           // last digit, SI units; 0: none known
	From     string
}

// A Reading is one reading of one unit.
type Reading struct {
	Value   quantity.Quantity
	Meter   *Meter             // nil: its accuracy is not known
	Serial  string             // "" : taken as a unit of its own
	Ambient *quantity.Quantity // nil: not noted
	Date    string
	Basis   string // counted, booked, remembered
	From    string // "records/readings.csv:4"
}

// Carry is how far the quantity over a promise's conditions lies below and above that at the
// reading's, for simulated units in groups of equal size.
type Carry struct {
	Groups    int
	Low, High []float64
}

// Input is a set of readings of one quantity.
type Input struct {
	Quantity string // "setpoint.float-error"
	Unit     string // to show it in
	Readings []Reading
	// Target is what the readings are a deviation from, at an ambient in K; nil: the readings are
	// themselves the quantity.
	Target     func(ambient float64) float64
	Carry      *Carry  // nil: at the reading's own conditions
	Proportion float64 // of units, 0..1; 0: 0.95
	Confidence float64 // 0..1; 0: 0.95
	Seed       uint64
}

// An Interval is a best value between two limits.
type Interval struct {
	Best, Low, High   float64
	OpenLow, OpenHigh bool // no limit on that side; its number is then 0
}

// Settle says how many more units would settle a promise.
type Settle struct {
	More  int    // units beyond those measured; 0 where it is settled
	Never bool   // no number of units would
	Why   string // what would, in words
}

// Result is what the readings tell.
type Result struct {
	Input     Input
	Units     int      // units seen
	Ambient   Interval // K, of the readings
	Mean      Interval // of the units' mean, with the meter's error
	SD        float64  // from unit to unit; 0 for one unit
	Tolerance Interval // holds Proportion of the units with Confidence; open for one unit
	Warnings  []page.Note
}

// Run looks at the readings.
func Run(ctx context.Context, in Input) (*Result, error) { return nil, errSoon }

// Inside returns the share of units between min and max (±Inf is open) with its limits.
func (r *Result) Inside(min, max float64) (Interval, error) { return Interval{}, errSoon }

// Settle returns how many more units would settle whether Proportion of them lie inside.
func (r *Result) Settle(min, max float64) (Settle, error) { return Settle{}, errSoon }

// Page words the answer.
func (r *Result) Page() (page.Page, error) { return page.Page{}, errSoon }
