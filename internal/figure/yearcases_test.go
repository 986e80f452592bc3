package figure

import "math"

// scatter is a fixed sequence in 0..1 that looks random.
func scatter(i int) float64 {
	v := math.Sin(float64(i)*12.9898) * 43758.5453
	return v - math.Floor(v)
}

// voltages are invented: a battery's voltage by the hour, low in winter nights, above 28 V on clear afternoons.
func voltages(days, perDay int) []float64 {
	var out []float64
	for day := range days {
		season := -math.Cos(2 * math.Pi * float64(day+10) / 365)
		clear := 0.35 + 0.65*scatter(day)
		for k := range perDay {
			hour := 24 * (float64(k) + 0.5) / float64(perDay)
			sun := max(0, math.Sin(math.Pi*(hour-6+season*1.5)/(12+3*season)))
			if hour < 6-1.5*season || hour > 18+1.5*season {
				sun = 0
			}
			v := 24.6 + 0.5*season + 0.4*clear + sun*clear*(4.6+1.2*season)
			out = append(out, min(v, 28.9+0.1*scatter(1000*day+k)))
		}
	}
	return out
}

// yearPlots adds figures of a year; all of it is invented.
func yearPlots(out map[string]Plot) {
	c := Carpet{Title: "battery voltage through a year", Axis: Axis{Name: "battery voltage", Unit: "V"}, Days: 365, PerDay: 24, Values: voltages(365, 24), Low: 24, High: 30,
		Level: at(28.4), LevelText: "above 28.4 V, gassing", Clock: "hour of day, solar time", Source: "installations/hut.toml, 2026-11-25"}
	out["carpet"] = c
	c.Missing = make([]bool, len(c.Values))
	for i := 24 * 200; i < 24*216+7; i++ {
		c.Missing[i] = true
	}
	c.Low, c.High, c.Values = 25, 28, append([]float64{math.NaN(), math.Inf(1)}, c.Values[2:]...)
	c.LevelText, c.Clock, c.Source = "", "", ""
	out["carpet-missing"] = c
	out["carpet-short"] = Carpet{Title: "duty in autumn", Axis: Axis{Name: "duty", Unit: "%"}, First: 250, Days: 60, PerDay: 48, Values: voltages(60, 48)}
	out["carpet-long"] = Carpet{Title: "two years", Axis: Axis{Name: "duty", Unit: "%"}, Days: 731, PerDay: 96, Values: voltages(731, 96)}
	out["carpet-flat"] = Carpet{Title: "nothing happens", Axis: Axis{Name: "voltage", Unit: "V"}, Days: 3, PerDay: 1, Values: []float64{5, 5}, Level: at(math.NaN())}
	out["carpet-empty"] = Carpet{Title: "none", Days: 365, PerDay: 24, Values: []float64{math.NaN()}}
	out["carpet-nothing"] = Carpet{Days: -1, PerDay: -4}
}

// months of a year without a name, and what a small system did by their ends, kWh; invented.
func totals() Totals {
	t := Totals{Title: "energy through a year", Axis: Axis{Name: "energy since 1 January", Unit: "kWh"}, Source: "installations/hut.toml, 2026-11-25",
		Curves: []Total{{Name: "possible"}, {Name: "taken"}, {Name: "asked"}, {Name: "delivered"}},
		Gaps:   []Gap{{Upper: 0, Lower: 1, Name: "spilled"}, {Upper: 1, Lower: 3, Name: "lost"}, {Upper: 2, Lower: 3, Name: "unmet", Harm: true}}}
	sums := [4]float64{}
	for day := 0; day <= 365; day++ {
		t.X = append(t.X, float64(day))
		for i := range t.Curves {
			t.Curves[i].Sum = append(t.Curves[i].Sum, sums[i])
		}
		season := -math.Cos(2 * math.Pi * float64(day+10) / 365)
		possible := (0.62 + 0.5*season) * (0.4 + 1.2*scatter(day))
		taken := min(possible, 0.66)
		asked := 0.42 - 0.08*season
		sums[0], sums[1], sums[2] = sums[0]+possible, sums[1]+taken, sums[2]+asked
		sums[3] = min(sums[2]-0.9*max(0, asked-0.8*taken)-(sums[2]-asked-sums[3]), 0.86*sums[1])
		sums[3] = max(sums[3], t.Curves[3].Sum[day])
	}
	return t
}

