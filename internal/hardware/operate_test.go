package hardware

import (
	"errors"
	"math"
	"slices"
	"testing"

	"hindwatt/internal/physics/conductor"
	"hindwatt/internal/physics/heat"
)

// arrangements are the designs that every law is tried on.
func arrangements(t testing.TB) map[string]*Design {
	return map[string]*Design{"negative": seriesNegative(t), "positive": seriesPositive(t), "shunt": shuntDesign(t)}
}

// TestBalance sees that what the panel gives is what battery, load and parts get, and that the case gives off what is lost in it.
func TestBalance(t *testing.T) {
	for name, d := range arrangements(t) {
		for _, s := range []State{{Duty: 1}, {Duty: 0.97, LoadOn: true}, {Duty: 0.5}, {Duty: 0.03}, {}} {
			o := hotDay()
			o.Load.Current = 3
			p := pointOf(t, d, o, s)
			if rest := p.PanelPower - p.BatteryPower - p.LoadPower - p.Loss + p.Drive; math.Abs(rest) > 1e-6*(p.PanelPower+1) {
				t.Errorf("%s %+v: %.3g W are nowhere", name, s, rest)
			}
			if math.Abs(p.Cases[0].Heat-p.In) > 1e-6*p.In {
				t.Errorf("%s %+v: %.6g W are lost in the case, it gives off %.6g W", name, s, p.In, p.Cases[0].Heat)
			}
		}
	}
}

// TestKirchhoff works the currents of the series circuit out by hand, full conduction, without a load: drop and losses are those of
// the parts in a row.
func TestKirchhoff(t *testing.T) {
	p := pointOf(t, seriesNegative(t), hotDay(), State{Duty: 1})
	d1, q1, w1 := p.named(t, "d1"), p.named(t, "q1"), p.named(t, "w1")
	for _, part := range []Part{d1, q1, w1} {
		if math.Abs(part.Mean-10) > 1e-6 || math.Abs(part.RMS-10) > 1e-6 {
			t.Errorf("%s carries %g A", part.Name, part.Mean)
		}
		if got := part.Loss.Sum(); math.Abs(got-10*part.Drop) > 1e-6 {
			t.Errorf("%s loses %g W at %g V", part.Name, got, part.Drop)
		}
	}
	if sum := d1.Drop + q1.Drop + w1.Drop; math.Abs(sum-p.PanelDrop) > 1e-9 {
		t.Errorf("the drops are %g V, from panel to battery %g V", sum, p.PanelDrop)
	}
	// 8 mΩ at 25 °C, 1.4875 times that at 100 °C, a power law between: computed independently
	if want := 10 * 0.008 * math.Pow(q1.At/298.15, math.Log(1.4875)/math.Log(373.15/298.15)); math.Abs(q1.Drop-want) > 1e-4 {
		t.Errorf("q1 drops %g V at %g K, want %g V", q1.Drop, q1.At, want)
	}
	// IEC 60228 Annex B: copper grows by 1/254.5 of its resistance at 20 °C a kelvin; 1.7241e-8 Ωm
	if want := 10 * 1.7241e-8 * 0.040 / (6e-3 * 70e-6) * (1 + (w1.At-293.15)/254.5); math.Abs(w1.Drop-want) > 1e-6 {
		t.Errorf("w1 drops %g V, want %g V", w1.Drop, want)
	}
}

// TestDrop meets the points of the data sheet: 10 A 0.52 V at 25 °C and 0.43 V at 100 °C differ by 1.2 mV/K.
func TestDrop(t *testing.T) {
	var m model
	c := sheet{t}.diode("d1", "a", "b", "case")
	if err := m.fit(&c); err != nil {
		t.Fatal(err)
	}
	m.fixed, m.scale = &fixed{}, 1
	for _, x := range []struct{ i, kelvin, v float64 }{{3, 298.15, 0.40}, {10, 298.15, 0.52}, {10, 373.15, 0.43}} {
		if got := m.forward(x.i, x.kelvin); math.Abs(got-x.v) > 0.006 {
			t.Errorf("%g A at %g K: %.4f V, the sheet has %g V", x.i, x.kelvin, got, x.v)
		}
	}
}

