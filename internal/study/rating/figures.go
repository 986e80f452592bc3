package rating

import (
	"fmt"
	"math"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// figures are the derating curve, the circuit, temperatures, losses, spread and budget.
func (r *Result) figures(curve []Derated, bounds []Bound) ([]page.Figure, error) {
	var list []page.Figure
	o := r.Outcome("current")
	if len(curve) > 0 && o != nil {
		f, err := r.derating(curve, o, boundOf(bounds, "current"))
		if err != nil {
			return nil, err
		}
		list = append(list, f)
	}
	if len(r.Input.Design.Components) > 0 {
		list = append(list, r.circuit())
	}
	if r.Point != nil {
		list = append(list, r.temperatures(), r.losses())
	}
	for _, name := range []string{"current", "touch-temperature"} {
		o := r.Outcome(name)
		b := boundOf(bounds, name)
		if o == nil || o.Never != "" || o.Nominal == 0 || name != "current" && b == nil {
			continue
		}
		if len(o.Linear.Lines) > 0 {
			list = append(list, o.spread(b), o.budget())
		}
	}
	return list, nil
}

// derating draws the curve, one line for each part that stops it.
func (r *Result) derating(curve []Derated, o *Outcome, b *Bound) (page.Figure, error) {
	f := figure.Curve{Title: "Largest continuous current over the ambient", X: figure.Axis{Name: "ambient", Unit: "°C"},
		Y: figure.Axis{Name: "current", Unit: "A"}, Source: r.Input.Design.From}
	for from := 0; from < len(curve); {
		to := from + 1
		for to < len(curve) && curve[to].Part == curve[from].Part && curve[to].Of == curve[from].Of {
			to++
		}
		s := figure.Series{Name: stopWords(curve[from].Part, curve[from].Of)}
		for _, c := range curve[from:min(to+1, len(curve))] { // up to where the next one takes over
			s.X, s.Mid = append(s.X, c.Air-zeroCelsius), append(s.Mid, c.Current)
			s.Low, s.High = append(s.Low, c.Low), append(s.High, c.High)
		}
		f.Series = append(f.Series, s)
		from = to
	}
	if b != nil && b.Min != nil {
		f.Level, f.LevelText = b.Min, quantity.Format(*b.Min, quantity.Current, "A", -3)+" at "+celsius(b.High)
	}
	if o.Never == "" {
		t, err := o.Tolerance(usualProportion, usualConfidence)
		if err != nil {
			return page.Figure{}, err
		}
		f.Marks = []figure.CurveMark{{X: o.At.air - zeroCelsius, Mark: figure.Mark{Kind: figure.Calculated, Best: o.Nominal,
			Low: math.Min(t.Low, o.Nominal), High: math.Max(t.High, o.Nominal), Label: "95 of 100 units"}}}
	}
	return page.Figure{Plot: f, Caption: "The largest continuous current over the ambient, " + dutyWords(r.Worst) + ". Line: a nominal unit, stopped by " +
		stopsAlong(curve) + ". Band: 95 of 100 units, what is not known among it. Rule across: what is promised."}, nil
}

// stopsAlong names what stops the current from the coldest to the hottest: "the current limit of f1 up to 45 °C, then the junction
// of d1".
func stopsAlong(curve []Derated) string {
	text := ""
	for i, c := range curve {
		if i > 0 && c.Part == curve[i-1].Part && c.Of == curve[i-1].Of {
			continue
		}
		if i > 0 {
			text += " up to " + celsius(curve[i-1].Air) + ", then "
		}
		text += stopWords(c.Part, c.Of)
	}
	return text
}

// temperatures draws how much of the way from the ambient to its limit each part has gone.
func (r *Result) temperatures() page.Figure {
	b := figure.Bars{Title: fmt.Sprintf("How far each part is on the way from the ambient to its limit, at %s %s", amperes(r.place.current), r.Input.conditionWords()),
		Axis: figure.Axis{Name: "share of the way", Unit: "%"}, Source: r.Input.Design.From}
	for i, p := range r.Point.Parts {
		if p.Tightest < 0 || p.Tightest >= len(p.Limits) {
			continue
		}
		l := p.Limits[p.Tightest]
		if used := r.used(l); finite(used) && used > 0.02 {
			b.Rows = append(b.Rows, figure.BarRow{Name: r.Input.Design.Components[i].Name, Parts: []float64{100 * used}, Text: limitWords(l)})
		}
	}
	return page.Figure{Plot: b, Caption: b.Title + ". 100 % is the limit on the data sheet; currents and powers count from 0. Parts below 2 % are left out."}
}

// used is what part of a limit is used up.
func (r *Result) used(l limit) float64 {
	if l.Of == "current" || l.Of == "power" {
		return l.Value / l.Max
	}
	if l.Max <= r.place.air {
		return 1
	}
	return (l.Value - r.place.air) / (l.Max - r.place.air)
}

// limitWords word a limit: "junction 96 °C of 150 °C".
func limitWords(l limit) string {
	switch l.Of {
	case "current":
		return fmt.Sprintf("%.1f A of %s", l.Value, amperes(l.Max))
	case "power":
		return watts(l.Value) + " of " + watts(l.Max)
	}
	return fmt.Sprintf("%s %s of %s", l.Of, celsius(l.Value), celsius(l.Max))
}

// leastLoss is the part of all loss below which a part is pooled with others.
const leastLoss = 0.01

// losses draws where the heat comes from.
func (r *Result) losses() page.Figure {
	b := figure.Bars{Title: fmt.Sprintf("Where %s are lost at %s", watts(r.Point.Loss), amperes(r.place.current)), Axis: figure.Axis{Name: "loss", Unit: "W"},
		Parts: []string{"conduction", "switching", "leads", "leakage"}, Source: r.Input.Design.From}
	rest, pooled := 0.0, 0
	for i, p := range r.Point.Parts {
		switch sum := p.Loss.Sum(); {
		case sum >= leastLoss*r.Point.Loss:
			b.Rows = append(b.Rows, figure.BarRow{Name: r.Input.Design.Components[i].Name,
				Parts: []float64{p.Loss.Conduction, p.Loss.Switching, p.Loss.Clamping, p.Loss.Leakage}, Text: watts(sum)})
		case sum > 0:
			rest, pooled = rest+sum, pooled+1
		}
	}
	if pooled > 0 {
		b.Rows = append(b.Rows, figure.BarRow{Name: fmt.Sprintf("%d others", pooled), Parts: []float64{rest, 0, 0, 0}, Text: watts(rest)})
	}
	return page.Figure{Plot: b, Caption: fmt.Sprintf("%s. A nominal unit, %s; %s of it inside enclosures.", b.Title, dutyWords(conducting), watts(r.Point.In))}
}

// in converts a figure to the unit that the outcome is shown in.
func (o *Outcome) in(v float64) float64 {
	if o.Dim.Point {
		return v - zeroCelsius
	}
	if _, scale, ok := quantity.UnitDimension(o.Unit); ok {
		return v / scale
	}
	return v
}

// spread draws how a quantity differs from unit to unit.
func (o *Outcome) spread(b *Bound) page.Figure {
	var shown []float64
	for _, v := range o.samples {
		if finite(v) {
			shown = append(shown, o.in(v))
		}
	}
	d := figure.Distribution{Title: "How " + o.aim.words + " spreads over units", Quantity: o.aim.axis, Unit: o.Unit, Bins: figure.Bins(shown)}
	if b != nil {
		side := func(v *float64) *float64 {
			if v == nil {
				return nil
			}
			x := o.in(*v)
			return &x
		}
		d.Min, d.Max = side(b.Min), side(b.Max)
		low, high := b.ends()
		if inside, err := o.Inside(low, high, usualConfidence); err == nil {
			d.Inside = share(inside.Best) + " inside"
		}
	}
	return page.Figure{Plot: d, Caption: fmt.Sprintf("%s: %d simulated units, what is not known among it.", d.Title, len(o.samples))}
}

func (o *Outcome) budget() page.Figure {
	unit := o.Unit
	if o.Dim.Point {
		unit = "K"
	}
	b := figure.Budget{Title: "Where the spread of " + o.aim.words + " comes from", Unit: unit}
	for _, l := range o.Linear.Lines {
		b.Lines = append(b.Lines, figure.BudgetLine{Name: l.label(), Share: l.Share, Contribution: l.Contribution, From: l.From})
	}
	return page.Figure{Plot: b, Caption: fmt.Sprintf("%s: shares of the variance %s; together u = %s [Q6].", b.Title, placeWords(o.At), difference(o.Linear.U, unit))}
}

// label is what a line is of, and that it is the same for all units.
func (l Line) label() string {
	if l.Unknown {
		return l.Words() + " (same for all units)"
	}
	return l.Words()
}

func placeWords(at place) string { return "at " + celsius(at.air) }

func difference(v float64, unit string) string { return fmt.Sprintf("%.2g %s", v, unit) }
