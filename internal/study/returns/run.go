package returns

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics/search"
	"hindwatt/internal/statistics/survival"
)

// Result is what the records tell.
type Result struct {
	Input                        Input
	All, Own                     Group
	Revisions, Batches, Channels []Group         // in their order
	Known                        bool            // the ages are, exactly or between limits: the curve is Kaplan and Meier's
	Loose, Named                 int             // returns that were given a unit of all, or of their batch, for want of a serial
	Vague                        int             // returns whose age is known between limits only
	Curve                        survival.Curve  // of all units, ages between limits at their middle
	Table                        *survival.Table // life table, where more than half of the ages are vague
	Fit                          *survival.Fit   // Weibull's, of all units; nil: NoFit says why
	NoFit                        string
	Belief                       *survival.Belief // in the fit; nil without one
	Rate                         *survival.RateFit
	Periods                      *survival.PeriodFit // to sales and returns by period, where ages are not known; nil otherwise
	Found                        search.Result
	Whole                        *Whole // all that came back of the run of batches that was found
	NoSearch                     string
	Unseen                       *Interval // failures estimated, as a number of units of all; nil where no share of unreported ones is given
	Reasons                      []Reason
	Cost                         *Interval // of one return, money; nil: not known
	Out                          float64   // units that still are out and within acceptance
	Months                       []Month
	Coming                       Interval // returns still to come, all together
	NoComing                     string
	Model                        survival.Model // by which the forecast was made

	units  []Unit
	sales  []*Sale // that have no units
	placed map[*Return]bool
	lives  []survival.Life // of all units, with ages between their limits
}

// A Reason is what units came back for.
type Reason struct {
	Name  string
	Count Count
	Found Found
	Cost  float64 // of all of them, where it is noted
}

// Run looks at the records. An input that makes no sense is an error that names it.
func Run(ctx context.Context, in Input) (*Result, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	r := &Result{Input: in}
	r.group()
	groups := []*Group{&r.All, &r.Own}
	for _, list := range [][]Group{r.Revisions, r.Batches, r.Channels} {
		for i := range list {
			groups = append(groups, &list[i])
		}
	}
	for _, g := range groups {
		if err := g.finish(in.Confidence); err != nil {
			return nil, fmt.Errorf("returns: %w", err)
		}
	}
	r.reasons()
	r.unseen()
	jobs := []func() error{
		func() error { return r.ages(ctx) },
		func() error { return r.periods() },
		func() error { return r.search(ctx) },
		func() error { return r.compare(r.Revisions) },
		func() error { return r.compare(r.Batches) },
		func() error { return r.compare(r.Channels) },
	}
	if err := numeric.Parallel(ctx, len(jobs), func(i int) error { return jobs[i]() }); err != nil {
		return nil, err
	}
	if err := r.whole(); err != nil {
		return nil, fmt.Errorf("returns: %w", err)
	}
	if err := r.forecast(ctx); err != nil {
		return nil, fmt.Errorf("returns: forecast: %w", err)
	}
	return r, ctx.Err()
}

// group sorts units and rows.
func (r *Result) group() {
	in, p := &r.Input, r.place()
	r.units, r.sales, r.placed, r.Loose, r.Named = p.units, p.sales, p.placed, p.loose, p.named
	revisions, batches, channels := newSorted(in.Revisions), newSorted(in.Batches), newSorted(nil)
	for i := range p.units {
		u := &p.units[i]
		whole := u
		if stand, ok := p.stand[i]; ok {
			whole = &stand
		}
		r.All.add(in, whole)
		if u.Own {
			r.Own.add(in, whole)
		}
		revisions.group(u.Revision).add(in, u)
		batches.group(u.Batch).add(in, u)
		channels.group(u.Channel).add(in, u)
	}
	for _, s := range p.sales {
		r.All.addSale(in, s)
		if s.Own {
			r.Own.addSale(in, s)
		}
		revisions.group(s.Revision).addSale(in, s)
		channels.group(s.Channel).addSale(in, s)
	}
	apart := p.loose
	for _, back := range in.Returns {
		if back.Joined || p.placed[back] {
			continue
		}
		r.All.addReturn(back)
		if back.Own {
			r.Own.addReturn(back)
		}
		revisions.group(back.Revision).addReturn(back)
		apart++
	}
	r.Known = len(p.units) > 0 && len(p.sales) == 0 && r.All.Back.High == float64(p.back)
	r.Revisions = revisions.list()
	if float64(len(p.units)) >= 0.5*r.All.Sold.Best {
		r.Batches = batches.list()
	}
	if float64(apart) <= loosePart*r.All.Back.Best { // else what channel they were sold through is not known
		r.Channels = channels.list()
	}
}

func joined(units []Unit) (n int) {
	for i := range units {
		if units[i].Back != nil {
			n++
		}
	}
	return n
}

type sorted struct {
	known []string
	at    map[string]*Group
	names []string
}

func newSorted(known []string) *sorted { return &sorted{known, map[string]*Group{}, nil} }

func (s *sorted) group(name string) *Group {
	g := s.at[name]
	if g == nil {
		g = &Group{Name: name, P: -1}
		s.at[name] = g
		s.names = append(s.names, name)
	}
	return g
}

// list gives the groups in the known order, the rest by their first sale.
func (s *sorted) list() (out []Group) {
	for _, name := range s.known {
		if g := s.at[name]; g != nil && name != "" {
			out = append(out, *g)
		}
	}
	first := len(out)
	for _, name := range s.names {
		if !slices.Contains(s.known, name) && name != "" {
			out = append(out, *s.at[name])
		}
	}
	slices.SortStableFunc(out[first:], func(a, b Group) int { return int(a.First) - int(b.First) })
	if g := s.at[""]; g != nil {
		out = append(out, *g)
	}
	return out
}

// search looks for batches that differ, unasked.
func (r *Result) search(ctx context.Context) error {
	var groups [][]search.Unit
	for i := range r.Batches {
		if r.Batches[i].Name != "" {
			groups = append(groups, r.Input.searched(r.Batches[i].units))
		}
	}
	if len(groups) < 2 {
		r.NoSearch = "fewer than two batches are told apart"
		return nil
	}
	var none *survival.NoFit
	found, err := search.Find(ctx, groups, search.Options{Confidence: r.Input.Confidence, Seed: r.Input.Seed})
	if errors.As(err, &none) {
		r.NoSearch = none.Why
		return nil
	}
	r.Found = found
	return err
}
