package trace

import (
	"fmt"
	"math"

	"hindwatt/internal/quantity"
)

// A Pulse is a voltage that a controller switches, as a slow meter sees it.
type Pulse struct {
	Low, High float64 // Hz, between which its frequency lies; 0: it does not pulse
	Swing     float64 // V, from the pulse's bottom to its top at the probe; 0: not known
	Averaging float64 // s over which the meter averages for one value; 0: not known, taken to be none
}

// An Alias says how far the beat of a meter with a pulse may move the mean of its values.
type Alias struct {
	Bound    float64 // V, ±
	Known    bool    // the swing is, so that Bound is one
	Standing bool    // a beat may be so slow that it looks like a level
	Values   int
	Every    float64 // s
}

const (
	harmonics   = 64
	frequencies = 401 // that are looked at between the limits
	slowBeat    = 0.5 // turns over the time looked at, below which a beat looks like a level
)

// Alias bounds the error of a mean of so many values, taken every so often, of a pulse of any duty.
//
// A pulse of swing A and duty D is its mean and harmonics of amplitude 2A/(πm)·|sin πmD|, at most
// 2A/(πm), or A/2 as a whole. Averaging over w leaves |sin πmfw|/(πmfw) of each [L6]; the mean of N
// values every d has |sin πmfNd|/(N |sin πmfd|) of that [L7]. The bound is the sum of the harmonics for
// the worst frequency between the limits, at most A/2: no phase is known, so none is taken to help.
//
// Source: Fourier series of a rectangular pulse and kernel of Dirichlet, as in any handbook.
func (p Pulse) Alias(values int, every float64) Alias {
	a := Alias{Values: values, Every: every, Known: true}
	if p.High <= 0 || values < 1 {
		return a
	}
	a.Known = p.Swing > 0
	worst := 0.0
	for i := range frequencies {
		f := p.Low + (p.High-p.Low)*float64(i)/(frequencies-1)
		worst = max(worst, p.share(f, values, every))
		a.Standing = a.Standing || p.stands(f, values, every)
	}
	a.Bound = worst * p.Swing
	return a
}

// share is how far the mean may be off at a frequency, in parts of the swing.
func (p Pulse) share(f float64, values int, every float64) (sum float64) {
	for m := 1; m <= harmonics; m++ {
		x := math.Pi * float64(m) * f
		sum += 2 / (math.Pi * float64(m)) * sinc(x*p.Averaging) * dirichlet(x*every, values)
	}
	return min(sum, 0.5)
}

// stands reports whether the pulse itself beats so slowly with the values that it looks like a level.
func (p Pulse) stands(f float64, values int, every float64) bool {
	turns := f * every
	return math.Abs(turns-math.Round(turns))*float64(values) < slowBeat
}

// sinc is |sin x / x|, at least what its envelope is near a zero: a meter does not average over exactly
// whole periods.
func sinc(x float64) float64 {
	if x < math.Pi/2 {
		if x < 1e-8 {
			return 1
		}
		return math.Abs(math.Sin(x) / x)
	}
	return 1 / x
}

// dirichlet is |sin Nx| / (N |sin x|), or its envelope where that is less than 1.
func dirichlet(x float64, n int) float64 {
	s := math.Abs(math.Sin(x)) * float64(n)
	if s <= 1 {
		return 1
	}
	return 1 / s
}

// Believed reports whether the meter can be believed against an uncertainty: the beat moves the mean by
// no more than a part of it.
func (a Alias) Believed(uncertainty float64) bool {
	const part = 0.25
	return a.Known && a.Bound <= part*uncertainty
}

// Says words the judgement.
func (a Alias) Says(p Pulse) string {
	switch {
	case p.High <= 0:
		return "the voltage does not pulse"
	case !a.Known:
		return "how far the voltage swings within a pulse is not known, so that it is not known what a slow meter makes of it"
	}
	bound := quantity.Format(a.Bound, quantity.Voltage, "", -2)
	if a.Standing && p.Averaging == 0 {
		return fmt.Sprintf("one value every %s of a pulse of %s may beat so slowly that it looks like a level: the mean may be off by %s",
			quantity.Format(a.Every, quantity.Time, "s", -3), quantity.Format((p.Low+p.High)/2, quantity.Frequency, "Hz", -3), bound)
	}
	return fmt.Sprintf("the beat of the meter with the pulse moves the mean by no more than %s", bound)
}
