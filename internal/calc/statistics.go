package calc

import (
	"context"
	"strings"

	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

var (
	confidence = Input{Name: "confidence", Exact: true, Default: "0.95", Valid: inside01,
		Want: "want a number between 0 and 1 such as 0.95 or 95 %", Help: "of the limits, such as 0.95 or 95 %"}

	notNegative = func(v float64) bool { return v >= 0 }
	positive    = func(v float64) bool { return v > 0 }
)

func inside01(v float64) bool { return v > 0 && v < 1 }

func init() {
	register(
		Calculator{
			Name:     "tolerance-factor",
			Question: "How many standard deviations wide are limits that hold a part of all units?",
			Inputs: []Input{
				{Name: "n", Whole: true, Valid: func(v float64) bool { return v >= 2 && v <= 1e7 }, Want: "want a whole number from 2 to 10000000", Help: "units measured"},
				{Name: "proportion", Exact: true, Valid: inside01, Want: "want a number between 0 and 1 such as 0.95 or 95 %", Help: "part of all units to be held, such as 0.95 or 95 %"},
				confidence,
				{Name: "sides", Whole: true, Valid: func(v float64) bool { return v == 1 || v == 2 }, Want: "want 1 or 2", Help: "1 for one limit, 2 for limits on both sides"},
			},
			Results: []Result{{"k", "-", "limits are mean ± k·s"}},
			Formula: "one side: k = t′(confidence; n − 1, δ = z_p·√n)/√n, t′ the quantile of noncentral t; " +
				"two sides: P[Φ(z̄ + k·s) − Φ(z̄ − k·s) ≥ p] = confidence, integrated over z̄ ~ N(0, 1/n) and (n − 1)·s² ~ χ²",
			Source: "ISO 16269-6:2014, annexes; normal distribution of the units, its mean and standard deviation unknown",
			Compute: func(_ context.Context, in Values) (Answers, error) {
				k, err := statistics.ToleranceFactor(in.Whole("n"), in.Number("proportion"), in.Number("confidence"), in.Whole("sides"))
				return is(k), err
			},
		},
		Calculator{
			Name:     "proportion",
			Question: "So many failed of so many: what part fails in the long run?",
			Inputs: []Input{
				{Name: "failures", Whole: true, Valid: notNegative, Want: "want a whole number from 0 up", Help: "units that failed"},
				{Name: "of", Whole: true, Valid: positive, Want: "want a whole number from 1 up", Help: "units tried"},
				confidence,
			},
			Results: []Result{{"best", "-", "failures/of"}, {"low", "-", "lower limit"}, {"high", "-", "upper limit"}},
			Formula: "low = B((1 − c)/2; k, n − k + 1), high = B((1 + c)/2; k + 1, n − k), B the quantile of beta; low = 0 at k = 0, high = 1 at k = n",
			Source:  "Clopper and Pearson, Biometrika 26 (1934), p. 404: exact binomial limits with equal tails",
			Compute: func(_ context.Context, in Values) (Answers, error) {
				k, n := in.Whole("failures"), in.Whole("of")
				if k > n {
					return Answers{}, wrong("failures", "more than the units tried ("+in.Text("of")+")", "want at most as many")
				}
				low, high, err := statistics.BinomialLimits(k, n, in.Number("confidence"))
				return is(float64(k)/float64(n), low, high), err
			},
		},
		Calculator{
			Name:     "rate",
			Question: "So many events in such a time: how often do they happen in the long run?",
			Inputs: []Input{
				{Name: "events", Whole: true, Valid: notNegative, Want: "want a whole number from 0 up", Help: "events counted"},
				{Name: "exposure", Any: true, Valid: positive, Help: "a time such as 800 h, or whatever else the events are counted over, above 0"},
				confidence,
			},
			Results: []Result{{"best", "1/unit of exposure", "events/exposure"}, {"low", "1/unit of exposure", "lower limit"}, {"high", "1/unit of exposure", "upper limit"}},
			Formula: "low = χ²((1 − c)/2; 2k)/(2T), high = χ²((1 + c)/2; 2k + 2)/(2T); low = 0 at k = 0",
			Source:  "Garwood, Biometrika 28 (1936), p. 437: exact Poisson limits with equal tails",
			Compute: rate,
			Samples: 20_000,
		},
	)
}

// rate gives its results per unit of exposure as that was typed.
func rate(_ context.Context, in Values) (Answers, error) {
	q := in.Quantity("exposure")
	if q.Dim.Point {
		return Answers{}, wrong("exposure", "a temperature on a scale", "want a time or another amount")
	}
	unit := unitOf(q)
	scale := 1.0
	if unit != "" {
		_, scale, _ = quantity.UnitDimension(unit)
	}
	exposure := in.Number("exposure") / scale
	k := in.Whole("events")
	low, high, err := statistics.PoissonLimits(k, exposure, in.Number("confidence"))
	return is(float64(k)/exposure, low, high).in(perUnit(unit)), err
}

// unitOf returns the unit that a quantity is shown in, "" for a plain number.
func unitOf(q quantity.Quantity) string {
	if q.Unit != "" || q.Dim == quantity.Ratio {
		return q.Unit
	}
	return strings.ReplaceAll(q.Dim.Unit(), "¤", q.Currency)
}

func perUnit(unit string) string {
	switch {
	case unit == "":
		return "-"
	case strings.ContainsAny(unit, "/·"):
		return "1/(" + unit + ")"
	}
	return "1/" + unit
}