// TestAlone takes one diode that stands in no case: junction = ambient + resistance × loss, as every data sheet has it.
func TestAlone(t *testing.T) {
	d := seriesNegative(t)
	d.Components[0].In = "outside"
	d.Components[0].Diode.JunctionToAmbient = value(t, "12 K/W")
	d1 := pointOf(t, d, hotDay(), State{Duty: 1}).named(t, "d1")
	if want := 313.15 + 12*d1.Loss.Sum(); math.Abs(d1.At-want) > 1e-6 {
		t.Errorf("d1 has %g K, want %g K", d1.At, want)
	}
	for i, want := range []Limit{{"junction", d1.At, 423.15, "test"}, {"current", d1.Mean, 20, "test"}} {
		if d1.Limits[i] != want {
			t.Errorf("limit %+v, want %+v", d1.Limits[i], want)
		}
	}
	if nearest := d1.Limits[d1.Tightest]; nearest.Of != "current" || math.Abs(nearest.Excess()+50) > 1e-6 {
		t.Errorf("its nearest limit is %+v", nearest)
	}
}

// TestBetterParts: a better switch and a better diode lower the loss by what their own falls. Common practice; worked out by hand.
func TestBetterParts(t *testing.T) {
	o, s := hotDay(), State{Duty: 1}
	before := pointOf(t, seriesNegative(t), o, s)
	d := seriesNegative(t)
	d.Components[1].Mosfet.OnResistance = value(t, "4 mΩ")
	after := pointOf(t, d, o, s)
	half := before.named(t, "q1").Loss.Sum() / 2
	if own := before.named(t, "q1").Loss.Sum() - after.named(t, "q1").Loss.Sum(); !(own > half && own < 1.15*half) {
		t.Errorf("half the on-resistance: q1 makes %.3f W less, want a little more than %.3f W, since it runs cooler", own, half)
	}
	if fall := before.Loss - after.Loss; math.Abs(fall-half) > 0.1*half {
		t.Errorf("half the on-resistance: %.3f W less, want about %.3f W", fall, half)
	}
	d = seriesNegative(t)
	for i := range d.Components[0].Diode.Drops {
		d.Components[0].Diode.Drops[i].Voltage -= 0.1
	}
	after = pointOf(t, d, o, s)
	if fall := before.Loss - after.Loss; !(fall > 0.75 && fall < 1.0) {
		t.Errorf("0.1 V less at 10 A: %.3f W less, want a little less than 1 W, since a cooler diode drops more", fall)
	}
	for _, part := range after.Parts {
		if part.At >= before.named(t, part.Name).At {
			t.Errorf("%s is no cooler", part.Name)
		}
	}
}

// TestLeadKeepsHeatOut: a diode in the lead keeps its heat outside the case. Common practice.
func TestLeadKeepsHeatOut(t *testing.T) {
	o, s := hotDay(), State{Duty: 1}
	before := pointOf(t, seriesNegative(t), o, s)
	d := seriesNegative(t)
	d.Components[0].In = "lead"
	after := pointOf(t, d, o, s)
	d1 := after.named(t, "d1")
	if out := after.Loss - after.In; math.Abs(out-d1.Loss.Sum()) > 1e-9 {
		t.Errorf("%.3f W are lost outside the case, d1 loses %.3f W", out, d1.Loss.Sum())
	}
	// its own leads are warm: at 10 A a free wire of 2.5 mm² is, and the diode is hotter by its 3.9 W over some 20 K/W to 35 K/W
	wire, err := conductor.Free{Area: 2.5e-6}.Steady(10, o.Ambient)
	if over := (d1.At - wire.Conductor) / d1.Loss.Sum(); err != nil || !(over > 15 && over < 40) {
		t.Errorf("d1 has %g K, its lead %g K (%v)", d1.At, wire.Conductor, err)
	}
	fall, share := 1-(after.Cases[0].Surface-o.Ambient)/(before.Cases[0].Surface-o.Ambient), 1-after.In/before.In
	if !(share > 0.6 && math.Abs(fall-share) < 0.12) {
		t.Errorf("the case loses %.0f %% less inside and is %.0f %% less warm", 100*share, 100*fall)
	}
}

