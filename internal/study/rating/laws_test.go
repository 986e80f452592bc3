package rating

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"runtime"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/hardware"
	"hindwatt/internal/quantity"
)

func run(t *testing.T, in Input) *Result {
	t.Helper()
	r, err := Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// with runs a changed design.
func with(t *testing.T, in Input, change func(*hardware.Design)) *Result {
	t.Helper()
	in.Design = changed(in.Design, change)
	return run(t, in)
}

func (r *Result) nominal(t *testing.T, name string) float64 {
	t.Helper()
	o := r.Outcome(name)
	if o == nil || o.Never != "" {
		t.Fatalf("no %s: %v", name, r.Lacks())
	}
	return o.Nominal
}

func quick(in Input) Input {
	in.Outer, in.Inner = 4, 4
	return in
}

func TestEveryQuantityIsComputed(t *testing.T) {
	r := run(t, input())
	for _, name := range Quantities() {
		o := r.Outcome(name)
		if o == nil {
			t.Errorf("no %s", name)
			continue
		}
		holds, err := o.Tolerance(0.95, 0.95)
		if err != nil || !(holds.Low <= holds.Best && holds.Best <= holds.High) || !(holds.Low < o.Nominal && o.Nominal < holds.High) && o.Linear.U > 0 {
			t.Errorf("%s: nominal %v in %v, %v", name, o.Nominal, holds, err)
		}
	}
	if len(r.Lacks()) > 0 {
		t.Errorf("lacks %v", r.Lacks())
	}
}

// Monotony: hotter air and a longer way for the heat leave less.
func TestMoreHeatLeavesLessCurrent(t *testing.T) {
	in := quick(input())
	last := math.Inf(1)
	for _, air := range []string{"-20 °C", "0 °C", "25 °C", "40 °C", "60 °C"} {
		in.Conditions.Ambient = given(air)
		i := run(t, in).nominal(t, "current")
		if i >= last {
			t.Errorf("%s: %v A after %v A", air, i, last)
		}
		last = i
	}
	in.Conditions.Ambient = given("-20..60 °C")
	if worst := run(t, in).nominal(t, "current"); worst != last {
		t.Errorf("of a range %v A, at its hot end %v A", worst, last)
	}
}

// At the largest current the limit that is said to stop it is met, and no other is passed.
func TestLimitIsMetAtTheLargestCurrent(t *testing.T) {
	r := run(t, quick(input()))
	o := r.Outcome("current")
	pt, err := r.probe.point(place{air: o.At.air, current: o.Nominal}, o.Duty)
	if err != nil {
		t.Fatal(err)
	}
	met := false
	for i, p := range pt.Parts {
		for _, l := range p.Limits {
			e := excess(l, o.At.air, 1)
			if e > 1e-4 {
				t.Errorf("%s: %s %v passes %v", r.Input.Design.Components[i].Name, l.Of, l.Value, l.Max)
			}
			if r.Input.Design.Components[i].Name == o.Part && l.Of == o.Of && math.Abs(e) < 1e-4 {
				met = true
			}
		}
	}
	if !met {
		t.Errorf("%s of %s is said to stop it at %v A and is not at its limit", o.Of, o.Part, o.Nominal)
	}
}

// Common practice, no source: a better switch and a better diode raise a rating by about what their loss falls. The rating is
// held by the diode's junction, whose rise goes with its own loss and, through the board, with that of the others.
func TestBetterPartsRaiseTheRating(t *testing.T) {
	in := quick(input())
	base := run(t, in)
	now := base.Outcome("current")
	if now.Part != "d1" {
		t.Fatalf("%s stops it, want d1", now.Part)
	}
	lossAt := func(r *Result, name string) float64 {
		pt, err := r.probe.point(place{air: now.At.air, current: now.Nominal}, conducting)
		if err != nil {
			t.Fatal(err)
		}
		return pt.Parts[r.Input.find(name)].Loss.Sum()
	}
	diode := with(t, in, func(d *hardware.Design) {
		x := *d.Components[2].Diode
		x.Drops = slices.Clone(x.Drops)
		for i := range x.Drops {
			x.Drops[i].Voltage *= 0.8
		}
		d.Components[2].Diode = &x
	})
	fall := 1 - lossAt(diode, "d1")/lossAt(base, "d1")
	if gain := diode.nominal(t, "current")/now.Nominal - 1; !(gain > fall/2 && gain < 2*fall) {
		t.Errorf("the diode's loss falls by %.3f and the rating rises by %.3f", fall, gain)
	}
	fet := with(t, in, func(d *hardware.Design) {
		x := *d.Components[3].Mosfet
		x.OnResistance = scaled(x.OnResistance, 0.5)
		d.Components[3].Mosfet = &x
	})
	all := base.nominal(t, "loss")
	fall = (lossAt(base, "q1") - lossAt(fet, "q1")) / all
	if gain := fet.nominal(t, "current")/now.Nominal - 1; !(gain > 0 && gain < fall) {
		t.Errorf("the switch's loss falls by %.3f of all and the rating rises by %.3f: more than the diode can notice", fall, gain)
	}
}

// Common practice, no source: a diode in the lead keeps its heat outside.
func TestDiodeInTheLeadKeepsItsHeatOutside(t *testing.T) {
	in := quick(input())
	inside := run(t, in)
	lead := with(t, in, func(d *hardware.Design) { d.Components[2].In = "lead" })
	heat := func(r *Result) float64 { return r.Point.Cases[0].Heat }
	diode := inside.Point.Parts[2].Loss.Sum()
	if fall := heat(inside) - heat(lead); math.Abs(fall-diode) > 0.35*diode {
		t.Errorf("the case gives off %.2f W less and the diode makes %.2f W", fall, diode)
	}
	if lead.nominal(t, "touch-temperature") > inside.nominal(t, "touch-temperature")-5 {
		t.Error("the case is as hot as before")
	}
}

// Common practice, no source: a small potted or sleeved unit runs tens of kelvin above the air at a few watts.
func TestSmallUnitRunsTensOfKelvinAboveTheAir(t *testing.T) {
	in := quick(input())
	for _, shape := range []struct {
		name string
		e    hardware.Enclosure
	}{
		{"potted box", hardware.Enclosure{Shape: "box", Size: []Value{*given("60 mm"), *given("40 mm"), *given("25 mm")}, Filling: "potting", Material: "abs", Wall: given("1.5 mm")}},
		{"sleeve", hardware.Enclosure{Shape: "sleeve", Size: []Value{*given("70 mm"), *given("35 mm"), *given("15 mm")}, Filling: "air", Material: "polyolefin", Wall: given("1 mm")}},
	} {
		shape.e.Name, shape.e.From = "case", "test"
		r := with(t, in, func(d *hardware.Design) { d.Enclosures = []hardware.Enclosure{shape.e} })
		loss, rise := r.nominal(t, "loss"), r.nominal(t, "touch-temperature")-313.15
		if loss < 1.5 || loss > 5 || rise < 10 || rise > 80 {
			t.Errorf("%s: %.1f K above the air at %.1f W", shape.name, rise, loss)
		}
	}
}

// Sun on the case: MODELS F6 computed 23 K in place of 10 K for a grey box of 3 W (computed independently).
func TestSunTakesFromTheRating(t *testing.T) {
	r := run(t, quick(input()))
	tbl, err := r.caseTableOf()
	if err != nil || len(tbl.Rows) != 3 {
		t.Fatal(tbl, err)
	}
	shade, _, _, _ := r.probe.largest(r.place, []duty{1})
	sunny := r.place
	sunny.sun = 1000
	sun, _, _, err := r.probe.largest(sunny, []duty{1})
	if err != nil || !(sun < shade) {
		t.Errorf("%v A in the sun, %v A in the shade, %v", sun, shade, err)
	}
}

func TestSameBitsOnAnyNumberOfCores(t *testing.T) {
	in := input()
	in.Outer, in.Inner = 8, 5
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := run(t, in)
	curveOne, err := one.Derate(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	runtime.GOMAXPROCS(4)
	four := run(t, in)
	curveFour, err := four.Derate(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for i, o := range one.Outcomes {
		for k, v := range o.samples {
			if w := four.Outcomes[i].samples[k]; v != w {
				t.Errorf("%s of unit %d: %v and %v", o.Quantity, k, v, w)
				break
			}
		}
	}
	if !slices.Equal(curveOne, curveFour) {
		t.Error("the derating curve differs")
	}
}

// The two halves of the uncertainty: a design without any from unit to unit has none, and the budget's standard uncertainty is
// that of the simulated units to the accuracy of 2,000 of them.
func TestBudgetAgreesWithTheSimulation(t *testing.T) {
	r := run(t, input())
	for _, name := range []string{"drop", "loss", "touch-temperature"} {
		o := r.Outcome(name)
		_, variance := meanVariance(o.samples)
		if sd := math.Sqrt(variance); math.Abs(sd-o.Linear.U) > 0.15*sd {
			t.Errorf("%s: %v by simulation, %v by the budget", name, sd, o.Linear.U)
		}
		share := 0.0
		for _, l := range o.Linear.Lines {
			share += l.Share
		}
		if math.Abs(share-1) > 1e-9 {
			t.Errorf("%s: shares add up to %v", name, share)
		}
	}
}

// A tolerance interval of a normal population whose unknown part is known: mean ± (1.96 σ_unit + …), JCGM 101 and ISO 16269-6
// in the limit of many units; computed independently. A thousand even draws leave 0.02 of their ends out.
func TestToleranceOfKnownPopulation(t *testing.T) {
	o := &Outcome{Quantity: "x", outer: 1000, inner: 1000}
	o.samples = make([]float64, o.outer*o.inner)
	for j := range o.outer {
		shift := 2 * quantile(quantity.Quantity{Spread: quantity.Normal, SD: 1}, (float64(j)+0.5)/float64(o.outer))
		for i := range o.inner {
			o.samples[j*o.inner+i] = shift + quantile(quantity.Quantity{Spread: quantity.Normal, SD: 1}, (float64(i)+0.5)/float64(o.inner))
		}
	}
	holds, err := o.Tolerance(0.95, 0.95)
	want := 1.95996*2 + 1.95996
	if err != nil || math.Abs(holds.High-want) > 0.03 || math.Abs(holds.Low+want) > 0.03 {
		t.Errorf("%v, want ±%.2f; %v", holds, want, err)
	}
}

func TestBadInputIsRefused(t *testing.T) {
	for _, c := range []struct {
		name, want string
		change     func(*Input)
	}{
		{"no current", "want more than 0", func(in *Input) { in.Label = given("0 A") }},
		{"a quantity that is none", "want one of: current", func(in *Input) { in.Quantities = []string{"watts"} }},
		{"one unit", "want 2 or more", func(in *Input) { in.Outer, in.Inner = 1, 1 }},
		{"a case thinner than its wall", "case", func(in *Input) {
			in.Design = changed(in.Design, func(d *hardware.Design) { d.Enclosures[0].Wall = given("30 mm") })
		}},
		{"a negative resistance", "", func(in *Input) {
			in.Design = changed(in.Design, func(d *hardware.Design) {
				m := *d.Components[3].Mosfet
				m.OnResistance = given("-10 mΩ")
				d.Components[3].Mosfet = &m
			})
		}},
	} {
		in := quick(input())
		c.change(&in)
		if _, err := Run(context.Background(), in); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

func TestNothingIsMissedSilently(t *testing.T) {
	in := quick(input())
	in.Design.Components, in.Design.Enclosures = nil, nil
	r := run(t, in)
	if len(r.Outcomes) > 0 || len(r.Lacks("current")) < 2 {
		t.Errorf("without a circuit: %d outcomes, lacks %v", len(r.Outcomes), r.Lacks())
	}
	if p, err := r.Page(context.Background()); err != nil || len(p.Answer) == 0 || len(p.Lacks) == 0 {
		t.Errorf("page %v, %v", p.Answer, err)
	}
	in = quick(input())
	in.Design.Enclosures = nil
	for i := range in.Design.Components {
		in.Design.Components[i].In = ""
	}
	in.Design.Components = slices.Clone(in.Design.Components)
	r, err := Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if r.Outcome("current") != nil || len(r.Lacks("current")) == 0 {
		t.Errorf("without an enclosure: lacks %v", r.Lacks())
	}
	if r.Outcome("drop") == nil {
		t.Error("without an enclosure the drop is not told")
	}
}

func TestAmbientBeyondALimitIsSaid(t *testing.T) {
	in := quick(input())
	in.Conditions.Ambient = given("110 °C")
	r := run(t, in)
	if o := r.Outcome("current"); o.Nominal != 0 {
		t.Errorf("carries %v A at 110 °C with terminals for 105 °C", o.Nominal)
	}
	if !slices.ContainsFunc(r.Warnings, func(n note) bool { return strings.Contains(n.Text, "ambient alone") }) {
		t.Errorf("no warning: %v", r.Warnings)
	}
}

// A Schottky that leaks runs away: a maker's application note gives 1/c = 18 K of rise by leakage at the edge (MODELS E4 [C]).
func TestLeakyDiodeRunsAway(t *testing.T) {
	in := quick(input())
	shunt := changed(in.Design, func(d *hardware.Design) {
		d.Switch = "shunt"
		x := *d.Components[2].Diode
		x.Leakage = given("2 mA")
		x.JunctionToCase, x.JunctionToAmbient, x.MaxJunction = nil, given("60 K/W"), given("200 °C")
		d.Components[2].Diode = &x
		d.Components[2].From = "pv+"
		q := d.Components[3]
		q.From, q.To, d.Components[3] = "pv+", "pv-", hardware.Component{}
		d.Components[3] = q
		d.Components = append(d.Components, hardware.Component{Name: "w9", Part: "link", Kind: "contact", In: "case", From: "pv-", To: "bat-", At: "test",
			Contact: &hardware.Contact{Resistance: given("0.1 mΩ")}})
	})
	in.Design = shunt
	in.Label = given("3 A")
	r := run(t, in)
	if r.Runaway.Part != "d1" || !(r.Runaway.Ambient > 250 && r.Runaway.Ambient < mostAir) {
		t.Errorf("runaway %+v, want of d1", r.Runaway)
	}
	if len(r.Duties) != scanned+1 {
		t.Errorf("%d duties", len(r.Duties))
	}
}

func TestPanels(t *testing.T) {
	// US National Electrical Code 690.8(A)(1): 1.25 times the short-circuit current. 10 A carry 8 A.
	p := Panels(10)
	if p[0].ShortCircuit != 8 || math.Abs(p[1].ShortCircuit-20./3) > 1e-12 {
		t.Error(p)
	}
}

func TestReadingCarriesItsProportion(t *testing.T) {
	r := run(t, quick(input()))
	o := r.Outcome("touch-temperature")
	at := Reading{Quantity: "touch-temperature", Air: 295, Current: 5}
	model, err := r.At(context.Background(), Reading{Quantity: "touch-temperature", Air: 295, Current: 5})
	if err != nil || model.UnknownSD <= 0 {
		t.Fatal(model, err)
	}
	touch, _ := findAim("touch-temperature")
	here, err := r.probe.value(touch, at.place(), []duty{1})
	if err != nil {
		t.Fatal(err)
	}
	at.Value = at.Air + 1.1*(here-at.Air)
	moved, err := r.Carry(context.Background(), []Reading{at}, o, 4, 4)
	if err != nil {
		t.Fatal(err)
	}
	if want := o.At.air + 1.1*(o.Nominal-o.At.air); math.Abs(moved.Values[0]-want) > 0.5 {
		t.Errorf("%v K, want %v K", moved.Values[0], want)
	}
	part := Reading{Quantity: "temperature.d1", Air: 295, Current: 5}
	hot, err := r.At(context.Background(), part)
	if err != nil {
		t.Fatal(err)
	}
	part.Value = hot.Mean
	as, err := r.Carry(context.Background(), []Reading{part}, r.Outcome("current"), 0, 0)
	if err != nil || math.Abs(as.Values[0]-r.nominal(t, "current")) > 0.05*as.Values[0] {
		t.Errorf("as the model says: %v A, want %v A; %v", as.Values[0], r.nominal(t, "current"), err)
	}
	part.Value += 10
	less, err := r.Carry(context.Background(), []Reading{part}, r.Outcome("current"), 0, 0)
	if err != nil || !(less.Values[0] < as.Values[0]) {
		t.Errorf("10 K hotter: %v A after %v A; %v", less.Values[0], as.Values[0], err)
	}
	part.Value = 290
	if _, err := r.Carry(context.Background(), []Reading{part}, r.Outcome("current"), 0, 0); err == nil {
		t.Error("a part colder than the air is carried over")
	}
}

func TestRunsAreInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Run(ctx, input()); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

func TestPageHoldsNoNonsense(t *testing.T) {
	in := quick(input())
	ten := 5.0
	r := run(t, in)
	p, err := r.Page(context.Background(), Bound{Quantity: "current", Min: &ten, Low: 313.15, High: 313.15, Text: "at least 5 A"})
	if err != nil {
		t.Fatal(err)
	}
	said := fmt.Sprint(p.Answer, p.Tables, p.Inputs, p.Warnings)
	for _, f := range p.Figures {
		said += string((func() []byte { d := f.Plot.Drawing(400); return d.SVG() })())
	}
	for _, bad := range []string{"NaN", "Inf", "%!", "unbounded", "e+"} {
		if strings.Contains(said, bad) {
			t.Errorf("the page says %s", bad)
		}
	}
	if len(p.Figures) < 5 || len(p.Tables) < 7 {
		t.Errorf("%d figures, %d tables", len(p.Figures), len(p.Tables))
	}
	for _, m := range method {
		if !strings.HasPrefix(m.Equation, "[Q") {
			t.Error(m.Equation)
		}
	}
}

// docs/models.md repeats the equations word for word.
func TestEquationsAreDocumented(t *testing.T) {
	text, err := os.ReadFile("../../../docs/models.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range method {
		for _, s := range []string{m.Text, m.Equation, m.Source} {
			if !strings.Contains(string(text), s) {
				t.Errorf("docs/models.md lacks %q", s)
			}
		}
	}
}
