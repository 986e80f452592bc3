package rating

import (
	"context"
	"math"
	"slices"
	"testing"

	"hindwatt/internal/hardware"
)

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
