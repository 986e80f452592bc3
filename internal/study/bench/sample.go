package bench

import (
	"fmt"
	"math"
	"slices"
)

// assumed is the ambient of a reading that notes none, K.
const assumed = 298.15

// A unit is one unit with the mean of its readings.
type unit struct {
	serial   string
	values   []float64 // a deviation each [R1]
	value    float64   // their mean
	own      float64   // standard uncertainty of value by what belongs to each reading alone [R3]
	weights  []float64 // by meter: how far value errs if that meter is at its limit [R2]
	readings []int     // places in Input.Readings
}

// A sample is the units seen, taken together.
type sample struct {
	units  []*unit
	meters []*Meter // each name once
	blind  int      // readings whose meter's limit is not known
	mean   float64
	sd     float64 // as found; 0 for one unit
	own    float64 // scatter that readings have by themselves, for a unit on average [R3]

	// If meter m errs by the part e of its limits, the units' mean is reach[m]·e too high, and
	// their variance changes by the quadratic form of [R5].
	reach []float64
	with  []float64   // covariance of the units' values and weights
	cross [][]float64 // covariance of weights
}

// limit is how far a reading of that value may be off.
func (m *Meter) limit(reading float64) float64 { return m.Accuracy.Limit(reading, m.Digit) }

// Known reports whether the limit is known: not if it counts digits whose size is not.
func (m *Meter) Known() bool { return m != nil && (m.Accuracy.Digits == 0 || m.Digit > 0) }

func newSample(in *Input) (*sample, error) {
	s := &sample{}
	bySerial := map[string]*unit{}
	for i, r := range in.Readings {
		value, own, err := in.deviation(r)
		if err != nil {
			return nil, fmt.Errorf("bench: %s: %s: %w", in.Quantity, r.From, err)
		}
		u := bySerial[r.Serial]
		if u == nil {
			u = &unit{serial: r.Serial}
			s.units = append(s.units, u)
			if r.Serial != "" {
				bySerial[r.Serial] = u
			}
		}
		u.readings, u.values, u.own = append(u.readings, i), append(u.values, value), u.own+own*own
	}
	s.weigh(in)
	s.average()
	return s, nil
}

// deviation is the reading less its target, and the standard uncertainty that it has by itself:
// its written spread, half a last digit either way, and what its ambient's spread does to the
// target [R1, R3].
func (in *Input) deviation(r Reading) (value, own float64, err error) {
	variance := square(r.Value.StandardUncertainty())
	if r.Meter != nil {
		variance += square(r.Meter.Digit) / 12
	}
	if in.Target == nil {
		return r.Value.Value, math.Sqrt(variance), nil
	}
	ambient, u := r.ambient(), 0.0
	if r.Ambient != nil {
		u = r.Ambient.StandardUncertainty()
	}
	target, below, above := in.Target(ambient), in.Target(ambient-u), in.Target(ambient+u)
	if !finite(target, below, above) {
		return 0, 0, fmt.Errorf("the target at %v K is not a number", ambient)
	}
	return r.Value.Value - target, math.Sqrt(variance + square((above-below)/2)), nil
}

func (r Reading) ambient() float64 {
	if r.Ambient == nil {
		return assumed
	}
	return r.Ambient.Value
}

// weigh fills in what each meter does to each unit [R2].
func (s *sample) weigh(in *Input) {
	place := map[string]int{}
	for _, r := range in.Readings {
		if !r.Meter.Known() {
			s.blind++
		} else if _, seen := place[r.Meter.Name]; !seen {
			place[r.Meter.Name] = len(s.meters)
			s.meters = append(s.meters, r.Meter)
		}
	}
	for _, u := range s.units {
		k := float64(len(u.readings))
		u.value, u.own, u.weights = mean(u.values), math.Sqrt(u.own)/k, make([]float64, len(s.meters))
		for _, i := range u.readings {
			if r := in.Readings[i]; r.Meter.Known() {
				u.weights[place[r.Meter.Name]] += r.Meter.limit(r.Value.Value) / k
			}
		}
	}
}

// average fills in what the units have in common.
func (s *sample) average() {
	values := s.column(func(u *unit) float64 { return u.value })
	own := s.column(func(u *unit) float64 { return u.own * u.own })
	s.mean, s.sd, s.own = mean(values), math.Sqrt(covariance(values, values)), math.Sqrt(mean(own))
	weights := make([][]float64, len(s.meters))
	for m := range weights {
		weights[m] = s.column(func(u *unit) float64 { return u.weights[m] })
		s.reach = append(s.reach, mean(weights[m]))
		s.with = append(s.with, covariance(values, weights[m]))
	}
	for _, a := range weights {
		row := make([]float64, len(weights))
		for m, b := range weights {
			row[m] = covariance(a, b)
		}
		s.cross = append(s.cross, row)
	}
}

func (s *sample) column(of func(*unit) float64) []float64 {
	out := make([]float64, len(s.units))
	for i, u := range s.units {
		out[i] = of(u)
	}
	return out
}

// covariance has n-1 in its denominator; it is 0 for one pair, and exactly 0 for equal numbers.
func covariance(x, y []float64) float64 {
	if len(x) < 2 || slices.Min(x) == slices.Max(x) || slices.Min(y) == slices.Max(y) {
		return 0
	}
	mx, my, sum := mean(x), mean(y), 0.0
	for i := range x {
		sum += (x[i] - mx) * (y[i] - my)
	}
	return sum / float64(len(x)-1)
}

func square(x float64) float64 { return x * x }

// open reports whether some reading's meter has no limit that is known.
func (s *sample) open() bool { return s.blind > 0 }

// scatter is the standard deviation to go on: as found, but not less than readings have by
// themselves [R3].
func (s *sample) scatter() float64 { return max(s.sd, s.own) }

// limit is how far the mean may be off with every meter at its limit.
func (s *sample) limit() float64 {
	sum := 0.0
	for _, a := range s.reach {
		sum += a
	}
	return sum
}

// meterVariance is the variance of the mean by the meters' errors, each rectangular (JCGM 100 4.3.7).
func (s *sample) meterVariance() float64 {
	sum := 0.0
	for _, a := range s.reach {
		sum += a * a / 3
	}
	return sum
}

// corrected is the units' mean and standard deviation if each meter errs by the part e of its
// limits, -1..1 [R5].
func (s *sample) corrected(e []float64) (mean, sd float64) {
	mean, variance := s.mean, s.sd*s.sd
	for m, part := range e {
		mean -= part * s.reach[m]
		variance -= 2 * part * s.with[m]
		for l, other := range e {
			variance += part * other * s.cross[m][l]
		}
	}
	return mean, math.Sqrt(max(variance, s.own*s.own))
}

// scaled is the sample as if read with meters of limits smaller by a factor, the values the same.
func (s *sample) scaled(factor float64) *sample {
	out := *s
	out.reach, out.with, out.cross = slices.Clone(s.reach), slices.Clone(s.with), nil
	for m := range out.reach {
		out.reach[m] *= factor
		out.with[m] *= factor
		row := slices.Clone(s.cross[m])
		for l := range row {
			row[l] *= factor * factor
		}
		out.cross = append(out.cross, row)
	}
	return &out
}
