package life

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/bind"
	"hindwatt/internal/hindsight/compare"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/production"
	"hindwatt/internal/study/returns"
)

// Samples of a life that are drawn where nothing else is asked, and limits of what may be.
const (
	UsualSamples = 1000
	LeastSamples = 100
	MostSamples  = 1_000_000
)

// Asked is what is to be looked back on.
type Asked struct {
	Folder  *product.Folder
	Samples int // 0: UsualSamples
	More    int // units still to be made; 0: as many as were sold in the last year of the records
	Seed    uint64
	Kept    *kept.Store
}

// An Interval holds 95 of 100 lives.
type Interval struct{ Best, Low, High float64 }

// Worth says what an interval of money says.
type Worth string

// The three.
const (
	WorthIt    Worth = "worth it"
	NotWorthIt Worth = "not worth it"
	CannotTell Worth = "cannot be told"
)

// worth is decided by the whole interval, [N4].
func worth(i Interval) Worth {
	switch {
	case i.Low > 0:
		return WorthIt
	case i.High < 0:
		return NotWorthIt
	}
	return CannotTell
}

// A Tally is what a change does to some units: money saved with our time at its price, hours freed, returns spared.
type Tally struct{ Money, Hours, Returns Interval }

// A Change is a variant or a single change, weighed.
type Change struct {
	Name, Why    string
	Single       bool     // of changes.toml
	Saves        Interval // on making one, money
	Faster       Interval // on making one, s
	Tooling      quantity.Quantity
	Hours        quantity.Quantity // s
	Was, More    Tally             // had it been so from the beginning; for the units still to be made
	One          Interval          // what somebody saves who builds a single one: parts, and time at our price
	OneMinutes   Interval          // s
	Gained, Lost []string          // promises, by what is calculated
	Other        []string          // promises that say something else with it
	Fits         bool              // units that are built can have it
	FitCost      quantity.Quantity
	FitMinutes   quantity.Quantity // s
	Removes      []removal

	samples []float64 // money, in the order of the draws
}

// removal is a share of the returns for one reason.
type removal struct {
	reason string
	share  quantity.Quantity
	from   string
	back   []float64 // money that each of the returns cost
	time   []float64 // s of work in each
}

// A Result is the changes, what pays most first.
type Result struct {
	Product, Currency string
	Sold              Interval
	More              float64
	Changes           []Change
	Decisions         []Decision
	Best              []string // changes that no other is better than for sure
	Samples           int
	Warnings          []page.Note

	compared *compare.Result
	base     *product.Product
	asked    Asked
}

// Of looks back. Errors are those of the folder, of a list without a change, and of an interrupted ctx.
func Of(ctx context.Context, asked Asked) (*Result, error) {
	if asked.Samples == 0 {
		asked.Samples = UsualSamples
	}
	if asked.Samples < LeastSamples || asked.Samples > MostSamples {
		return nil, fmt.Errorf("--samples %d: want %d to %d", asked.Samples, LeastSamples, MostSamples)
	}
	base, err := asked.Folder.Resolve("")
	if err != nil {
		return nil, err
	}
	r := &Result{Product: base.Name.Text, Currency: base.Currency.Text, Samples: asked.Samples, base: base, asked: asked}
	names := candidates(asked.Folder)
	if len(names) == 0 {
		return nil, &product.Error{File: "changes.toml", Problem: "there is no change to weigh", Want: "want [change.NAME] with why and set, or a variant; docs/folder.md shows one"}
	}
	for _, name := range names {
		c, err := r.change(name)
		if err != nil {
			return nil, err
		}
		r.Changes = append(r.Changes, *c)
	}
	back, err := returns.Run(ctx, bind.Returns(base))
	if err != nil {
		return nil, fmt.Errorf("returns: %w", err)
	}
	if err := r.returned(back); err != nil {
		return nil, err
	}
	if err := r.making(ctx); err != nil {
		return nil, err
	}
	if r.compared, err = compare.Of(ctx, compare.Asked{Folder: asked.Folder, Names: names, Seed: asked.Seed, Kept: asked.Kept}); err != nil {
		return nil, err
	}
	for i := range r.Changes {
		c := &r.Changes[i]
		c.Gained, c.Lost, c.Other = r.compared.Against(c.Name)
	}
	r.weigh()
	r.rank()
	if err := r.decisions(ctx); err != nil {
		return nil, err
	}
	return r, ctx.Err()
}

// candidates are the variants that were never made, then the single changes.
func candidates(f *product.Folder) (names []string) {
	for _, v := range f.Variants {
		if !v.MadeFrom.Set() && !v.FromSerial.Set() && !v.Revision.Set() {
			names = append(names, v.Name)
		}
	}
	for _, c := range f.Changes {
		names = append(names, c.Name)
	}
	return names
}

