package fit

import (
	"math"

	"hindwatt/internal/numeric"
)

// Profile returns a parameter with limits at which the best fit of all the others has become worse
// by as much as the level allows: Bates and Watts, eq. 6.3. A side on which it never does, up to the
// parameter's bound or as far as can be gone, is open. A parameter that at its bound is still as good has
// that bound for a limit, not open where it is the bound itself that is best.
func (r *Result) Profile(k int, level float64) Interval {
	out := Interval{Best: r.At[k]}
	out.Low, out.OpenLow = r.side(k, -1, level)
	out.High, out.OpenHigh = r.side(k, +1, level)
	return out
}

// far is how often the first step out is doubled before a side is called open.
const far = 40

// side finds the limit on one side.
func (r *Result) side(k int, sign, level float64) (limit float64, isOpen bool) {
	low, high := r.problem.Parameters[k].bounds()
	end := high
	if sign < 0 {
		end = low
	}
	best, t := r.At[k], Student(level, r.DOF)
	if best == end {
		return best, false
	}
	step := r.SE[k] * t
	if !(step > 0) || !finite(step) {
		step = 0.01 * math.Max(math.Abs(best), r.problem.Parameters[k].size())
	}
	rest := append([]float64(nil), r.At...)
	// lack is by how much the fit with the parameter held is not yet bad enough
	lack := func(v float64) float64 {
		sum, ok := r.held(k, v, rest)
		if !ok {
			return t // beyond where the formula has a value
		}
		return math.Sqrt(math.Max(0, sum-r.Sum)/r.Variance) - t
	}
	if r.Variance == 0 {
		return best, false
	}
	inside := best
	for n := range far {
		v := best + sign*step*math.Exp2(float64(n))
		if sign*(v-end) >= 0 {
			v = end
		}
		if !finite(v) {
			break
		}
		if lack(v) >= 0 {
			copy(rest, r.At)
			root, err := numeric.FindRoot(lack, inside, v, 1e-3*math.Abs(v-inside))
			if err != nil {
				return v, false
			}
			return root, false
		}
		if v == end {
			return end, true
		}
		inside = v
	}
	return inside, true
}

// held returns the least sum with parameter k at v; the others start from rest and are left there.
func (r *Result) held(k int, v float64, rest []float64) (sum float64, ok bool) {
	fixed := make([]bool, len(rest))
	fixed[k] = true
	best := math.Inf(1)
	for _, from := range [][]float64{rest, r.At} {
		at := append([]float64(nil), from...)
		at[k] = v
		s := newSearch(r.problem, at, fixed)
		s.damping = 1e-3 // it is near
		if !s.begin() {
			continue
		}
		s.run()
		if s.sum < best {
			best = s.sum
			copy(rest, s.at)
		}
	}
	return best, finite(best)
}
