package reference

import (
	"context"
	"fmt"
	"math"
)

// A Check compares one computed number with one from outside.
type Check struct {
	ID     string // of the example or table, and the number in it: "UNC-01 nu_eff"
	Topic  string
	What   string // what is computed
	Source string // author, title, place
	Status string // how well the number is confirmed
	Note   string // conditions and remarks, may be empty

	Want float64
	Tol  float64 // largest difference that passes, ≥ 0
	Unit string  // "" for a plain number

	// Run computes the number in Unit.
	Run func(ctx context.Context) (float64, error)
}

// An Outcome is a check that was run.
type Outcome struct {
	Check
	Got float64
	Err error // why there is no number
}

// Pass reports whether the number was computed and is within the tolerance.
func (o Outcome) Pass() bool {
	return o.Err == nil && math.Abs(o.Got-o.Want) <= o.Tol // false for NaN
}

// All returns every check, in the order of topics and sources. An embedded file that cannot be
// read is a fault of the program and panics.
func All() []Check {
	return append(cases(), tables()...)
}

// Run runs all checks in order.
//
//	progress  called before each check with the number done and of all; may be nil
//
// The error is that of ctx; a miss is none.
func Run(ctx context.Context, progress func(done, all int)) ([]Outcome, error) {
	return run(ctx, All(), progress)
}

func run(ctx context.Context, checks []Check, progress func(done, all int)) ([]Outcome, error) {
	outcomes := make([]Outcome, 0, len(checks))
	for i, c := range checks {
		if progress != nil {
			progress(i, len(checks))
		}
		got, err := c.Run(ctx)
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err == nil && (math.IsNaN(got) || math.IsInf(got, 0)) {
			got, err = 0, fmt.Errorf("%s: no finite number", c.ID)
		}
		outcomes = append(outcomes, Outcome{Check: c, Got: got, Err: err})
	}
	return outcomes, nil
}

// Missed counts the outcomes that do not pass.
func Missed(outcomes []Outcome) int {
	missed := 0
	for _, o := range outcomes {
		if !o.Pass() {
			missed++
		}
	}
	return missed
}
