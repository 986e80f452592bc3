package compare

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/figure"
	"hindwatt/internal/numeric"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
	"hindwatt/internal/promise/kept"
)

// Asked is what is to be compared.
type Asked struct {
	Folder *product.Folder
	Names  []string // variants or revisions; none: all that the folder has
	Axes   [2]string
	Pooled bool // records of all revisions count together, else each revision's by itself
	Seed   uint64
	Kept   *kept.Store
}

// BaseName is what the product without a variant is called.
const BaseName = "as it is"

// A Choice is the product, a variant or a revision, with all that is compared. Costs and minutes are those of one unit.
type Choice struct {
	Name, Why string // BaseName, or the variant's
	Revision  string // that it was made as; "" for an idea
	Promises  []promise.Judged
	Untouched []string // promises whose studies read what they read of the basis
	Cost      *promise.Figure
	Minutes   *promise.Figure
	Rating    []promise.Figure
	Parts     int // on the bill of materials; 0: there is none
	Ends      []promise.NamedEnd
	BeatenBy  []string // choices that are at least as good on every count, and better on one
	Failed    error    // a study could not be computed
}

// A Result is the choices in the order of the folder, the basis first.
type Result struct {
	Product, Invented string
	Choices           []Choice
	Counts            []string // on which one may beat another
	Uncounted         []string // promises of which no two choices have a calculation
	Axes              [2]Axis
	Records           []Records // of each revision, or of all together
	Warnings          []page.Note
}

// Of compares. The errors are those of names that there are not, of axes, of a folder without variants, and of an interrupted ctx; a
// study that fails stands in its Choice.
func Of(ctx context.Context, asked Asked) (*Result, error) {
	names, err := asked.names()
	if err != nil {
		return nil, err
	}
	r := &Result{}
	for i, a := range asked.Axes {
		if r.Axes[i], err = axisOf(a, [2]string{"cost", "met"}[i]); err != nil {
			return nil, err
		}
	}
	if r.Axes[0].Name == r.Axes[1].Name {
		return nil, fmt.Errorf("--axes %s,%[1]s: both are the same; want two of: %s", r.Axes[0].Name, strings.Join(axisNames(), ", "))
	}
	base, err := asked.Folder.Resolve("")
	if err != nil {
		return nil, err
	}
	r.Product, r.Invented = base.Name.Text, base.Invented.Text
	for i, name := range append([]string{""}, names...) {
		c, err := asked.choice(numeric.Part(ctx, fmt.Sprintf("%s, %d of %d", cmp.Or(name, BaseName), i+1, len(names)+1)), base, name, r)
		if err != nil {
			return nil, err
		}
		r.Choices = append(r.Choices, *c)
	}
	split, all, err := records(ctx, base)
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case err != nil:
		r.Warnings = append(r.Warnings, page.Note{Text: "The records are not compared: " + err.Error()})
	case asked.Pooled && all != nil:
		r.Records = []Records{*all}
	default:
		r.Records = split
	}
	r.rank()
	return r, nil
}

// names are the variants that are compared, each once; the error says which there is not.
func (a Asked) names() (names []string, err error) {
	if len(a.Folder.Variants)+len(a.Folder.Changes) == 0 {
		return nil, &product.Error{File: "variants", Problem: "there is nothing to compare", Want: "want a file such as variants/cheaper.toml with why and [set]; docs/folder.md shows one"}
	}
	if len(a.Names) == 0 {
		for _, v := range a.Folder.Variants {
			names = append(names, v.Name)
		}
		if len(names) == 0 {
			for _, c := range a.Folder.Changes {
				names = append(names, c.Name)
			}
		}
		return names, nil
	}
	for _, name := range a.Names {
		p, err := a.Folder.Resolve(name)
		if err != nil {
			return nil, err
		}
		if p.Variant != "" && !slices.Contains(names, p.Variant) {
			names = append(names, p.Variant)
		}
	}
	if len(names) == 0 {
		return nil, fmt.Errorf("compare %s: that is the product itself; want variants to put beside it", strings.Join(a.Names, " "))
	}
	return names, nil
}

// One computes what is compared of a product laid out otherwise, such as with several changes together, against the basis of a result.
func One(ctx context.Context, base, p *product.Product, r *Result, asked Asked) (*Choice, error) {
	return asked.laid(ctx, base, p, p.Variant, r)
}

// choice computes what is compared of one.
func (a Asked) choice(ctx context.Context, base *product.Product, name string, r *Result) (*Choice, error) {
	p, err := a.Folder.Resolve(name)
	if err != nil {
		return nil, err
	}
	return a.laid(ctx, base, p, name, r)
}

func (a Asked) laid(ctx context.Context, base, p *product.Product, name string, r *Result) (*Choice, error) {
	c := &Choice{Name: BaseName, Revision: p.Revision.Text, Parts: parts(p)}
	o := promise.Options{Seed: a.Seed, Kept: a.Kept, VerdictsOnly: true}
	if name != "" {
		c.Name = name
		for _, v := range slices.Concat(a.Folder.Variants, a.Folder.Changes) {
			if v.Name == name {
				c.Why = v.Why.Text
				if v.MadeFrom.Set() || v.FromSerial.Set() {
					c.Revision = p.RevisionName()
				}
			}
		}
		same := promise.Untouched(p, base, o)
		for _, j := range r.Choices[0].Promises {
			if slices.Contains(same, j.Name) {
				o.Known = append(o.Known, j)
			}
		}
		c.Untouched = same
	}
	report, err := promise.Check(ctx, p, o)
	if err != nil {
		return nil, err
	}
	c.Promises, c.Failed = report.Promises, report.Failed()
	o.Known = nil
	if c.Ends, err = promise.Ends(ctx, p, o); err != nil {
		if err := a.failed(ctx, c, err); err != nil {
			return nil, err
		}
	}
	for _, study := range []struct {
		name string
		take func(promise.Figure)
	}{
		{"production", func(f promise.Figure) {
			switch f.Name {
			case "unit-cost":
				c.Cost = &f
			case "unit-minutes":
				c.Minutes = &f
			}
		}},
		{"rating", func(f promise.Figure) { c.Rating = append(c.Rating, f) }},
	} {
		answer, err := promise.Study(ctx, p, study.name, o)
		if err != nil {
			if err := a.failed(ctx, c, err); err != nil {
				return nil, err
			}
			continue
		}
		for _, f := range answer.Figures {
			study.take(f)
		}
	}
	return c, nil
}

// failed notes that a study of a choice could not be computed; an interruption is passed on.
func (a Asked) failed(ctx context.Context, c *Choice, err error) error {
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if c.Failed == nil {
		c.Failed = err
	}
	return nil
}

// parts counts what the bill of materials puts into one unit.
func parts(p *product.Product) int {
	n := 0.0
	for _, line := range p.Production.BOM.All() {
		each := 1.0
		if line.Each.Set() {
			each = line.Each.Quantity.Value
		}
		n += each
	}
	return int(n + 0.5)
}

// Met counts the promises with a verdict.
func (c *Choice) Met(v promise.Verdict) (n int) {
	for _, j := range c.Promises {
		if j.Verdict == v {
			n++
		}
	}
	return n
}

// Bad counts the mistakes and failures that end at least so badly.
func (c *Choice) Bad(least figure.FaultEnd) (n int) {
	for _, e := range c.Ends {
		if e.Worst >= least {
			n++
		}
	}
	return n
}
