package figure

import "math"

func at(v float64) *float64 { return &v }

// strips are invented: the usual kinds, then what is degenerate.
var strips = map[string]Strip{
	"at-most":      {Quantity: "share returned", Unit: "%", Max: at(1.2), Marks: []Mark{{Best: .84, Low: .6, High: 1.24}, {Kind: Recorded, Best: 1.56, Low: 1.4, High: 1.76}}},
	"at-least":     {Quantity: "current", Unit: "A", Min: at(10), Marks: []Mark{{Best: 11.6, Low: 11, High: 12.3}, {Kind: Measured, Best: 11.8, Low: 11.5, High: 12.1}}},
	"within":       {Quantity: "deviation from the target", Unit: "V", Min: at(-.2), Max: at(.2), MinText: "-0.2 V", MaxText: "+0.2 V", Marks: within},
	"no-evidence":  {Quantity: "night current", Unit: "mA", Max: at(6)},
	"far-off":      {Quantity: "load against its limit", Unit: "×", Max: at(1), Marks: []Mark{{Best: 170, Low: 160, High: 180}, {Best: .5, Low: -300, High: 20}}},
	"open":         {Quantity: "life", Unit: "h", Min: at(1000), Marks: []Mark{{Best: 1500, Low: 900, High: math.Inf(1)}, {Kind: Recorded, Best: 1700, OpenLow: true, High: 2000}, {Kind: Measured, Best: 900, Low: math.NaN(), OpenHigh: true}}},
	"no-width":     {Quantity: "life", Unit: "h", Min: at(1000), Marks: []Mark{{Kind: Measured, Best: 800, Low: 800, High: 800}}},
	"nearly-equal": {Quantity: "float", Unit: "V", Min: at(27.3), Max: at(27.301), Marks: []Mark{{Best: 27.3004, Low: 27.2998, High: 27.3013}}},
	"equal":        {Quantity: "float", Unit: "V", Min: at(27.3), Max: at(27.3)},
	"huge":         {Quantity: "worth", Unit: "EUR", Min: at(1234567), Max: at(9e9), Marks: []Mark{{Best: 5e6, Low: 4e6, High: 6e8}}},
	"beyond-all":   {Quantity: "worth", Unit: "EUR", Max: at(1e300), Marks: []Mark{{Best: -1e300, Low: math.Inf(-1), High: 1e308}}},
	"nothing":      {Quantity: "nothing"},
	"not-a-number": {Quantity: "x", Unit: "V", Min: at(math.NaN()), Max: at(math.Inf(1)), Marks: []Mark{{Best: math.NaN()}, {Best: math.Inf(1)}}},
	"no-bound":     {Quantity: "resistance", Unit: "Ω", Marks: []Mark{{Best: 4.7, Low: 4.1, High: 5.2}}},
	"long-texts":   {Quantity: "float", Unit: "V", Min: at(27.1), Max: at(27.5), MinText: "27.1 V at 25 °C, battery's own temperature", MaxText: "27.5 V at 25 °C, battery's own temperature"},
	"zero-bound":   {Quantity: "drop", Unit: "V", Min: at(0), Marks: []Mark{{Best: 0, Low: math.Copysign(0, -1), High: .1}}},
	"markup":       {Quantity: `<script>"&'`, Unit: "<b>", Max: at(1), Marks: []Mark{{Best: 2, Label: "</svg>\x00\xff"}}},
}

var within = []Mark{
	{Best: 0, Low: -.25, High: .24, Label: "88 % of units"},
	{Kind: Measured, Best: .05, Low: -.3, High: .42, Label: "3 units, 22 °C"},
	{Kind: Measured, Carried: true, Best: .06, Low: -.2, High: .2, Label: "carried to -10..45 °C"},
	{Kind: Recorded, Best: .03, Low: -.12, High: .18},
}

