package conductor

import (
	"errors"
	"fmt"
	"math"

	"hindwatt/internal/quantity"
)

// Fault is an argument out of its range: what is wrong; what is accepted.
type Fault struct {
	Argument string
	Value    float64 // in SI units
	Dim      quantity.Dimension
	Want     string
}

func (f *Fault) Error() string {
	return fmt.Sprintf("%s: %s is not possible; want %s", f.Argument, quantity.Format(f.Value, f.Dim, "", -4), f.Want)
}

var (
	// ErrNotAdiabatic: the heating lasts so long that heat is lost on the way, so that the time from the
	// adiabatic law would be too short and the current too small to be of use.
	ErrNotAdiabatic = errors.New("longer than 5 s, where heat is lost on the way and the adiabatic law no longer holds")
	// ErrHolds: the current does not open the fuse.
	ErrHolds = errors.New("the fuse holds this current")
	// ErrNoSteadyState: the wire would melt before it reached a steady temperature.
	ErrNoSteadyState = errors.New("no steady temperature below the melting point of copper")
)

// A bound checks one argument.
type bound struct {
	name     string
	value    float64
	dim      quantity.Dimension
	low, top float64 // low ≤ value ≤ top
	want     string
}

// check returns the first argument out of its range; NaN is out of every range.
func check(bounds ...bound) error {
	for _, b := range bounds {
		if !(b.value >= b.low && b.value <= b.top) {
			v := b.value
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return fmt.Errorf("%s: not a number; want %s", b.name, b.want)
			}
			return &Fault{b.name, v, b.dim, b.want}
		}
	}
	return nil
}

const (
	zeroCelsius = 273.15 // K
	tiny        = 1e-12  // m, m², A, s: the least that counts as above 0
	huge        = 1e6
)

func aLength(name string, v float64) bound {
	return bound{name, v, quantity.Length, tiny, huge, "a length above 0"}
}

func anArea(v float64) bound {
	return bound{"area", v, quantity.Area, tiny, 1, "an area above 0 such as 2.5 mm²"}
}

func aCurrent(v float64) bound {
	return bound{"current", v, quantity.Current, tiny, 1e9, "a current above 0"}
}

func aTime(v float64) bound {
	return bound{"time", v, quantity.Time, tiny, 1e9, "a time above 0"}
}

func aTemperature(name string, v float64) bound {
	return bound{name, v, quantity.TemperaturePoint, 73.15, CopperMelting, "a temperature from -200 °C to the melting point of copper, 1083 °C"}
}
