package bench

import (
	"context"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/statistics"
)

// Run looks at the readings. An input that makes no sense is an error that names it; what is
// merely doubtful is in Result.Warnings.
func Run(ctx context.Context, in Input) (*Result, error) {
	if in.Proportion == 0 {
		in.Proportion = usual
	}
	if in.Confidence == 0 {
		in.Confidence = usual
	}
	if err := in.check(); err != nil {
		return nil, err
	}
	in.Readings = slices.Clone(in.Readings) // the result keeps them
	if in.Unit == "" {
		in.Unit = in.Readings[0].Value.Unit
	}
	s, err := newSample(&in)
	if err != nil {
		return nil, err
	}
	r := &Result{Input: in, Units: len(s.units), Ambient: in.ambient(), SD: s.sd, sample: s}
	if r.Units == 1 {
		r.one()
	} else if err := r.several(); err != nil {
		return nil, fmt.Errorf("bench: %s: %w", in.Quantity, err)
	}
	r.Warnings = append(in.doubts(), r.scatterDoubts()...)
	return r, ctx.Err()
}

// several fills in what two units or more tell.
func (r *Result) several() error {
	if err := r.mean(); err != nil {
		return err
	}
	if r.sample.open() {
		r.Mean = opened(r.Mean)
	}
	if r.sample.scatter() == 0 { // alike, and nothing says how finely they were read
		r.Mean, r.MeanWithoutMeter = opened(r.Mean), opened(r.MeanWithoutMeter)
	}
	if !r.tells() {
		r.Tolerance = opened(r.Mean)
		return nil
	}
	r.draws = r.sample.draw(r.Units, outerDraws, r.Input.Seed, r.Input.Carry)
	return r.tolerance()
}

// tells reports whether the share of units has limits other than 0 and 1: the meters' errors have limits,
// and the units scatter.
func (r *Result) tells() bool {
	return !r.sample.open() && r.sample.scatter() > 0
}

func opened(i Interval) Interval { return Interval{Best: i.Best, OpenLow: true, OpenHigh: true} }

func (in *Input) check() error {
	fault := func(format string, args ...any) error {
		return fmt.Errorf("bench: %s: %w", in.Quantity, fmt.Errorf(format, args...))
	}
	switch {
	case len(in.Readings) == 0:
		return fault("no readings; want one or more")
	case !(in.Proportion > 0 && in.Proportion < 1):
		return fault("proportion is %v; want more than 0 and less than 1", in.Proportion)
	case !(in.Confidence > 0 && in.Confidence < 1):
		return fault("confidence is %v; want more than 0 and less than 1", in.Confidence)
	}
	for _, r := range in.Readings {
		if err := r.check(in.Readings[0]); err != nil {
			return fault("%s: %w", r.From, err)
		}
	}
	if in.Carry != nil {
		if err := in.Carry.check(); err != nil {
			return fault("carry: %w", err)
		}
	}
	return nil
}

func (r Reading) check(first Reading) error {
	v := r.Value
	switch {
	case !finite(v.Value, v.Low, v.High, v.SD) || v.StandardUncertainty() < 0:
		return fmt.Errorf("reading is %v; want a finite number", v.Value)
	case v.Dim != first.Value.Dim:
		return fmt.Errorf("a %s, beside a %s in %s; want readings of one quantity", v.Dim.Name(), first.Value.Dim.Name(), first.From)
	case r.Ambient != nil && !(finite(r.Ambient.Value, r.Ambient.StandardUncertainty()) && r.Ambient.Value > 0):
		return fmt.Errorf("ambient is %v K; want more than 0 K", r.Ambient.Value)
	case r.Meter != nil && !(finite(r.Meter.Digit, r.Meter.limit(v.Value)) && r.Meter.Digit >= 0 && r.Meter.limit(v.Value) >= 0):
		return fmt.Errorf("meter %s: last digit %v and limit %v; want 0 or more", r.Meter.Name, r.Meter.Digit, r.Meter.limit(v.Value))
	}
	return nil
}

func (c *Carry) check() error {
	switch n := len(c.Low); {
	case c.Groups < 1 || n == 0 || n%c.Groups != 0 || len(c.High) != n:
		return fmt.Errorf("%d low and %d high values in %d groups; want as many of both, in groups of equal size", n, len(c.High), c.Groups)
	}
	for i, low := range c.Low {
		if !finite(low, c.High[i]) || low > c.High[i] {
			return fmt.Errorf("unit %d runs from %v to %v; want finite numbers, the lower first", i+1, low, c.High[i])
		}
	}
	return nil
}

// each is the number of units in a group.
func (c *Carry) each() int { return len(c.Low) / c.Groups }

// group returns the units of a group. No carry is one unit that stays where it is.
func (c *Carry) group(g int) (low, high []float64) {
	if c == nil {
		return still[:], still[:]
	}
	n := c.each()
	return c.Low[g*n : (g+1)*n], c.High[g*n : (g+1)*n]
}

var still [1]float64

// shifts are the means of the groups.
func (c *Carry) shifts() (low, high []float64) {
	if c == nil {
		return still[:], still[:]
	}
	low, high = make([]float64, c.Groups), make([]float64, c.Groups)
	for g := range low {
		l, h := c.group(g)
		low[g], high[g] = mean(l), mean(h)
	}
	return low, high
}

// pooled is one group of at most so many units, picked evenly from all: what is merely unknown has
// become scatter.
func (c *Carry) pooled(most int) *Carry {
	if c == nil {
		return nil
	}
	out := &Carry{Groups: 1}
	step := (len(c.Low) + most - 1) / most
	for i := step / 2; i < len(c.Low); i += step {
		out.Low, out.High = append(out.Low, c.Low[i]), append(out.High, c.High[i])
	}
	return out
}

func finite(values ...float64) bool {
	for _, v := range values {
		if !(math.Abs(v) <= math.MaxFloat64) {
			return false
		}
	}
	return true
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// normal is the normal deviate of a two-sided interval.
func normal(confidence float64) float64 { return statistics.NormalQuantile((1 + confidence) / 2) }