// plots are all that goldens and laws are tried on.
func plots() map[string]Plot {
	out := map[string]Plot{}
	for name, s := range strips {
		out["strip-"+name] = s
	}
	out["distribution"] = Distribution{Title: "how far the float voltage is off", Quantity: "deviation from the target", Unit: "V", Bins: bell(), Min: at(-.2), Max: at(.2),
		MinText: "-0.2 V", MaxText: "+0.2 V", Inside: "93 % inside", Marks: within[:2], Source: "product.toml, 2026-11-25"}
	out["distribution-far-bound"] = Distribution{Quantity: "deviation", Unit: "mV", Bins: bell(), Min: at(-9), Max: at(12)}
	out["distribution-empty"] = Distribution{Quantity: "deviation", Unit: "mV", Max: at(12), Bins: []Bin{{1, 1, 3}, {math.NaN(), 1, 2}}}
	out["budget"] = Budget{Title: "where the spread comes from", Unit: "mV", Most: 5, Source: "product.toml:12..18", Lines: []BudgetLine{
		{Name: "top resistor ±1 %", Share: .18, Contribution: 34.1}, {Name: "reference: initial tolerance", Share: .61, Contribution: 63.2}, {Name: "drift 50 ppm/K", Share: .1, Contribution: 25.6},
		{Name: "offset", Share: .0432, Contribution: 16}, {Name: "step", Share: .01, Contribution: 8.1}, {Name: "ageing", Share: .001, Contribution: 2.5}, {Name: "correlated", Share: -.02, Contribution: 3}}}
	out["budget-long-names"] = Budget{Title: "where it comes from", Unit: "µV", Lines: []BudgetLine{{Name: "self-heating of the board above the battery's own temperature", Share: .9, Contribution: 632}, {Name: "x", Share: math.NaN()}}}
	out["budget-empty"] = Budget{Title: "nothing"}
	x, mid, low, high := parabola()
	out["curve"] = Curve{Title: "deviation over temperature", X: Axis{Name: "battery temperature", Unit: "°C"}, Y: Axis{Name: "deviation from the target", Unit: "V"}, Series: []Series{{Name: "as built", X: x, Mid: mid, Low: low, High: high}},
		Min: []Point{{0, -.2}}, Max: []Point{{0, .2}}, MinText: "-0.2 V", MaxText: "+0.2 V", Marks: []CurveMark{{22, within[3]}, {40, Mark{Kind: Measured, Best: .18, Low: .1, High: .26}}}, Source: "product.toml"}
	out["curve-two"] = Curve{Title: "two series, slanted bound", X: Axis{Name: "battery temperature", Unit: "°C"}, Y: Axis{Name: "voltage", Unit: "V"},
		Series: []Series{{Name: "as built", X: x, Mid: mid, Low: low, High: high}, {Name: "trimmed, 10 kΩ ±0.1 %", X: x, Mid: high}}, Min: []Point{{-10, -.1}, {20, -.1}, {45, -.22}}, Max: []Point{{-10, .3}, {45, .05}}}
	out["curve-point"] = Curve{Title: "one point", X: Axis{Name: "x", Unit: "A"}, Y: Axis{Name: "y", Unit: "V"}, Series: []Series{{X: []float64{3, 2, math.NaN()}, Mid: []float64{5, 6}}}}
	morePlots(out)
	yearPlots(out)
	endPlots(out)
	out["curve-empty"] = Curve{Title: "none"}
	return out
}

func bell() []Bin {
	var bins []Bin
	for i := -14; i < 14; i++ {
		v := float64(i) / 50
		bins = append(bins, Bin{v, v + .02, math.Round(1000 * math.Exp(-(v-.02)*(v-.02)/.018))})
	}
	return bins
}

func parabola() (x, mid, low, high []float64) {
	for t := -10.0; t <= 45; t += 5 {
		y := .00012*(t-22)*(t-22) - .05
		x, mid, low, high = append(x, t), append(mid, y), append(low, y-.1-.001*math.Abs(t-22)), append(high, y+.1+.001*math.Abs(t-22))
	}
	return x, mid, low, high
}
