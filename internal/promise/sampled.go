package promise

import (
	"fmt"

	"hindwatt/internal/statistics"
)

// sampled is a figure that a study has of simulated units, as every promise on it is judged.
type sampled struct {
	from, note string
	never      string  // why there is none
	nominal, u float64 // by the law of propagation
	top        string  // what contributes most to u
	share      float64 // and its share of the variance

	mean   func(confidence float64) (Interval, error)             // over units
	holds  func(proportion, confidence float64) (Interval, error) // that proportion of units
	inside func(min, max, confidence float64) (Interval, error)   // the share of units
}

// evidence is what is calculated, for a promise.
func (s *sampled) evidence(j *Judged) (Evidence, error) {
	e := Evidence{Kind: Calculated, Covers: true, From: []string{s.from}, Note: s.note}
	if s.never != "" {
		e.NoFigure, e.Interval, e.Inside, e.Note = true, Interval{OpenLow: true, OpenHigh: true}, &Interval{}, s.never
		return e, nil
	}
	var err error
	if !j.EachUnit {
		e.Interval, err = s.mean(j.Confidence)
		return e, err
	}
	if e.Interval, err = s.holds(j.Proportion, j.Confidence); err != nil {
		return e, err
	}
	share, err := s.inside(j.Bound.min(), j.Bound.max(), j.Confidence)
	e.Inside = &share
	return e, err
}

// saySampled words why the verdict is what it is; nil: nothing is calculated. What stops the figure, if anything does, stands
// before what its spread comes from.
func (j *Judged) saySampled(s *sampled, settle *settling, stops string) error {
	j.sayShares()
	if settle == nil && s != nil && s.never == "" && s.u > 0 && j.Verdict == Unproven && j.EachUnit {
		n, _, ok, err := statistics.SettleN(s.nominal, s.u, 2, statistics.Bound{
			Min: j.Bound.min(), Max: j.Bound.max(), Proportion: j.Proportion, Confidence: j.Confidence,
		}, mostUnits)
		if err != nil {
			return err
		}
		if ok {
			settle = &settling{more: n}
		}
	}
	j.saySettling(settle)
	if stops != "" {
		j.Says = append(j.Says, stops)
	}
	if s != nil && s.share > 0 {
		j.Says = append(j.Says, fmt.Sprintf("%s of the spread is %s", percent(s.share), s.top))
	}
	return nil
}
