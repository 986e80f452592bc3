package fit

import "math"

// A search goes downhill.
type search struct {
	problem *Problem
	fixed   []bool    // parameters that stay
	at, r   []float64 // where it is, and the residuals there
	sum     float64
	length  []float64 // the longest that each column was: the unit of its parameter
	steps   int
	damping float64 // at first
}

func newSearch(p Problem, at []float64, fixed []bool) *search {
	if fixed == nil {
		fixed = make([]bool, len(at))
	}
	return &search{problem: &p, fixed: fixed, at: at, r: make([]float64, p.Points), length: make([]float64, len(at)), damping: cautious}
}

func (s *search) begin() (ok bool) {
	s.sum, ok = s.problem.residuals(s.at, s.r)
	return ok
}

// How the search ends.
const (
	mostSteps   = 10000
	patience    = 300 // steps, after which a column's length is only that of now: along a curved valley it changes by decades
	cautious    = 1e3 // damping at first
	mostDamping = 1e20
	nearEnough  = 1e-11 // of the residuals' length, that a whole step would still take off
	leastGain   = 1e-4  // of what was expected of a step
)

// run steps until nothing lowers the sum.
func (s *search) run() {
	damping, grow := s.damping, 2.0
	next, r := make([]float64, len(s.at)), make([]float64, len(s.r))
	for ; s.steps < mostSteps; s.steps++ {
		l, ok := s.linear()
		if !ok || l.offset() <= math.Max(nearEnough, s.problem.Enough)*math.Sqrt(s.sum) {
			break
		}
		expected := s.trial(l, damping, next)
		sum, ok := s.problem.residuals(next, r)
		for gain := (s.sum - sum) / expected; !(ok && expected > 0 && gain > leastGain); gain = (s.sum - sum) / expected {
			damping *= grow
			grow *= 2
			if damping > mostDamping || s.still(next) {
				s.polish()
				return
			}
			expected = s.trial(l, damping, next)
			sum, ok = s.problem.residuals(next, r)
		}
		damping *= math.Max(1./3, 1-math.Pow(2*(s.sum-sum)/expected-1, 3)) // Nielsen, eq. 2.21
		damping, grow = math.Max(damping, 1e-16), 2
		copy(s.at, next)
		enough := s.sum-sum < s.problem.Enough*s.problem.Enough*s.sum
		s.r, r, s.sum = r, s.r, sum
		if enough {
			break
		}
	}
	s.polish()
}

// trial sets next to where a damped step leads, inside the bounds, and returns what the straight
// lines expect of it.
func (s *search) trial(l *linear, damping float64, next []float64) (expected float64) {
	step := l.solve(damping)
	copy(next, s.at)
	for c, k := range l.columns {
		next[k] = s.problem.Parameters[k].within(s.at[k] + step[c]/l.length[c])
		step[c] = (next[k] - s.at[k]) * l.length[c]
	}
	return l.expected(step)
}

// still reports that a step is too small to change anything.
func (s *search) still(next []float64) bool {
	for k, v := range next {
		if math.Abs(v-s.at[k]) > 1e-15*math.Abs(v) {
			return false
		}
	}
	return true
}

// polish takes whole steps as long as they lower what a whole step would take off: near the bottom
// the sum itself no longer tells apart parameters that differ in their second half of digits.
func (s *search) polish() {
	if s.problem.Enough > 0 {
		return
	}
	r := make([]float64, len(s.r))
	next := make([]float64, len(s.at))
	l, ok := s.linear()
	for range 8 {
		if !ok {
			return
		}
		s.trial(l, 0, next)
		sum, valid := s.problem.residuals(next, r)
		if !valid || sum > s.sum*(1+1e-11) {
			return
		}
		old, oldR, oldSum := s.at, s.r, s.sum
		s.at, s.r, s.sum = append([]float64(nil), next...), append([]float64(nil), r...), sum
		then, fine := s.linear()
		if !fine || !(then.offset() < l.offset()) {
			s.at, s.r, s.sum = old, oldR, oldSum
			return
		}
		l, ok = then, fine
	}
}

// result makes the result of where the search ended.
func (s *search) result() *Result {
	p := *s.problem
	out := &Result{At: s.at, AtBound: make([]bool, len(s.at)), SE: make([]float64, len(s.at)), Residuals: s.r, Sum: s.sum,
		Steps: s.steps, problem: p, position: make([]int, len(s.at))}
	for k := range out.position {
		out.position[k] = -1
	}
	l, ok := s.linear()
	if !ok {
		out.DOF = float64(p.Points - len(s.at))
		out.Variance = s.sum / out.DOF
		return out
	}
	for k := range out.AtBound {
		out.AtBound[k] = true
	}
	for c, k := range l.columns {
		out.AtBound[k], out.position[k] = false, c
	}
	out.DOF = float64(p.Points - len(l.columns))
	out.Variance = s.sum / out.DOF
	if out.inverse, out.Determined = l.inverse(); !out.Determined {
		return out
	}
	for c, k := range l.columns {
		out.SE[k] = math.Sqrt(out.Variance * out.inverse[c][c])
	}
	return out
}
