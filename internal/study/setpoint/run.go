package setpoint

import (
	"context"
	"math"
)

// Samples of a run, 10^6 in all: JCGM 101 7.2 asks for 10^4 times 1/(1-0.95) or more.
const (
	outerDraws = 250
	innerUnits = 4000
)

// Run computes every quantity that is asked for and whose inputs are there. What an input lacks
// stands in Result.Lacks; an input that is wrong is an error that names it.
func Run(ctx context.Context, in Input) (*Result, error) {
	if err := in.complete(); err != nil {
		return nil, err
	}
	wanted, err := in.wanted()
	if err != nil {
		return nil, err
	}
	r := &Result{Input: in, Cautions: in.cautions()}
	var able []aim
	for _, a := range wanted {
		if missing := in.missing(a); len(missing) > 0 {
			r.lack(a, missing)
		} else {
			able = append(able, a)
		}
	}
	if len(able) == 0 {
		return r, nil
	}
	if r.chain, err = newChain(&r.Input); err != nil {
		return nil, err
	}
	return r, r.compute(ctx, able)
}

func (r *Result) compute(ctx context.Context, able []aim) error {
	var gathers []*gather
	for _, a := range able {
		o, g, err := r.outcome(a)
		if err != nil {
			return err
		}
		r.Outcomes, gathers = append(r.Outcomes, o), append(gathers, g)
	}
	if err := r.chain.sample(ctx, r.Input.Seed, r.Input.Outer, r.Input.Inner, gathers); err != nil {
		return err
	}
	for _, g := range gathers {
		if err := g.finite(&r.Input); err != nil {
			return err
		}
	}
	return nil
}

// outcome computes what needs no samples and makes the gather of what does.
func (r *Result) outcome(a aim) (*Outcome, *gather, error) {
	c, in := r.chain, &r.Input
	places := c.places(in, a)
	o := &Outcome{Quantity: a.name, Nominal: Interval{Low: math.Inf(1), High: math.Inf(-1)},
		Worst: Worst{Low: math.Inf(1), High: math.Inf(-1)}}
	p := c.probe()
	nominal := make([]float64, len(places))
	for i, at := range places {
		nominal[i] = p.value(a, at)
		o.Nominal.Low, o.Nominal.High = min(o.Nominal.Low, nominal[i]), max(o.Nominal.High, nominal[i])
		if low := c.worst(a, at, -1); low < o.Worst.Low {
			o.Worst.Low, o.Worst.AtLow = low, a.point(at)
		}
		if high := c.worst(a, at, 1); high > o.Worst.High {
			o.Worst.High, o.Worst.AtHigh = high, a.point(at)
		}
	}
	middle := 0.0
	if !a.deviation {
		middle = (o.Nominal.Low + o.Nominal.High) / 2
	}
	worst, reach := 0, -1.0
	for i, at := range places {
		l, err := c.linear(in, a, at)
		if err != nil {
			return nil, nil, err
		}
		if far := math.Abs(l.Value-middle) + 2*l.U; far > reach {
			worst, reach, o.Linear = i, far, l
		}
	}
	o.Nominal.Best = nominal[worst]
	o.samples = newGather(c, a, places, in.Outer, in.Inner)
	o.samples.worst = worst
	return o, o.samples, nil
}

// lack notes what is missing for a quantity.
func (r *Result) lack(a aim, missing []need) {
	for _, m := range missing {
		r.lacks = append(r.lacks, lack{m, a.name})
	}
}
