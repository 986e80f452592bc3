package soak

import (
	"fmt"
	"math"

	"hindwatt/internal/statistics"
	"hindwatt/internal/statistics/fit"
)

const usual = 0.95 // level where none is given

// Run fits the log. An input that makes no sense is an error; what is merely doubtful is in Result.Warnings.
func Run(in Input) (*Result, error) {
	if in.Level == 0 {
		in.Level = usual
	}
	if err := in.check(); err != nil {
		return nil, fmt.Errorf("soak: %s: %w", in.Place, err)
	}
	r := &Result{Input: in, log: in.record()}
	if err := r.fit(); err != nil {
		return nil, fmt.Errorf("soak: %s: %w", in.Place, err)
	}
	r.meter()
	r.resistance()
	r.doubt()
	return r, nil
}

func (r *Result) fit() error {
	log := r.log
	serial, err := log.follow()
	if err != nil {
		return err
	}
	one, err := log.warm(1, longest, serial)
	if err != nil {
		return err
	}
	two, err := log.warm(2, longest, serial)
	if err != nil {
		return err
	}
	w := one
	if apart(one, two) {
		w = two
	}
	r.Terms, r.Effective = w.terms, serial.Effective(len(log.mid))
	r.RiseWithoutMeter = w.Profile(steady, r.Input.Level)
	if w == one { // what a second, slower part could still add, unseen
		hidden, err := log.warm(2, unseen, serial)
		if err != nil {
			return err
		}
		r.RiseWithoutMeter = hull(r.RiseWithoutMeter, hidden.Profile(steady, r.Input.Level))
	}
	if w.AtBound[slow] { // the longest time constant that is looked for limits it, not the readings
		r.RiseWithoutMeter.OpenHigh = r.RiseWithoutMeter.OpenHigh || w.At[steady] > 0
		r.RiseWithoutMeter.OpenLow = r.RiseWithoutMeter.OpenLow || w.At[steady] < 0
	}
	r.times(w)
	var square float64
	for i := range log.mid {
		v := log.riseOf(w.At, i)
		r.fitted = append(r.fitted, v)
		square += (log.rise[i] - v) * (log.rise[i] - v)
	}
	r.Scatter = math.Sqrt(square / math.Max(1, float64(len(log.mid)-len(w.At))))
	if warmed := w.At[steady]; warmed != 0 {
		r.Reached = r.fitted[len(r.fitted)-1] / warmed
	}
	return nil
}

// hull holds both intervals, about the best value of the first.
func hull(a, b fit.Interval) fit.Interval {
	a.Low, a.OpenLow = math.Min(a.Low, b.Low), a.OpenLow || b.OpenLow
	a.High, a.OpenHigh = math.Max(a.High, b.High), a.OpenHigh || b.OpenHigh
	return a
}

// times are the time constants, with what each makes up of the warming.
func (r *Result) times(w *warmUp) {
	exp := func(i fit.Interval) fit.Interval {
		i.Best, i.Low, i.High = math.Exp(i.Best), math.Exp(i.Low), math.Exp(i.High)
		return i
	}
	r.Times, r.Shares = []fit.Interval{exp(w.Profile(slow, r.Input.Level))}, []float64{1}
	if w.terms == 1 {
		return
	}
	fast, err := w.Derived(r.Input.Level, func(p []float64) float64 { return p[slow] - p[shorter] })
	if err == nil {
		r.Times = append(r.Times, exp(fast))
	}
	if sum := w.At[lacking] + w.At[lackingFast]; sum != 0 {
		r.Shares = []float64{w.At[lacking] / sum, w.At[lackingFast] / sum}
	}
}

// meter adds the meters' errors [T3]: that of one meter for both temperatures is the same, and only its part of the
// reading does not cancel in the difference; the last digit of each is its own.
func (r *Result) meter() {
	in := &r.Input
	rise := r.RiseWithoutMeter
	warm, air := in.Meter, in.AmbientMeter
	ambient := in.ambient(len(in.Time) - 1)
	var limits []float64
	switch {
	case warm == nil || air == nil:
	case warm.Name == air.Name:
		limits = []float64{warm.Accuracy.Relative * math.Abs(rise.Best), warm.Digit / 2, air.Digit / 2}
	default:
		limits = []float64{warm.Accuracy.Limit(celsius(ambient+rise.Best), warm.Digit), air.Accuracy.Limit(celsius(ambient), air.Digit)}
	}
	var square float64
	for _, limit := range limits {
		square += limit * limit / 3 // rectangular: JCGM 100, 4.3.7
	}
	r.Rise = rise.Wider(expand(in.Level) * math.Sqrt(square))
	r.Temperature = r.Rise.Plus(ambient)
}

// celsius is what a meter shows of a temperature, to which the part of its reading belongs.
func celsius(kelvin float64) float64 { return math.Abs(kelvin - 273.15) }

func expand(level float64) float64 { return statistics.NormalQuantile((1 + level) / 2) }

// resistance is [T4].
func (r *Result) resistance() {
	p := r.Input.Power
	if p == nil {
		return
	}
	relative := p.StandardUncertainty() / p.Value
	i := r.Rise.Times(1 / p.Value)
	i = i.Wider(expand(r.Input.Level) * relative * math.Abs(i.Best))
	r.Resistance = &i
}
