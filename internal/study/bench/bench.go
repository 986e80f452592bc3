package bench

import (
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// A Meter is the instrument of a reading.
type Meter struct {
	Name     string            // readings of the same name share its error
	Accuracy quantity.Accuracy // "±(0.5 % + 2 digits)"
	Digit    float64           // last digit, SI units; 0: none known
	From     string
}

// A Reading is one reading of one unit.
type Reading struct {
	Value   quantity.Quantity  // a spread of its own belongs to this reading alone
	Meter   *Meter             // nil: its accuracy is not known
	Unrated string             // the meter that is named, where its accuracy is not given; "": none is named
	Serial  string             // "": taken as a unit of its own
	Batch   string             // that the unit was made in; "": not known
	Ambient *quantity.Quantity // nil: not noted
	Date    string
	Basis   string // counted, booked, remembered
	From    string // "records/readings.csv:4"
}

// Carry is how far the quantity over a promise's conditions lies below and above that at the
// reading's, for simulated units. What is merely unknown is the same within a group, and what
// varies from unit to unit is taken to be independent of the value that a unit was read at.
type Carry struct {
	Groups    int       // of equal size
	Low, High []float64 // group after group, Low ≤ High
}

// Input is a set of readings of one quantity.
type Input struct {
	Quantity string // "setpoint.float-error"
	Unit     string // to show it in; "": that of the first reading
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
	Never bool   // no number of units would, or, with one unit, none can be told yet
	Why   string // what would, in words, where Never
}

// Result is what the readings tell.
type Result struct {
	Input   Input
	Units   int      // units seen
	Ambient Interval // K: mean, lowest and highest of the readings
	// Mean is that of the units seen, with its limits for all units: the meter's error and, from
	// two units on, their number [R4]. With Carry it runs from the lowest to the highest over the
	// conditions. For one unit it is that unit's value within the limits of its reading.
	Mean Interval
	// MeanWithoutMeter is Mean for a meter that does not err. Where something else shares the
	// meter's error, this is the interval to compare with.
	MeanWithoutMeter Interval
	SD               float64  // from unit to unit, n-1 in its denominator; 0 for one unit
	Tolerance        Interval // holds Proportion of the units with Confidence [R10]; open for one unit
	Warnings         []page.Note

	sample *sample
	draws  []draw
}

// What is taken for granted.
const (
	usual      = 0.95    // proportion and confidence where none is given
	mostUnits  = 10000   // that settle a promise at all
	normalFrom = 8       // units from which on their distribution is tested
	doubtful   = 0.05    // p of that test below which it is doubted
	coarse     = 3.5     // times a reading's own uncertainty that units must scatter to be tested: a whole last digit
	quarter    = 1. / 4. // of a bound's half-width, that a meter's limit should keep within
)
