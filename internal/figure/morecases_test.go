package figure

import (
	"fmt"
	"math"
	"strings"
)

// morePlots adds scales, steps, fans and bars; all of it is invented.
func morePlots(out map[string]Plot) {
	ages := []float64{3, 9, 20, 45, 90, 180, 400, 0, -4, math.NaN()}
	share := []float64{0.001, 0.003, 0.006, 0.011, 0.02, 0.034, 0.06, 0.1, 0.2, 0.3}
	fit := func(k float64) (mid, low, high []float64) {
		for _, p := range share {
			mid, low, high = append(mid, p*k), append(low, p*k/2), append(high, p*k*2)
		}
		low[0] = 0
		return mid, low, high
	}
	m, l, h := fit(1)
	out["items"] = Curve{X: Axis{Name: "unit", Scale: Items, Names: []string{"1440", "1452", "1461"}}, Y: Axis{Name: "supply", Unit: "V"}, Series: []Series{
		{Name: "rising", X: []float64{1, 1, 2, 3}, Mid: []float64{25.24, 25.25, 25.25, 25.22}, Points: true}, {Name: "falling", X: []float64{1, 2, 3}, Mid: []float64{22.86, 22.82, 22.84}, Points: true}}}
	out["probability"] = Curve{Title: "share that came back by age", X: Axis{Name: "age", Unit: "d", Scale: Log}, Y: Axis{Name: "came back", Scale: Weibull}, Series: []Series{
		{Name: "fitted", X: ages, Mid: m, Low: l, High: h}, {Name: "counted", X: append(ages[:7:7], 500, 600), Mid: append(share[:7:7], 0, 1), Low: l, High: h, Points: true}}, Source: "records/returned.csv"}
	var six []Series
	for i := range 6 {
		s := Series{Name: fmt.Sprintf("batch %d", i+1), Step: true}
		for k := range 12 - i {
			v := float64(k*(i+1)) / 10
			s.X, s.Mid, s.Low, s.High = append(s.X, float64(60*k)), append(s.Mid, v), append(s.Low, v*.7), append(s.High, v*1.4)
		}
		six = append(six, s)
	}
	out["steps"] = Curve{Title: "came back by batch", X: Axis{Name: "age", Unit: "d"}, Y: Axis{Name: "came back", Unit: "%"}, Series: six, Max: []Point{{0, 4}}, MaxText: "at most 4 %"}
	fan := Series{Name: "to come"}
	for k := range 24 {
		v, x := float64(k)*40-300, float64(k)
		fan.X, fan.Mid = append(fan.X, 19000+30*x), append(fan.Mid, v)
		fan.Low, fan.High = append(fan.Low, v-12*x), append(fan.High, v+16*x)
		fan.InnerLow, fan.InnerHigh = append(fan.InnerLow, v-4*x), append(fan.InnerHigh, v+5*x)
	}
	out["fan"] = Curve{Title: "money in and out", X: Axis{Name: "day", Scale: Dates}, Y: Axis{Name: "sum", Unit: "EUR"}, Series: []Series{fan}, Level: at(0), LevelText: "even"}
	out["open-band"] = Curve{Title: "open", X: Axis{Name: "n", Scale: Log}, Y: Axis{Name: "cost", Unit: "EUR", Scale: Log}, Level: at(-1), Series: []Series{{X: []float64{1, 10, 1e4, 1e300}, Mid: []float64{1, 2, 300, 1}, Low: []float64{-1, 0, math.NaN(), 1}, High: []float64{2, math.Inf(1), 1e300, 1}}},
		Marks: []CurveMark{{10, Mark{Kind: Recorded, Best: 3, Low: 0, High: 5}}, {0, Mark{Best: 1}}, {5, Mark{Best: -1}}}}
	out["bars-build-up"] = Bars{Title: "what a unit costs", Axis: Axis{Name: "cost", Unit: "EUR"}, Running: true, Source: "production.toml", Rows: []BarRow{
		{Name: "parts", Parts: []float64{9.4}, Low: 9, High: 10.2}, {Name: "own minutes", Parts: []float64{7}, Low: 5, High: 11}, {Name: "scrap", Parts: []float64{.8}, OpenHigh: true, Low: .2},
		{Name: "less tax paid", Parts: []float64{-1.5}, Low: -1.6, High: -1.4}, {Name: "one good unit", Total: true, Low: 12, High: 24, Text: "15.70 EUR"}}}
	out["bars-parts"] = Bars{Title: "minutes by step", Axis: Axis{Name: "minutes", Unit: "min"}, Parts: []string{"hands on", "waiting", "rework", "support"}, Rows: []BarRow{
		{Name: "soldering the power stage, both sides", Parts: []float64{12, 3, 2, 1}, Low: 14, High: 25}, {Name: "test", Parts: []float64{4, 8, 0, 2}, Low: 10, High: 900}}}
	out["bars-pareto"] = Bars{Title: "why units came back", Axis: Axis{Name: "units"}, Rows: []BarRow{{Name: "cracked joint", Parts: []float64{12}, Low: 6, High: 20, Text: "38 %, 12 of 37"}, {Name: "no fault found", Parts: []float64{7}, Low: 3, High: 14, Text: "19 %, 7 of 37"}}}
	out["bars-hostile"] = Bars{Title: "hostile", Rows: []BarRow{{}, {Name: "a", Parts: []float64{math.NaN()}}, {Name: "b", Parts: []float64{1e300}}, {Name: "c", Parts: []float64{1e98}, Low: math.Inf(-1), High: math.NaN()}, {Name: "d", Parts: []float64{0}}}}
	out["swings"] = Swings{Title: "what moves the largest current", Axis: Axis{Name: "largest current", Unit: "A"}, Base: 10.65, Min: at(10), Max: at(99), Source: "product.toml", Rows: []Swing{
		{"parts.part.nfet100.on_resistance", 11.2, 10.1, "8.5 mΩ ±15 %"}, {"one that bends", 10.9, 10.8, "2 V..4 V"}, {"one without a figure", math.NaN(), 10.4, "±2 %"}, {"nothing", 10.65, 10.65, ""}}}
	out["swings-hostile"] = Swings{Title: "hostile", Base: -1e98, Max: at(math.Inf(1)), Rows: []Swing{{"", math.Inf(-1), 1e300, ""}, {strings.Repeat("long ", 40), -1e98, 0, strings.Repeat("text ", 40)}}}
	out["strips"] = Strips{Title: "promises of each choice", Columns: []string{"as it is", "cheaper case", "better reference"}, Source: "variants", Rows: []StripsRow{
		{"Holds a full battery within 0.2 V", []StripsCell{
			{Strip{Unit: "V", Min: at(-0.2), Max: at(0.2), Marks: []Mark{{Best: 0, Low: -0.24, High: 0.23}, {Kind: Measured, Best: 0.01, Low: -0.1, High: 0.12}}}, "unproven", false},
			{Strip{Unit: "V", Min: at(-0.2), Max: at(0.2), Marks: []Mark{{Best: 0, Low: -0.24, High: 0.23}}}, "unproven", true},
			{Strip{Unit: "V", Min: at(-0.2), Max: at(0.2), Marks: []Mark{{Best: 0, Low: -0.15, High: 0.16}}}, "met", false}}},
		{"A panel connected the wrong way round does no harm", []StripsCell{{Ends{Marks: []EndMark{{End: PartLost}}}, "not met", false}, {nil, "no evidence", false}, {nil, "", false}}},
	}}
	out["strips-hostile"] = Strips{Columns: []string{strings.Repeat("long ", 30), ""}, Rows: []StripsRow{{strings.Repeat("name ", 60), []StripsCell{{Strip{Min: at(math.Inf(-1)), Max: at(1e300), Marks: []Mark{{Best: math.NaN()}, {Best: 1e99, Low: -1e99, High: math.Inf(1)}}}, "odd", true}, {}, {}, {}}}, {}}}
	out["strips-empty"] = Strips{Title: "nothing"}
	out["swings-empty"] = Swings{Title: "nothing"}
	out["bars-empty"] = Bars{Title: "nothing"}
}
