package charge

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/figure"
	"hindwatt/internal/hardware"
	"hindwatt/internal/page"
	"hindwatt/internal/physics/battery"
	"hindwatt/internal/physics/sun/weather"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/charge/year"
)

// held is the small system on a controller that is nothing but its levels: no drop and no drain.
func held() Input {
	in := small()
	in.Regulation = Regulation{Method: "pwm", Absorption: of(14.4), AbsorptionTime: of(7200), Float: of(13.5), Compensation: of(-0.024)}
	in.Loads = []Load{{Name: "lamp", Power: of(1.5), From: 18 * 3600, Until: 6 * 3600}}
	return in
}

// model makes the input's model without the circuit that Run asks for.
func modelOf(t *testing.T, in *Input) *model {
	t.Helper()
	m, err := newModel(in)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestVary: a higher level gasses more, and a higher level for absorption does not leave the battery emptier (common practice, no source);
// at 0.4 V more a battery gasses up to e^(11/6·0.4) = 2.08 times as much (Schiffer et al. 2007, eq. 6), and never less. Choices are paired:
// the product's own does not differ from itself.
func TestVary(t *testing.T) {
	in := held()
	m := modelOf(t, &in)
	tr, err := m.vary(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	gas, low := func(y *Year) float64 { return y.Gas }, func(y *Year) float64 { return y.Least }
	for _, p := range tr.paths[:2] {
		own := 0
		for k := range p.choices {
			c := &p.choices[k]
			if d, told := tr.differs(c, gas); c.own {
				own++
				if d != (Interval{}) || told {
					t.Errorf("%s: the own choice differs by %+v", p.name, d)
				}
			} else if !told {
				t.Errorf("%s %s: gas is not told apart: %+v", p.name, c.text, d)
			}
			if k == 0 {
				continue
			}
			a, b := mean(p.choices[k-1].years, gas), mean(c.years, gas)
			if ratio := b / a; ratio <= 1 || ratio > math.Exp(11.0/6*0.2)*1.001 {
				t.Errorf("%s %s gasses %.3f times what the level before does", p.name, c.text, ratio)
			}
			if p.name == "absorption" && mean(c.years, low) < mean(p.choices[k-1].years, low)-1e-3 {
				t.Errorf("%s leaves the battery emptier than the level before", c.text)
			}
		}
		if own != 1 || len(p.choices) != 5 {
			t.Errorf("%s: %d choices, %d of them the product's", p.name, len(p.choices), own)
		}
	}
}

// TestPaired holds the difference to a table: 1, 2, 3 and 4 have the mean 2.5 and, at t = 3.182 for three degrees of freedom (Student's table), limits of ±2.054.
func TestPaired(t *testing.T) {
	tr, c := trade{}, choice{}
	for i := range 4 {
		var a, b Year
		a.Gas, b.Gas = float64(10*i*i), float64(10*i*i+i+1)
		tr.own, c.years = append(tr.own, a), append(c.years, b)
	}
	d, told := tr.differs(&c, func(y *Year) float64 { return y.Gas })
	if math.Abs(d.Best-2.5) > 1e-12 || math.Abs(d.High-2.5-2.054) > 5e-4 || !told {
		t.Errorf("%+v, %v", d, told)
	}
}

// TestController: what a controller spares its user (common practice, no source): straight on the panel the battery passes 16 V and wants water
// within months, on the controller it stays at its compensated level and loses less than a tenth.
func TestController(t *testing.T) {
	in := held()
	m := modelOf(t, &in)
	years, err := m.run(context.Background(), []task{{unit: in.nominal()}, {unit: in.nominal(), change: change{none: true}}, {unit: in.nominal(), change: change{stuck: true}}})
	if err != nil {
		t.Fatal(err)
	}
	own, bare, stuck := &years[0], &years[1], &years[2]
	level := 14.4 - 0.024*(own.Coldest-298.15) // on the coldest day
	if bare.Highest < 16 || own.Highest > level+0.01 || own.Water > 0.1*bare.Water || bare.ToppingUp > 8*aMonth {
		t.Errorf("own %.2f V and %.3g kg, bare %.2f V and %.3g kg, topped up after %.1f months", own.Highest, own.Water, bare.Highest, bare.Water, bare.ToppingUp/aMonth)
	}
	if math.Abs(stuck.Gas/bare.Gas-1) > 0.02 { // a path without loss, whose switch is stuck, is no controller
		t.Errorf("a stuck switch gasses %.0f C, none %.0f", stuck.Gas, bare.Gas)
	}
}

// TestBudget: the shares of a budget make up the whole, the unknown gassing (half to twice) gives most of what is gassed and none of the shares is below 0.
func TestBudget(t *testing.T) {
	in := small()
	in.Years = 12
	r := run(t, in)
	list, err := r.contributions(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"overcharge", "highest-voltage"} {
		sum := 0.0
		for _, l := range r.budget(r.Outcome(name), list) {
			if sum += l.Share; l.Share < 0 {
				t.Errorf("%s: %s has %.3f", name, l.Name, l.Share)
			}
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("%s: shares make %.6f", name, sum)
		}
	}
	// All current gasses at 16 V and more: V moves by ln(2)/11 a cell for twice the gas (Schiffer et al. 2007, eq. 6, solved by hand), whose logarithm spreads
	// by ln(2)/√3: 0.218 V of six cells.
	for _, l := range r.budget(r.Outcome("highest-voltage"), list) {
		if want := 6.0 / 11 * math.Ln2 / math.Sqrt(3); l.Name == "battery.gassing" && math.Abs(l.Contribution/want-1) > 0.1 {
			t.Errorf("gassing moves the highest voltage by %.3f V, want %.3f", l.Contribution, want)
		}
	}
}

// TestPeak: the table of maximum powers against the panel's own curve, between its points, and the year's energy at maximum power against what is possible.
func TestPeak(t *testing.T) {
	in := held()
	m := modelOf(t, &in)
	p := m.peaks()
	_, _, full := m.panel.At(1000, 298.15).MaximumPower()
	for _, sun := range []float64{11, 90, 333, 777, 1190} {
		for _, cell := range []float64{255, 281.3, 318.9} {
			if _, _, want := m.panel.At(sun, cell).MaximumPower(); math.Abs(p.at(sun, cell)-want) > 2e-3*full {
				t.Errorf("%.0f W/m², %.1f K: %.4f W, want %.4f", sun, cell, p.at(sun, cell), want)
			}
		}
	}
	b, err := (&Result{Input: in, model: m}).beside(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	possible := mean(b.own, func(y *Year) float64 { return y.ChargedEnergy + y.PathEnergy + y.SpilledEnergy })
	if !(possible < b.peak && possible > 0.6*b.peak) { // a battery of 12 V to 14.4 V on a panel of 17.3 V: 0.7 to 0.83
		t.Errorf("possible %.0f kJ of %.0f", possible/1e3, b.peak/1e3)
	}
}

// TestUnmetIsDrawn: what the loads asked for and did not get is a gap of the running totals, as large as the sums say; without it there is none.
func TestUnmetIsDrawn(t *testing.T) {
	for _, c := range []struct {
		watts float64
		gaps  int
	}{{1.5, 3}, {12, 4}} {
		in := held()
		in.Loads[0].Power, in.Regulation.LoadDisconnect, in.Regulation.LoadReconnect = of(c.watts), of(11.6), of(12.6)
		r := &Result{Input: in, model: modelOf(t, &in)}
		years, err := r.model.run(context.Background(), []task{{unit: in.nominal(), keep: true}})
		if err != nil {
			t.Fatal(err)
		}
		drawn := r.totalsFigures(&beside{own: years})[0].Plot.(figure.Totals)
		if len(drawn.Gaps) != c.gaps {
			t.Fatalf("%g W: %d gaps, want %d", c.watts, len(drawn.Gaps), c.gaps)
		}
		if c.gaps < 4 {
			continue
		}
		last := len(drawn.X) - 1
		gap := drawn.Curves[4].Sum[last] - drawn.Curves[3].Sum[last]
		if asked := c.watts * 0.5 * 8760 / 1000; math.Abs(drawn.Curves[4].Sum[last]/asked-1) > 0.03 || gap < 0.1*asked { // W times half of the hours of a year
			t.Errorf("%g W: asked for %.2f kWh, want %.2f; unmet %.2f", c.watts, drawn.Curves[4].Sum[last], asked, gap)
		}
	}
}

// TestCloseUp: what is left without the upper total keeps its gaps between the same totals.
func TestCloseUp(t *testing.T) {
	all := figure.Totals{Curves: []figure.Total{{Name: "possible"}, {Name: "given"}, {Name: "taken"}}, Gaps: []figure.Gap{{Upper: 0, Lower: 1, Name: "spilled"}, {Upper: 1, Lower: 2, Name: "lost"}}}
	if t2 := without(all, 0); len(t2.Curves) != 2 || len(t2.Gaps) != 1 || t2.Gaps[0] != (figure.Gap{Upper: 0, Lower: 1, Name: "lost"}) {
		t.Errorf("%+v", t2)
	}
	if all.Gaps[1].Upper != 1 {
		t.Error("the whole was changed")
	}
}

func TestBetween(t *testing.T) {
	for _, c := range [][3]string{{"0 %", "0 %", "0 %"}, {"0.53 kWh", "2.4 kWh", "0.53 to 2.4 kWh"}, {"under 0.1 %", "2 %", "under 0.1 % to 2 %"}, {"900 g", "1.1 kg", "900 g to 1.1 kg"}, {"0", "3", "0 to 3"}} {
		if got := between(c[0], c[1]); got != c[2] {
			t.Errorf("%s and %s: %q, want %q", c[0], c[1], got, c[2])
		}
	}
}

// TestAmorphous: the label of an amorphous panel is met with what recombines in it, in the minutes of the year too: charge and energy close, and
// straight on the battery it gives more in a year than a crystalline panel with that label, whose poor fill would be laid to its shunt (a law of
// the models: what recombines goes with the light, a label's shunt takes from weak light as well).
func TestAmorphous(t *testing.T) {
	sums := map[bool]float64{}
	for _, amorphous := range []bool{false, true} {
		in := small()
		in.Panel.Cells, in.Panel.Amorphous = 0, amorphous
		in.Panel.ShortCircuit, in.Panel.OpenCircuit, in.Panel.PeakCurrent, in.Panel.PeakVoltage = of(1.3), of(23), of(1.05), of(17.1)
		m := modelOf(t, &in)
		if got := year.FromPanel(&m.panel).Recombination; got > 0 != amorphous {
			t.Errorf("amorphous %v: %g V recombine", amorphous, got)
		}
		if _, i, p := m.panel.Reference.MaximumPower(); math.Abs(p/(1.05*17.1)-1) > 1e-6 || math.Abs(i/1.05-1) > 1e-3 {
			t.Errorf("amorphous %v: %.4f W at %.4f A, not as the label", amorphous, p, i)
		}
		y, err := m.run(context.Background(), []task{{unit: in.nominal()}})
		if err != nil {
			t.Fatal(err)
		}
		sums[amorphous] = y[0].Charged
		if d := y[0].Charged - y[0].Stored - y[0].Gas - y[0].Load - y[0].Standby - y[0].Leak; math.Abs(d) > 1e-9*y[0].Charged || y[0].Unsolved > 0 {
			t.Errorf("amorphous %v: %g C of %g are missing, %d minutes unsolved", amorphous, d, y[0].Charged, y[0].Unsolved)
		}
	}
	if r := sums[true] / sums[false]; !(r > 1) {
		t.Errorf("it gives %.3f of what a crystalline one gives", r)
	}
}

func TestFigures(t *testing.T) {
	figure := func(name string, v float64) string {
		for _, a := range aims {
			if a.name == name {
				return (&Outcome{Quantity: a.name, Dim: a.dim, Unit: a.unit, aim: a}).figure(v)
			}
		}
		return "no such quantity"
	}
	for _, c := range []struct {
		name string
		v    float64
		want string
	}{{"cold-charge", 2e-17, "under 0.001 Ah"}, {"cold-charge", 17, "0.0047 Ah"}, {"hours-gassing", 0, "0 h"}, {"topping-up", 79 * aMonth, "79 months"}, {"water", 4.8e-4, "0.48 g"}, {"unmet", 2e-5, "under 0.1 %"}} {
		if got := figure(c.name, c.v); got != c.want {
			t.Errorf("%s of %g: %q, want %q", c.name, c.v, got, c.want)
		}
	}
}

func TestDigits(t *testing.T) {
	for _, c := range []struct {
		v    float64
		n    int
		want string
	}{{113.4, 2, "110"}, {4.04, 2, "4"}, {0.0333, 2, "0.033"}, {1234.5, 3, "1230"}, {0, 2, "0"}, {1e-7, 2, "0.0000001"}} {
		if got := digits(c.v, c.n); got != c.want {
			t.Errorf("%g: %s, want %s", c.v, got, c.want)
		}
	}
}

// TestSameBits: years are the same on one core and on many.
func TestSameBits(t *testing.T) {
	told := func() string {
		in := small()
		in.Years = 5
		r := run(t, in)
		b, err := r.beside(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		text := fmt.Sprint(b.peak)
		for _, years := range [][]Year{r.Years, b.own, b.stuck, b.bare} {
			for i := range years {
				text += fmt.Sprint(years[i].Totals, years[i].Highest, years[i].Wear)
			}
		}
		return text
	}
	many := told()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if one := told(); one != many {
		t.Error("one core gives other years than many")
	}
}

// cold is the small system on lithium iron phosphate in a winter of frost.
func cold() Input {
	in := held()
	in.Battery = Battery{Part: "b", Chemistry: "lithium-iron-phosphate", Capacity: of(45 * ah)}
	in.Regulation.Compensation = nil
	for i := range in.Air {
		in.Air[i] = *of(in.Air[i].Quantity.Value - 10)
	}
	return in
}

// TestLithium: in frost the protection inside keeps charge out and is open for many hours; one that does not know the cold lets it in, which is cautioned.
func TestLithium(t *testing.T) {
	in := cold()
	m := modelOf(t, &in)
	r := &Result{Input: in, model: m}
	b, err := r.beside(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	r.Years = b.own
	if y := &b.own[0]; y.FrozenIn > 0.01*b.cold[0].FrozenIn || b.cold[0].FrozenIn < 10*ah || y.Opened < 500*3600 || y.Opens < 10 || y.Gas != 0 {
		t.Errorf("%.2f Ah below 0 °C, %.2f without protection; open for %.0f h, %d times; %g C of gas", y.FrozenIn/ah, b.cold[0].FrozenIn/ah, y.Opened/3600, y.Opens, y.Gas)
	}
	says(t, r.cautions(b), "does not know the cold")
	says(t, r.cautions(b), "stays open")
}

func says(t *testing.T, notes []page.Note, want string) {
	t.Helper()
	for _, n := range notes {
		if strings.Contains(n.Text, want) {
			return
		}
	}
	t.Errorf("nothing says %q: %+v", want, notes)
}

// TestDoubts: loads beyond the label and beyond a thin lead, equalising without a time.
func TestDoubts(t *testing.T) {
	in := held()
	in.Label = of(3)
	in.Loads = append(in.Loads, Load{Name: "pump", Current: of(30), Share: of(0.01)})
	in.Regulation.Equalise = of(15)
	in.Design.BatteryLead = &hardware.Lead{Length: of(1), Area: of(0.5e-6), From: "test.toml:9"}
	r := &Result{Input: in, model: modelOf(t, &in)}
	r.doubts()
	for _, want := range []string{"more than the 3.0 A of the label", "The lead of the battery carries", "Equalising is left out"} {
		says(t, r.Warnings, want)
	}
	in.Design.BatteryLead.Area = of(6e-6)
	in.Loads = in.Loads[:1]
	in.Regulation.Equalise = nil
	r = &Result{Input: in, model: modelOf(t, &in)}
	if r.doubts(); len(r.Warnings) > 0 {
		t.Errorf("doubts where there is no reason: %+v", r.Warnings)
	}
}

// TestLeads: with no controller between, what is lost is the leads': 7.98 Ω/km for 2.5 mm² at 20 °C (IEC 60228, class 5, from memory), both ways. Ten times the
// length loses more, but not more than ten times: the current does not rise. Long ones are said.
func TestLeads(t *testing.T) {
	var lost []float64
	for _, length := range []float64{4, 40, 400} {
		in := held()
		in.Design.PanelLead = &hardware.Lead{Length: of(length), Area: of(2.5e-6), From: "installations/x.toml:9"}
		r := &Result{Input: in}
		r.model = modelOf(t, &r.Input)
		years, err := r.model.run(context.Background(), []task{{unit: in.nominal(), change: change{none: true}}})
		if err != nil {
			t.Fatal(err)
		}
		lost = append(lost, years[0].PathEnergy)
		if drop, _ := r.model.wires.At(1, zero+20); math.Abs(drop-2*length*7.98e-3) > 1e-3*drop {
			t.Errorf("%g m drop %g V at 1 A", length, drop)
		}
		r.drops()
		if long := length > 4; long != (len(r.Warnings) > 0) {
			t.Errorf("%g m: %+v", length, r.Warnings)
		}
	}
	for k := range lost[1:] {
		if ratio := lost[k+1] / lost[k]; !(ratio > 1 && ratio <= 10) {
			t.Errorf("ten times the length loses %.3f times as much", ratio)
		}
	}
}

// TestSealedHeat: a sealed battery held high without compensation in the heat is cautioned; a compensated one is not.
func TestSealedHeat(t *testing.T) {
	in := held()
	in.Battery.Chemistry, in.Regulation.Absorption, in.Battery.Rise = "agm", of(14.8), of(25)
	for _, c := range []struct {
		slope float64
		heard bool
	}{{0, true}, {-0.03, false}} {
		in.Regulation.Compensation = of(c.slope)
		r := &Result{Input: in, model: modelOf(t, &in)}
		years, err := r.model.run(context.Background(), []task{{unit: in.nominal()}})
		if err != nil {
			t.Fatal(err)
		}
		r.Years = years
		if got := len(r.heat()) > 0; got != c.heard {
			t.Errorf("%g V/K: cautioned %v at %.0f K", c.slope, got, years[0].Hottest)
		}
	}
}

// TestEqualises: where a level and a time are written, the battery passes it each thirty days: it reaches more than absorption, and gasses more.
func TestEqualises(t *testing.T) {
	in := held()
	plain := modelOf(t, &in)
	other := held()
	other.Regulation.Equalise, other.Regulation.EqualiseTime = of(15.5), of(7200)
	more := modelOf(t, &other)
	a, err := plain.run(context.Background(), []task{{unit: in.nominal()}})
	if err != nil {
		t.Fatal(err)
	}
	b, err := more.run(context.Background(), []task{{unit: other.nominal()}})
	if err != nil {
		t.Fatal(err)
	}
	if b[0].Highest < a[0].Highest+0.4 || b[0].Gas < 1.02*a[0].Gas {
		t.Errorf("%.2f V and %.0f C equalised, %.2f V and %.0f C not", b[0].Highest, b[0].Gas, a[0].Highest, a[0].Gas)
	}
}

// TestChosenDays: the day of the lowest charge is the day that the days' own lows say, and so is that of the most gas.
func TestChosenDays(t *testing.T) {
	in := held()
	m := modelOf(t, &in)
	years, err := m.run(context.Background(), []task{{unit: in.nominal(), keep: true}})
	if err != nil {
		t.Fatal(err)
	}
	y := &years[0]
	low, busy := y.Lowest.Day, y.Busiest.Day
	for d := range y.Days {
		if y.Days[d].Low < y.Days[low].Low || y.Days[d].Totals.Gas > y.Days[busy].Totals.Gas {
			t.Errorf("day %d is lower than %d or gasses more than %d", d, low, busy)
		}
	}
	m.gasses(t, y)
	gas := 0.0
	for _, g := range y.Busiest.Gas {
		gas += float64(g) * 60
	}
	if want := y.Days[busy].Totals.Gas; math.Abs(gas/want-1) > 1e-3 {
		t.Errorf("its minutes make %.1f C of gas, its day %.1f", gas, want)
	}
}

// gasses holds the hours that are marked to the minutes of the day of the most gas, and to the time of the year.
func (m *model) gasses(t *testing.T, y *Year) {
	c, all := y.Busiest, 0
	for h := range 24 {
		over := 0
		for i := h * 60; i < h*60+60; i++ {
			if float64(c.Voltage[i]) > battery.GassingFrom(float64(c.Battery[i]))*float64(m.count) {
				over++
			}
		}
		if got := y.Gassing[c.Day*24+h]; over > 35 && !got || over < 25 && got {
			t.Errorf("hour %d: %d minutes above the gassing voltage, marked: %v", h, over, got)
		}
	}
	for _, marked := range y.Gassing {
		if marked {
			all++
		}
	}
	if hours := y.AboveGassing / 3600; all == 0 || hours < 0.5*float64(all) || hours > float64(all)+0.5*float64(len(y.Gassing)-all) {
		t.Errorf("%d hours are marked, %.0f h above the gassing voltage", all, hours)
	}
}

// TestUsual: a slip of a unit is said with its line, values as sheets have them are not; a load that is switched on below where it is cut off is refused.
func TestUsual(t *testing.T) {
	in := held()
	in.Battery.Gassing, in.Battery.Resistance, in.Battery.SelfDischarge, in.Battery.Age, in.Battery.Rise = of(0.02), of(0.02), of(0.05/aMonth), of(3*aYear), of(2)
	r := &Result{Input: in}
	r.model = modelOf(t, &r.Input)
	if r.usual(); len(r.Warnings) > 0 {
		t.Errorf("%+v", r.Warnings)
	}
	slip := quantity.Quantity{Value: 20, Low: 20, High: 20, Dim: quantity.Current, Unit: "A"}
	r.Input.Battery.Gassing = &Value{Quantity: slip, From: "parts.toml:9"}
	r.usual()
	says(t, r.Warnings, "part.b.gassing is 20 A; usual is 1.0 mA to 200 mA")
	if len(r.Warnings) != 1 || r.Warnings[0].From != "parts.toml:9" {
		t.Errorf("%+v", r.Warnings)
	}
	in.Regulation.LoadDisconnect, in.Regulation.LoadReconnect = of(12), of(11)
	if err := in.check(); err == nil || !strings.HasPrefix(err.Error(), "test.toml:1: regulation.load_reconnect: ") {
		t.Errorf("reconnecting below: %v", err)
	}
}

// TestLevelsFitTheCells: levels for another battery, and a float above absorption, are said (lead cells take 2.2 V to 2.65 V: common practice, no source).
func TestLevelsFitTheCells(t *testing.T) {
	for name, c := range map[string]struct {
		absorption, float float64
		want              string
	}{
		"fits":     {14.4, 13.5, ""},
		"for 24 V": {28.8, 13.5, "boiled dry"},
		"for 6 V":  {7.2, 6.8, "never full"},
		"swapped":  {13.5, 14.4, "is above absorption"},
	} {
		in := held()
		in.Regulation.Absorption, in.Regulation.Float = of(c.absorption), of(c.float)
		r := &Result{Input: in}
		r.model = modelOf(t, &r.Input)
		if r.levels(); c.want == "" && len(r.Warnings) > 0 {
			t.Errorf("%s: %+v", name, r.Warnings)
		} else if c.want != "" {
			says(t, r.Warnings, c.want)
		}
	}
}

// TestRefusesAtOnce: a load that no battery feeds, and the mean year of a file of hours, are refused with where they are written.
func TestRefusesAtOnce(t *testing.T) {
	in := held()
	in.Loads = []Load{{Name: "mill", Power: of(4e6), At: "installations/x.toml:40"}}
	if _, err := newModel(&in); err == nil || !strings.HasPrefix(err.Error(), "installations/x.toml:40: load.mill: draws ") {
		t.Errorf("4 MW: %v", err)
	}
	in = held()
	in.MeanYear, in.Weather, in.WeatherFrom = true, new(weather.Record), "hours.csv"
	if err := in.check(); err == nil || !strings.Contains(err.Error(), ": weather: --mean-year") || !strings.Contains(err.Error(), "hours.csv") {
		t.Errorf("mean year of a file: %v", err)
	}
}

// TestFaultsSayWhere: each month at fault is told with its own line, what all months share once, and a label by the key of its part.
func TestFaultsSayWhere(t *testing.T) {
	in := held()
	in.Sun[1], in.Sun[1].From = *of(0), "installations/x.toml:8"
	in.Air[6], in.Air[6].From = *of(20), "installations/x.toml:9"
	in.Swing = of(90)
	_, err := newModel(&in)
	if err == nil {
		t.Fatal("a month without sun was taken")
	}
	lines := strings.Split(err.Error(), "\n")
	for i, want := range []string{"installations/x.toml:8: sun[2]: February: ", "installations/x.toml:9: air[7]: July: ", "test.toml:1: swing: daily swing 90 K"} {
		if !slices.ContainsFunc(lines, func(l string) bool { return strings.Contains(l, want) }) || len(lines) != 3 {
			t.Errorf("%d: no %q in %q", i, want, lines)
		}
	}
	in = held()
	in.Panel.Key, in.Panel.OpenCircuit, in.Panel.PeakVoltage = "part.small", of(11), of(9)
	in.Panel.OpenCircuit.From = "parts.toml:7"
	if _, err = newModel(&in); err == nil || !strings.HasPrefix(err.Error(), "parts.toml:7: part.small.open_circuit_voltage: 11.0 V of all in series is below the ") {
		t.Errorf("a panel below its battery: %v", err)
	}
}