func endPlots(out map[string]Plot) {
	t := totals()
	out["totals"] = t
	tight := t
	tight.Curves = nil
	for i, c := range t.Curves {
		var sum []float64
		for k := range c.Sum {
			sum = append(sum, t.Curves[0].Sum[k]*(1-0.002*float64(i)))
		}
		tight.Curves = append(tight.Curves, Total{Name: c.Name, Sum: sum})
	}
	out["totals-tight"] = tight
	dated := t
	dated.X = nil
	for day := range 366 {
		dated.X = append(dated.X, 20000+float64(day))
	}
	dated.Gaps = []Gap{{0, 1, "spilled", "spilled 41 kWh, 36..47 of 20 years", false}, {Upper: 0, Lower: 9, Name: "none"}}
	out["totals-dated"] = dated
	out["totals-hostile"] = Totals{Title: "hostile", X: []float64{1, math.NaN(), 2, 1e300}, Curves: []Total{{Sum: []float64{1, 2, math.Inf(1), 4}}, {Sum: []float64{-1, 1, -1e98}}, {}}, Gaps: []Gap{{Upper: 0, Lower: 1}, {Upper: 1, Lower: 0, Harm: true}, {Upper: 0, Lower: 2}}}
	out["ends"] = Ends{Quantity: "end of the mistake", Allowed: []FaultEnd{Unharmed, Recovers}, Verdict: "unproven", Marks: []EndMark{
		{End: Recovers, Reach: PartLost, Margin: 1.2, Low: .8, High: 1.9, Label: "panel leads touched, full sun"}, {Kind: Measured, End: Recovers, Margin: 2.3, Low: 1.7, High: 3.1, Label: "1 unit on the bench"}, {Kind: Recorded, End: PartLost}}}
	out["ends-hazard"] = Ends{Quantity: "end", Allowed: []FaultEnd{Unharmed}, Verdict: "not met", Marks: []EndMark{{End: Hazard, Margin: .31, OpenLow: true, High: .5}, {End: 99, Reach: 77, Margin: math.NaN(), Low: math.NaN()}, {End: Unharmed, Reach: Hazard, Margin: 5, Low: math.Inf(-1), High: math.Inf(1)}}}
	out["ends-none"] = Ends{Quantity: "end of the mistake", Allowed: []FaultEnd{Unharmed, Recovers}}
	out["ends-nothing"] = Ends{}
	out["endstable"] = EndsTable{Title: "what each mistake does", Rows: []string{"panel leads touched together", "battery reversed", "battery taken off in sun, with the load on", "load shorted"}, Columns: []string{"dark", "weak sun", "full sun", "battery low, holding"}, Source: "product.toml, 2026-11-25",
		Cells: [][]EndCell{{{End: Unharmed, Text: "3.1×"}, {End: Recovers, Open: true, Text: "q1, 1.2×"}, {End: PartLost, Text: "q1 shorts, f1 opens"}, {End: PartLost}}, {{End: Hazard, Text: "lead, heat"}, {End: Hazard}, {End: Hazard}, {End: Harmed, Open: true, Text: "load"}}, {{None: true, Text: "no such case"}, {End: Recovers}}, {{End: Recovers}, {End: Recovers}, {End: Recovers}, {End: Recovers}}}}
	out["endstable-many"] = EndsTable{Title: "many states", Rows: []string{"a", ""}, Columns: []string{"one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}, Cells: [][]EndCell{{{End: 77, Open: true, Text: "everything at once"}}}}
	out["endstable-empty"] = EndsTable{Title: "nothing"}
	trade := Tradeoff{Title: "which setpoint", X: Axis{Name: "energy not had", Unit: "kWh a year"}, Y: Axis{Name: "water lost", Unit: "ml a cell and year"}, Front: true, Source: "installations/*.toml"}
	for k, where := range []string{"cold and dark", "hot and bright"} {
		for j, what := range []string{"float", "absorption"} {
			p := TradePath{Name: what, Group: where}
			for i := -2; i <= 2; i++ {
				v := float64(i)
				q := TradePoint{X: 18 - 9*float64(k) - v*(2+float64(j)) + .4*v*v, Y: 12 + 40*float64(k) + v*(4+4*float64(j))*(1+float64(k)) + v*v, Text: number([]float64{27.3, 28.8}[j]+.3*v, 1) + " V", Chosen: i == 0}
				q.LowX, q.HighX, q.LowY, q.HighY = q.X-.6, q.X+.9, q.Y-1, q.Y+2
				p.Points = append(p.Points, q)
			}
			trade.Paths = append(trade.Paths, p)
		}
	}
	out["tradeoff"] = trade
	trade.Y.Scale, trade.MoreX, trade.Source = Log, true, ""
	out["tradeoff-log"] = trade
	out["tradeoff-hostile"] = Tradeoff{X: Axis{Name: "x"}, Front: true, Paths: []TradePath{{Points: []TradePoint{{X: math.NaN()}, {X: 1, Y: 1e98, LowX: math.Inf(-1), HighX: 1e300, Text: "a"}, {X: 1, Y: 1e98, Text: "b"}}}, {}}}
	out["tradeoff-empty"] = Tradeoff{Title: "nothing"}
	out["totals-empty"] = Totals{Title: "nothing"}
}
