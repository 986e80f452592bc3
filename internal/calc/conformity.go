package calc

import (
	"context"
	"math"

	"hindwatt/internal/statistics"
)

func init() {
	limit := func(name, to, help string) Input { return Input{Name: name, Like: to, Optional: true, Help: help} }
	spread := func(name, to, help string) Input {
		return Input{Name: name, Like: to, Delta: true, Valid: notNegative, Want: "want 0 or more, of the dimension of " + to, Help: help}
	}
	register(
		Calculator{
			Name:     "conformance",
			Question: "How probable is it that the true value behind a reading keeps its limits?",
			Inputs: []Input{
				{Name: "value", Any: true, Exact: true, Help: "the reading, with its unit, without tolerance"},
				spread("u", "value", "its standard uncertainty"),
				limit("min", "value", "lower limit"),
				limit("max", "value", "upper limit"),
			},
			Results: []Result{{"probability", "-", "that min ≤ true value ≤ max"}},
			Formula: "Φ((max − value)/u) − Φ((min − value)/u)",
			Source:  "JCGM 106:2012, 7.2 to 7.4; normal distribution, nothing known beforehand",
			Compute: conformance,
		},
		Calculator{
			Name:     "guard-band",
			Question: "If units are accepted by a reading, how many bad ones pass and how many good ones are turned away?",
			Inputs: []Input{
				{Name: "mean", Any: true, Help: "mean of the units made, with its unit"},
				{Name: "sd", Like: "mean", Delta: true, Valid: positive, Want: "want more than 0, of the dimension of mean", Help: "standard deviation from unit to unit"},
				spread("u", "mean", "standard uncertainty of one reading"),
				limit("min", "mean", "lower limit of a good unit"),
				limit("max", "mean", "upper limit of a good unit"),
				limit("accept_min", "mean", "lowest reading that is accepted, default min"),
				limit("accept_max", "mean", "highest reading that is accepted, default max"),
			},
			Results: []Result{
				{"conforming", "-", "good"}, {"accepted", "-", "accepted, good or bad"},
				{"false_accept", "-", "bad and accepted"}, {"false_reject", "-", "good and not accepted"},
			},
			Formula: "false_accept = ∫ outside limits φ(η; mean, sd)·P(accept | η) dη, false_reject = ∫ inside limits φ(η; mean, sd)·(1 − P(accept | η)) dη, " +
				"P(accept | η) = Φ((accept_max − η)/u) − Φ((accept_min − η)/u)",
			Source:  "JCGM 106:2012, 9.5, formulas 17 and 19; joint probabilities, normal distributions of units and of readings",
			Compute: guardBand,
			Samples: 2000,
		},
	)
}

func conformance(_ context.Context, in Values) (Answers, error) {
	low, high, err := in.limits("min", "max")
	if err != nil {
		return Answers{}, err
	}
	return is(statistics.Conformance(in.Number("value"), in.Number("u"), low, high)), nil
}

func guardBand(_ context.Context, in Values) (Answers, error) {
	low, high, err := in.limits("min", "max")
	if err != nil {
		return Answers{}, err
	}
	acceptLow, acceptHigh := in.Or("accept_min", low), in.Or("accept_max", high)
	if !(acceptLow < acceptHigh) {
		return Answers{}, wrong("accept_max", "not above accept_min", "want accept_min < accept_max")
	}
	r, err := statistics.GuardBand(statistics.Inspection{Mean: in.Number("mean"), SD: in.Number("sd"), U: in.Number("u"),
		Min: low, Max: high, AcceptMin: acceptLow, AcceptMax: acceptHigh})
	return is(r.Conforming, r.Accepted, r.FalseAccept, r.FalseReject), err
}

// limits returns two limits of which one may be open.
func (v Values) limits(min, max string) (low, high float64, err error) {
	low, high = v.Or(min, math.Inf(-1)), v.Or(max, math.Inf(1))
	switch {
	case !v.Has(min) && !v.Has(max):
		return 0, 0, wrong(max, "no limit given", "want "+min+", "+max+" or both")
	case !(low < high):
		return 0, 0, wrong(max, "not above "+min, "want "+min+" < "+max)
	}
	return low, high, nil
}
