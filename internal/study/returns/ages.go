package returns

import (
	"context"
	"errors"
	"slices"

	"hindwatt/internal/statistics/survival"
)

// ages fits what is known by age.
func (r *Result) ages(ctx context.Context) error {
	in, units := &r.Input, r.All.units
	for _, u := range units {
		if u.Back != nil && u.vague() {
			r.Vague++
		}
	}
	r.lives = gathered(units, func(u *Unit) survival.Life { return in.between(u, anyReturn) })
	if len(r.lives) == 0 {
		r.NoFit = "no unit has a day of sale of its own"
		return nil
	}
	var err error
	if r.Curve, err = survival.KaplanMeier(in.lives(units, anyReturn, middle)); err != nil {
		return err
	}
	if err := r.lifeTable(); err != nil {
		return err
	}
	return r.fit(ctx)
}

// fit fits the ages, each between its limits, by a constant rate and by Weibull's distribution.
func (r *Result) fit(ctx context.Context) error {
	var none *survival.NoFit
	rate, err := survival.Exponential(r.lives, r.Input.Confidence)
	if err == nil {
		r.Rate = &rate
	} else if !errors.As(err, &none) {
		return err
	}
	fit, err := survival.Weibull(r.lives, r.Input.Confidence)
	if errors.As(err, &none) {
		r.NoFit = none.Why
		return nil
	}
	if err != nil {
		return err
	}
	belief, err := fit.Believe(ctx, r.lives, r.Input.Seed)
	if err != nil {
		return err
	}
	r.Fit, r.Belief = &fit, &belief
	return nil
}

// follows reports whether the ages can be taken to follow the fit.
func (r *Result) follows() bool {
	return r.Known && r.Belief != nil && r.Belief.Pattern != survival.TooFew && r.Belief.Fit.None == "" && r.Belief.Fit.Value >= 0.05
}

// lifeTable groups the ages where most are known between limits only, in rows no narrower than half of the limits are apart.
func (r *Result) lifeTable() error {
	if !r.Known || r.Vague == 0 || 2*r.Vague <= r.Curve.Failures {
		return nil
	}
	var apart []float64
	for _, u := range r.All.units {
		if u.Back != nil && u.vague() {
			apart = append(apart, u.age(late)-u.age(early))
		}
	}
	slices.Sort(apart)
	width := float64(year)
	for _, months := range []float64{6, 3, 1} {
		if months*month >= apart[len(apart)/2] {
			width = months * month
		}
	}
	edges := []float64{0}
	for len(edges) < 2 || edges[len(edges)-1] < r.Curve.Last {
		edges = append(edges, float64(len(edges))*width)
	}
	t, err := survival.LifeTable(edges, r.Input.lives(r.All.units, anyReturn, middle), r.Input.Confidence)
	if err == nil {
		r.Table = &t
	}
	return err
}
