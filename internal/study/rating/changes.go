package rating

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/hardware"
	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics/single"
)

// Changes ranks which one input would have to be another, and how far beyond its tolerance, for what was read to be off its
// calculated mean by so much.
//
//	by  SI, the measured less the calculated mean
//
// Inputs that are written without a spread are taken as they are, a diode's drop excepted: see hardware.Design.Variables.
func (r *Result) Changes(ctx context.Context, at Reading, by float64) ([]single.Change, error) {
	a, err := r.readable(at)
	if err != nil {
		return nil, err
	}
	variables := r.Input.Design.Variables()
	inputs := make([]single.Input, len(variables))
	for i, v := range variables {
		q := v.Quantity
		low, high := q.Low, q.High
		if q.Spread == quantity.Normal {
			const usualSDs = 1.959964 // 95 %
			low, high = q.Value-usualSDs*q.SD, q.Value+usualSDs*q.SD
		}
		in := single.Input{Name: Line{Name: v.Name}.Words(), From: v.From, Value: q.Value, Tolerance: (high - low) / 2, Show: func(x float64) string { return quantity.Format(x, q.Dim, q.Unit, -3) }}
		switch {
		case isFactor(v):
			in.Value, in.Tolerance = 0, (numeric.Log(high)-numeric.Log(low))/2
			in.Show = func(x float64) string { return fmt.Sprintf("%.2f times the model's", numeric.Exp(x)) }
		case strings.HasSuffix(v.Name, ".drops"):
			in.Low, in.High = 0.01, 100
			in.Show = func(x float64) string { return fmt.Sprintf("%.3f times the sheet's", x) }
		case low > 0: // nothing of that kind changes its sign
			in.Low, in.High = 1e-3*q.Value, 1e6*q.Value
		}
		inputs[i] = in
	}
	figures := func() (single.Figure, error) { return r.one(a, at) }
	f, err := figures()
	if err != nil {
		return nil, err
	}
	now, err := f(-1, 0)
	if err != nil {
		return nil, err
	}
	return single.Find(ctx, now+by, inputs, figures)
}

// one is what is read at a point with one variable at another value, a factor by its logarithm.
func (r *Result) one(a aim, at Reading) (single.Figure, error) {
	p, err := r.Input.probe(&r.Input.Design)
	if err != nil {
		return nil, err
	}
	variables := r.Input.Design.Variables()
	x := make([]float64, len(variables))
	return func(i int, v float64) (float64, error) {
		for k := range x {
			x[k] = variables[k].Quantity.Value
		}
		if i >= 0 {
			if x[i] = v; isFactor(variables[i]) {
				x[i] = numeric.Exp(v)
			}
		}
		if err := p.set(x); err != nil {
			return 0, err
		}
		return p.value(a, at.place(), r.statesHeld(a))
	}, nil
}

// Shift is how far what is read moves where one input, by the name that Changes gives it, has another value.
func (r *Result) Shift(at Reading, input string, to float64) (float64, error) {
	a, err := r.readable(at)
	if err != nil {
		return 0, err
	}
	i := slices.IndexFunc(r.Input.Design.Variables(), func(v hardware.Variable) bool { return Line{Name: v.Name}.Words() == input })
	if i < 0 {
		return 0, fmt.Errorf("rating: no input is called %q", input)
	}
	f, err := r.one(a, at)
	if err != nil {
		return 0, err
	}
	now, err := f(-1, 0)
	if err != nil {
		return 0, err
	}
	then, err := f(i, to)
	return then - now, finiteErr(then, err)
}
