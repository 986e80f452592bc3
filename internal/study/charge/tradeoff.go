package charge

import (
	"fmt"
	"strings"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
)

// A measure is one of the two that settings are weighed by.
type measure struct {
	axis    figure.Axis
	verb    string // "costs %s of the capacity in overcharge a year"
	noun    string // "overcharge"
	more    bool   // more is better
	matters float64
	of      func(m *model, y *Year) float64
	format  string // empty: three digits and the axis' unit
}

func (k *measure) text(v float64) string {
	if k.format == "" {
		return digits(v, 3) + " " + k.axis.Unit
	}
	return fmt.Sprintf(k.format, v)
}

// harm is what a higher setting costs: water where all batteries are vented, overcharge where one is sealed, of lithium the time at the level.
func harm(trades []*trade) measure {
	vented := true
	for _, t := range trades {
		vented = vented && !t.model.cell.Chemistry.Sealed()
	}
	switch {
	case !trades[0].model.cell.Chemistry.Lead():
		return measure{axis: figure.Axis{Name: "time held at the level in a year", Unit: "h"}, verb: "holds the cells at the level for %s a year", noun: "time at the level",
			of: func(_ *model, y *Year) float64 { return y.AtSetpoint / 3600 }, format: "%.0f h"}
	case vented:
		return measure{axis: figure.Axis{Name: "water lost by a cell in a year", Unit: "g"}, verb: "costs each cell %s of water a year", noun: "water",
			of: func(_ *model, y *Year) float64 { return 1000 * y.Water }}
	}
	return measure{axis: figure.Axis{Name: "overcharge in a year, share of the capacity", Unit: "%"}, verb: "costs %s of the capacity in overcharge a year", noun: "overcharge",
		of: func(m *model, y *Year) float64 { return 100 * y.Gas / m.rated }, format: "%.0f %%"}
}

// gain is what a higher setting is for: what the loads get, or, where they get all with every choice, how far the battery stays from
// empty. Less of a difference than matters is taken as none: half a point of the charge, a twentieth of a point of the loads (ours).
func gain(trades []*trade) measure {
	for _, t := range trades {
		for _, p := range t.paths {
			for _, c := range p.choices {
				if most(c.years, func(y *Year) float64 { return y.Unmet }) > 0 {
					return measure{axis: figure.Axis{Name: "share of the loads' charge that was not met", Unit: "%"}, verb: "misses %s of the loads' charge", noun: "missed charge",
						matters: 0.05, of: func(_ *model, y *Year) float64 { return 100 * share(y.Unmet, y.Load) }, format: "%.2f %%"}
				}
			}
		}
	}
	return measure{axis: figure.Axis{Name: "lowest state of charge in a year", Unit: "%"}, verb: "leaves %s of the charge at the lowest", noun: "lowest charge", more: true,
		matters: 0.5, of: func(_ *model, y *Year) float64 { return 100 * y.Least }, format: "%.1f %%"}
}

// in takes the measure of an installation's years.
func (k *measure) in(t *trade) func(y *Year) float64 {
	return func(y *Year) float64 { return k.of(t.model, y) }
}

// tradeFigure draws harm over gain for all installations.
func (r *Result) tradeFigure(trades []*trade) page.Figure {
	x, y := gain(trades), harm(trades)
	f := figure.Tradeoff{Title: "Which setpoint would suit", X: x.axis, Y: y.axis, MoreX: x.more, MoreY: y.more, Source: r.Input.file()}
	for _, t := range trades {
		atX, atY := mean(t.own, x.in(t)), mean(t.own, y.in(t))
		for _, p := range t.paths {
			path := figure.TradePath{Name: p.name, Group: t.model.in.Installation}
			if len(trades) == 1 {
				path.Group = ""
			}
			for k := range p.choices {
				c := &p.choices[k]
				dx, _ := t.differs(c, x.in(t))
				dy, _ := t.differs(c, y.in(t))
				point := figure.TradePoint{X: mean(c.years, x.in(t)), Y: mean(c.years, y.in(t)), Text: c.text, Chosen: c.own}
				if !c.own {
					point.LowX, point.HighX, point.LowY, point.HighY = atX+dx.Low, atX+dx.High, atY+dy.Low, atY+dy.High
				}
				path.Points = append(path.Points, point)
			}
			f.Paths = append(f.Paths, path)
		}
	}
	return page.Figure{Plot: f, Caption: fmt.Sprintf("Each setting alone, with all else as written. Every choice has the same %d years and a nominal unit; whiskers are 95 %% of its difference from the product's own. How much gas a battery makes at all is known to half or twice.", shownYears)}
}

