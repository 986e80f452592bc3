package statistics

import (
	"fmt"
	"math"
)

// Conformance returns the probability that the true value lies between min and max (±Inf where open)
// when it was measured as value with standard uncertainty u, normal (JCGM 106:2012 7.3, 7.4). With
// u = 0 it is 1 or 0. Arguments that make no sense (NaN, u < 0, min > max) give 0.
func Conformance(value, u, min, max float64) float64 {
	if !(min <= max && u >= 0 && finite(value) && !math.IsInf(u, 1)) {
		return 0
	}
	if u == 0 {
		if min <= value && value <= max {
			return 1
		}
		return 0
	}
	return normalBetween((min-value)/u, (max-value)/u)
}

// An Inspection is a test of every unit against acceptance limits, with a measurement that errs.
type Inspection struct {
	Mean, SD             float64 // of the production, normal; SD > 0
	U                    float64 // standard uncertainty of the measurement, normal; ≥ 0
	Min, Max             float64 // what is promised; ±Inf where open, not both
	AcceptMin, AcceptMax float64 // what is accepted; ±Inf where open
}

// A Risk tells how an inspection ends, as joint probabilities for a unit picked at random.
type Risk struct {
	Conforming  float64 // the unit is inside Min..Max
	Accepted    float64 // it was measured inside AcceptMin..AcceptMax
	FalseAccept float64 // it is outside and was accepted: the consumer's risk, JCGM 106 eq. 17
	FalseReject float64 // it is inside and was rejected: the producer's risk, eq. 19
}

func (in Inspection) check() error {
	switch {
	case !finite(in.Mean):
		return fmt.Errorf("mean is %v; want a finite number", in.Mean)
	case !(in.SD > 0 && finite(in.SD)):
		return fmt.Errorf("sd is %v; want more than 0", in.SD)
	case !(in.U >= 0 && finite(in.U)):
		return fmt.Errorf("u is %v; want 0 or more", in.U)
	case !(in.Min < in.Max):
		return fmt.Errorf("bound is %v..%v; want min < max", in.Min, in.Max)
	case math.IsInf(in.Min, -1) && math.IsInf(in.Max, 1):
		return fmt.Errorf("bound is open on both sides; want a min or a max")
	case !(in.AcceptMin <= in.AcceptMax):
		return fmt.Errorf("acceptance limits are %v..%v; want min ≤ max", in.AcceptMin, in.AcceptMax)
	}
	return nil
}

// GuardBand returns the risks of an inspection, to about 1e-12: the global risks of JCGM 106:2012 9.5,
// normal production and measurement, by integration over the true value.
func GuardBand(in Inspection) (Risk, error) {
	if err := in.check(); err != nil {
		return Risk{}, err
	}
	return in.risk(), nil
}

func (in Inspection) risk() Risk {
	within := math.Hypot(in.SD, in.U)
	r := Risk{
		Conforming: Conformance(in.Mean, in.SD, in.Min, in.Max),
		Accepted:   Conformance(in.Mean, within, in.AcceptMin, in.AcceptMax),
	}
	accept := func(y float64) float64 { return Conformance(y, in.U, in.AcceptMin, in.AcceptMax) }
	reject := func(y float64) float64 {
		if in.U == 0 {
			return 1 - accept(y)
		}
		return NormalCDF((in.AcceptMin-y)/in.U) + NormalCDF((y-in.AcceptMax)/in.U)
	}
	lowest, highest := in.Mean-9*in.SD, in.Mean+9*in.SD
	low := min(max(in.Min, lowest), highest)
	high := min(max(in.Max, lowest), highest)
	r.FalseAccept = in.over(accept, lowest, low) + in.over(accept, high, highest)
	r.FalseReject = in.over(reject, low, high)
	return r
}

// over integrates chance over the units between from and to; it changes within a few U of the
// acceptance limits.
func (in Inspection) over(chance func(y float64) float64, from, to float64) float64 {
	if !(from < to) {
		return 0
	}
	var steps []float64
	for _, limit := range [...]float64{in.AcceptMin, in.AcceptMax} {
		for _, z := range [...]float64{-8, -4, -2, 0, 2, 4, 8} {
			steps = append(steps, limit+z*in.U)
		}
	}
	return integrate(func(y float64) float64 {
		return normalDensity((y-in.Mean)/in.SD) / in.SD * chance(y)
	}, panels(from, to, 18, steps...))
}

// GuardBandWidth returns by how much the acceptance limits must lie inside the bound, the same on each
// side that is not open, so that the consumer's risk is falseAccept, and the risks then. in's own
// acceptance limits are not read. Where the risk is no larger without a guard band, the width is 0; a guard band
// outward, which accepts what measures bad, is never proposed.
func GuardBandWidth(in Inspection, falseAccept float64) (width float64, r Risk, err error) {
	in.AcceptMin, in.AcceptMax = in.Min, in.Max
	if err := in.check(); err != nil {
		return 0, Risk{}, err
	}
	if !(falseAccept > 0 && falseAccept < 1) {
		return 0, Risk{}, fmt.Errorf("false acceptance is %v; want more than 0 and less than 1", falseAccept)
	}
	at := func(w float64) Risk {
		in.AcceptMin, in.AcceptMax = in.Min+w, in.Max-w
		return in.risk()
	}
	if r = at(0); r.FalseAccept <= falseAccept {
		return 0, r, nil
	}
	hi := (in.Max - in.Min) / 2
	if math.IsInf(hi, 1) { // all that could be mistaken is refused
		hi = 40 * (in.SD + in.U)
	}
	width, ok := solve(func(w float64) float64 { return falseAccept - at(max(0, min(w, hi))).FalseAccept }, 0, hi)
	if !ok {
		return 0, Risk{}, fmt.Errorf("false acceptance of %v cannot be reached by a guard band; it is %.3g without one", falseAccept, at(0).FalseAccept)
	}
	return width, at(width), nil
}
