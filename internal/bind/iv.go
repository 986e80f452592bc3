package bind

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics/fit"
	"hindwatt/internal/study/bench/iv"
	"hindwatt/internal/study/bench/trace"
)

// mostReadings of a sweep of a panel are fitted; of more, some are taken evenly.
const mostReadings = 2000

// IV returns the sweep of a panel that a run logged, and what is to be said of its log.
func IV(p *product.Product, name string) (iv.Input, []page.Note, error) {
	l, err := readLog(p, name)
	if err != nil {
		return iv.Input{}, nil, err
	}
	volts, amps := l.columns("panel voltage"), l.columns("panel current")
	switch {
	case len(volts) == 0:
		return iv.Input{}, l.notes, l.lacks("panel voltage")
	case len(amps) == 0:
		return iv.Input{}, l.notes, l.lacks("panel current")
	}
	_, c := l.together(volts[0], amps[0])
	if c[1] == nil {
		return iv.Input{}, l.notes, l.run.Columns.Fault("the panel's current was read in too few of the rows", "let the logger write voltage and current in each row")
	}
	in := iv.Input{Name: name, Run: name, From: l.File, Voltage: c[0], Current: c[1], VoltageMeter: l.gauge(volts[0]).Meter, CurrentMeter: l.gauge(amps[0]).Meter}
	if step := 1 + (len(c[0])-1)/mostReadings; step > 1 {
		in.Voltage, in.Current = every(c[0], step), every(c[1], step)
		l.note(fmt.Sprintf("of %d readings every %d. is fitted", len(c[0]), step), "none is needed", 0)
	}
	cells := l.temperature()
	for _, column := range l.columns("temperature") {
		if w := l.words(column); is(w, "cells") || is(w, "panel") || is(w, "back") {
			cells = column
		}
	}
	in.Temperature = l.steady(cells, l.run.Conditions.Cells)
	sun := ""
	if names := l.columns("irradiance"); len(names) > 0 {
		sun = names[0]
	}
	in.Irradiance = l.steady(sun, l.run.Conditions.Irradiance)
	if part := p.Parts.Get(l.run.Panel.Text); part != nil && part.Panel != nil {
		in.Name, in.Cells, in.Amorphous = l.run.Panel.Text, part.Panel.Cells.N, part.Panel.Technology.Is("amorphous")
	}
	return in, l.notes, nil
}

func every(x []float64, step int) (out []float64) {
	for i := 0; i < len(x); i += step {
		out = append(out, x[i])
	}
	return out
}

// steady is what a column held through the run, with the limits of its meter and what it moved by, or else what the conditions say; nil
// if neither tells.
func (l *log) steady(column string, said product.Quantity) *quantity.Quantity {
	if column != "" {
		if _, c := l.together(column); len(c[0]) > 0 {
			read := l.Column(column)
			g, at := l.gauge(column), mean(c[0])
			shown := at
			if read.Dim.Point {
				shown -= zeroCelsius
			}
			sd := math.Hypot(trace.Scatter(c[0]), g.Limit(shown)/math.Sqrt(3)) // JCGM 100, 4.3.7
			return &quantity.Quantity{Value: at, Low: at, High: at, Dim: read.Dim, Spread: quantity.Normal, SD: sd}
		}
	}
	if !said.Set() {
		return nil
	}
	q := said.Quantity
	return &q
}

// panelUse is the panel of an installation, as its part says it or, where it names a run, as that was swept.
func panelUse(p *product.Product, use *product.PanelUse) (*product.Panel, string, error) {
	part := p.Parts.Get(use.Part.Text)
	var panel product.Panel
	where := ""
	if part != nil && part.Panel != nil {
		panel, where = *part.Panel, from(part.Leaf)
	} else if !use.Run.Set() {
		return nil, "", nil
	}
	if !use.Run.Set() {
		return &panel, where, nil
	}
	run := p.Folder.Runs.Get(use.Run.Text)
	in, _, err := IV(p, use.Run.Text)
	if err != nil {
		return nil, "", err
	}
	swept, err := iv.Run(in)
	if err != nil {
		return nil, "", fmt.Errorf("%s: %w", run.Origin.File(), err)
	}
	if swept.Reference == nil {
		return nil, "", run.Conditions.Fault("has no irradiance, so that the sweep tells nothing of 1000 W/m²", `want conditions.irradiance, or a column of it, in bench/`+use.Run.Text+".toml")
	}
	f := swept.Reference
	take := func(to *product.Quantity, i fit.Interval, dim quantity.Dimension) { *to = by(use.Run.Leaf, i, dim) }
	take(&panel.ShortCircuitCurrent, f.ShortCircuit, quantity.Current)
	take(&panel.OpenCircuitVoltage, f.OpenCircuit, quantity.Voltage)
	take(&panel.PeakCurrent, f.PeakCurrent, quantity.Current)
	take(&panel.PeakVoltage, f.PeakVoltage, quantity.Voltage)
	take(&panel.PeakPower, f.PeakPower, quantity.Power)
	tempco := swept.VoltageTempco()
	take(&panel.VoltageTempco, fit.Interval{Best: tempco, Low: tempco, High: tempco}, quantity.VoltagePerKelvin)
	panel.Cells.N, panel.Cells.Leaf = swept.Input.Cells, use.Run.Leaf
	return &panel, from(use.Run.Leaf), nil
}

// by is a figure that a run gives, as a value of the folder that stands where the run is named.
func by(at product.Leaf, i fit.Interval, dim quantity.Dimension) product.Quantity {
	const usual = 1.959964 // standard deviations on either side, at 95 %
	q := quantity.Quantity{Value: i.Best, Low: i.Best, High: i.Best, Dim: dim, Unit: dim.Unit()}
	if sd := (i.High - i.Low) / 2 / usual; sd > 0 && !i.OpenLow && !i.OpenHigh {
		q.Spread, q.SD = quantity.Normal, sd
	}
	at.Text = q.String()
	return product.Quantity{Leaf: at, Quantity: q}
}

// Sweeps reports which installations, and which parts, take their panel from a run.
func Sweeps(p *product.Product, run string) (users []string) {
	for name, i := range p.Installations.All() {
		if i.Panel.Run.Text == run {
			users = append(users, "installation "+name)
		}
	}
	for name, part := range p.Parts.All() {
		if part.Panel != nil && part.Panel.Run.Text == run {
			users = append(users, "part "+name)
		}
	}
	return users
}

// who names the controller that something belongs to: "unit 0999", "revision B", "the other controller"; "" where nothing tells.
func who(serial, revision string) string {
	switch {
	case serial != "":
		return "unit " + strings.TrimPrefix(serial, "unit ")
	case revision == Other:
		return "the other controller"
	case revision != "":
		return "revision " + revision
	}
	return ""
}
