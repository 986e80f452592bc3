package weather

import (
	"fmt"
	"strings"
)

// A Fault is one thing wrong in a file of weather.
type Fault struct {
	File         string
	Line, Column int // from 1, columns in characters; 0 where there is none
	Key          string
	Problem      string
	Want         string
}

// Error returns `file:line:column: key: problem; want`.
func (f *Fault) Error() string {
	s := f.File
	if f.Line > 0 {
		s += fmt.Sprintf(":%d", f.Line)
	}
	if f.Column > 0 {
		s += fmt.Sprintf(":%d", f.Column)
	}
	if f.Key != "" {
		s += ": " + f.Key
	}
	s += ": " + f.Problem
	if f.Want != "" {
		s += "; " + f.Want
	}
	return s
}

// Faults are all that is wrong in a file, at most 20.
type Faults []*Fault

// Error returns each fault on a line of its own.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, fault := range f {
		lines[i] = fault.Error()
	}
	return strings.Join(lines, "\n")
}

const mostFaults = 20
