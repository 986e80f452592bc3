package returns

import (
	"errors"
	"math"

	"hindwatt/internal/statistics"
	"hindwatt/internal/statistics/survival"
)

// compare holds each group against all others, by its ages or else by its rate, and adjusts for their number [B6].
func (r *Result) compare(groups []Group) error {
	var named []*Group
	for i := range groups {
		if g := &groups[i]; g.Name != "" && g.Sold.High > 0 {
			named = append(named, g)
		} else if !r.Known && g.Back.High > 0 {
			return nil // of what group these are is not known: any of them
		}
	}
	if len(named) < 2 {
		return nil
	}
	test := r.byRates
	if r.Known {
		test = r.byAges
	}
	p, compared, err := test(named)
	adjusted := p
	if len(p) > 2 { // two groups against each other are one test
		adjusted = statistics.Holm(p)
	}
	for i, v := range adjusted {
		compared[i].P, compared[i].Exact = v, !r.Known
	}
	return err
}

// byAges compares by log-rank.
func (r *Result) byAges(named []*Group) (p []float64, compared []*Group, err error) {
	lives := make([][]survival.Life, len(named))
	for i, g := range named {
		lives[i] = r.Input.lives(g.units, anyReturn, middle)
	}
	for i, g := range named {
		var others []survival.Life
		for k := range lives {
			if k != i {
				others = append(others, lives[k]...)
			}
		}
		c, err := survival.LogRank([][]survival.Life{lives[i], others})
		var none *survival.NoFit
		if errors.As(err, &none) {
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		p, compared = append(p, c.P), append(compared, g)
	}
	return p, compared, nil
}

// byRates compares returns per unit and time, exactly, where the counts are exact; the time that units were out is taken at its best value.
func (r *Result) byRates(named []*Group) (p []float64, compared []*Group, err error) {
	for i, g := range named {
		var events, exposure float64
		exact := true
		for k, o := range named {
			exact = exact && o.InTime.exact() && o.Sold.exact()
			if k != i {
				events, exposure = events+o.InTime.Best, exposure+o.Exposure.Best
			}
		}
		if !exact || !(g.Exposure.Best > 0 && exposure > 0) {
			continue
		}
		c, err := statistics.PoissonRatio(int(math.Round(g.InTime.Best)), g.Exposure.Best, int(math.Round(events)), exposure, r.Input.Confidence)
		if errors.Is(err, statistics.ErrNoEvents) {
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		p, compared = append(p, c.P), append(compared, g)
	}
	return p, compared, nil
}

// Whole is all that came back of a run of batches, whatever for.
type Whole struct {
	Back, Sold int
	Ratio      float64 // times as often as the others, by log-rank; 0: not known
	StillOut   int
}

// whole counts the run that the search found.
func (r *Result) whole() error {
	b := r.Found.Best
	if b == nil {
		return nil
	}
	var w Whole
	var run, others []*Unit
	for i, g := range r.namedBatches() {
		if i < b.First || i > b.Last {
			others = append(others, g.units...)
			continue
		}
		run = append(run, g.units...)
		w.Back += came(g.units)
		w.Sold += len(g.units)
	}
	w.StillOut = w.Sold - w.Back
	c, err := survival.LogRank([][]survival.Life{r.Input.lives(run, anyReturn, middle), r.Input.lives(others, anyReturn, middle)})
	var none *survival.NoFit
	switch {
	case errors.As(err, &none):
	case err != nil:
		return err
	case c.Expected[0] > 0 && c.Observed[1] > 0 && c.Expected[1] > 0:
		w.Ratio = c.Observed[0] / c.Expected[0] / (c.Observed[1] / c.Expected[1])
	}
	r.Whole = &w
	return nil
}
