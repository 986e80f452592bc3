package hardware

import "fmt"

// An InputError says what is wrong with a value and what is accepted.
type InputError struct{ At, Problem, Want string }

// Error returns "At: Problem; Want".
func (e *InputError) Error() string {
	if e.At == "" {
		return e.Problem + "; " + e.Want
	}
	return e.At + ": " + e.Problem + "; " + e.Want
}

// A Runaway says that no steady state exists: the loss of a part grows faster than its cooling.
type Runaway struct {
	Part    string  // "" where none alone is to blame
	Ambient float64 // K, at which it was asked
}

// Error names the part and the ambient.
func (e *Runaway) Error() string {
	return fmt.Sprintf("%s runs away at an ambient of %.1f °C: its loss grows faster than its cooling; want a cooler place, less current or less leakage", e.Part, e.Ambient-273.15)
}

// An Unsolved says that the circuit has no operating point, and why.
type Unsolved struct{ Err error }

func (e *Unsolved) Error() string { return "the circuit can't be solved: " + e.Err.Error() }
func (e *Unsolved) Unwrap() error { return e.Err }

// A Unit is one concrete controller. It belongs to one goroutine.
type Unit struct{ design *Design }

// Unit makes one concrete controller.
//
//	values  one for each of Variables, in SI units; nil: all nominal
//
// Errors: *InputError for what Check calls fatal and for values out of range.
func (d *Design) Unit(values []float64) (*Unit, error) { return &Unit{design: d}, nil }

// Set gives the unit other values, as Design.Unit takes them, without allocating.
func (u *Unit) Set(values []float64) error { return nil }

// Operate returns the point at which the unit settles.
//
// Errors: *InputError, *Runaway, *Unsolved.
func (u *Unit) Operate(o Outside, s State) (*Point, error) {
	return nil, &InputError{"hardware", "the operating point is not computed yet", "a later version"}
}

// Largest returns the largest held panel current at which every limit holds, and which part stops it; Outside.Panel.Current is
// not looked at. A current of 0 with Bound says that a limit is broken even without any.
//
// Errors: as Operate.
func (u *Unit) Largest(o Outside, s State, f Find) (Rating, error) {
	return Rating{}, &InputError{"hardware", "the operating point is not computed yet", "a later version"}
}

// Critical returns the ambient, K, from which on there is no steady state at these conditions, and the part that runs away;
// ok is false if there is one up to most.
//
// Errors: *InputError, *Unsolved.
func (u *Unit) Critical(o Outside, s State, most float64) (ambient float64, part string, ok bool, err error) {
	return 0, "", false, &InputError{"hardware", "the operating point is not computed yet", "a later version"}
}
