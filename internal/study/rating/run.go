package rating

import (
	"context"
	"errors"
	"fmt"
	"math"

	"hindwatt/internal/hardware"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// Run computes every quantity that is asked for and whose inputs are there. What an input lacks stands in Result.Lacks, a
// circuit that cannot work is an error that names why.
func Run(ctx context.Context, in Input) (*Result, error) {
	if in.Outer == 0 {
		in.Outer = outerDraws
	}
	if in.Inner == 0 {
		in.Inner = innerUnits
	}
	if err := in.complete(); err != nil {
		return nil, err
	}
	wanted, err := in.wanted()
	if err != nil {
		return nil, err
	}
	in.mounted()
	r := &Result{Input: in}
	var able []aim
	for _, a := range wanted {
		for _, m := range r.Input.missing(a) {
			r.lacks = append(r.lacks, lack{m, a.name})
		}
		if r.Input.able(a) {
			able = append(able, a)
		}
	}
	if err := r.begin(); err != nil {
		return nil, err
	}
	var drawn []*Outcome
	for _, a := range able {
		o, err := r.outcome(a)
		switch {
		case err != nil:
			return nil, fmt.Errorf("rating: %s: %w", a.name, err)
		case o == nil:
			continue
		case !o.Stated && o.Never == "":
			drawn = append(drawn, o)
		}
		r.Outcomes = append(r.Outcomes, o)
	}
	return r, r.sample(ctx, drawn)
}

// complete refuses what no study can use.
func (in *Input) complete() error {
	for _, v := range []struct {
		name string
		is   *Value
		zero bool
	}{
		{"current", in.asked(), false}, {"load current", in.Conditions.LoadCurrent, true}, {"battery voltage", in.Battery, false},
	} {
		if v.is == nil {
			continue
		}
		low, high := ends(v.is.Quantity)
		if !finite(low, high) || low < 0 || low == 0 && !v.zero {
			return fmt.Errorf("rating: %s: the %s is %s; want more than 0", v.is.From, v.name, v.is.Quantity)
		}
	}
	if low, high := in.air(); !finite(low, high) || low <= 0 {
		return fmt.Errorf("rating: the ambient is %v..%v K; want more than 0 K", low, high)
	}
	if in.Outer < 2 || in.Inner < 2 {
		return fmt.Errorf("rating: %d draws of %d units; want 2 or more of both", in.Outer, in.Inner)
	}
	return nil
}

// begin looks at the circuit, if there is one, with every input at its nominal.
func (r *Result) begin() error {
	in := &r.Input
	_, air := in.air()
	r.place = place{air: air, current: most(in.asked()), load: most(in.Conditions.LoadCurrent)}
	if in.lame() {
		return nil
	}
	r.Faults = in.Design.Check()
	for _, f := range r.Faults {
		if f.Fatal {
			return fmt.Errorf("%s: %s: %s; %s", at(f.From), f.At, f.Text, f.Want)
		}
		n := FaultNote(f)
		r.warn(n.Text, n.Remedy, n.From)
	}
	var err error
	if r.probe, err = in.probe(&in.Design); err != nil {
		return err
	}
	if len(in.Design.Enclosures) == 0 {
		return nil
	}
	if err := r.duties(); err != nil {
		return err
	}
	if r.place.current > 0 {
		if r.Point, err = r.probe.point(r.place, conducting); err != nil {
			var away *hardware.Runaway
			if !errors.As(err, &away) {
				return err
			}
			r.warn(page.Capital(away.Error())+".", "", "")
		} else {
			r.doubts(r.Point)
		}
	}
	return r.critical()
}

// FaultNote words what is wrong in a design, or stands in doubt.
func FaultNote(f hardware.Fault) page.Note {
	n := page.Note{Text: fmt.Sprintf("%s: %s.", f.At, f.Text), Remedy: f.Want, From: at(f.From)}
	if f.Fatal {
		n.Text = "The circuit cannot work: " + n.Text
	}
	return n
}

func at(from string) string {
	if from == "" {
		return "product.toml"
	}
	return from
}

func (r *Result) warn(text, remedy, from string) {
	for _, w := range r.Warnings {
		if w.Text == text {
			return
		}
	}
	r.Warnings = append(r.Warnings, page.Note{Text: text, Remedy: remedy, From: from})
}

// outcome computes what needs no samples, and the room for them.
func (r *Result) outcome(a aim) (*Outcome, error) {
	in := &r.Input
	o := &Outcome{Quantity: a.name, Dim: a.dim, Unit: a.unit, aim: a, outer: in.Outer, inner: in.Inner, Duty: conducting}
	if v := in.stated(a); v != nil {
		return o, r.state(o, v)
	}
	var err error
	if o.At, err = r.worstEnd(a); err != nil {
		return nil, err
	}
	if a.name == "load-drop" && o.At.load == 0 {
		o.At.load = o.At.current
	}
	if a.name == "current" {
		return o, r.rated(o)
	}
	if o.Nominal, err = r.probe.value(a, o.At, r.statesOf(a)); err != nil {
		return nil, err
	}
	if math.IsInf(o.Nominal, 0) {
		o.Never = "a nominal unit runs away under these conditions: there is no steady state"
		return o, nil
	}
	if s := r.statesOf(a); len(s) > 1 {
		if full, err := r.probe.value(a, o.At, s[:1]); err == nil && full < o.Nominal*(1-tie) {
			o.Duty = s[1]
		}
	}
	return o, o.linear(r)
}

// rated is the outcome of the current.
func (r *Result) rated(o *Outcome) error {
	i, d, by, err := r.probe.largest(o.At, r.statesOf(o.aim))
	if err != nil {
		return err
	}
	o.Nominal, o.Duty, o.Part, o.Of = i, d, by.part, by.of
	if by.part == "" {
		o.Never = "no limit stands in the way: the parts state none"
		r.lacks = append(r.lacks, lack{page.Lack{File: "parts.toml", Key: "max_junction, max_temperature, rating", Why: "what ends the current: the limits of the parts that carry it"}, "current"})
		return nil
	}
	return o.linear(r)
}

// state takes a figure as the folder states it, and sums up the parts beside it.
func (r *Result) state(o *Outcome, v *Value) error {
	o.Stated, o.From, o.Nominal, o.At = true, v.From, v.Quantity.Value, r.place
	o.samples = make([]float64, o.outer*o.inner)
	for i := range o.samples { // its spread is that from unit to unit, evenly laid out
		o.samples[i%o.outer*o.inner+i/o.outer] = quantile(v.Quantity, (float64(i)+0.5)/float64(len(o.samples)))
	}
	o.Linear = Linear{Value: o.Nominal, U: v.Quantity.StandardUncertainty()}
	if r.probe == nil {
		return nil
	}
	sum, err := r.probe.value(o.aim, r.place, nil)
	if err != nil || !finite(sum) {
		return err
	}
	o.Summed = sum
	if off := sum - o.Nominal; math.Abs(off) > max(statedSDs*o.Linear.U, statedPart*o.Nominal) {
		r.warn(fmt.Sprintf("The parts add up to %s for %s, and %s is stated.", o.text(sum, -2), o.aim.words, o.text(o.Nominal, -2)),
			"one of them is off: measure again, or look for a current in parts.toml that is a largest value or missing", v.From)
	}
	return nil
}

// When what the parts add up to counts as other than what is stated: further off than three standard deviations from unit to
// unit and than a tenth, since data sheets give typical currents (common practice, no source).
const (
	statedSDs  = 3
	statedPart = 0.1
)

// sample draws the units.
func (r *Result) sample(ctx context.Context, drawn []*Outcome) error {
	if len(drawn) == 0 {
		return ctx.Err()
	}
	in := &r.Input
	for _, o := range drawn {
		o.samples = make([]float64, in.Outer*in.Inner)
	}
	return newSampler(in, &in.Design, in.Outer, in.Inner).run(ctx, func(p *probe, unit int) error {
		for _, o := range drawn {
			v, err := p.value(o.aim, o.At, r.statesOf(o.aim))
			if err != nil {
				return fmt.Errorf("rating: %s: %w", o.Quantity, err)
			}
			o.samples[unit] = v
		}
		return nil
	})
}

// text writes a figure of the outcome.
func (o *Outcome) text(v float64, digits int) string {
	return quantity.Format(v, o.Dim, o.Unit, digits)
}
