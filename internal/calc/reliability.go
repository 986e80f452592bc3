package calc

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
	"hindwatt/internal/statistics/survival"
)

func init() {
	cell := func(name, help string) Input {
		return Input{Name: name, Whole: true, Valid: func(v float64) bool { return v >= 0 && v <= maxWhole }, Want: "want a whole number from 0 up", Help: help}
	}
	register(
		Calculator{
			Name:     "mtbf",
			Question: "So many failures in such a time: how long is it from one to the next in the long run?",
			Inputs: []Input{
				{Name: "hours", Dim: quantity.Time, Valid: positive, Want: "want a time above 0 such as 800 h", Help: "of all units together, such as 800 h"},
				{Name: "failures", Whole: true, Valid: notNegative, Want: "want a whole number from 0 up", Help: "failures counted"},
				confidence,
			},
			Results: []Result{
				{"mtbf", "h", "hours/failures"}, {"low", "h", "lower of two limits"}, {"high", "h", "upper of two limits"},
				{"low_one_sided", "h", "lower limit if no upper one is asked"},
			},
			Formula: "low = 2T/χ²((1 + c)/2; 2r + 2), high = 2T/χ²((1 − c)/2; 2r), low_one_sided = 2T/χ²(c; 2r + 2)",
			Source:  "NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.5.1; constant failure rate, time fixed beforehand",
			Compute: mtbf,
			Samples: 20_000,
		},
		Calculator{
			Name:     "weibull",
			Question: "Which Weibull distribution do the ages at failure follow: early failures, chance or wear?",
			Inputs:   []Input{ages("time,failed or from,to"), confidence},
			Results: []Result{
				{"shape", "-", "below 1 early failures, 1 chance, above 1 wear"}, {"scale", "-", "age that 37 % survive, in the file's unit"},
				{"loglik", "-", "log-likelihood"}, {"shape_low", "-", "lower limit"}, {"shape_high", "-", "upper limit"},
				{"scale_low", "-", "lower limit"}, {"scale_high", "-", "upper limit"},
			},
			Formula: "S(t) = exp(−(t/scale)^shape); loglik = Σ failed log(shape/t·(t/scale)^shape) + Σ between log(S(from) − S(to)) − Σ (t/scale)^shape + Σ (entry/scale)^shape, " +
				"largest; limits where the largest loglik at a fixed shape or scale is lower by χ²(c; 1)/2",
			Source:  "maximum and profile likelihood: Meeker and Escobar, Statistical Methods for Reliability Data, 1998, chapters 7, 8 and 11",
			Compute: weibull,
		},
		Calculator{
			Name:     "survival",
			Question: "What part of all units survives an age, when many are still good?",
			Inputs: []Input{
				ages("time,failed"),
				{Name: "at", Exact: true, Valid: notNegative, Want: "want a number from 0 up, in the file's unit", Help: "the age, in the file's unit"},
				confidence,
			},
			Results: []Result{{"survival", "-", "part that survives"}, {"se", "-", "its standard error"}, {"low", "-", "lower limit"}, {"high", "-", "upper limit"}},
			Formula: "S = Π (1 − d/n) over ages at failure up to at; se² = S²·Σ d/(n(n − d)); low, high = S^exp(±z·se/(S·log S))",
			Source:  "Kaplan and Meier, J. Am. Statist. Assoc. 53 (1958), p. 457; Greenwood 1926; log-log limits: Kalbfleisch and Prentice, The Statistical Analysis of Failure Time Data, 2nd ed. 2002, eq. 1.15",
			Compute: survive,
		},
		Calculator{
			Name:     "logrank",
			Question: "Do units of different groups fail at different ages?",
			Inputs:   []Input{ages("time,failed,group")},
			Results:  []Result{{"chi2", "-", "weighed squares of observed − expected"}, {"p", "-", "probability of this much or more if all groups were alike"}},
			Formula:  "expected = Σ d·nᵢ/n over ages at failure; chi2 = (O − E)ᵀ·V⁻¹·(O − E), V hypergeometric; p from χ² with groups − 1 degrees of freedom",
			Source:   "Mantel, Cancer Chemotherapy Reports 50 (1966), p. 163; Peto and Peto, J. R. Statist. Soc. A 135 (1972), p. 185",
			Compute:  logRank,
		},
		Calculator{
			Name:     "fisher",
			Question: "Do two shares, counted in a table of two by two, differ?",
			Inputs: []Input{cell("a", "first row, first column"), cell("b", "first row, second column"),
				cell("c", "second row, first column"), cell("d", "second row, second column")},
			Results: []Result{{"p_two_sided", "-", "probability of tables that are no likelier"}, {"p_one_sided", "-", "probability of this and more to its side, the smaller tail"}},
			Formula: "P(table) = C(a + c, a)·C(b + d, b)/C(n, a + b), rows and columns fixed; two-sided Σ P ≤ P(seen)",
			Source:  "Fisher, Statistical Methods for Research Workers, 14th ed. 1970, section 21.02; exact",
			Compute: func(_ context.Context, in Values) (Answers, error) {
				two, one, err := statistics.FisherExact(in.Whole("a"), in.Whole("b"), in.Whole("c"), in.Whole("d"))
				return is(two, one), err
			},
		},
	)
}

