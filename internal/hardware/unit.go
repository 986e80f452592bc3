package hardware

import (
	"fmt"
	"math"
	"strings"
)

// An InputError says what is wrong with a value and what is accepted.
type InputError struct{ At, Problem, Want string }

// Error returns "At: Problem; Want".
func (e *InputError) Error() string {
	if e.At == "" {
		return e.Problem + "; " + e.Want
	}
	return e.At + ": " + e.Problem + "; " + e.Want
}

// refused takes over the words of a package below, which are "what is wrong; what is accepted".
func refused(at string, err error) error {
	problem, want, found := strings.Cut(err.Error(), "; ")
	if !found {
		want = "want another value"
	}
	return &InputError{at, problem, want}
}

// A Runaway says that no steady state exists: the loss of a part grows faster than its cooling.
type Runaway struct {
	Part    string  // the component that runs away
	Ambient float64 // K, at which it was asked
}

// Error names the part and the ambient.
func (e *Runaway) Error() string {
	return fmt.Sprintf("%s has no steady temperature at an ambient of %.1f °C: its heat grows faster than it is carried away; want a cooler place, less current or less leakage", e.Part, e.Ambient-273.15)
}

// An Unsolved says that the circuit has no operating point, and why.
type Unsolved struct{ Err error }

func (e *Unsolved) Error() string { return "no operating point: " + e.Err.Error() }

// Unwrap returns the error of the network.
func (e *Unsolved) Unwrap() error { return e.Err }

// A Unit is one concrete controller. It belongs to one goroutine.
type Unit struct {
	d     *Design
	l     *layout
	x     *store
	slots []slot
	parts []model

	charging, stopped *wiring // the two parts of a cycle
	state             [2][]flow
	heat              *thermal
	temps             []float64 // K, of each component
	losses            []loss
	leads             [2]float64 // Ω, of battery and panel, both conductors
	limits            [][]Limit  // of each component
	extra             []Loss     // of each component, what the network at rest does not see: edges and leads

	outside Outside
	s       State

	plain   bool                // every value is nominal
	nominal *Unit               // a unit of the same design that is; nil: not made yet
	starts  map[question]*start // of a nominal unit; nil of a question that it has no answer to
}

// Unit makes one concrete controller.
//
//	values  one for each of Variables, in SI units; nil: all nominal
//
// Errors: *InputError for what Check calls fatal, for missing keys that the currents need, and for values out of range.
func (d *Design) Unit(values []float64) (*Unit, error) {
	for _, f := range d.Check() {
		if f.Fatal {
			return nil, &InputError{f.At, f.Text, "want " + f.Want}
		}
	}
	for _, m := range d.Lacks() {
		if m.Fatal {
			return nil, &InputError{m.Key, "it is missing", "want it in " + m.File}
		}
	}
	u := &Unit{d: d, l: d.layout(), leads: [2]float64{d.BatteryLead.Ohms(copperReference), d.PanelLead.Ohms(copperReference)}}
	u.x, u.slots = d.values()
	n := len(d.Components)
	u.parts, u.temps, u.losses, u.extra = make([]model, n), make([]float64, n), make([]loss, n), make([]Loss, n)
	u.state = [2][]flow{make([]flow, n+beyond), make([]flow, n+beyond)}
	u.charging, u.stopped = d.wire(u.l), d.wire(u.l)
	for i := range d.Components {
		if err := u.parts[i].fit(&d.Components[i]); err != nil {
			return nil, err
		}
	}
	var err error
	u.limits = d.limits()
	if u.heat, err = d.thermal(u.x); err != nil {
		return nil, err
	}
	for i := range u.losses {
		u.heat.feed(i, &u.losses[i])
	}
	return u, u.Set(values)
}

// Set gives the unit other values, as Design.Unit takes them.
func (u *Unit) Set(values []float64) error {
	if values != nil && len(values) != len(u.slots) {
		return &InputError{"values", fmt.Sprintf("there are %d", len(values)), fmt.Sprintf("want %d, one for each of Variables", len(u.slots))}
	}
	u.plain = values == nil
	for i := range u.slots {
		s := &u.slots[i]
		v := s.Quantity.Value
		if values != nil {
			v = values[i]
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return &InputError{s.Name, "its value is not a number", "want a finite one"}
		}
		*s.to = v
	}
	for i := range u.parts {
		if err := u.parts[i].derive(&u.d.Components[i], &u.x.parts[i]); err != nil {
			return err
		}
	}
	return u.heat.set(u.x)
}
