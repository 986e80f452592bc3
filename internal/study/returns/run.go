package returns

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics"
	"hindwatt/internal/statistics/search"
	"hindwatt/internal/statistics/survival"
)

// Result is what the records tell.
type Result struct {
	Input                        Input
	All, Own                     Group
	Revisions, Batches, Channels []Group        // in their order
	Known                        bool           // the ages are: the curve is Kaplan and Meier's
	Part                         float64        // of all units sold whose ages are known
	Curve                        survival.Curve // of all units
	OwnCurve                     survival.Curve // of the own revision
	Fit                          *survival.Fit  // Weibull's, of all units; nil: NoFit says why
	NoFit                        string
	Rate                         *survival.RateFit
	Found                        search.Result
	NoSearch                     string
	Unseen                       *Interval // failures estimated, as a number of units of all; nil where no share of unreported ones is given
	Reasons                      []Reason
	Cost                         *Interval // of one return, money; nil: not known
	Out                          float64   // units that still are out and within acceptance
	Months                       []Month
	Coming                       Interval // returns still to come, all together
	NoComing                     string

	ownLives, allLives []survival.Life
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
		func() error { return r.ages() },
		func() error { return r.search(ctx) },
		func() error { return r.compare(r.Revisions) },
		func() error { return r.compare(r.Batches) },
		func() error { return r.compare(r.Channels) },
	}
	if err := numeric.Parallel(ctx, len(jobs), func(i int) error { return jobs[i]() }); err != nil {
		return nil, err
	}
	if err := r.forecast(ctx); err != nil {
		return nil, err
	}
	return r, ctx.Err()
}

// group sorts units and rows.
func (r *Result) group() {
	in := &r.Input
	revisions, batches, channels := newSorted(in.Revisions), newSorted(in.Batches), newSorted(nil)
	for i := range in.Units {
		u := &in.Units[i]
		r.All.add(in, u)
		if u.Own {
			r.Own.add(in, u)
		}
		revisions.group(u.Revision).add(in, u)
		batches.group(u.Batch).add(in, u)
		channels.group(u.Channel).add(in, u)
	}
	for i := range in.Sales {
		s := &in.Sales[i]
		r.All.addSale(in, s)
		if s.Own {
			r.Own.addSale(in, s)
		}
		channels.group(s.Channel).addSale(in, s)
	}
	for _, back := range in.Returns {
		if back.Joined {
			continue
		}
		r.All.addReturn(back)
		if back.Own {
			r.Own.addReturn(back)
		}
	}
	if r.All.Sold.High > 0 {
		r.Part = float64(len(in.Units)) / max(r.All.Sold.Best, 1)
	}
	r.Known = len(in.Units) > 0 && len(in.Sales) == 0 && r.All.Back.High == float64(joined(in.Units))
	if r.Known || r.Part >= 0.5 {
		r.Revisions, r.Batches = revisions.list(), batches.list()
	}
	r.Channels = channels.list()
	if len(in.Sales) > 0 { // which channel a return without a unit is from is not known
		r.Channels = nil
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

// ages fits what is known by age.
func (r *Result) ages() (err error) {
	in := &r.Input
	r.allLives, r.ownLives = in.lives(r.All.units, anyReturn), in.lives(r.Own.units, anyReturn)
	if len(r.allLives) == 0 {
		r.NoFit = "no unit has a day of sale of its own"
		return nil
	}
	if r.Curve, err = survival.KaplanMeier(r.allLives); err != nil {
		return err
	}
	if len(r.ownLives) > 0 {
		if r.OwnCurve, err = survival.KaplanMeier(r.ownLives); err != nil {
			return err
		}
	}
	var none *survival.NoFit
	rate, err := survival.Exponential(r.allLives, in.Confidence)
	if err == nil {
		r.Rate = &rate
	} else if !errors.As(err, &none) {
		return err
	}
	fit, err := survival.Weibull(r.allLives, in.Confidence)
	switch {
	case err == nil:
		r.Fit = &fit
	case errors.As(err, &none):
		r.NoFit = none.Why
	default:
		return err
	}
	return nil
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

// compare holds each group's ages against those of all others, and adjusts for their number [B6].
func (r *Result) compare(groups []Group) error {
	var named []*Group
	for i := range groups {
		if groups[i].Name != "" && len(groups[i].units) > 0 {
			named = append(named, &groups[i])
		}
	}
	if len(named) < 2 {
		return nil
	}
	lives := make([][]survival.Life, len(named))
	for i, g := range named {
		lives[i] = r.Input.lives(g.units, anyReturn)
	}
	var p []float64
	var compared []*Group
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
			return err
		}
		p, compared = append(p, c.P), append(compared, g)
	}
	for i, v := range statistics.Holm(p) {
		compared[i].P = v
	}
	return nil
}

// reasons are counted over all rows, the commonest first.
func (r *Result) reasons() {
	at := map[string]int{}
	var cost, rows float64
	var low, high float64
	for _, back := range r.Input.Returns {
		name := back.Reason
		if name == "" {
			name = "not noted"
		}
		key := fmt.Sprint(back.Found, name)
		i, ok := at[key]
		if !ok {
			i = len(r.Reasons)
			at[key] = i
			r.Reasons = append(r.Reasons, Reason{Name: name, Found: back.Found})
		}
		r.Reasons[i].Count = r.Reasons[i].Count.plus(back.Count)
		if best, least, most, known := r.Input.costOf(back); known {
			r.Reasons[i].Cost += best * back.Count.Best
			cost, low, high, rows = cost+best*back.Count.Best, low+least*back.Count.Best, high+most*back.Count.Best, rows+back.Count.Best
		}
	}
	slices.SortStableFunc(r.Reasons, func(a, b Reason) int {
		switch {
		case a.Count.Best != b.Count.Best:
			return int(math.Copysign(1, b.Count.Best-a.Count.Best))
		case a.Cost > b.Cost:
			return -1
		case a.Cost < b.Cost:
			return 1
		}
		return 0
	})
	if rows > 0 {
		r.Cost = &Interval{Best: cost / rows, Low: low / rows, High: high / rows}
	}
}

// costOf is what one return cost: what was paid, and the minutes at what an hour is worth [B9].
func (in *Input) costOf(back *Return) (best, low, high float64, known bool) {
	if v := back.Cost; v != nil {
		best, low, high, known = v.Value, v.Low, v.High, true
	}
	if m, h := back.Minutes, in.Hour; m != nil && h != nil {
		best, low, high, known = best+m.Value*h.Value, low+m.Low*h.Low, high+m.High*h.High, true
	}
	return best, low, high, known
}

// unseen estimates the failures behind the returns with a fault [B8].
func (r *Result) unseen() {
	if u := r.Input.Unreported; u != nil && u.High < 1 {
		g := &r.All
		n := Interval{Best: g.Sold.Best * g.Faulty.Best / (1 - u.Value), Low: g.Sold.Low * g.Faulty.Low / (1 - u.Low), High: g.Sold.High * min(1, g.Faulty.High/(1-u.High))}
		r.Unseen = &n
	}
}
