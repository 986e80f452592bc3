package page

import (
	"math"

	"hindwatt/internal/figure"
)

func at(v float64) *float64 { return &v }

// fixture is a site with all four verdicts and a page with every kind of content. All of its data is invented.
func fixture() Site {
	return Site{
		Product:  "Osier 24",
		Subtitle: "24 V, 10 A, for river-gauging posts · as sold, revision C",
		Invented: "An invented example: no such product, maker or figure exists.",
		Promises: fixturePromises(),
		Cautions: []Note{{
			Text:   "the converter saturates at 30.1 V, below the highest compensated absorption voltage of 30.5 V at -10 °C: charging would never stop",
			Remedy: "A divider of 130 kΩ to 10 kΩ reaches 35 V.",
			From:   "product.toml:21",
		}},
		Pages: []Page{fixturePage(), {
			ID: "charge", Question: "What does a year do to the battery?", Short: "A year on the battery",
			Lacks: []Lack{{Key: "panel.peak", File: "installations/weir.toml", Why: "the year's charge"}},
		}, {
			ID: "bench", Question: "What did the bench say?", Short: "On the bench",
			Answer: []string{"Three units were measured at 22 °C; all float between 27.29 V and 27.36 V."},
			Tables: []Table{{Title: "Readings", Head: []string{"unit", "float", "meter", "at", "from"}, Align: "lrlrl",
				Rows: [][]string{{"C-0412", "27.31 V", "bench-1", "22 °C", "records/readings.csv:2"}, {"C-0413", "27.29 V", "bench-1", "22 °C", "records/readings.csv:3"}, {"C-0555", "27.36 V", "bench-1", "21 °C", "records/readings.csv:4"}}}},
		}},
		Made: "Computed from osier-24 on 2026-11-25, seed 1.",
	}
}

func fixturePromises() []Promise {
	return []Promise{
		{Name: "reversed", Label: "A battery connected the wrong way round does no harm", Verdict: NotMet, Safety: true, PageID: "faults",
			StandsOn: "calculated, not tried", Why: []string{"the body diode of q1 carries 190 A; q1 is lost before f1 opens"},
			Axis: "load on the weakest part against its limit", Strip: figure.Strip{Quantity: "load on the weakest part against its limit", Unit: "×", Max: at(1), Marks: []figure.Mark{{Best: 1.72, Low: 1.6, High: 1.86}}}},
		{Name: "returns", Label: "Fewer than 12 in 1,000 come back within two years", Verdict: NotMet, StandsOn: "calculated and recorded",
			Why:      []string{"14 of 1,412 units; 9 of them from one batch: cracked solder at j2"},
			Disagree: []string{"calculated and recorded disagree: 0.72 % apart, 0.3 % to 1.1 %"},
			Axis:     "share returned", Strip: figure.Strip{Quantity: "share returned", Unit: "%", Max: at(1.2), Marks: []figure.Mark{
				{Best: .84, Low: .6, High: 1.24}, {Kind: figure.Recorded, Best: 1.56, Low: 1.4, High: 1.76, Label: "1,412 units, counted"}}}},
		{Name: "float", Label: "Holds a full battery within 0.2 V of the compensated float voltage (27.3 V at 25 °C) from −10 to 45 °C", Verdict: Unproven, PageID: "setpoint",
			StandsOn: "calculated; measured at 22 °C and carried over",
			Bound:    "-0.2 V to +0.2 V, for each unit: 95 % of units at confidence 95 %, -10..45 °C",
			Why:      []string{"88 % of units inside, 95 % asked; 13 more on the bench would settle it", "61 % of the spread is the reference"},
			Axis:     "deviation from the target", Strip: figure.Strip{Quantity: "deviation from the target", Unit: "V", Min: at(-.2), Max: at(.2), MinText: "-0.2 V", MaxText: "+0.2 V", Marks: []figure.Mark{
				{Best: 0, Low: -.25, High: .24, Label: "88 % of units"}, {Kind: figure.Measured, Best: .05, Low: -.3, High: .42, Label: "3 units, 22 °C"},
				{Kind: figure.Measured, Carried: true, Best: .06, Low: -.34, High: math.Inf(1), Label: "carried to -10..45 °C"}}},
			Evidence: []Evidence{
				{Kind: figure.Calculated, Value: "0.00 V", Interval: "-0.25 V to 0.24 V", Conditions: "-10..45 °C", Units: "any", Basis: "datasheet limits", From: "product.toml:14"},
				{Kind: figure.Measured, Value: "0.05 V", Interval: "-0.30 V to 0.42 V", Conditions: "22 °C", Units: "3", Basis: "booked", From: "records/readings.csv:2"},
				{Kind: figure.Measured, Carried: true, Value: "0.06 V", Interval: "-0.34 V, open", Conditions: "-10..45 °C", Units: "3", Basis: "booked", From: "records/readings.csv:2"}}},
		{Name: "current", Label: "Carries 10 A at 40 °C in still air", Verdict: Met, StandsOn: "calculated and measured", Why: []string{"q1's junction is first, at 11.6 A"},
			Axis: "current", Strip: figure.Strip{Quantity: "current", Unit: "A", Min: at(10), Marks: []figure.Mark{{Best: 11.6, Low: 11, High: 12.3}, {Kind: figure.Measured, Best: 11.8, Low: 11.5, High: 12.1, Label: "1 unit, 38 °C"}}}},
		{Name: "worth", Label: "Leaves an hour's work worth at least 20 EUR", Verdict: Met, StandsOn: "recorded", Why: []string{"22.90 EUR an hour with development hours, 31.40 without"},
			Axis: "an hour's worth", Strip: figure.Strip{Quantity: "an hour's worth", Unit: "EUR", Min: at(20), Marks: []figure.Mark{{Kind: figure.Recorded, Best: 25.6, Low: 24, High: 27.6}}}},
		{Name: "night", Label: "Takes less than 6 mA at night", Verdict: NoEvidence, Lacks: []Lack{{Key: "part.mcu.standby", File: "parts.toml", Why: "one meter reading would do as well"}},
			Axis: "night current", Strip: figure.Strip{Quantity: "night current", Unit: "mA", Max: at(6)}},
		{Name: "manual", Label: "The manual's wiring drawing is the one that is built", Verdict: NoEvidence, StandsOn: "nothing yet"},
	}
}

