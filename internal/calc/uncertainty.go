package calc

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"hindwatt/internal/calc/formula"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

func init() {
	register(Calculator{
		Name:     "uncertainty",
		Question: "How uncertain is a figure that a formula makes of uncertain values?",
		Inputs: []Input{
			{Name: "y", Text: true, Want: `want a formula such as "vref*(1 + r1/r2)"`, Help: `the formula, such as "vref*(1 + r1/r2)"`},
			{Name: "samples", Whole: true, Default: "5000000", Valid: func(v float64) bool { return v >= 1000 && v <= 2e7 },
				Want: "want a whole number from 1000 to 20000000", Help: "random draws"},
			{Name: "seed", Whole: true, Optional: true, Valid: notNegative, Want: "want a whole number from 0 up", Help: "of the random draws"},
			confidence,
		},
		Results: []Result{
			{"value", "-", "y at the best estimates"}, {"u", "-", "standard uncertainty, first order"},
			{"dof", "-", "effective degrees of freedom"}, {"low", "-", "value − k·u, k of t with dof truncated"}, {"high", "-", "value + k·u"},
			{"mc_mean", "-", "mean of the random draws"}, {"mc_u", "-", "their standard deviation"},
			{"mc_low", "-", "equal tails"}, {"mc_high", "-", "equal tails"},
			{"mc_shortest_low", "-", "shortest interval"}, {"mc_shortest_high", "-", "shortest interval"},
		},
		Formula: "u² = Σᵢ Σⱼ (∂y/∂xᵢ)(∂y/∂xⱼ)·u(xᵢ)·u(xⱼ)·r(xᵢ, xⱼ); dof = u⁴/Σ (uᵢ(y)⁴/νᵢ); low, high = value ∓ t·u; mc_…: y of random draws of every x",
		Source: "JCGM 100:2008, 5.1.2, 5.2.2, G.4.1 and G.6.4 (value to high); JCGM 101:2008, 6.4, 7.6 and 7.7 (mc_…); " +
			"correlated inputs of other than normal distribution are drawn by a normal copula (JCGM 101 has none)",
		Compute: uncertainty,
		Free: []Pair{
			{"NAME", `each name of the formula, such as r1="120 kΩ ±1 %": ± and ranges are rectangular, sd is normal`},
			{"corr.NAME.NAME", "correlation of two names, -1 to 1"},
			{"dof.NAME", "degrees of freedom of a name's uncertainty; its sd is then drawn from t"},
		},
	})
}

// uncertainty makes the first-order budget and the Monte Carlo run.
func uncertainty(ctx context.Context, in Values) (Answers, error) {
	m, faults := in.measurement()
	if len(faults) > 0 {
		return Answers{}, faults
	}
	var a Answers
	a.Warnings = m.warnings
	value, err := m.program.Eval(m.estimates())
	if err != nil {
		why := "y has no value at the estimates: " + err.Error()
		for range 11 {
			a.List = append(a.List, Answer{None: why})
		}
		return a, nil
	}
	if err := m.firstOrder(&a, value, in.Number("confidence")); err != nil {
		return Answers{}, err
	}
	seed := uint64(in.Or("seed", float64(in.Seed)))
	if err := m.monteCarlo(ctx, &a, in.Whole("samples"), seed, in.Number("confidence")); err != nil {
		return Answers{}, err
	}
	m.compare(&a, in.Number("confidence"))
	a.Note = fmt.Sprintf("%.6g %%; %d samples, seed %d", 100*in.Number("confidence"), in.Whole("samples"), seed)
	return a, nil
}

// firstOrder adds value, u, dof, low and high, and the budget as a table.
func (m *measurement) firstOrder(a *Answers, value, confidence float64) error {
	b, err := statistics.Propagate(m.program.Eval, m.inputs, m.corr)
	if err != nil {
		none := Answer{None: "y cannot be followed around the estimates: " + err.Error()}
		a.List = append(a.List, m.point(value), none, none, none, none)
		return m.inputFault(err)
	}
	low, high, _, err := b.Interval(confidence)
	if err != nil {
		return err
	}
	a.List = append(a.List, m.point(value), m.width(b.U), degrees(b.DOF), m.point(low), m.point(high))
	if b.U == 0 && m.uncertain() {
		a.Warnings = append(a.Warnings, "at the estimates y does not change with its inputs in first order, so u = 0 says nothing; use mc_u and the mc_ limits (JCGM 101:2008, 9.4)")
	}
	a.Table = m.budget(b)
	return nil
}

