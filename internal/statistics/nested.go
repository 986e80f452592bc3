package statistics

import (
	"fmt"
	"math"
)

// Nested is a simulation in two layers that keeps apart what varies from unit to unit and what is
// merely unknown: for each outer draw of the unknown, Units units were drawn, and Inside counts
// those that kept the bound.
type Nested struct {
	Inside []int // one count an outer draw, 0 … Units
	Units  int   // inner draws, ≥ 2
}

// Proportion returns the proportion of units inside the bound: its mean over the unknown, and the values
// it stays above, and below, with this confidence each (one-sided).
//
// A count scatters about its proportion by the inner draws being few. That binomial part is taken
// out by variance components: of the variance of the counted proportions only
//
//	between = total - mean p(1-p)/(Units-1)
//
// belongs to the unknown (unbiased, as in a one-way analysis of variance), so the counted proportions are drawn
// together about their mean until that is their variance. With between ≤ 0 the unknown
// makes no difference that was seen, and low = best = high.
//
// Not taken out is what a simulation cannot show: a proportion of bad units far below 1/(Units·len(Inside)).
func (s Nested) Proportion(confidence float64) (best, low, high float64, err error) {
	if err := s.check(confidence); err != nil {
		return 0, 0, 0, err
	}
	count, units := float64(len(s.Inside)), float64(s.Units)
	p := make([]float64, len(s.Inside))
	for i, k := range s.Inside {
		p[i] = float64(k) / units
		best += p[i] / count
	}
	var total, binomial float64
	for _, p := range p {
		total += (p - best) * (p - best) / (count - 1)
		binomial += p * (1 - p) / (units - 1) / count
	}
	var shrink float64
	if total > binomial {
		shrink = math.Sqrt((total - binomial) / total)
	}
	for i := range p {
		p[i] = min(max(best+shrink*(p[i]-best), 0), 1)
	}
	q := Quantiles(p, 1-confidence, confidence)
	return min(best, 1), q[0], q[1], nil
}

func (s Nested) check(confidence float64) error {
	switch {
	case !(confidence > 0 && confidence < 1):
		return fmt.Errorf("confidence is %v; want more than 0 and less than 1", confidence)
	case s.Units < 2 || len(s.Inside) < 2:
		return fmt.Errorf("%d outer draws of %d units; want 2 or more of each", len(s.Inside), s.Units)
	}
	for i, k := range s.Inside {
		if k < 0 || k > s.Units {
			return fmt.Errorf("outer draw %d: %d of %d units inside; want 0 to all", i+1, k, s.Units)
		}
	}
	return nil
}
