package curve

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
	"hindwatt/internal/study/bench/trace"
)

// Page words what the log tells.
func (r *Result) Page() page.Page {
	p := bench.PageOf(r.answer(), r.Warnings, r.how(), r.Input.Gauge.Meter)
	p.Figures, p.Tables = []page.Figure{r.figure()}, []page.Table{r.phaseTable(), r.levelTable()}
	return p
}

// Says words a level: "float: held at 27.312 V (27.275 V to 27.349 V) for 4.5 h at 23.7 °C".
func (p *Plateau) Says() string {
	text := fmt.Sprintf("%s: held at %s", p.Name, shown(p.Level.Best, p.Level))
	if p.Level.Open {
		text += ", with no limits to how far that may be wrong,"
	} else {
		text += fmt.Sprintf(" (%s to %s)", shown(p.Level.Low, p.Level), shown(p.Level.High, p.Level))
	}
	text += " for " + clock(p.For)
	if p.HasTemp {
		text += " at " + quantity.Format(p.Temperature.Best, quantity.TemperaturePoint, "°C", 1)
	}
	return text
}

func (r *Result) answer() []string {
	if len(r.Plateaus) == 0 {
		return []string{fmt.Sprintf("In %s no level was held for long enough to tell it.", r.Input.Name)}
	}
	var held []string
	for i := range r.Plateaus {
		held = append(held, r.Plateaus[i].Says())
	}
	out := []string{strings.ToUpper(held[0][:1]) + strings.Join(held, "; ")[1:] + "."}
	if o := r.Onset; o != nil {
		out = append(out, fmt.Sprintf("Regulation began at %s of the log, between %s and %s, at %s.", r.at(o.At), r.at(o.From), r.at(o.Until), volts(o.Volts)))
	}
	for i := range r.Plateaus {
		if p := &r.Plateaus[i]; p.Drift != nil {
			out = append(out, r.driftSays(p))
		}
	}
	return out
}

// driftSays words how a level followed the temperature, beside what it is to do.
func (r *Result) driftSays(p *Plateau) string {
	s := p.Drift.Slope
	text := fmt.Sprintf("%s: the level followed the temperature by %s (%s to %s) over %s", strings.ToUpper(p.Name[:1])+p.Name[1:],
		perKelvin(s.Best), perKelvin(s.Low), perKelvin(s.High), quantity.Format(p.Drift.Span, quantity.TemperatureDifference, "K", 1))
	if c := r.Input.Compensation; c != 0 {
		text += fmt.Sprintf("; it is to follow by %s", perKelvin(c))
		if p.Drift.Span >= telling && (c < s.Low || c > s.High) {
			text += ", which the log contradicts"
		}
	}
	return text + "."
}

func perKelvin(v float64) string { return quantity.Format(v, quantity.VoltagePerKelvin, "mV/K", 1) }

// shown writes a voltage with as many decimals as its uncertainty has meaning for.
func shown(v float64, l trace.Level) string {
	decimals := 3
	if u := max(l.Accuracy, l.Own()); u > 0 {
		decimals = int(min(max(1-math.Floor(math.Log10(u)), 1), 5))
	}
	return quantity.Format(v, quantity.Voltage, "V", decimals)
}

// at writes a time since the log's first row: 11:00:40.
func (r *Result) at(t float64) string {
	s := int(math.Round(t - r.Input.Time[0]))
	return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
}

// clock words a time of minutes and hours.
func clock(s float64) string {
	unit := "s"
	switch {
	case s >= 2*hour:
		unit = "h"
	case s >= 120:
		unit = "min"
	}
	return quantity.Format(s, quantity.Time, unit, -3)
}

func (r *Result) phaseTable() page.Table {
	t := page.Table{Title: "Phases", Head: []string{"phase", "from", "until", "lowest", "highest"}, Align: "lrrrr", Note: "Hours, minutes and seconds since the log's first row."}
	for _, p := range r.Phases {
		t.Rows = append(t.Rows, []string{p.Name, r.at(p.Begin), r.at(p.End), volts(p.Low), volts(p.High)})
	}
	return t
}

