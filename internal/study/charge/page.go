package charge

import (
	"context"
	"fmt"
	"strings"

	"hindwatt/internal/page"
	"hindwatt/internal/physics/battery"
)

const usualConfidence = 0.95

// Page words the answer, with the bounds of promises drawn in.
func (r *Result) Page(ctx context.Context, bounds ...Bound) (page.Page, error) {
	p := page.Page{ID: "charge", Question: "What does a year do to the battery?", Short: "A year?",
		Lacks: r.Lacks(), Warnings: r.Warnings, How: method}
	if r.model == nil {
		p.Answer = []string{"That cannot be said yet: the folder lacks what is listed below."}
		return p, nil
	}
	p.Inputs = r.inputs()
	beside, err := r.beside(ctx)
	if err != nil {
		return p, err
	}
	trades, err := r.trades(ctx, beside.own)
	if err != nil {
		return p, err
	}
	budgets, err := r.budgetFigures(ctx, bounds)
	if err != nil {
		return p, err
	}
	p.Answer = r.answers(bounds, beside)
	p.Figures = append(r.figures(beside), budgets...)
	p.Tables = r.tables(beside)
	if len(trades) > 0 {
		p.Answer = append(p.Answer, r.tradeAnswers(trades)...)
		p.Figures = append(p.Figures, r.tradeFigure(trades))
		p.Tables = append(p.Tables, r.tradeTable(trades[0]))
	}
	p.Warnings = r.Warnings
	p.Cautions = r.cautions(beside)
	return p, nil
}

// answers begin with what the loads got.
func (r *Result) answers(bounds []Bound, b *beside) []string {
	var list []string
	say := func(text string) {
		if text != "" {
			list = append(list, text)
		}
	}
	in := &r.Input
	name := "Installation " + in.Installation
	if place, _, _ := strings.Cut(in.Place, ":"); place != "" { // what follows a colon describes it
		name = page.Capital(place)
	}
	if o := r.Outcome("unmet"); o != nil {
		text := fmt.Sprintf("%s: the loads miss %s of the charge that they ask for in a year", name, o.span(usualConfidence))
		if o.Next(usualConfidence).High == 0 {
			text = fmt.Sprintf("%s: the loads get all that they ask for", name)
		}
		if d := r.Outcome("disconnections"); d != nil && d.Next(usualConfidence).High > 0 {
			text += fmt.Sprintf(", cut off %s times", d.span(usualConfidence))
		}
		say(text + "." + r.promised(o, bounds))
	}
	if low, wait := r.Outcome("minimum-charge"), r.Outcome("days-to-full"); low != nil && wait != nil {
		full := fmt.Sprintf("It waits up to %s to be full again", wait.span(usualConfidence))
		if wait.Next(usualConfidence).High == 0 {
			full = "It is full each day"
		}
		say(fmt.Sprintf("At its emptiest the battery holds %s of its charge.%s %s.%s", low.span(usualConfidence), r.promised(low, bounds), full, r.promised(wait, bounds)))
	}
	say(r.gasAnswer(bounds))
	if o := r.Outcome("spilled"); o != nil {
		say(fmt.Sprintf("Regulation turns away %s of the charge that the panel could give.%s", o.span(usualConfidence), r.promised(o, bounds)))
	}
	say(r.bareAnswer(b))
	for _, bound := range bounds {
		switch bound.Quantity {
		case "unmet", "minimum-charge", "days-to-full", "spilled", "water", "hours-gassing":
		default:
			if o := r.Outcome(bound.Quantity); o != nil {
				say(fmt.Sprintf("%s: %s.%s", page.Capital(o.aim.words), o.span(usualConfidence), r.promised(o, bounds)))
			}
		}
	}
	return list
}

// promised words a bound of a quantity.
func (r *Result) promised(o *Outcome, bounds []Bound) (text string) {
	for _, b := range bounds {
		if b.Quantity == o.Quantity {
			text += fmt.Sprintf(" Promised is %s.", b.Text)
		}
	}
	return text
}

// gasAnswer says what is lost to gas.
func (r *Result) gasAnswer(bounds []Bound) string {
	water, hours := r.Outcome("water"), r.Outcome("hours-gassing")
	if water == nil || hours == nil {
		return ""
	}
	text := fmt.Sprintf("For %s a year a cell stands above the voltage at which it gases, %.2f V at 25 °C and %.0f mV less for each kelvin more; each cell loses %s of water a year", hours.span(usualConfidence), battery.GassingVoltage, -1000*battery.GassingSlope, water.span(usualConfidence))
	if o := r.Outcome("topping-up"); o != nil {
		text += fmt.Sprintf(", to be topped up after %s", o.span(usualConfidence))
	}
	return text + "." + r.promised(hours, bounds) + r.promised(water, bounds)
}

// bareAnswer says what would be without a controller, and with one whose switch is stuck.
func (r *Result) bareAnswer(b *beside) string {
	top := func(years []Year) string { return volts(most(years, func(y *Year) float64 { return y.Highest })) }
	if !r.model.cell.Chemistry.Lead() {
		open := func(years []Year) float64 { return mean(years, func(y *Year) float64 { return y.Opened }) / 3600 }
		return fmt.Sprintf("With the panel straight on the battery, no controller between, the protection inside the battery would be open for %.0f h a year in place of %.0f h.", open(b.bare), open(b.own))
	}
	water := func(years []Year) float64 { return 1000 * mean(years, func(y *Year) float64 { return y.Water }) }
	text := fmt.Sprintf("With the panel straight on the battery, no controller between, it would reach %s, and each cell would lose %s g of water a year%s in place of %s g", top(b.bare), digits(water(b.bare), 3), r.dry(water(b.bare)), digits(water(b.own), 2))
	if o := r.Outcome("topping-up"); o != nil {
		text += fmt.Sprintf(", to be topped up after %s", o.figure(mean(b.bare, o.aim.of)))
	}
	if r.Input.Regulation.Method != "none" {
		text += fmt.Sprintf("; with the switch stuck on, %s and %s g%s", top(b.stuck), digits(water(b.stuck), 3), r.dry(water(b.stuck)))
	}
	return text + "."
}

// dry says when a cell that loses so many grams of water a year has none left, if that is within the year: it holds what is estimated.
func (r *Result) dry(lost float64) string {
	held := 1000 * battery.WaterHeld * r.model.rated
	if lost <= held {
		return ""
	}
	return fmt.Sprintf(" (of some %s g that it holds: dry after %s months)", digits(held, 2), digits(12*held/lost, 2))
}

func mean(years []Year, of func(y *Year) float64) float64 {
	sum := 0.0
	for i := range years {
		sum += of(&years[i])
	}
	return sum / float64(len(years))
}

func most(years []Year, of func(y *Year) float64) float64 {
	top := of(&years[0])
	for i := range years {
		top = max(top, of(&years[i]))
	}
	return top
}
