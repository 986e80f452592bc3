package fit

import (
	"errors"
	"fmt"
	"math"
)

// A Parameter is one unknown of a formula.
type Parameter struct {
	Name     string
	Start    float64 // moved inside the bounds where it is not
	Min, Max float64 // Min < Max, ±Inf where open; both 0: no bounds
	Scale    float64 // how large a change of it matters, for differences about 0; 0: |Start|, or 1 where that is 0
}

// A Problem is a formula with readings.
type Problem struct {
	Parameters []Parameter
	Points     int // residuals
	// Residuals sets r, of length Points, for parameters p; false where the formula has no value.
	// It must not keep its arguments.
	Residuals func(p, r []float64) bool
	// Jacobian sets j[i][k] = ∂r[i]/∂p[k]; false where it has no value. nil: by differences.
	Jacobian func(p []float64, j [][]float64) bool
	// Enough ends the search where a step takes less than Enough² of the sum off, or a whole step would: the
	// relative offset of Bates and Watts 1988, 2.2.3, about. 0: to the last digit that the sum can tell.
	Enough float64
}

// Result is a least sum of squares.
type Result struct {
	At        []float64 // the parameters, in the order of the problem
	AtBound   []bool    // it lies at a bound, against which the readings push it
	SE        []float64 // standard errors from the curvature; 0 at a bound and where not Determined
	Residuals []float64
	Sum       float64 // of their squares
	// Variance of a residual, and its degrees of freedom, by which intervals are made: at first
	// Sum/DOF and the points less the parameters that are not at a bound.
	Variance, DOF float64
	Determined    bool // the readings tell each parameter from the others
	Steps         int  // that were taken

	problem  Problem
	inverse  [][]float64 // of JᵀJ, over the parameters that are not at a bound; nil where not Determined
	position []int       // of a parameter in inverse; -1 at a bound
}

// ErrNoStart: the formula has no value at the start.
var ErrNoStart = errors.New("the formula has no value at the start; want parameters at which it has")

// Solve returns the parameters of the least sum of squares that is found downhill from the start.
//
// A problem without a sense, or without a value at its start, is an error. That the readings do not
// tell all parameters apart is not: see Determined.
func Solve(p Problem) (*Result, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	s := newSearch(p, p.start(), nil)
	if !s.begin() {
		return nil, ErrNoStart
	}
	s.run()
	return s.result(), nil
}

// SolveFrom returns the best of several starts; those without a value count as not given.
func SolveFrom(p Problem, starts ...[]float64) (*Result, error) {
	var best *Result
	for _, start := range starts {
		if len(start) != len(p.Parameters) {
			return nil, fmt.Errorf("a start of %d parameters; want %d", len(start), len(p.Parameters))
		}
		from := p
		from.Parameters = append([]Parameter(nil), p.Parameters...)
		for k, v := range start {
			from.Parameters[k].Start = v
		}
		r, err := Solve(from)
		switch {
		case errors.Is(err, ErrNoStart):
		case err != nil:
			return nil, err
		case best == nil || r.Sum < best.Sum:
			best = r
		}
	}
	if best == nil {
		return nil, ErrNoStart
	}
	return best, nil
}

func (p *Problem) check() error {
	switch {
	case len(p.Parameters) == 0:
		return errors.New("no parameters; want one or more")
	case p.Points <= len(p.Parameters):
		return fmt.Errorf("%d readings for %d parameters; want more readings than parameters", p.Points, len(p.Parameters))
	case p.Residuals == nil:
		return errors.New("no formula; want one")
	}
	for _, q := range p.Parameters {
		min, max := q.bounds()
		switch {
		case !finite(q.Start) || !finite(q.Scale) || q.Scale < 0:
			return fmt.Errorf("%s: start %v and scale %v; want finite numbers, the scale 0 or more", q.Name, q.Start, q.Scale)
		case !(min < max):
			return fmt.Errorf("%s: bounds %v and %v; want the first below the second", q.Name, min, max)
		}
	}
	return nil
}

func (q *Parameter) bounds() (min, max float64) {
	if q.Min == 0 && q.Max == 0 {
		return math.Inf(-1), math.Inf(1)
	}
	return q.Min, q.Max
}

// within returns v moved inside the bounds.
func (q *Parameter) within(v float64) float64 {
	low, high := q.bounds()
	return max(low, min(v, high))
}

// size is what a change of the parameter is measured by.
func (q *Parameter) size() float64 {
	switch {
	case q.Scale > 0:
		return q.Scale
	case q.Start != 0:
		return math.Abs(q.Start)
	}
	return 1
}

func (p *Problem) start() []float64 {
	at := make([]float64, len(p.Parameters))
	for k := range at {
		at[k] = p.Parameters[k].within(p.Parameters[k].Start)
	}
	return at
}

// residuals computes r and its sum of squares; ok is false where there is none.
func (p *Problem) residuals(at, r []float64) (sum float64, ok bool) {
	if !p.Residuals(at, r) {
		return 0, false
	}
	for _, v := range r {
		sum += v * v
	}
	return sum, finite(sum)
}

func finite(v float64) bool { return math.Abs(v) <= math.MaxFloat64 }
