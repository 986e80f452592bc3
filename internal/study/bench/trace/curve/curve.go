package curve

import (
	"context"
	"fmt"
	"slices"

	"hindwatt/internal/page"
	"hindwatt/internal/study/bench"
	"hindwatt/internal/study/bench/trace"
)

// A Target is a level that the controller is to hold.
type Target struct {
	Name  string  // "absorption", "float"
	Volts float64 // at 25 °C
}

// Input is the log of one run, without gaps.
type Input struct {
	Name string // of the run
	From string // "bench/roof-day.csv"

	Time    []float64 // s, never falling
	Voltage []float64 // V, of the battery; as many as of Time
	Current []float64 // A, of the charge; nil: not logged
	Panel   []float64 // V; nil: not logged
	// Temperature of the battery, or of the air where that is what the sensor follows; K; nil: not logged.
	Temperature []float64

	Gauge        trace.Gauge // of Voltage
	Pulse        trace.Pulse // of Voltage, while it is held
	Compensation float64     // V/K, by which the levels are to follow the temperature; 0: they do not, or it is not known
	Targets      []Target    // nil: not known
}

// The names of phases.
const (
	Night = "night"
	Bulk  = "bulk"
	Held  = "held" // at a level without a name
)

// A Phase is a stretch of the log: rows First to Last, Last excluded.
type Phase struct {
	Name        string
	First, Last int
	Begin, End  float64  // s
	Low, High   float64  // V
	held        [][2]int // stretches of rows at the level, Last excluded
}

// Onset is where regulation began: the corner between rising and held [L9].
type Onset struct {
	At, From, Until float64 // s: best, and 95 % limits
	Volts           float64
	Phase           string // that began
}

// A Plateau is what was held through the phases of one name.
type Plateau struct {
	Name        string
	Level       trace.Level
	For         float64 // s of the rows that count
	Rows, Left  int     // that count, and that fell out of the level
	Temperature bench.Interval
	HasTemp     bool
	Current     float64 // A, mean; 0 where it was not logged
	Ripple      Ripple
	Drift       *Drift // nil: no temperature, or it moved too little
	Alias       trace.Alias
}

// Ripple is how the voltage moved about its level within a minute or less.
type Ripple struct {
	RMS  float64 // V
	Peak float64 // V, between the 0.5 % and the 99.5 % quantile
}

// Drift is how the level followed the temperature.
type Drift struct {
	Slope bench.Interval // V/K, 95 %
	Span  float64        // K
}

// Result is what the log tells.
type Result struct {
	Input    Input
	Phases   []Phase
	Onset    *Onset // nil: the log does not show one
	Plateaus []Plateau
	Warnings []page.Note
}

const (
	fewestRows = 20
	mostBlocks = 1200   // that the log is cut by
	settling   = 600.0  // s at the beginning of a phase that do not count, at most a part of it
	settlePart = 0.2    // of the time that it is held
	flat       = 0.003  // of the voltage in an hour: a level may move so much and is still held
	hour       = 3600.0 // s
	shortFlat  = 900.0  // s: a shorter piece may move as much as one so long
	apart      = 0.007  // of the voltage: levels that differ by more are two
	near       = 0.04   // of the voltage: farther from every target, nothing is held
	upper      = 0.5    // of the way from the lowest to the highest: below, nothing is held, where no target is known
	least      = 300.0  // s that a level must be held to be one
	bridged    = 900.0  // s that a level may be left in between, as under a cloud
	dark       = 0.01   // of the largest charge current
	outlying   = 6.0    // robust standard deviations from the level
	finer      = 60.0   // s: what moves within is ripple
	standard   = 298.15 // K, to which targets belong
)

// Run looks at a log.
//
// A log that cannot tell anything is an error that names it: fewer than 20 rows, a voltage that never
// moves. What it lacks for parts of the answer is said in Warnings.
func Run(ctx context.Context, in Input) (*Result, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	r := &Result{Input: in}
	steady := in.compensated()
	b := trace.Block(in.Time, steady, mostBlocks)
	segments, err := trace.Segments(ctx, b, true)
	if err != nil {
		return nil, err
	}
	r.Phases = in.phases(b, segments)
	for _, name := range r.names() {
		p, err := r.plateau(name)
		if err != nil {
			return nil, err
		}
		if p != nil {
			r.Plateaus = append(r.Plateaus, *p)
		}
	}
	r.onset(b)
	r.doubts()
	return r, nil
}

// check refuses what tells nothing.
func (in *Input) check() error {
	n := len(in.Time)
	bad := func(format string, a ...any) error {
		return fmt.Errorf("%s: %s", in.From, fmt.Sprintf(format, a...))
	}
	if len(in.Voltage) != n {
		return bad("%d voltages at %d times; want as many of both", len(in.Voltage), n)
	}
	for _, c := range [][]float64{in.Current, in.Panel, in.Temperature} {
		if c != nil && len(c) != n {
			return bad("%d values beside %d times; want as many of both", len(c), n)
		}
	}
	if n < fewestRows {
		return bad("has %d rows with a voltage; want %d or more to tell a level from a change", n, fewestRows)
	}
	if low, high := slices.Min(in.Voltage), slices.Max(in.Voltage); low == high {
		return bad("all %d voltages are %s; want a meter that follows, or one digit more", n, volts(low))
	}
	if in.Time[n-1] <= in.Time[0] {
		return bad("all %d rows have one time; want a log over time", n)
	}
	return nil
}

// compensated is the voltage as it would be at the log's mean temperature, if the levels follow it as they
// are to: so that a level is flat.
func (in *Input) compensated() []float64 {
	if in.Temperature == nil || in.Compensation == 0 {
		return in.Voltage
	}
	mean := 0.0
	for _, t := range in.Temperature {
		mean += t / float64(len(in.Temperature))
	}
	out := make([]float64, len(in.Voltage))
	for i, v := range in.Voltage {
		out[i] = v - in.Compensation*(in.Temperature[i]-mean)
	}
	return out
}