// TestSwitching holds the loss at the edges to the common rule ½·V·I·(tr+tf)·f; tr = Qgd·R/(Vdr−Vpl) = 4 µs, tf = Qgd·R/Vpl = 4 µs. Off, the
// switch bears the panel's open voltage less the battery's and what the diode drops: computed independently.
func TestSwitching(t *testing.T) {
	d := seriesNegative(t)
	o := hotDay()
	o.Panel.Open = 22
	p := pointOf(t, d, o, State{Duty: 0.5})
	q1 := p.named(t, "q1")
	if want := 0.5 * (22 - 14) * 10 * 8e-6 * 100; math.Abs(q1.Loss.Switching-want) > 0.05*want {
		t.Errorf("edges cost %g W, want %g W", q1.Loss.Switching, want)
	}
	// common practice: ½·L·I²·f of 10 m of lead at 0.7 µH/m
	if want := 0.5 * 7e-6 * 100 * 100; math.Abs(q1.Loss.Clamping-want) > 1e-9 {
		t.Errorf("the lead costs %g W, want %g W", q1.Loss.Clamping, want)
	}
	d.Components = append(d.Components, Component{Name: "z1", Part: "clamp", Kind: "clamp", From: "pv+", To: "pv-", In: "case",
		Clamp: &Clamp{Standoff: value(t, "28 V"), Breakdown: value(t, "33 V"), Clamping: value(t, "45 V"), ClampingCurrent: value(t, "10 A")}})
	p = pointOf(t, d, o, State{Duty: 0.5})
	if p.named(t, "q1").Loss.Clamping != 0 || p.named(t, "z1").Loss.Clamping == 0 {
		t.Error("a clamp across the panel does not take the energy of its lead")
	}
	d.Frequency = nil
	p = pointOf(t, d, o, State{Duty: 0.5})
	if p.named(t, "q1").Loss.Switching != 0 || len(p.Warnings) == 0 || p.Warnings[0].Remedy != "regulation.frequency" {
		t.Errorf("without a frequency: %+v", p.Warnings)
	}
}

// TestSeriesAndShuntDiffer: in regulation a series switch rests, a shunt carries the panel's current the more the fuller the
// battery is. Common practice.
func TestSeriesAndShuntDiffer(t *testing.T) {
	loss := func(d *Design, duty float64) float64 {
		q := pointOf(t, d, hotDay(), State{Duty: duty}).named(t, "q1")
		return q.Loss.Conduction
	}
	if a, b := loss(seriesNegative(t), 0.9), loss(seriesNegative(t), 0.1); !(a > 5*b) {
		t.Errorf("series: %g W at 0.9, %g W at 0.1", a, b)
	}
	if a, b := loss(shuntDesign(t), 0.9), loss(shuntDesign(t), 0.1); !(b > 5*a) {
		t.Errorf("shunt: %g W at 0.9, %g W at 0.1", a, b)
	}
}

