package life

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"strings"

	"hindwatt/internal/hindsight/compare"
	"hindwatt/internal/numeric"
	"hindwatt/internal/promise"
)

// most of single changes that are put together, and combinations that are computed in full.
const (
	mostTogether = 4
	mostComputed = 16
)

// Next is the shortest list of changes with which the most of the open promises are met, at the least money.
type Next struct {
	Open     []string // promises that are not met or unproven by what is calculated, as it is
	Changes  []string // to make; none: no change helps
	Meets    []string // of Open, and
	Still    []string // what stays open
	Lost     []string // promises that were met and no longer are
	Cost     Interval // more for one, money
	Minutes  Interval // more for one, s
	Once     float64  // tooling, and hours at our price
	Built    []string // of Changes, those that units which are built can have
	Tried    int      // combinations that were computed in full
	Left     int      // that were not, since they promise no more
	Together []string // why combinations could not be computed
}

// Revision finds the next revision among the changes that promise nothing less. The error is that of an interrupted ctx.
func (r *Result) Revision(ctx context.Context) (*Next, error) {
	base := &r.compared.Choices[0]
	n := &Next{Open: base.Open()}
	var singles []*Change
	for i := range r.Changes {
		if c := &r.Changes[i]; len(c.Other) == 0 && slices.ContainsFunc(n.Open, func(p string) bool { return r.compared.Nearer(c.Name, p) }) {
			singles = append(singles, c)
		}
	}
	slices.SortStableFunc(singles, func(a, b *Change) int { return cmp.Compare(a.Name, b.Name) })
	combos := combinations(len(singles), mostTogether)
	// promises is the most that a set can be worth: what each of it gains alone, and what two of it bring nearer, less what any loses.
	promises := func(set []int) int {
		gained, lost := map[string]int{}, map[string]bool{}
		for _, i := range set {
			for _, p := range n.Open {
				if slices.Contains(singles[i].Gained, p) {
					gained[p] += 2
				} else if r.compared.Nearer(singles[i].Name, p) {
					gained[p]++
				}
			}
			for _, p := range singles[i].Lost {
				lost[p] = true
			}
		}
		most := -len(lost)
		for _, k := range gained {
			if k > 1 {
				most++
			}
		}
		return most
	}
	price := func(set []int) (sum float64) {
		for _, i := range set {
			sum -= singles[i].Was.Money.Best
		}
		return sum
	}
	slices.SortStableFunc(combos, func(a, b []int) int {
		return cmp.Or(cmp.Compare(promises(b), promises(a)), cmp.Compare(len(a), len(b)), cmp.Compare(price(a), price(b)))
	})
	var best *found
	for at, set := range combos {
		if most := promises(set); n.Tried >= mostComputed || best != nil && most < best.worth() {
			n.Left += len(combos) - at
			break
		} else if best != nil && most == best.worth() && len(set) >= len(best.names) {
			n.Left++
			continue
		}
		var names []string
		for _, i := range set {
			names = append(names, singles[i].Name)
		}
		one, err := r.full(numeric.Part(ctx, strings.Join(names, " with ")), names, n.Open)
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err != nil {
			n.Together = append(n.Together, err.Error())
			continue
		}
		n.Tried++
		if one.worth() > 0 && (best == nil || one.better(best)) {
			one.names = names
			best = one
		}
	}
	if best == nil {
		n.Still = n.Open
		return n, nil
	}
	n.Changes, n.Meets, n.Lost, n.Cost, n.Minutes = best.names, best.meets, best.lost, best.cost, best.minutes
	for _, p := range n.Open {
		if !slices.Contains(n.Meets, p) {
			n.Still = append(n.Still, p)
		}
	}
	price1 := 0.0
	if h := r.base.Production.Work.Hour; h.Set() {
		price1 = h.Quantity.Value
	}
	for _, c := range singles {
		if slices.Contains(n.Changes, c.Name) {
			n.Once += c.Tooling.Value + c.Hours.Value*price1
			if c.Fits {
				n.Built = append(n.Built, c.Name)
			}
		}
	}
	return n, nil
}

// found is a combination that was computed in full.
type found struct {
	names, meets, lost []string
	cost, minutes      Interval
}

// better: more promises met and none lost for it, then fewer changes, then less money, [N6].
func (f *found) better(than *found) bool {
	return cmp.Or(cmp.Compare(than.worth(), f.worth()), cmp.Compare(len(f.names), len(than.names)), cmp.Compare(f.cost.Best, than.cost.Best)) < 0
}

// worth is how many promises are met more.
func (f *found) worth() int { return len(f.meets) - len(f.lost) }

// full computes a combination, every promise that it touches.
func (r *Result) full(ctx context.Context, names, open []string) (*found, error) {
	p, err := r.asked.Folder.With(names...)
	if err != nil {
		return nil, err
	}
	c, err := compare.One(ctx, r.base, p, r.compared, compare.Asked{Folder: r.asked.Folder, Seed: r.asked.Seed, Kept: r.asked.Kept})
	if err != nil {
		return nil, err
	}
	if c.Failed != nil {
		return nil, errors.New(c.Failed.Error())
	}
	out := &found{names: names}
	still := c.Open()
	for _, name := range open {
		if !slices.Contains(still, name) {
			out.meets = append(out.meets, name)
		}
	}
	for _, name := range still {
		if !slices.Contains(open, name) {
			out.lost = append(out.lost, name)
		}
	}
	base := &r.compared.Choices[0]
	less := func(a, b *promise.Figure) Interval {
		if a == nil || b == nil {
			return Interval{}
		}
		return Interval{a.Best - b.Best, a.Best - b.Best, a.Best - b.Best}
	}
	out.cost, out.minutes = less(c.Cost, base.Cost), less(c.Minutes, base.Minutes)
	return out, nil
}

// combinations are all of 1 to most of n, shortest first.
func combinations(n, most int) (all [][]int) {
	var grow func(set []int, from int)
	grow = func(set []int, from int) {
		if len(set) > 0 {
			all = append(all, slices.Clone(set))
		}
		if len(set) == most {
			return
		}
		for i := from; i < n; i++ {
			grow(append(set, i), i+1)
		}
	}
	grow(nil, 0)
	slices.SortStableFunc(all, func(a, b []int) int { return cmp.Compare(len(a), len(b)) })
	return all
}
