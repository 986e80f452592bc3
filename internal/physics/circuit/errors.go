package circuit

import (
	"fmt"
	"strings"
)

// A ValueError is an impossible value of a part, or a fault of the building.
type ValueError struct{ Problem string }

func (e *ValueError) Error() string { return "circuit: " + e.Problem }

// A NoUniqueError says why a network has not one solution, but none or any number.
type NoUniqueError struct {
	// Floating are the nodes whose voltages nothing fixes, with each other only by parts that lead
	// no further; empty if sources are at fault.
	Floating []string

	// Sources are the ideal sources and shorts that lie in one loop; where Floating is set, the
	// current sources that drive into it.
	Sources []string

	// Consistent is true where any number of solutions fits, false where none does.
	Consistent bool
}

func (e *NoUniqueError) Error() string {
	nodes, parts := strings.Join(e.Floating, ", "), strings.Join(e.Sources, ", ")
	alone := len(e.Floating) == 0 && len(e.Sources) == 1
	switch {
	case len(e.Floating) > 0 && e.Consistent:
		return "circuit: no unique solution: nothing fixes the voltage of " + nodes + "; want a resistive path to gnd"
	case len(e.Floating) > 0:
		return fmt.Sprintf("circuit: no solution: the current of %s into %s has no way back; want a resistive path to gnd", parts, nodes)
	case alone && e.Consistent:
		return "circuit: no unique solution: nothing settles the current of " + parts + ", which joins a node to itself; want a resistance in its loop"
	case alone:
		return "circuit: no solution: " + parts + " contradicts itself as it joins a node to itself; want its ends at two nodes"
	case e.Consistent:
		return "circuit: no unique solution: nothing settles how " + parts + " share their current; want a resistance in their loop"
	}
	return "circuit: no solution: " + parts + " contradict each other; want a resistance in their loop"
}

// An OutOfReachError says that no solution lies within 1e9 V: a current is forced through what lets none through, such as
// a diode without breakdown, backwards.
type OutOfReachError struct {
	Node string // with the largest voltage
}

func (e *OutOfReachError) Error() string {
	return "circuit: no solution below 1e9 V, at " + e.Node + ": a current is forced through what does not let it through, such as a diode without breakdown; want another path for it"
}

// A NotSolvedError says that no solution was found though there should be one.
type NotSolvedError struct {
	Node       string  // at which the currents sum to most, "" if unknown
	Residual   float64 // that sum, A
	Iterations int
}

func (e *NotSolvedError) Error() string {
	at := ""
	if e.Node != "" {
		at = fmt.Sprintf(", %.3g A over at %s", e.Residual, e.Node)
	}
	return fmt.Sprintf("circuit: not solved in %d iterations%s; want values nearer to those of real parts", e.Iterations, at)
}
