package rating

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

// A Line is what one input contributes to a standard uncertainty.
type Line struct {
	Name, From   string
	Unknown      bool    // the same for all units
	Contribution float64 // ≥ 0
	Share        float64 // of the variance, 0..1
}

// Words is the name in words: "on resistance of q1", "emissivity of case", "inner convection".
func (l Line) Words() string {
	spaced := strings.NewReplacer("_", " ", "-", " ", ".", " ").Replace
	if model, ok := strings.CutPrefix(l.Name, "heat."); ok {
		return spaced(model)
	}
	at, key, alone := strings.Cut(l.Name, ": ")
	if !alone {
		key = l.Name
	}
	if _, rest, ok := strings.Cut(key, "."); ok { // part.NAME.KEY, enclosure.NAME.KEY
		name, of, _ := strings.Cut(rest, ".")
		if alone {
			name = at
		}
		return spaced(of) + " of " + name
	}
	return l.Name
}

// Linear is the uncertainty by the law of propagation (JCGM 100), at the worst of the conditions.
type Linear struct {
	Value, U float64
	Lines    []Line // largest share first
}

// linear is the law of propagation [Q6]. Where an input moves the figure over an edge, such as from one limiting part to
// another, its sensitivity is that at the nominals.
func (o *Outcome) linear(r *Result) error {
	variables := r.Input.Design.Variables()
	if len(variables) == 0 {
		o.Linear = Linear{Value: o.Nominal}
		return nil
	}
	inputs := make([]statistics.Input, len(variables))
	for i, v := range variables {
		q := v.Quantity
		if isFactor(v) { // by its logarithm
			q.Low, q.High, q.Spread, q.Value = numeric.Log(q.Low), numeric.Log(q.High), quantity.Limits, 0
		}
		inputs[i] = statistics.Input{Name: v.Name, Value: q.Value, U: q.StandardUncertainty()}
		if q.Spread == quantity.Limits || q.Spread == quantity.Range {
			inputs[i].Dist, inputs[i].Low, inputs[i].High = statistics.Rectangular, q.Low, q.High
		}
	}
	p, err := r.Input.probe(&r.Input.Design)
	if err != nil {
		return err
	}
	values := make([]float64, len(variables))
	budget, err := statistics.Propagate(func(x []float64) (float64, error) {
		for i, v := range variables {
			if values[i] = x[i]; isFactor(v) {
				values[i] = numeric.Exp(x[i])
			}
		}
		if err := p.set(values); err != nil {
			return 0, err
		}
		v, err := p.value(o.aim, o.At, []duty{o.Duty})
		if err == nil && math.IsInf(v, 0) {
			return 0, fmt.Errorf("a unit near the nominal one runs away")
		}
		return v, err
	}, inputs, nil)
	if err != nil {
		r.warn(fmt.Sprintf("There is no uncertainty budget of %s: %v.", o.aim.words, err), "", "")
		o.Linear = Linear{Value: o.Nominal}
		return nil
	}
	o.Linear = Linear{Value: budget.Value, U: budget.U}
	for i, line := range budget.Lines {
		if math.Abs(line.Contribution) > 0 {
			o.Linear.Lines = append(o.Linear.Lines, Line{Name: line.Name, From: variables[i].From, Unknown: variables[i].Unknown,
				Contribution: math.Abs(line.Contribution), Share: line.Share})
		}
	}
	slices.SortStableFunc(o.Linear.Lines, func(a, b Line) int { return cmp.Compare(b.Share, a.Share) })
	return nil
}
