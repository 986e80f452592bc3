package setpoint

import (
	"context"
	"fmt"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
)

// figures draws what a promise bounds, or, if none does, the first quantity; and the course over
// temperature.
func (r *Result) figures(ctx context.Context, bounds []Bound) ([]page.Figure, error) {
	courses, err := r.Courses(ctx)
	if err != nil {
		return nil, err
	}
	var list []page.Figure
	for _, o := range r.Outcomes {
		b := boundOf(bounds, o.Quantity)
		if o.Never != "" || b == nil && (len(bounds) > 0 || len(list) > 0) {
			continue
		}
		d, err := o.distribution(b, "")
		if err != nil {
			return nil, err
		}
		list = append(list, d)
		if len(o.Linear.Lines) > 0 {
			list = append(list, o.budget())
		}
		for _, c := range courses {
			if c.Quantity == o.Quantity {
				list = append(list, o.course(c, b))
			}
		}
	}
	return list, nil
}

func boundOf(bounds []Bound, quantity string) *Bound {
	for i := range bounds {
		if bounds[i].Quantity == quantity {
			return &bounds[i]
		}
	}
	return nil
}

// shownUnits is how many units a histogram is drawn from.
const shownUnits = 50000

// distribution draws how a quantity spreads; under goes into its title, ", at 25 °C", where another
// figure of the page has the same without it.
func (o *Outcome) distribution(b *Bound, under string) (page.Figure, error) {
	name, axis := o.aim.words(o.input)
	d := figure.Distribution{Title: fmt.Sprintf("How %s spreads over units%s", name, under), Quantity: axis, Unit: "V",
		Bins: figure.Bins(o.furthest(b, shownUnits))}
	t, err := o.Tolerance(usualProportion, usualConfidence)
	if err != nil {
		return page.Figure{}, err
	}
	d.Marks = []figure.Mark{{Kind: figure.Calculated, Best: t.Best, Low: t.Low, High: t.High, Label: "95 of 100 units"}}
	if b != nil {
		low, high := b.ends()
		inside, err := o.Inside(low, high, usualConfidence)
		if err != nil {
			return page.Figure{}, err
		}
		d.Min, d.Max, d.Inside = b.Min, b.Max, percent(inside.Best)+" inside"
	}
	caption := fmt.Sprintf("%s, %s: each unit counts by its value that lies furthest off under these conditions.", page.Capital(name), o.input.conditionWords())
	if o.samples.c.single(o.aim, o.samples.places) {
		caption = fmt.Sprintf("%s, %s.", page.Capital(name), o.input.conditionWords())
	}
	return page.Figure{Plot: d, Caption: caption}, nil
}

func (o *Outcome) budget() page.Figure {
	name, _ := o.aim.words(o.input)
	b := figure.Budget{Title: "Where the spread of " + name + " comes from", Unit: "V"}
	for _, l := range o.Linear.Lines {
		b.Lines = append(b.Lines, figure.BudgetLine{Name: l.label(), Share: l.Share, Contribution: l.Contribution, From: l.From})
	}
	return page.Figure{Plot: b, Caption: fmt.Sprintf("Shares of the variance at %s, where %s may be furthest off; together u = %s [S12].",
		showTemperature(o.Linear.At.Ambient), name, volts(o.Linear.U, decimals(o.Linear.U)))}
}

// label is a line's name, and that it is the same for all units.
func (l Line) label() string {
	if l.Unknown {
		return l.Name + " (same for all units)"
	}
	return l.Name
}

func (o *Outcome) course(c Course, b *Bound) page.Figure {
	name, axis := o.aim.words(o.input)
	celsius := make([]float64, len(c.Ambient))
	for i, t := range c.Ambient {
		celsius[i] = t - (at25 - 25)
	}
	f := figure.Curve{Title: page.Capital(name) + " over the ambient", X: figure.Axis{Name: "ambient", Unit: "°C"}, Y: figure.Axis{Name: axis, Unit: "V"},
		Series: []figure.Series{{Name: name, X: celsius, Mid: c.Mid, Low: c.Low, High: c.High}}}
	if b != nil && b.Min != nil {
		f.Min = []figure.Point{{X: celsius[0], Y: *b.Min}}
	}
	if b != nil && b.Max != nil {
		f.Max = []figure.Point{{X: celsius[0], Y: *b.Max}}
	}
	return page.Figure{Plot: f, Caption: "Line: the middle unit. Band: 95 of 100 units at each temperature by itself, what is not known among it."}
}