// TestRunaway holds the ambient at which a leaking diode runs away to its closed form: with P = V·I·exp(c·(T − 25 °C)) and T = Ta + R·P
// the last steady state has c·R·P = 1, so Ta = 25 °C + (1/c)·ln(1/(e·c·R·V·I)). Computed independently.
func TestRunaway(t *testing.T) {
	const c, r = 0.055, 60.0
	d := seriesNegative(t)
	x := d.Components[0].Diode
	x.Leakage, x.LeakageVoltage, x.ReverseVoltage = value(t, "1 mA"), value(t, "45 V"), value(t, "45 V")
	x.LeakageExponent, x.JunctionToAmbient = value(t, "0.055 1/K"), value(t, "60 K/W")
	d.Components[0].In = "outside"
	o := hotDay()
	o.Panel = Panel{Saturation: 1e-9, A: 1e-3, Series: 1e-3} // a short
	o.Battery.Resistance = 0
	o.Ambient = 350
	v := -pointOf(t, d, o, State{Night: true}).named(t, "d1").Drop // less than the battery's: q1's body diode lies in the way
	want := 298.15 + math.Log(1/(math.E*c*r*v*1e-3*v/45))/c
	o.Ambient = 313.15
	at, part, ok, err := unitOf(t, d).Critical(o, State{Night: true}, heat.MaxAmbient)
	if err != nil || !ok || part != "d1" || math.Abs(at-want) > 0.5 {
		t.Errorf("%s runs away at %.2f K (%v, %v), want d1 at %.2f K", part, at, ok, err, want)
	}
	o.Ambient = want + 2
	var away *Runaway
	if _, err := unitOf(t, d).Operate(o, State{Night: true}); !errors.As(err, &away) || away.Part != "d1" {
		t.Errorf("2 K above: %v", err)
	}
	o.Ambient = want - 2
	p := pointOf(t, d, o, State{Night: true})
	if d1 := p.named(t, "d1"); !(d1.At-o.Ambient < 1/c) {
		t.Errorf("2 K below, it is %g K above the ambient; the last stable state is %g K", d1.At-o.Ambient, 1/c)
	}
	if _, _, ok, err := unitOf(t, seriesNegative(t)).Critical(hotDay(), State{Duty: 1}, 373.15); ok || err != nil {
		t.Errorf("a sound one runs away below 100 °C (%v)", err)
	}
}

// TestMonotone: more current, more ambient, more sun, a smaller case are never cooler.
func TestMonotone(t *testing.T) {
	for name, d := range arrangements(t) {
		last := 0.0
		for _, amps := range []float64{0.5, 2, 5, 9} {
			o := hotDay()
			o.Panel.Current = amps
			at := pointOf(t, d, o, State{Duty: 1}).named(t, "d1").At
			if at <= last {
				t.Errorf("%s: %g A are no hotter", name, amps)
			}
			last = at
		}
		o := hotDay()
		o.Panel.Current = 9
		for _, change := range []func(){func() { o.Ambient += 5 }, func() { o.Irradiance = 800 }, func() { o.Altitude = 3000 }, func() { d.Enclosures[0].Size[0] = *value(t, "80 mm") }} {
			change()
			at := pointOf(t, d, o, State{Duty: 1}).named(t, "d1").At
			if at <= last {
				t.Errorf("%s: no hotter with %+v", name, o)
			}
			last = at
		}
	}
}

// TestSameBits: what a unit did before leaves no trace in what it does next.
func TestSameBits(t *testing.T) {
	for name, d := range arrangements(t) {
		fresh, used := unitOf(t, d), unitOf(t, d)
		values := make([]float64, len(used.slots))
		for i, v := range d.Variables() {
			values[i] = v.Quantity.High
		}
		for _, err := range []error{used.Set(values), used.Set(nil)} {
			if err != nil {
				t.Fatal(err)
			}
		}
		if _, err := used.Largest(hotDay(), State{Duty: 0.4, LoadOn: true}, Find{Load: true}); err != nil {
			t.Fatal(err)
		}
		a, errA := fresh.Operate(hotDay(), State{Duty: 0.6})
		b, errB := used.Operate(hotDay(), State{Duty: 0.6})
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		if a.Loss != b.Loss || a.BatteryPower != b.BatteryPower || !slices.EqualFunc(a.Parts, b.Parts, func(p, q Part) bool { return p.At == q.At && p.RMS == q.RMS }) {
			t.Errorf("%s: %.17g W and %.17g W", name, a.Loss, b.Loss)
		}
	}
}