const secondsPerHour = 3600

func mtbf(_ context.Context, in Values) (Answers, error) {
	hours, failures := in.Number("hours")/secondsPerHour, in.Whole("failures")
	low, high, lowOneSided, err := statistics.MTBFLimits(hours, failures, in.Number("confidence"))
	if failures == 0 {
		no := Answer{None: "no failure: only a lower limit is known"}
		return Answers{List: []Answer{no, {Value: low}, no, {Value: lowOneSided}}}, err
	}
	return is(hours/float64(failures), low, high, lowOneSided), err
}

func weibull(_ context.Context, in Values) (Answers, error) {
	var lives []survival.Life
	warnings, err := in.rows("file", collect(&lives, ageColumns, row.lifeAbove0), collect(&lives, inspectionColumns, row.inspectedAbove0))
	if err != nil {
		return Answers{}, err
	}
	fit, err := survival.Weibull(lives, in.Number("confidence"))
	a := Answers{Warnings: warnings}
	if a.none(7, err) {
		return a, nil
	}
	a.List = []Answer{{Value: fit.Shape}, {Value: fit.Scale}, {Value: fit.LogLik},
		maybe(fit.ShapeLow), maybe(fit.ShapeHigh), maybe(fit.ScaleLow), maybe(fit.ScaleHigh)}
	const few = 5
	if fit.Failures < few {
		a.Warnings = append(a.Warnings, fmt.Sprintf("a shape from %d failures is hardly known, and profile limits from fewer than %d are too narrow: rather fix the shape", fit.Failures, few))
	}
	return a, err
}

// none fills the answers with the reason if err says that data have no estimate.
func (a *Answers) none(results int, err error) bool {
	var no *survival.NoFit
	if errors.As(err, &no) {
		a.List = slices.Repeat([]Answer{{None: no.Why}}, results)
	}
	return no != nil
}

func maybe(m survival.Maybe) Answer { return Answer{Value: m.Value, None: m.None} }

func survive(_ context.Context, in Values) (Answers, error) {
	var lives []survival.Life
	warnings, err := in.rows("file", collect(&lives, ageColumns, row.life))
	if err != nil {
		return Answers{}, err
	}
	curve, err := survival.KaplanMeier(lives)
	if err != nil {
		return Answers{}, err
	}
	if age, ok := curve.Exhausted(); ok {
		warnings = append(warnings, fmt.Sprintf("all units watched at the age of %g failed then, so the survival is 0 though others lived on: leave out rows that end by then, and ask for the survival of those that reach it", age))
	}
	e, err := curve.At(in.Number("at"), in.Number("confidence"))
	half := curve.Median()
	median := number(half.Value)
	if half.None != "" {
		median = "none: " + half.None
	}
	return Answers{List: []Answer{maybe(e.Survival), maybe(e.SE), maybe(e.Low), maybe(e.High)}, Warnings: warnings,
		Table: [][]string{{"units", "failed", "median"}, {fmt.Sprint(curve.Units), fmt.Sprint(curve.Failures), median}}}, err
}

func logRank(_ context.Context, in Values) (Answers, error) {
	const most = 100 // groups
	var names []string
	var groups [][]survival.Life
	columns := append(slices.Clone(ageColumns), groupColumn)
	warnings, err := in.rows("file", layout{columns, func(r row) *fault {
		l, f := r.life()
		name := r.text[len(ageColumns)]
		i := slices.Index(names, name)
		switch {
		case name == "":
			return &fault{len(ageColumns), "empty", "want a name for each group"}
		case i < 0 && len(names) == most:
			return &fault{len(ageColumns), fmt.Sprintf("more than %d groups", most), "want fewer"}
		case i < 0:
			i = len(names)
			names, groups = append(names, name), append(groups, nil)
		}
		groups[i] = append(groups[i], l)
		return f
	}})
	if err != nil {
		return Answers{}, err
	}
	if len(groups) < 2 {
		return Answers{}, wrong("file", "only one group, "+names[0], "want two or more")
	}
	c, err := survival.LogRank(groups)
	a := Answers{Warnings: warnings}
	if a.none(2, err) {
		return a, nil
	}
	a.List, a.Table = is(c.ChiSquared, c.P).List, [][]string{{"group", "failed", "expected"}}
	for i, name := range names {
		a.Table = append(a.Table, []string{shorten(name), number(c.Observed[i]), number(round(c.Expected[i], 6))})
	}
	if c.DOF < len(groups)-1 {
		a.Warnings = append(a.Warnings, fmt.Sprintf("only %d of %d groups had units at risk when others failed; the rest are left out", c.DOF+1, len(groups)))
	}
	return a, err
}

// above0 refuses a failure at age 0, where a Weibull distribution has no density.
func above0(l survival.Life, f *fault) (survival.Life, *fault) {
	if f == nil && l.From == 0 && l.To == 0 {
		f = &fault{0, "failed at age 0, where a Weibull distribution has no density", "want an age above 0, or columns from,to with the ages between which it failed"}
	}
	return l, f
}

func (r row) lifeAbove0() (survival.Life, *fault)      { return above0(r.life()) }
func (r row) inspectedAbove0() (survival.Life, *fault) { return above0(r.inspected()) }
