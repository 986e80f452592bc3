package rating

import (
	"slices"

	"hindwatt/internal/hardware"
	"hindwatt/internal/page"
)

// Result is the answer of the study under one set of conditions.
type Result struct {
	Input    Input
	Outcomes []*Outcome // in the order of Quantities
	Duties   []Regulation
	Worst    float64 // the duty at which a nominal unit carries least
	Runaway  Runaway
	Point    *hardware.Point // a nominal unit conducting the asked current, at the worst ambient; nil if it runs away or none is asked
	Faults   []hardware.Fault
	Warnings []page.Note

	lacks  []lack
	place  place // the asked current, at the hottest ambient of the conditions
	probe  *probe
	states map[string][]duty
}

type lack struct {
	need     page.Lack
	quantity string
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

// Computable reports whether the circuit could be looked at.
func (r *Result) Computable() bool { return r.probe != nil }