func TestOutsideRefuses(t *testing.T) {
	u := unitOf(t, seriesNegative(t))
	for want, change := range map[string]func(o *Outside, s *State){
		"ambient: it is out of range; want -60 °C to 150 °C":     func(o *Outside, s *State) { o.Ambient = 500 },
		"duty: it is out of range; want 0 to 1":                  func(o *Outside, s *State) { s.Duty = 1.1 },
		"panel current: it is out of range; want 0 to 10 kA":     func(o *Outside, s *State) { o.Panel.Current = math.NaN() },
		"battery resistance: it is out of range; want 0 or more": func(o *Outside, s *State) { o.Battery.Resistance = -1 },
		"irradiance: it is out of range; want 0 to 2000 W/m²":    func(o *Outside, s *State) { o.Irradiance = math.Inf(1) },
	} {
		o, s := hotDay(), State{Duty: 1}
		change(&o, &s)
		if _, err := u.Operate(o, s); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
	if err := u.Set([]float64{1}); err == nil {
		t.Error("one value for many variables is taken")
	}
	values := make([]float64, len(u.slots))
	values[0] = math.NaN()
	if err := u.Set(values); err == nil {
		t.Error("NaN is taken")
	}
}

// TestUnsolvable names a circuit without an operating point: two references of different voltage that no resistance parts.
func TestUnsolvable(t *testing.T) {
	d := seriesNegative(t)
	reg := func(name, volts string) Component {
		return Component{Name: name, Part: name, Kind: "regulator", From: "bus", To: "vcc", In: "case", Regulator: &Regulator{Output: value(t, volts)}}
	}
	d.Components = append(d.Components, reg("u1", "5 V"), reg("u2", "3.3 V"))
	var unsolved *Unsolved
	if _, err := unitOf(t, d).Operate(hotDay(), State{Duty: 1}); !errors.As(err, &unsolved) {
		t.Errorf("got %v", err)
	}
}

// TestUnitDraws: what is drawn for a unit moves it as it should.
func TestUnitDraws(t *testing.T) {
	d := seriesNegative(t)
	d.Components[0].Diode.Tempco = value(t, "-1.2 mV/K ±20 %")
	d.Components[1].Mosfet.BodyDrop = value(t, "0.8 V ±10 %")
	u := unitOf(t, d)
	base, err := u.Operate(hotDay(), State{Duty: 1})
	if err != nil {
		t.Fatal(err)
	}
	nominal, want := base.PanelDrop, map[string]float64{"part.schottky.drops": 0.05 * base.named(t, "d1").Drop, "q1: part.nfet.on_resistance": 0.2 * base.named(t, "q1").Drop,
		"part.schottky.tempco": 0.2 * 1.2e-3 * (base.named(t, "d1").At - 298.15), "heat.outer-convection": 0, "q2: part.nfet.on_resistance": 0}
	seen := 0
	for i, v := range d.Variables() {
		move, listed := want[v.Name]
		if !listed {
			continue
		}
		seen++
		values := make([]float64, len(u.slots))
		for k, w := range d.Variables() {
			values[k] = w.Quantity.Value
		}
		values[i] = v.Quantity.High
		if err := u.Set(values); err != nil {
			t.Fatal(err)
		}
		p, err := u.Operate(hotDay(), State{Duty: 1})
		if err != nil {
			t.Fatal(err)
		}
		if got := math.Abs(p.PanelDrop - nominal); math.Abs(got-move) > 0.15*move+1e-3 {
			t.Errorf("%s at its upper limit: the drop moves by %g V, want about %g V", v.Name, got, move)
		}
	}
	if seen != len(want) {
		t.Errorf("%d of %d variables are there", seen, len(want))
	}
}

// TestNested: a tub inside a case is hotter than the tub alone.
func TestNested(t *testing.T) {
	d := seriesNegative(t)
	alone := pointOf(t, d, hotDay(), State{Duty: 1})
	outer := sheet{t}.box()
	outer.Name, outer.Size = "cabinet", []Value{*value(t, "300 mm"), *value(t, "200 mm"), *value(t, "100 mm")}
	d.Enclosures = append(d.Enclosures, outer)
	d.Enclosures[0].Inside = "cabinet"
	nested := pointOf(t, d, hotDay(), State{Duty: 1})
	if rise := nested.Cases[0].Surface - alone.Cases[0].Surface; !(rise > 2 && rise < 40) {
		t.Errorf("inside a cabinet the case is %g K hotter", rise)
	}
	if math.Abs(nested.Cases[1].Heat-nested.In) > 1e-6*nested.In {
		t.Errorf("the cabinet gives off %g W of %g W", nested.Cases[1].Heat, nested.In)
	}
}
