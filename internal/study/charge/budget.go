package charge

import (
	"context"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

// budgetYears is of how many paired years a sensitivity is the mean.
const budgetYears = 2

// A contribution is what one input moves the quantities by, in the years of the budget.
type contribution struct {
	variable  variable
	low, high []Year // a standard deviation below and above, the rest nominal
}

// A Line is what one input contributes to the spread of a quantity, SI.
type Line struct {
	Name, From   string
	Contribution float64 // standard uncertainty
	Share        float64 // of the variance, 0..1
}

// deviations are the quantiles a standard deviation below and above.
func (v *variable) deviations() (low, high float64) {
	if v.normal {
		return statistics.NormalCDF(-1), statistics.NormalCDF(1)
	}
	const half = 0.28867513459481288 // of a rectangle, 1/√12
	return 0.5 - half, 0.5 + half
}

// contributions run each input a standard deviation up and down, in the same years.
func (r *Result) contributions(ctx context.Context) ([]contribution, error) {
	var list []contribution
	var tasks []task
	for _, v := range r.Input.variables() {
		if v.fixed {
			continue
		}
		list = append(list, contribution{variable: v})
	}
	for n := range budgetYears {
		for i := range list {
			low, high := r.Input.nominal(), r.Input.nominal()
			v := &list[i].variable
			a, b := v.deviations()
			v.set(&low, v.at(a))
			v.set(&high, v.at(b))
			tasks = append(tasks, task{year: n, unit: low}, task{year: n, unit: high})
		}
	}
	years, err := r.model.run(ctx, tasks)
	if err != nil {
		return nil, err
	}
	for k := range years {
		c := &list[k/2%len(list)]
		if k%2 == 0 {
			c.low = append(c.low, years[k])
		} else {
			c.high = append(c.high, years[k])
		}
	}
	return list, nil
}

// Budget splits the spread of a quantity over the years and units: each input by half of what it moves the quantity between a standard
// deviation below and above (JCGM 100, 5.1.4) [CH11], and the rest, the weather of the year and what inputs do together.
func (r *Result) budget(o *Outcome, list []contribution) []Line {
	total := 0.0
	mean := o.Next(usualConfidence).Best
	for _, v := range o.samples {
		total += float64((v - mean) * (v - mean))
	}
	total /= float64(max(1, len(o.samples)-1))
	var lines []Line
	sum := 0.0
	for i := range list {
		c := &list[i]
		u := 0.0
		for k := range c.low {
			u += (o.aim.of(&c.high[k]) - o.aim.of(&c.low[k])) / (2 * budgetYears)
		}
		lines = append(lines, Line{Name: c.variable.name, From: c.variable.from, Contribution: max(u, -u)})
		sum += float64(u * u)
	}
	if rest := total - sum; rest > 0 {
		lines = append(lines, Line{Name: "weather of the year, and the rest", From: r.skyFrom(), Contribution: math.Sqrt(rest)})
		sum = total
	}
	for i := range lines {
		if sum > 0 {
			lines[i].Share = lines[i].Contribution * lines[i].Contribution / sum
		}
	}
	slices.SortStableFunc(lines, func(a, b Line) int {
		switch {
		case a.Share > b.Share:
			return -1
		case a.Share < b.Share:
			return 1
		}
		return 0
	})
	return lines
}

// skyFrom says where the weather is from.
func (r *Result) skyFrom() string {
	if r.Input.Weather != nil {
		return r.Input.WeatherFrom
	}
	return r.Input.file()
}

// budgeted are the quantities whose budget is shown: those with a promise, else the lowest charge, and what is gassed.
func (r *Result) budgeted(bounds []Bound) (list []*Outcome) {
	names := []string{}
	for _, b := range bounds {
		names = append(names, b.Quantity)
	}
	names = append(names, "minimum-charge", "overcharge", "unmet")
	for _, name := range names {
		o := r.Outcome(name)
		if o == nil || slices.Contains(list, o) || len(list) == 2 {
			continue
		}
		if i := o.Next(usualConfidence); i.High > i.Low {
			list = append(list, o)
		}
	}
	return list
}

// budgetFigures draw what each input contributes to the spread.
func (r *Result) budgetFigures(ctx context.Context, bounds []Bound) (figures []page.Figure, err error) {
	outcomes := r.budgeted(bounds)
	if len(outcomes) == 0 {
		return nil, nil
	}
	list, err := r.contributions(ctx)
	if err != nil {
		return nil, err
	}
	for _, o := range outcomes {
		f := figure.Budget{Title: "Where the spread of " + o.aim.words + " comes from", Unit: o.Unit, Source: r.Input.file()}
		lines := r.budget(o, list)
		for _, l := range lines {
			f.Lines = append(f.Lines, figure.BudgetLine{Name: l.Name, From: l.From, Share: l.Share, Contribution: inUnit(l.Contribution, o.Unit)})
		}
		figures = append(figures, page.Figure{Plot: f, Caption: fmt.Sprintf("Where the spread of %s comes from, over %d years of units: %s gives %s of the variance. Each input was moved by a standard deviation either way in the same %d years.",
			o.aim.words, len(r.Years), lines[0].Name, percent(lines[0].Share), budgetYears)})
	}
	return figures, nil
}

// inUnit is a difference of SI in a unit.
func inUnit(v float64, unit string) float64 {
	if _, factor, ok := quantity.UnitDimension(unit); ok {
		return v / factor
	}
	return v
}
