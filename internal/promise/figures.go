package promise

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/bind"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/charge"
	"hindwatt/internal/study/fault"
	"hindwatt/internal/study/production"
	"hindwatt/internal/study/rating"
	"hindwatt/internal/study/setpoint"
)

// FigureYears are the years of the charge study from which Figures takes a figure.
const FigureYears = 4

// Figures computes figures of a study alone, where they are asked of very many products that differ in a few values: under the same
// conditions as its page, but from few simulated units and years, and without a page. Of a fault study a figure is the margin of a
// mistake's or failure's worst end. A figure that the study cannot have of this product is left out.
//
//	study  one that Studies lists
//	asked  names as FigureNames gives them
//
// The best of a figure hardly depends on how few there were where no input of the product has a spread; its limits do.
func Figures(ctx context.Context, p *product.Product, study string, asked []string, options Options) ([]Figure, error) {
	by := studyOf(study)
	if !by.built() {
		return nil, fmt.Errorf("there is no study %q; %s", study, wantOneOf(study, studyNames(true)))
	}
	options.coarse, options.units = 1, roughUnits
	s := newSession(p, options)
	if by.figures != nil {
		return by.figures(ctx, s, asked)
	}
	a, err := by.answer(ctx, s, nil)
	if err != nil {
		return nil, err
	}
	return only(a.Figures, asked), nil
}

// FigureNames lists the figures that a study may have of a product.
func FigureNames(ctx context.Context, p *product.Product, study string, options Options) ([]string, error) {
	switch study {
	case "setpoint":
		return setpoint.Quantities(), nil
	case "rating":
		return append(slices.Clone(rating.Quantities()), "runaway"), nil
	case "charge":
		return charge.Quantities(), nil
	case "fault":
		return newSession(p, options).faultInput(faultSetting{installation: options.Installation}).Names()
	}
	all, err := Figures(ctx, p, study, nil, options)
	var names []string
	for _, f := range all {
		names = append(names, f.Name)
	}
	return names, err
}

// Rests is the same text for two products of which a study reads the same; "" where that cannot be said. What conditions promises name
// counts for the promises that are asked for alone.
func Rests(p *product.Product, study string, options Options) string {
	by := studyOf(study)
	if by == nil || by.rests == nil {
		return ""
	}
	return kept.Key(study, by.rests(newSession(p, options), nil))
}

// Briefly is what One leaves out.
type Briefly struct {
	Rough      bool // few units and years are computed, and the verdict may be another than in full
	Unmeasured bool // what was read on the bench
}

// One judges one promise alone.
func One(ctx context.Context, p *product.Product, name string, how Briefly, options Options) (Judged, error) {
	asked := p.Promises.Get(name)
	if asked == nil {
		return Judged{}, fmt.Errorf("promises.toml: there is no promise %q; %s", name, wantOneOf(name, p.Promises.Names()))
	}
	if options.coarse, options.unmeasured = 0, how.Unmeasured; how.Rough {
		options.coarse, options.units = 1, roughUnits
	}
	j := newJudged(name, asked)
	err := newSession(p.Only(name), options).judge(ctx, asked, &j)
	if err == nil {
		err = j.Failed
	}
	return j, err
}

func figuresSetpoint(ctx context.Context, s *session, asked []string) ([]Figure, error) {
	usual := s.usualSetting()
	in := bind.Setpoint(s.product, usual.installation)
	in.Conditions, in.Seed, in.Quantities = usual.conditions, s.options.Seed, asked
	in.Outer, in.Inner = s.options.units.outer, s.options.units.inner
	r, err := setpoint.Run(ctx, in)
	if err != nil {
		return nil, err
	}
	return figuresOfSetpoint(r)
}

func figuresRating(ctx context.Context, s *session, asked []string) ([]Figure, error) {
	usual := s.usualRating()
	in := bind.Rating(s.product, usual.installation)
	in.Conditions, in.Seed = usual.conditions, s.options.Seed
	in.Outer, in.Inner = 2, 2
	in.Quantities = slices.DeleteFunc(slices.Clone(asked), func(name string) bool { return name == "runaway" })
	r, err := rating.Run(ctx, in)
	if err != nil {
		return nil, err
	}
	return figuresOfRating(r)
}

func figuresCharge(ctx context.Context, s *session, asked []string) ([]Figure, error) {
	in, err := s.chargeInput(ctx, s.chargeShown())
	if err != nil {
		return nil, err
	}
	in.Years, in.Quantities = cmp.Or(s.options.Years, FigureYears), asked
	r, err := charge.Run(ctx, in)
	if err != nil {
		return nil, err
	}
	return figuresOfCharge(r), nil
}

func figuresFault(ctx context.Context, s *session, asked []string) (list []Figure, err error) {
	in := s.faultInput(faultSetting{installation: s.options.Installation})
	in.NoRescues, in.Units, in.Only = true, -1, asked
	r, err := fault.Run(ctx, in)
	if err != nil {
		return nil, err
	}
	for _, c := range r.Cases {
		worst := r.Worst(c.Name)
		if worst == nil || worst.Margin.None() {
			continue
		}
		m := worst.Margin.Ratio
		list = append(list, Figure{c.Name, closed(m, m, m), quantity.Ratio, ""})
	}
	return list, nil
}

// fewSamples are as few as a simulation takes.
const fewSamples = 100

func figuresProduction(ctx context.Context, s *session, asked []string) ([]Figure, error) {
	in := bind.Production(s.product)
	in.Seed, in.Samples, in.Instead = s.options.Seed, fewSamples, nil
	in.OneSize = len(asked) > 0 && !slices.ContainsFunc(asked, func(name string) bool { return strings.HasPrefix(name, "best-batch") })
	r, err := production.Run(ctx, in)
	if err != nil {
		return nil, err
	}
	return only(figuresOfProduction(r), asked), nil
}

// only are the figures that are asked for; all, where none is named.
func only(list []Figure, asked []string) []Figure {
	return slices.DeleteFunc(list, func(f Figure) bool { return len(asked) > 0 && !slices.Contains(asked, f.Name) })
}
