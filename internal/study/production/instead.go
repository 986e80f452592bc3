package production

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/statistics"
)

// Other is what the product would cost made another way.
type Other struct {
	Name      string // "" is product.toml as it is
	Enclosure bool
	Unit      Unit
	Saves     Interval // on one good unit; what both ways share is cancelled
	Faster    Interval // s of work on one good unit, likewise
	Once      float64  // what it costs more once, such as tooling
	PaysAfter float64  // units until that is earned; 0: never, or nothing is to be earned
	Rise      float64  // K, of the inside above the air at the label's current; 0: not known
}

// instead computes the alternatives. One that cannot be computed is a warning: the rest stands.
func (r *Result) instead(p plan) {
	for i := range r.Input.Instead {
		a := &r.Input.Instead[i]
		o, err := r.other(a, p)
		if err != nil {
			r.model.note("Not compared: "+title(a.Name)+": "+err.Error(), "mend it", "")
			continue
		}
		r.Others = append(r.Others, o)
	}
	slices.SortStableFunc(r.Others, func(a, b Other) int { return cmp.Compare(b.Saves.Best, a.Saves.Best) })
}

// title names another way to make it.
func title(variant string) string {
	if variant == "" {
		return "product.toml as it is"
	}
	return "the variant " + variant
}

func (r *Result) other(a *Alternative, p plan) (Other, error) {
	in, own := a.Input, r.model
	rec := r.Input.Recorded
	in.Currency, in.Recorded = r.Currency, Recorded{AllGood: rec.AllGood, Years: rec.Years, AllFrom: rec.AllFrom}
	m, err := newModel(&in)
	if err != nil {
		return Other{}, err
	}
	for _, what := range m.incomplete {
		if !slices.Contains(own.incomplete, what) {
			return Other{}, fmt.Errorf("a figure of %s is missing", what)
		}
	}
	q, err := m.planFor(m.batch)
	if err != nil {
		return Other{}, err
	}
	all, at := union(own.inputs, m.inputs)
	total := func(m *model, x []float64, p plan) float64 {
		u := m.unit(x, p, nil, nil)
		if r.Input.Unused {
			return u.Total + m.left(x, p)/float64(p.units)/u.Yield // [P19]
		}
		return u.Total
	}
	minutes := func(m *model, x []float64, p plan) float64 { return m.unit(x, p, nil, nil).Time }
	less := func(of func(*model, []float64, plan) float64) (statistics.Budget, error) {
		return statistics.Propagate(func(x []float64) (float64, error) {
			theirs := make([]float64, len(at))
			for i, k := range at {
				theirs[i] = x[k]
			}
			return of(own, x, p) - of(m, theirs, q), nil // [P17]
		}, all, nil)
	}
	b, err := less(total)
	if err != nil {
		return Other{}, err
	}
	f, err := less(minutes)
	if err != nil {
		return Other{}, err
	}
	o := Other{Name: a.Name, Enclosure: a.Enclosure, Unit: m.unit(m.estimates(), q, nil, nil), Saves: Interval{b.Value, b.Low, b.High}, Faster: Interval{f.Value, f.Low, f.High}, Once: m.paidOnce() - own.paidOnce(), Rise: a.Input.Rise}
	o.PaysAfter = paysAfter(o, max(1, rec.AllGood.Best), rec.AllGood.Best > 0)
	return o, nil
}

// paysAfter is how many units earn what is paid once.
//
//	units   over which it was spread
//	spread  whether it was
func paysAfter(o Other, units float64, spread bool) float64 {
	each := o.Saves.Best
	if spread {
		each += o.Once / units
	}
	if o.Once > 0 && each > o.Once/mostUnits {
		return math.Ceil(o.Once/each - 1e-9) // [P18]
	}
	return 0
}

// paidOnce is the sum of the overheads that are paid once.
func (m *model) paidOnce() float64 {
	sum := 0.0
	for _, o := range m.once {
		sum += o.best()
	}
	return sum
}

// union puts the inputs of two models together; those that are alike in both are the same.
//
//	at  where each of b stands in all
func union(a, b []statistics.Input) (all []statistics.Input, at []int) {
	all = slices.Clone(a)
	for _, in := range b {
		k := slices.Index(a, in)
		if k < 0 {
			k = len(all)
			if slices.ContainsFunc(a, func(i statistics.Input) bool { return i.Name == in.Name }) {
				in.Name += ", instead"
			}
			all = append(all, in)
		}
		at = append(at, k)
	}
	return all, at
}
