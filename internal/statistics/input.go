package statistics

import (
	"fmt"
	"math"

	"hindwatt/internal/quantity"
)

// Distribution is what is known about an input's spread.
type Distribution int

const (
	NormalDist  Distribution = iota // normal with standard uncertainty U; t if DOF is finite
	Rectangular                     // any value between Low and High alike
	Triangular                      // symmetric, the middle likeliest
	Arcsine                         // U-shaped: a sine wave of unknown phase between Low and High
	StudentT                        // shifted and scaled t: Value + U·t(DOF)
)

var distributionNames = [...]string{"normal", "rectangular", "triangular", "arcsine", "t"}

func (d Distribution) String() string {
	if d < 0 || int(d) >= len(distributionNames) {
		return fmt.Sprintf("distribution %d", int(d))
	}
	return distributionNames[d]
}

func (d Distribution) bounded() bool { return d == Rectangular || d == Triangular || d == Arcsine }

// perHalfWidth is the standard deviation of a bounded distribution between -1 and 1:
// JCGM 100 4.3.7, 4.3.9; JCGM 101 6.4.6.
var perHalfWidth = map[Distribution]float64{
	Rectangular: 1 / math.Sqrt(3),
	Triangular:  1 / math.Sqrt(6),
	Arcsine:     1 / math.Sqrt2,
}

// An Input is one quantity that a figure is computed from.
//
// A bounded distribution has its limits either as Low < High, or, both being 0, by
// its standard uncertainty U about Value. With limits, U is not read, and Value must lie between
// them; if it is not in their middle, Propagate expands about it with the full
// width (JCGM 100 4.3.8), while MonteCarlo draws between the limits (JCGM 101 6.4.2).
type Input struct {
	Name      string
	Value     float64 // best estimate
	U         float64 // standard uncertainty, ≥ 0; 0 without limits is an exact value
	DOF       float64 // degrees of freedom of U, > 0; 0 or +Inf: U is known exactly
	Dist      Distribution
	Low, High float64

	Dim  quantity.Dimension // for messages alone; none is a plain number
	Unit string             // unit to write it in; "" is that of Dim
}

// limits returns the ends of a bounded distribution.
func (in Input) limits() (low, high float64) {
	if in.Low != 0 || in.High != 0 {
		return in.Low, in.High
	}
	half := in.U / perHalfWidth[in.Dist]
	return in.Value - half, in.Value + half
}

// standard returns the standard uncertainty.
func (in Input) standard() float64 {
	if in.Dist.bounded() && (in.Low != 0 || in.High != 0) {
		return (in.High - in.Low) / 2 * perHalfWidth[in.Dist]
	}
	return in.U
}

func (in Input) dof() float64 {
	if in.DOF == 0 {
		return math.Inf(1)
	}
	return in.DOF
}

func finite(x float64) bool { return math.Abs(x) <= math.MaxFloat64 }

// check tells what is wrong with an input.
func (in Input) check() error {
	wrong := func(what string, is any, want string) error {
		return fmt.Errorf("input %s: %s is %v; want %s", in.Name, what, is, want)
	}
	limited := in.Dist.bounded() && (in.Low != 0 || in.High != 0)
	switch {
	case in.Dist < 0 || int(in.Dist) >= len(distributionNames):
		return wrong("distribution", int(in.Dist), "one that the package names")
	case !finite(in.Value):
		return wrong("value", in.Value, "a finite number")
	case !(in.U >= 0 && finite(in.U)):
		return wrong("standard uncertainty", in.U, "0 or more")
	case !(in.DOF >= 0):
		return wrong("degrees of freedom", in.DOF, "more than 0, or 0 for infinitely many")
	case in.Dist == StudentT && !finite(1/in.DOF):
		return wrong("degrees of freedom", in.DOF, "more than 0 for a t distribution")
	case limited && !(finite(in.Low) && finite(in.High) && in.Low <= in.High):
		return wrong("limits", fmt.Sprintf("%v..%v", in.Low, in.High), "low ≤ high")
	case limited && !(in.Low <= in.Value && in.Value <= in.High):
		return wrong("value", in.Value, fmt.Sprintf("it between its limits %v and %v", in.Low, in.High))
	}
	return nil
}

// checkInputs tells the first fault of any input, of two names alike among them.
func checkInputs(in []Input) error {
	seen := map[string]bool{}
	for _, one := range in {
		if err := one.check(); err != nil {
			return err
		}
		if seen[one.Name] {
			return fmt.Errorf("input %s: given twice; want each name once", one.Name)
		}
		seen[one.Name] = true
	}
	return nil
}
