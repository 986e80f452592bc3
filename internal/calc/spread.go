package calc

import (
	"context"
	"errors"
	"fmt"

	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

// level is the part of the distribution that low and high enclose.
const level = 0.95

// defaultSamples is how many random draws an interval rests on.
const defaultSamples = 100_000

// spread gives each answer its interval if an input carries a tolerance.
func (c Calculator) spread(ctx context.Context, in Values, a *Answers) error {
	var inputs []statistics.Input
	var place []int
	for i, q := range in.parsed {
		if q.Drift != 0 {
			a.Warnings = append(a.Warnings, in.inputs[i].Name+": its drift is not counted, since no temperature goes with it")
		}
		if q.Spread != quantity.Exact {
			inputs, place = append(inputs, scatter(in.inputs[i].Name, q)), append(place, i)
		}
	}
	var asked []int // results that get an interval
	for i, answer := range a.List {
		if answer.None == "" && !answer.Interval {
			asked = append(asked, i)
		}
	}
	if len(inputs) == 0 || len(asked) == 0 {
		return nil
	}
	samples := c.Samples
	if samples == 0 {
		samples = defaultSamples
	}
	again := a.Again
	if again == nil {
		again = func(in Values) (Answers, error) { return c.Compute(ctx, in) }
	}
	f := func(x, y []float64) error { return sample(again, in, place, asked, x, y) }
	results, err := statistics.MonteCarloVector(ctx, f, len(asked), inputs, nil, samples, in.Seed, level)
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		a.Warnings = append(a.Warnings, "no interval: not every value within the tolerances has a result: "+err.Error())
		return nil
	}
	for k, i := range asked {
		a.List[i].Interval, a.List[i].Low, a.List[i].High = true, results[k].Low, results[k].High
	}
	a.Note = fmt.Sprintf("low and high: central 95 %% by JCGM 101:2008, %d samples, seed %d", samples, in.Seed)
	return nil
}

// sample computes the asked results with other values of the inputs at place.
func sample(again func(Values) (Answers, error), in Values, place, asked []int, x, y []float64) error {
	other := in
	other.number = append([]float64(nil), in.number...)
	for k, i := range place {
		if valid := in.inputs[i].Valid; valid != nil && !valid(x[k]) {
			return errors.New(in.inputs[i].Name + " cannot have this value; " + in.wanted(in.inputs[i]))
		}
		other.number[i] = x[k]
	}
	a, err := again(other)
	if err != nil {
		return err
	}
	for k, i := range asked {
		if a.List[i].None != "" {
			return errors.New(a.List[i].None)
		}
		y[k] = a.List[i].Value
	}
	return nil
}

// scatter makes of a quantity what is known of its distribution: rectangular for ± and for a
// range (JCGM 100:2008, 4.3.7), normal for sd.
func scatter(name string, q quantity.Quantity) statistics.Input {
	in := statistics.Input{Name: name, Value: q.Value, U: q.StandardUncertainty(), Dim: q.Dim, Unit: q.Unit}
	if q.Spread == quantity.Limits || q.Spread == quantity.Range {
		in.Dist, in.Low, in.High = statistics.Rectangular, q.Low, q.High
	}
	return in
}
