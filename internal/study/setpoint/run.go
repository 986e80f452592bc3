package setpoint

import (
	"context"
	"math"
	"slices"
)

// Samples of a run, 10^6 in all: JCGM 101 7.2 asks for 10^4 times 1/(1-0.95) or more.
const (
	outerDraws = 250
	innerUnits = 4000
)

// Run computes every quantity that is asked for and whose inputs are there. What an input lacks
// stands in Result.Lacks; an input that is wrong is an error that names it.
func Run(ctx context.Context, in Input) (*Result, error) {
	all, err := RunAll(ctx, in, []Case{{in.Conditions, in.Quantities}})
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// A Case is one set of conditions, and what is asked under them.
type Case struct {
	Conditions Conditions
	Quantities []string
}

// RunAll computes one input under several conditions, each to the same digits as Run does, but on the
// same units, so that these are drawn once. The cases must be of one age.
func RunAll(ctx context.Context, in Input, cases []Case) ([]*Result, error) {
	var all []*Result
	var gathers []*gather
	for _, c := range cases {
		in.Conditions, in.Quantities = c.Conditions, c.Quantities
		r, gs, err := prepare(in)
		if err != nil {
			return nil, err
		}
		all, gathers = append(all, r), append(gathers, gs...)
	}
	if len(gathers) == 0 {
		return all, nil
	}
	first := all[0].Input
	return all, gathers[0].c.sample(ctx, first.Seed, first.Outer, first.Inner, gathers...)
}

// prepare computes what needs no samples, and makes the gathers of what does.
func prepare(in Input) (*Result, []*gather, error) {
	in.assume()
	if err := in.complete(); err != nil {
		return nil, nil, err
	}
	wanted, err := in.wanted()
	if err != nil {
		return nil, nil, err
	}
	r := &Result{Input: in, Cautions: in.cautions()}
	var able []aim
	for _, a := range wanted {
		missing := in.missing(a)
		for _, m := range missing {
			r.lacks = append(r.lacks, lack{m, a.name})
		}
		if len(missing) == 0 {
			able = append(able, a)
		}
	}
	if len(able) == 0 {
		return r, nil, nil
	}
	if r.chain, err = newChain(&r.Input); err != nil {
		return nil, nil, err
	}
	var gathers []*gather
	for _, a := range able {
		o, err := r.outcome(a)
		if err != nil {
			return nil, nil, err
		}
		r.Outcomes = append(r.Outcomes, o)
		if o.Never == "" {
			gathers = append(gathers, o.samples)
		}
	}
	return r, gathers, nil
}

// outcome computes what needs no samples and makes the gather of what does.
func (r *Result) outcome(a aim) (*Outcome, error) {
	c, in := r.chain, &r.Input
	places := c.places(in, a)
	o := &Outcome{Quantity: a.name, aim: a, input: in, Never: c.never(a, places)}
	if o.Never != "" {
		return o, nil
	}
	nominal := make([]float64, len(places))
	p := c.probe()
	for i, at := range places {
		nominal[i] = p.value(a, at)
	}
	o.Nominal.Low, o.Nominal.High = slices.Min(nominal), slices.Max(nominal)
	if err := o.linear(c, places); err != nil {
		return nil, err
	}
	o.Nominal.Best = nominal[o.at]
	low, high := o.extremes(c, places)
	if c.sticks(a, places) {
		o.codes = newSticking(in.Outer*in.Inner, low, high)
		o.samples = newGather(c, a, places, in.Outer, in.Inner, o.codes)
		o.samples.beyond = o.codes.beyond()
		return o, nil
	}
	o.codes = newCodes(in.Outer*in.Inner, c.single(a, places), low, high)
	o.samples = newGather(c, a, places, in.Outer, in.Inner, o.codes)
	return o, nil
}

// linear applies the law of propagation at every place and keeps that at which the quantity
// may lie furthest off: a deviation from 0, a voltage from the middle of its nominals.
func (o *Outcome) linear(c *chain, places []place) error {
	middle, reach := 0.0, -1.0
	if !o.aim.deviation {
		middle = (o.Nominal.Low + o.Nominal.High) / 2
	}
	for i, at := range places {
		if at.air.kink != none { // not a place for derivatives; the ends of the conditions are as far
			continue
		}
		l, err := c.linear(o.input, o.aim, at)
		if err != nil {
			return err
		}
		if far := math.Abs(l.Value-middle) + 2*l.U; far > reach {
			o.at, reach, o.Linear = i, far, l
		}
	}
	return nil
}

// extremes finds the worst case over all places, and between which ends every sample lies.
func (o *Outcome) extremes(c *chain, places []place) (low, high float64) {
	o.Worst.Low, o.Worst.High = math.Inf(1), math.Inf(-1)
	low, high = math.Inf(1), math.Inf(-1)
	unlimited := slices.ContainsFunc(c.draws[:], func(d draw) bool { return d.shape == normal })
	for _, at := range places {
		least, most := c.worst(o.aim, at, -1, worstSDs), c.worst(o.aim, at, 1, worstSDs)
		if least < o.Worst.Low {
			o.Worst.Low, o.Worst.AtLow = least, o.aim.point(at)
		}
		if most > o.Worst.High {
			o.Worst.High, o.Worst.AtHigh = most, o.aim.point(at)
		}
		if unlimited {
			least, most = c.worst(o.aim, at, -1, tailSDs), c.worst(o.aim, at, 1, tailSDs)
		}
		low, high = min(low, least), max(high, most)
	}
	return low, high
}