func (r *Result) change(name string) (*Change, error) {
	f := r.asked.Folder
	c := &Change{Name: name}
	for _, v := range slices.Concat(f.Variants, f.Changes) {
		if v.Name == name {
			c.Why = v.Why.Text
		}
	}
	c.Single = slices.ContainsFunc(f.Changes, func(v *product.Variant) bool { return v.Name == name })
	e := f.Effect(name)
	c.Tooling, c.Hours = e.Tooling.Quantity, e.Hours.Quantity
	c.Fits, c.FitCost, c.FitMinutes = e.FitsBuilt.On, e.FitCost.Quantity, e.FitMinutes.Quantity
	for _, one := range e.Removes.All() {
		if !one.Reason.Set() || !one.Share.Set() {
			return nil, one.Fault("lacks reason or share", `want { reason = "cracked solder at j2", share = "60 %..90 %" }`)
		}
		c.Removes = append(c.Removes, removal{reason: one.Reason.Text, share: one.Share.Quantity, from: one.Reason.Origin.String()})
	}
	return c, nil
}

// returned finds the returns of each reason, what each cost and how long it took.
func (r *Result) returned(back *returns.Result) error {
	all := &back.All
	r.Sold = Interval{all.Sold.Best, all.Sold.Low, all.Sold.High}
	var reasons []string
	for _, one := range back.Reasons {
		if !slices.Contains(reasons, one.Name) {
			reasons = append(reasons, one.Name)
		}
	}
	for i := range r.Changes {
		for k := range r.Changes[i].Removes {
			one := &r.Changes[i].Removes[k]
			known := false
			for _, row := range back.Input.Returns {
				if !strings.HasPrefix(row.Reason, one.reason) {
					continue
				}
				known = true
				cost, time := 0.0, 0.0
				if row.Cost != nil {
					cost = row.Cost.Value
				}
				if row.Minutes != nil {
					time = row.Minutes.Value
					if h := back.Input.Hour; h != nil {
						cost += time * h.Value
					}
				}
				for range int(row.Count.Best + 0.5) {
					one.back, one.time = append(one.back, cost), append(one.time, time)
				}
			}
			if !known {
				e := &product.Error{File: one.from, Value: one.reason, Problem: "no return has this reason", Want: "want a reason of records/returned.csv, or how it begins"}
				if near := product.Nearest(one.reason, reasons); near != "" {
					e.Want = "did you mean " + near
				}
				return e
			}
		}
	}
	r.More = float64(r.asked.More)
	if r.More == 0 {
		r.More = lastYear(back)
	}
	return nil
}

// lastYear counts what was sold in the year before the records end.
func lastYear(back *returns.Result) (n float64) {
	from := back.Input.Today - 365
	for _, u := range back.Input.Units {
		if u.Sold > from {
			n++
		}
	}
	for _, s := range back.Input.Sales {
		if days := float64(s.Until - s.From + 1); days > 0 {
			n += s.Count.Best * min(1, max(0, float64(s.Until-from)/days))
		}
	}
	return n
}

// making computes what each change saves on one unit in the usual batch, and on a single one.
func (r *Result) making(ctx context.Context) error {
	named, order := map[string]*product.Product{}, []string{}
	for _, c := range r.Changes {
		p, err := r.asked.Folder.Resolve(c.Name)
		if err != nil {
			return err
		}
		named[c.Name], order = p, append(order, c.Name)
	}
	for _, single := range []bool{false, true} {
		in := bind.Production(r.base)
		in.Seed, in.Samples, in.OneSize, in.Instead = r.asked.Seed, 100, true, bind.Making(named, order)
		if in.Unused = single; single {
			one := &production.Value{Quantity: quantity.Quantity{Value: 1, Low: 1, High: 1}}
			in.Batch = one
			for i := range in.Instead {
				in.Instead[i].Input.Batch = one
			}
		}
		made, err := production.Run(ctx, in)
		if err != nil {
			return fmt.Errorf("production: %w", err)
		}
		r.Currency = made.Currency
		for _, o := range made.Others {
			i := slices.IndexFunc(r.Changes, func(c Change) bool { return c.Name == o.Name })
			saves, faster := Interval(o.Saves), Interval(o.Faster)
			if c := &r.Changes[i]; single {
				c.One, c.OneMinutes = saves, faster
			} else {
				c.Saves, c.Faster = saves, faster
			}
		}
		for _, n := range made.Notes {
			if !single && strings.HasPrefix(n.Text, "Not compared: ") {
				r.Warnings = append(r.Warnings, n)
			}
		}
	}
	return nil
}