// tradeTable tells every choice in this installation.
func (r *Result) tradeTable(t *trade) page.Table {
	y := harm([]*trade{t})
	table := page.Table{Title: "Other settings in the same years", Head: []string{"setting", "value", y.axis.Name, "times the own", "lowest state of charge", "longest without a full charge", "not met"}, Align: "llrrrrr",
		Note: fmt.Sprintf("Means of %d years of a nominal unit; each setting alone. Lowest charge: less the product's own, in points of a percent, with 95 %% limits over paired years. What undercharging does to the plates is not in the model: the days without a full charge are its sign.", shownYears)}
	base := mean(t.own, y.in(t))
	for _, p := range t.paths {
		for k := range p.choices {
			c := &p.choices[k]
			v := mean(c.years, y.in(t))
			row := []string{p.name, c.text, y.text(v), "", "", fmt.Sprintf("%.1f d", mean(c.years, func(y *Year) float64 { return float64(y.Longest) })),
				percent(mean(c.years, func(y *Year) float64 { return share(y.Unmet, y.Load) }))}
			if base > 0 {
				row[3] = fmt.Sprintf("%.2f", v/base)
			}
			d, _ := t.differs(c, func(y *Year) float64 { return 100 * y.Least })
			row[4] = fmt.Sprintf("%+.1f (%+.1f to %+.1f)", d.Best, d.Low, d.High)
			if c.own {
				row[1], row[4] = row[1]+", own", percent(mean(t.own, func(y *Year) float64 { return y.Least }))
			}
			table.Rows = append(table.Rows, row)
		}
	}
	return table
}

// longer is by how many days more a choice lets the battery wait for a full charge at most, mean of the years.
func (t *trade) longer(c *choice) float64 {
	wait := func(y *Year) float64 { return float64(y.Longest) }
	return mean(c.years, wait) - mean(t.own, wait)
}

// A sorting of the choices of an installation, each as it is written in a sentence.
type sorting struct {
	better []string // less harm, and no worse by what settings are for than matters
	slow   []string // likewise, but the battery waits a day or more longer to be full
	odd    []string // likewise, but against standards
	alike  []string // not told from the product's choice by what settings are for
}

// little is the share of the product's own harm by which a choice has to have less of it, so that it is named as having less (ours).
const little = 0.02

// sorted sorts the choices by two measures.
func (t *trade) sorted(x, y *measure) (s sorting) {
	little := little * mean(t.own, y.in(t))
	for _, p := range t.paths {
		best, least := "", 0.0
		for k := range p.choices {
			c := &p.choices[k]
			if c.own {
				continue
			}
			name := p.name + " " + c.text
			dx, told := t.differs(c, x.in(t))
			if !told {
				s.alike = append(s.alike, name)
			}
			worse := dx.Best
			if x.more {
				worse = -worse
			}
			dy, told := t.differs(c, y.in(t))
			switch {
			case !told || dy.Best >= min(least, -little) || worse >= x.matters:
			case c.odd:
				s.odd = append(s.odd, name)
			case t.longer(c) >= 1:
				s.slow = append(s.slow, name)
			default:
				best, least = fmt.Sprintf("%s (%s)", name, y.text(mean(c.years, y.in(t)))), dy.Best
			}
		}
		if best != "" {
			s.better = append(s.better, best)
		}
	}
	return s
}

// tradeAnswers say what varying the settings shows in this installation, what the years do not tell apart, and what is not advised.
func (r *Result) tradeAnswers(trades []*trade) []string {
	t, x, y := trades[0], gain(trades[:1]), harm(trades[:1])
	at := func(years []Year) (string, string) { return y.text(mean(years, y.in(t))), x.text(mean(years, x.in(t))) }
	costs, left := at(t.own)
	suits := fmt.Sprintf("Which setpoint would suit? The product's choice "+y.verb+" and "+x.verb+".", costs, left)
	s := t.sorted(&x, &y)
	against := fmt.Sprintf("with a %s worse by less than %g points", x.noun, x.matters)
	if len(s.better) > 0 {
		suits += fmt.Sprintf(" The least %s %s: %s. This holds for the batteries and the weather of this place alone; a battery that is seldom full ages faster, which the model does not count.",
			y.noun, against, strings.Join(s.better, ", "))
	} else {
		suits += fmt.Sprintf(" No other choice that is advised has less %s %s.", y.noun, against)
	}
	list := []string{suits, t.ends(&x, &y)}
	if len(s.alike) > 0 {
		list[1] += fmt.Sprintf(" By the %s, %d years do not tell these from the product's choice: %s.", x.noun, len(t.own), strings.Join(s.alike, ", "))
	}
	var not []string
	if len(s.slow) > 0 {
		not = append(not, fmt.Sprintf("Not advised, though with less %s: %s, with which the battery waits a day or more longer to be full.", y.noun, strings.Join(s.slow, ", ")))
	}
	if len(s.odd) > 0 {
		not = append(not, fmt.Sprintf("Not advised, though with less %s here: %s. Quality standards ask for -3 to -5 mV/K a lead cell: with less a battery is overcharged in heat and not filled in cold.", y.noun, strings.Join(s.odd, ", ")))
	}
	if len(not) > 0 {
		list = append(list, strings.Join(not, " "))
	}
	return list
}

// ends says what each setting does from its least to its most.
func (t *trade) ends(x, y *measure) string {
	var list []string
	for i, p := range t.paths {
		first, last := &p.choices[0], &p.choices[len(p.choices)-1]
		text := [2]string{"%s from %s to %s, %s goes from %s to %s and %s from %s to %s", "%s from %s to %s: %[5]s to %[6]s and %[8]s to %[9]s"}[min(i, 1)]
		list = append(list, fmt.Sprintf(text, p.name, first.text, last.text,
			y.noun, y.text(mean(first.years, y.in(t))), y.text(mean(last.years, y.in(t))), x.noun, x.text(mean(first.years, x.in(t))), x.text(mean(last.years, x.in(t)))))
	}
	return "With " + strings.Join(list, "; with ") + "."
}