func fixturePage() Page {
	var x, mid, low, high []float64
	for t := -10.0; t <= 45; t += 5 {
		y := 0.00012*(t-22)*(t-22) - 0.05
		x, mid = append(x, t), append(mid, y)
		low, high = append(low, y-0.1-0.001*math.Abs(t-22)), append(high, y+0.1+0.001*math.Abs(t-22))
	}
	var bins []figure.Bin
	for i := -14; i < 14; i++ {
		v := float64(i) / 50
		bins = append(bins, figure.Bin{Low: v, High: v + 0.02, Count: 1000 * math.Exp(-(v-0.02)*(v-0.02)/0.018)})
	}
	return Page{
		ID: "setpoint", Question: "Does it stop at the right voltage?", Short: "Right voltage?",
		Answer: []string{
			"Not surely: 88 % of units hold float within 0.2 V from −10 to 45 °C, and 95 % are promised.",
			"The reference's initial tolerance makes 61 % of the spread. A one-point trim at 27.3 V would bring 99.6 % of units inside.",
		},
		Warnings: []Note{{Text: "3 units measured, and all of one batch.", Remedy: "Measure units of three batches.", From: "records/readings.csv:2"}},
		Cautions: []Note{{Text: "the sense wire shares 80 mm of the load's return: 1.1 mV/A.", From: "product.toml:31"}},
		Lacks:    []Lack{{Key: "sense.ageing", File: "product.toml", Why: "drift over ten years is taken as nothing"}},
		Figures: []Figure{
			{Plot: figure.Distribution{Title: "how far the float voltage is off", Quantity: "deviation from the target", Unit: "V", Bins: bins, Min: at(-.2), Max: at(.2),
				MinText: "-0.2 V", MaxText: "+0.2 V", Inside: "88 % inside", Marks: []figure.Mark{{Best: 0, Low: -.25, High: .24}, {Kind: figure.Measured, Best: .05, Low: -.2, High: .3}}},
				Caption: "How far units are off at float, over all allowed temperatures. A million units were drawn."},
			{Plot: figure.Budget{Title: "where the spread of the float voltage comes from", Unit: "mV", Lines: []figure.BudgetLine{
				{Name: "reference, initial", Share: .61, Contribution: 63.2}, {Name: "top resistor ±1 %", Share: .18, Contribution: 34.1}, {Name: "bottom resistor ±1 %", Share: .1, Contribution: 25.6},
				{Name: "drift, 50 ppm/K", Share: .0582, Contribution: 19.5}, {Name: "converter offset ±2 LSB", Share: .0432, Contribution: 16}, {Name: "step", Share: .01, Contribution: 8.1}}},
				Caption: "Where the spread comes from: share of the variance, and standard uncertainty."},
			{Plot: figure.Curve{Title: "deviation over temperature", X: figure.Axis{Name: "battery temperature", Unit: "°C"}, Y: figure.Axis{Name: "deviation from the target", Unit: "V"},
				Series: []figure.Series{{Name: "as built", X: x, Mid: mid, Low: low, High: high}}, Min: []figure.Point{{Y: -.2}}, Max: []figure.Point{{Y: .2}}, MinText: "-0.2 V", MaxText: "+0.2 V",
				Marks: []figure.CurveMark{{X: 22, Mark: figure.Mark{Kind: figure.Measured, Best: .05, Low: -.06, High: .16}}}},
				Caption: "Deviation over the battery's temperature, with its 95 % interval."},
		},
		Inputs: []Input{
			{Name: "regulation.float", Text: "27.3 V", From: "product.toml:7"},
			{Name: "regulation.temperature_compensation", Text: "-48 mV/K", From: "product.toml:8", Note: "whole battery, from 25 °C"},
			{Name: "sense.top", Text: "120 kΩ ±1 % ±100 ppm/K", From: "product.toml:14"},
			{Name: "sense.bottom", Text: "10 kΩ ±1 % ±100 ppm/K", From: "product.toml:15"},
			{Name: "sense.reference", Text: "2.5 V ±0.4 % ±50 ppm/K", From: "product.toml:16"},
			{Name: "sense.bits", Text: "10", From: "product.toml:17"},
			{Name: "sense.ageing", Text: "none", From: "default", Note: "no drift over time"},
		},
		Tables: []Table{
			{Title: "Setpoints, as the battery gets them", Head: []string{"setpoint", "target", "best", "worst case", "95 % of units", "inside the bound", "from"}, Align: "lrrrrrl",
				Rows: [][]string{{"absorption", "28.8 V", "28.81 V", "28.31 V to 29.31 V", "28.54 V to 29.08 V", "", "product.toml:6"}, {"float", "27.3 V", "27.30 V", "26.83 V to 27.78 V", "27.05 V to 27.54 V", "88 %", "product.toml:7"},
					{"load disconnect", "22.8 V", "22.79 V", "22.40 V to 23.20 V", "22.58 V to 23.01 V", "99.2 %", "product.toml:9"}}, Note: "The worst case sums all limits; 95 % of units is the interval of JCGM 101."},
			{Title: "What a trim would buy", Head: []string{"trim", "spread", "inside"}, Align: "lrr", Rows: [][]string{{"none", "±0.25 V", "88 %"}, {"one point, 27.3 V", "±0.11 V", "99.6 %"}, {"two points", "±0.09 V"}}},
		},
		How: []Method{
			{Text: "The voltage at which the controller believes it stands at its setpoint, from the divider, the reference and the converter.", Equation: "V = n·Vref/2^b·(Rt + Rb)/Rb + Vo", Source: "docs/models.md D1"},
			{Text: "Uncertainty of the linear model, coverage by the effective degrees of freedom.", Equation: "u²(y) = Σ cᵢ²·u²(xᵢ), νeff = u⁴/Σ(uᵢ⁴/νᵢ)", Source: "JCGM 100:2008, eq. 10 and G.2b"},
			{Text: "A million units drawn, each input from its own distribution.", Source: "JCGM 101:2008, clause 7"},
		},
	}
}