// degrees returns degrees of freedom as an answer.
func degrees(dof float64) Answer {
	if math.IsInf(dof, 1) {
		return Answer{Open: true, Unit: "-"}
	}
	return Answer{Value: dof, Unit: "-"}
}

// inputFault tells apart an impossible correlation, which is an error of the input, from a
// formula that has no value somewhere, which is a result that does not exist.
func (m *measurement) inputFault(err error) error {
	var f *formula.Error
	if errors.As(err, &f) {
		return nil
	}
	return Errors{{Problem: err.Error()}}
}

// monteCarlo adds the results of random draws.
func (m *measurement) monteCarlo(ctx context.Context, a *Answers, samples int, seed uint64, confidence float64) error {
	r, err := statistics.MonteCarlo(ctx, m.program.Eval, m.inputs, m.corr, samples, seed, confidence)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		for range 6 {
			a.List = append(a.List, Answer{None: "y has no value for some values of its inputs: " + err.Error()})
		}
		return m.inputFault(err)
	}
	mean, u := m.point(r.Mean), m.width(r.U)
	// the variance of t exists above two degrees of freedom, its mean above one (JCGM 101:2008, 6.4.9.4)
	if m.fewest <= 2 {
		u = Answer{Open: true, Unit: u.Unit}
		a.Warnings = append(a.Warnings, "mc_u has no bound: a t distribution with 2 degrees of freedom or fewer has no standard deviation; the mc_ limits hold")
	}
	if m.fewest <= 1 {
		mean = Answer{None: "a t distribution with one degree of freedom or fewer has no mean"}
	}
	a.List = append(a.List, mean, u, m.point(r.Low), m.point(r.High), m.point(r.ShortLow), m.point(r.ShortHigh))
	return nil
}

// compare warns where the first-order interval and that of the random draws differ by more than
// half a unit in the second digit of u (JCGM 101:2008, 8.1 and 7.9.2).
func (m *measurement) compare(a *Answers, confidence float64) {
	for _, answer := range a.List {
		if answer.None != "" {
			return
		}
	}
	u := a.List[1].Value
	if u == 0 {
		return
	}
	tolerance := math.Pow(10, math.Floor(math.Log10(u))-1) / 2
	low, high := math.Abs(a.List[3].Value-a.List[7].Value), math.Abs(a.List[4].Value-a.List[8].Value)
	if max(low, high) > tolerance {
		a.Warnings = append(a.Warnings, fmt.Sprintf("low and high differ from mc_low and mc_high by up to %s, more than half a unit in the second digit of u: "+
			"prefer the mc_ limits (JCGM 101:2008, clause 8)", withUnit(round(max(low, high), 2), a.List[1].Unit)))
	}
}

// budget is the table of what each input contributes.
func (m *measurement) budget(b statistics.Budget) [][]string {
	table := [][]string{{"input", "value", "u", "contributes", "share"}}
	for i, line := range b.Lines {
		q := m.quantities[i]
		u := q
		u.Value, u.Dim.Point, u.Unit = line.U, false, strings.ReplaceAll(unitOf(q), "°C", "K")
		inUnit, err := u.In(u.Unit)
		if err != nil {
			inUnit = line.U
		}
		table = append(table, []string{line.Name, q.String(), withUnit(round(inUnit, 4), u.Unit),
			withUnit(round(m.width(line.Contribution).Value, 4), m.width(0).Unit), strconv.FormatFloat(100*line.Share, 'f', 1, 64) + " %"})
	}
	return table
}

// round keeps so many significant digits.
func round(x float64, digits int) float64 {
	r, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', digits, 64), 64)
	return r
}

// point returns a value of y as an answer, width a difference of two.
func (m *measurement) point(y float64) Answer { return m.answer(y, m.dim) }

func (m *measurement) width(y float64) Answer {
	d := m.dim
	d.Point = false
	return m.answer(y, d)
}

func (m *measurement) answer(y float64, d quantity.Dimension) Answer {
	q := quantity.Quantity{Value: y, Low: y, High: y, Dim: d, Currency: m.currency}
	unit := unitOf(q)
	if unit == "" {
		return Answer{Value: y, Unit: "-"}
	}
	if v, err := q.In(unit); err == nil {
		y = v
	}
	return Answer{Value: y, Unit: unit}
}
