package setpoint

import (
	"context"

	"hindwatt/internal/statistics"
)

// A Course is a quantity over the ambient: the median of the units and the band that 95 % of them
// keep, what is merely unknown among it.
type Course struct {
	Quantity       string
	Ambient        []float64 // K, rising
	Mid, Low, High []float64 // V
}

// Samples at each temperature of a course.
const (
	courseOuter = 50
	courseInner = 100
	courseSteps = 22
)

// Courses returns the course of each quantity of the run that has one over the range of ambient; nil if the
// conditions name a single one.
func (r *Result) Courses(ctx context.Context) ([]Course, error) {
	low, high := r.Input.ambientRange()
	if !(high > low) || r.chain == nil {
		return nil, nil
	}
	var gathers []*gather
	var kept []floats
	for _, o := range r.Outcomes {
		if o.Never != "" {
			continue
		}
		at := o.samples.places[o.at]
		for k := range courseSteps + 1 {
			at.air = air{ambient: low + (high-low)*float64(k)/courseSteps}
			keep := floats{lows: make([]float64, courseOuter*courseInner)}
			g := newGather(r.chain, o.aim, []place{at}, courseOuter, courseInner, keep)
			g.one = true
			gathers, kept = append(gathers, g), append(kept, keep)
		}
	}
	if len(gathers) == 0 {
		return nil, nil
	}
	if err := r.chain.sample(ctx, r.Input.Seed, courseOuter, courseInner, gathers...); err != nil {
		return nil, err
	}
	list := make([]Course, len(gathers)/(courseSteps+1))
	for i, g := range gathers {
		c := &list[i/(courseSteps+1)]
		q := statistics.Quantiles(kept[i].lows, 0.025, 0.5, 0.975)
		c.Quantity = g.aim.name
		c.Ambient = append(c.Ambient, g.places[0].air.ambient)
		c.Low, c.Mid, c.High = append(c.Low, q[0]), append(c.Mid, q[1]), append(c.High, q[2])
	}
	return list, nil
}
