package single

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strconv"

	"hindwatt/internal/numeric"
)

// An Input is one that may be wrong.
type Input struct {
	Name, From string
	Value      float64
	Tolerance  float64              // half-width of what it is stated to lie in; > 0
	Low, High  float64              // how far it may go at all, Low < Value < High; both 0: as far as is looked
	Show       func(float64) string // words a value of it; nil: by its number
}

// A Change is what one input would have to be.
type Change struct {
	Input
	To      float64 // its value that gives the figure; where it does not reach, that which comes nearest
	Times   float64 // how far that is, in tolerances
	Reaches bool
	Figure  float64 // the figure at To
}

// A Figure is the figure with one input at another value; input is -1 for none. An error, or a figure that is not
// finite, ends how far that input is followed.
type Figure func(input int, x float64) (float64, error)

// How far an input is followed, in tolerances: by doubling steps.
const (
	first    = 0.25
	furthest = 1024
	within   = 1e-6 // of a tolerance, to which the change is found
	near     = 1e-2 // of the way, within which the figure then has to lie
)

// Find looks for the change of each input alone that brings a figure to a value; they come back ranked.
//
//	want    the value
//	figures makes a Figure for one goroutine
//
// A figure need not be monotone in an input: the nearest crossing on either side counts. A crossing and its return
// between two steps of the doubling are not seen.
func Find(ctx context.Context, want float64, inputs []Input, figures func() (Figure, error)) ([]Change, error) {
	changes := make([]Change, len(inputs))
	err := numeric.Parallel(ctx, len(inputs), func(i int) error {
		f, err := figures()
		if err != nil {
			return err
		}
		at, err := f(-1, 0)
		if err != nil {
			return err
		}
		changes[i] = one(f, i, inputs[i], at, want)
		return nil
	})
	slices.SortStableFunc(changes, func(a, b Change) int {
		switch {
		case a.Reaches != b.Reaches:
			return map[bool]int{true: -1, false: 1}[a.Reaches]
		case a.Reaches:
			return cmp.Compare(a.Times, b.Times)
		}
		return cmp.Compare(math.Abs(a.Figure-want), math.Abs(b.Figure-want))
	})
	return changes, err
}

// one looks for the change of one input, at being the figure as it is.
func one(f Figure, i int, in Input, at, want float64) Change {
	best := Change{Input: in, To: in.Value, Figure: at}
	if at == want {
		best.Reaches = true
		return best
	}
	for _, sign := range []float64{-1, 1} {
		last, lastOff := in.Value, at-want
		for step := first; step <= furthest; step *= 2 {
			x := in.Value + sign*step*in.Tolerance
			end := false
			if in.Low != in.High && (x <= in.Low || x >= in.High) {
				x, end = min(max(x, in.Low), in.High), true
			}
			v, err := f(i, x)
			if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
				break
			}
			off := v - want
			if (off > 0) != (lastOff > 0) || off == 0 {
				if c, ok := cross(f, i, in, at, want, last, x); ok && (!best.Reaches || c.Times < best.Times) {
					best = c
				}
				break
			}
			if !best.Reaches && math.Abs(off) < math.Abs(best.Figure-want) {
				best.To, best.Figure, best.Times = x, v, math.Abs(x-in.Value)/in.Tolerance
			}
			if end {
				break
			}
			last, lastOff = x, off
		}
	}
	return best
}

// cross finds the change between two values on whose sides the figure lies on either side of what is wanted. A jump
// over it does not reach it.
func cross(f Figure, i int, in Input, at, want, from, to float64) (Change, bool) {
	x, err := numeric.FindRoot(func(x float64) float64 {
		v, err := f(i, x)
		if err != nil {
			return math.NaN()
		}
		return v - want
	}, min(from, to), max(from, to), within*in.Tolerance)
	if err != nil {
		return Change{}, false
	}
	v, err := f(i, x)
	ok := err == nil && math.Abs(v-want) <= near*math.Abs(at-want)
	return Change{Input: in, To: x, Times: math.Abs(x-in.Value) / in.Tolerance, Reaches: true, Figure: v}, ok
}

// Shown words the value that an input would have to be.
func (c Change) Shown() string { return c.shown(c.To) }

// Is words the value that it is.
func (c Change) Is() string { return c.shown(c.Value) }

func (c Change) shown(x float64) string {
	if c.Show == nil {
		return strconv.FormatFloat(x, 'g', 4, 64)
	}
	return c.Show(x)
}