func (r *Result) levelTable() page.Table {
	t := page.Table{Title: "Levels, and why they are uncertain", Align: "lrrrrrrrr",
		Head: []string{"level", "held at", "meter", "last digit", "noise", "beat", "values", "as many as", "ripple"},
		Note: "Meter, last digit, noise and beat are standard uncertainties; ripple is from the 0.5 % to the 99.5 % quantile within a minute."}
	for _, p := range r.Plateaus {
		l := p.Level
		accuracy := milli(l.Accuracy)
		if l.Open {
			accuracy = "not known"
		}
		t.Rows = append(t.Rows, []string{p.Name, shown(l.Best, l), accuracy, milli(l.Resolution), milli(l.Noise), milli(l.Aliasing),
			fmt.Sprint(p.Rows), fmt.Sprintf("%.0f", l.Independent), milli(p.Ripple.Peak)})
	}
	return t
}

func milli(v float64) string { return quantity.Format(v, quantity.Voltage, "mV", -2) }

// figure draws the voltage with its phases.
func (r *Result) figure() page.Figure {
	in := &r.Input
	const most = 600
	b := trace.Block(in.Time, in.Voltage, most)
	scale, unit := 60.0, "min"
	if in.Time[len(in.Time)-1]-in.Time[0] >= 2*hour {
		scale, unit = hour, "h"
	}
	c := figure.Curve{X: figure.Axis{Name: "time since the first row", Unit: unit}, Y: figure.Axis{Name: "battery voltage", Unit: "V"}, Source: in.From}
	line := figure.Series{Name: "battery"}
	for i := range b.Time {
		line.X, line.Mid = append(line.X, (b.Time[i]-in.Time[0])/scale), append(line.Mid, b.Mean[i])
	}
	c.Series = []figure.Series{line}
	for _, p := range r.Phases {
		for i := range r.Plateaus {
			if l := r.Plateaus[i].Level; r.Plateaus[i].Name == p.Name {
				c.Marks = append(c.Marks, figure.CurveMark{X: ((p.Begin+p.End)/2 - in.Time[0]) / scale,
					Mark: figure.Mark{Kind: figure.Measured, Best: l.Best, Low: l.Low, High: l.High, OpenLow: l.Open, OpenHigh: l.Open, Label: p.Name}})
			}
		}
	}
	var names []string
	for _, p := range r.Phases {
		names = append(names, fmt.Sprintf("%s from %s", p.Name, r.at(p.Begin)))
	}
	return page.Figure{Plot: c, Caption: "The log, averaged over " + clock(b.Width) + ": " + strings.Join(names, ", ") + ". The squares are the levels with their 95 % limits."}
}

func (r *Result) how() []page.Method {
	return []page.Method{
		{Text: "The log is cut where its course changes: straight lines with a penalty for each [L5].", Equation: "min Σ (rest of a line) + 3 · ln n · variance of the noise",
			Source: "Killick, Fearnhead and Eckley, Journal of the American Statistical Association 107, 2012, p. 1590"},
		{Text: "Values that follow each other tell less than as many independent ones [L1, L3].", Equation: "u² = s² (n - 1)/(n (n/τ - 1)), τ = 1 + 2 Σ ρ",
			Source: "Geyer, Statistical Science 7, 1992, p. 473"},
		{Text: "The meter's limit, its last digit, the noise and the beat with the pulse are kept apart and combined at the end [L4, L7].", Source: "JCGM 100:2008"},
		{Text: "The onset of regulation is the corner of two lines [L9].", Source: "Hinkley, Journal of the American Statistical Association 66, 1971, p. 736"},
	}
}

// Plateau returns what was held at the level of a name; nil where there is none.
func (r *Result) Plateau(name string) *Plateau {
	for i := range r.Plateaus {
		if r.Plateaus[i].Name == name {
			return &r.Plateaus[i]
		}
	}
	return nil
}
