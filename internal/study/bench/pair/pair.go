package pair

import (
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics/fit"
	"hindwatt/internal/study/bench"
)

// A Span is a part of a log during which one controller was connected.
type Span struct {
	Who   int       // 0 the first, 1 the second
	Time  []float64 // s, rising; spans follow each other
	Value []float64
	Sun   []float64 // irradiance or short-circuit current, in any one unit; nil: not logged
}

// Input is a comparison. One of Spans, Side and Hand is given.
type Input struct {
	Names    [2]string // "unit 14", "other"
	Quantity string    // "battery voltage"
	Dim      quantity.Dimension
	Unit     string // to show values in

	Spans []Span // in turn, on the same rig
	// Side is both at the same times: Value of each, Time and Sun of the first.
	Side *[2]Span
	Hand *[2]quantity.Quantity // two readings, each with a spread of its own

	Meters [2]*bench.Meter // of each; the same name errs alike; nil: not known
	Level  float64         // of the limits; 0: 0.95
	From   string
}

// Result is what the comparison tells.
type Result struct {
	Input Input
	// Levels of the two, at the same sun and time.
	Levels [2]float64
	// Difference is the second less the first, corrected, with what the meters may be off by.
	Difference   fit.Interval
	WithoutMeter fit.Interval  // for meters that do not err
	Uncorrected  float64       // difference of the plain means
	SunSlope     *fit.Interval // change of the value by a unit of the sun; nil: not logged
	Drift        *fit.Interval // change a second; nil: cannot be told apart
	Charge       *fit.Interval // difference of the charge taken in Duration, C; nil: not a current
	Duration     float64       // s that each was seen, the shorter of both
	Effective    float64       // independent readings
	Real         bool          // the interval is without zero
	Warnings     []page.Note
}
