package soak

import (
	"fmt"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics/fit"
	"hindwatt/internal/study/bench"
)

// Page words the answer.
func (r *Result) Page() page.Page {
	p := bench.PageOf(r.answer(), r.Warnings, r.how(), r.Input.Meter, r.Input.AmbientMeter)
	p.Figures, p.Tables = []page.Figure{r.figure()}, []page.Table{r.table()}
	return p
}

func (r *Result) answer() []string {
	said := fmt.Sprintf("It comes to rest %s above the ambient (%s)", difference(r.Rise.Best), bench.Ends(r.Rise, difference))
	if r.Resistance != nil {
		said += fmt.Sprintf(": %s (%s)", resistance(r.Resistance.Best), bench.Ends(*r.Resistance, resistance))
	}
	out := []string{said + "."}
	if r.Terms == 2 {
		out = append(out, fmt.Sprintf("It warms in two steps, of %s and %s, which make up %.0f %% and %.0f %% of the way.",
			minutes(r.Times[1].Best), minutes(r.Times[0].Best), 100*r.Shares[1], 100*r.Shares[0]))
	} else {
		out = append(out, fmt.Sprintf("It takes %s for 63 %% of the way.", minutes(r.Times[0].Best)))
	}
	return append(out, fmt.Sprintf("The last readings stand at %.0f %% of the steady rise.", 100*r.Reached))
}

func difference(x float64) string {
	return quantity.Format(x, quantity.TemperatureDifference, "K", 1)
}

func absolute(x float64) string { return quantity.Format(x, quantity.TemperaturePoint, "°C", 1) }

func resistance(x float64) string { return quantity.Format(x, quantity.ThermalResistance, "K/W", -3) }

func (r *Result) table() page.Table {
	t := bench.LimitsTable("What the warm-up tells of " + r.Input.Place)
	row := func(name string, i fit.Interval, show func(float64) string) {
		t.Rows = append(t.Rows, bench.LimitsRow(name, i, show))
	}
	row("steady rise above the ambient", r.Rise, difference)
	row("without the meters' errors", r.RiseWithoutMeter, difference)
	row("steady temperature", r.Temperature, absolute)
	names := []string{"time constant", "the shorter one"}
	for k, tau := range r.Times {
		row(names[k], tau, minutes)
	}
	if r.Resistance != nil {
		row("thermal resistance to the ambient", *r.Resistance, resistance)
	}
	t.Note = fmt.Sprintf("Readings scatter about the fit by %s; %d of them count for %.0f independent ones.", kelvin(r.Scatter), len(r.log.mid), r.Effective)
	return t
}

// figure draws the readings with the fit.
func (r *Result) figure() page.Figure {
	const most = 200 // dots
	log := r.log
	read := figure.Series{Name: "read", Points: true}
	fitted := figure.Series{Name: "fitted", X: make([]float64, len(log.mid)), Mid: r.fitted}
	for i, t := range log.mid {
		fitted.X[i] = t / 60
		if i%(1+len(log.mid)/most) == 0 {
			read.X, read.Mid = append(read.X, t/60), append(read.Mid, log.rise[i])
		}
	}
	rest := r.Rise
	end := figure.Mark{Kind: figure.Measured, Best: rest.Best, Low: rest.Low, High: rest.High, OpenLow: rest.OpenLow, OpenHigh: rest.OpenHigh, Label: "at rest"}
	return page.Figure{
		Caption: "Rise above the ambient as it was read, with the fit, and to the right where it comes to rest.",
		Plot: figure.Curve{
			X: figure.Axis{Name: "time", Unit: "min"}, Y: figure.Axis{Name: "rise of " + r.Input.Place, Unit: "K"},
			Series: []figure.Series{read, fitted}, Marks: []figure.CurveMark{{X: log.duration() / 60 * 1.05, Mark: end}}, Source: r.Input.From,
		},
	}
}

func (r *Result) how() []page.Method {
	steps := []page.Method{
		{Text: "The rise above the ambient of the moment is fitted by exponentials of time, each block of readings by their mean [T1].",
			Equation: "ΔT(t) = ΔT∞ - Σ a·e^(-t/τ)", Source: "Levenberg and Marquardt's method; Moré 1978"},
		{Text: "A second exponential is taken if it lowers the sum of squares by more than chance would [T2]; if it is not, its possible part still widens the limits.",
			Source: "F test, Bates and Watts 1988, 3.10"},
		{Text: "Limits are where the best fit with the steady rise held has become worse by as much as the level allows; residuals that follow each other are whitened first.",
			Source: "profile likelihood, Bates and Watts 1988, 6.1; Brockwell and Davis 1991, 5.2"},
		{Text: "The error of one thermometer cancels in the difference but for its part of the reading [T3].", Source: "JCGM 100:2008, 4.3.7 and 5.2"},
	}
	if r.Resistance != nil {
		steps = append(steps, page.Method{Text: "The thermal resistance is the steady rise over the power [T4].", Equation: "R = ΔT∞/P"})
	}
	return steps
}
