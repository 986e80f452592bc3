package fault

import (
	"math"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/hardware"
)

// The facts of this file are common practice, no source.

// on runs some cases on a ready circuit that is changed.
func on(t *testing.T, circuit string, change func(*hardware.Design), only ...string) *Result {
	t.Helper()
	in := ready(t, circuit)
	if change != nil {
		change(&in.Design)
	}
	in.Only = only
	return run(t, in)
}

// at is the outcome of a case in a state, which there must be.
func (r *Result) at(t *testing.T, name, state string) *Outcome {
	t.Helper()
	o := r.Of(name, state)
	if o == nil {
		t.Fatalf("no %s in state %s", name, state)
	}
	return o
}

// gives reports whether a part gives way in some stage.
func (o *Outcome) gives(part string) bool {
	return slices.ContainsFunc(o.Stages, func(s Stage) bool {
		return slices.ContainsFunc(s.Gives, func(w Way) bool { return w.Part == part })
	})
}

// TestPanelLeadsTouched: with a series diode, or two switches, nothing happens; with the diode gone the battery drives its short-circuit
// current through the body diode, and the switch is lost or the fuse opens.
func TestPanelLeadsTouched(t *testing.T) {
	for _, circuit := range firstFive {
		r := on(t, circuit, nil, "panel leads touched")
		for _, o := range r.Outcomes {
			// two switches stop it only once they are off: docs/folder.md, "it has to open at once when the panel is shorted"
			if off := o.State.night || o.State.silent; circuit == "back-to-back" && !off {
				if !o.gives("fuse") {
					t.Errorf("back-to-back, on, %s: %s", o.State.Name, o.Text)
				}
				continue
			}
			if o.End != Unharmed {
				t.Errorf("%s, %s: %s", circuit, o.State.Name, o.Text)
			}
		}
	}
	for _, circuit := range []string{"series-negative", "series-negative-lead", "series-positive"} {
		r := on(t, circuit, nil, "diode bridged by its owner, panel leads touched")
		o := r.at(t, "diode bridged by its owner, panel leads touched", "dark")
		if o.End < Recovers || !o.gives("fuse") && !o.gives("switch") || -o.Stages[0].Battery < 100 {
			t.Errorf("%s without its diode: %s, %g A", circuit, o.Text, -o.Stages[0].Battery)
		}
	}
	r := on(t, "series-negative-bare", nil, "panel leads touched")
	if o := r.at(t, "panel leads touched", "dark"); !o.gives("fuse") && !o.gives("switch") {
		t.Errorf("without a diode: %s", o.Text)
	}
}

// TestDiodeHelpsNot: a series diode does not help through a short on its battery side.
func TestDiodeHelpsNot(t *testing.T) {
	for _, circuit := range []string{"series-negative", "series-negative-lead", "shunt"} {
		r := on(t, circuit, nil, "load shorted")
		if o := r.at(t, "load shorted", "dark"); -o.Stages[0].Battery < 100 || o.End < Recovers {
			t.Errorf("%s: %g A, %s", circuit, -o.Stages[0].Battery, o.Text)
		}
	}
}

// TestDiodeHelpsNotAcross: nor does it help against what a reversed panel drives through a diode across the panel: all of its current.
func TestDiodeHelpsNotAcross(t *testing.T) {
	across := func(d *hardware.Design) {
		i := slices.IndexFunc(d.Components, func(c hardware.Component) bool { return c.Name == "diode" })
		c := d.Components[i]
		c.Name, c.Role, c.From, c.To = "across", "", "pv-", "pv+"
		d.Components = append(d.Components, c)
	}
	for _, circuit := range []string{"series-negative", "series-positive"} {
		r := on(t, circuit, across, "panel reversed")
		o := r.at(t, "panel reversed", "full sun, charging")
		i := slices.IndexFunc(r.Input.Design.Components, func(c hardware.Component) bool { return c.Name == "across" })
		if amps := o.Stages[0].Flows[i]; math.Abs(amps/r.world.short-1) > 0.02 {
			t.Errorf("%s: %g A across a panel of %g A", circuit, amps, r.world.short)
		}
		if plain := on(t, circuit, nil, "panel reversed").at(t, "panel reversed", "full sun, charging"); math.Abs(plain.Stages[0].Panel) > 0.1*r.world.short {
			t.Errorf("%s: %g A from the panel with nothing across it", circuit, plain.Stages[0].Panel)
		}
	}
}

// TestPanelFuse: a fuse at the panel cannot clear a panel's short; the battery's can clear the battery's.
func TestPanelFuse(t *testing.T) {
	moved := func(d *hardware.Design) {
		for i := range d.Components {
			switch c := &d.Components[i]; c.Name {
			case "fuse":
				c.From, c.To, c.In = "pv+", "behind", "case"
			case "diode":
				c.From = "behind"
			default:
				if c.From == "bus" {
					c.From = "bat+"
				}
			}
		}
		for i := range d.Components {
			if c := &d.Components[i]; c.To == "bus" {
				c.To = "bat+"
			}
		}
	}
	r := on(t, "series-negative", moved, "panel leads touched", "load shorted")
	for _, state := range []string{"full sun, charging", "1.25 Isc"} {
		if o := r.at(t, "panel leads touched", state); o.gives("fuse") {
			t.Errorf("%s: the fuse at the panel opens", state)
		}
	}
	if o := r.at(t, "load shorted", "dark"); o.gives("fuse") || o.End < PartLost {
		t.Errorf("a battery's short with the fuse at the panel: %s", o.Text)
	}
	r = on(t, "series-negative", nil, "bat- and load+ touched")
	if o := r.at(t, "bat- and load+ touched", "dark"); !o.gives("fuse") || o.End != Recovers {
		t.Errorf("a battery's short with the fuse at the battery: %s", o.Text)
	}
}

// TestReversedBattery: across a freewheel or body-diode path a reversed battery is a dead short that only a fuse ends.
func TestReversedBattery(t *testing.T) {
	r := on(t, "shunt", nil, "battery reversed, panel off")
	o := r.at(t, "battery reversed, panel off", "dark")
	if o.Stages[0].Battery > -100 && o.Stages[0].Battery < 100 || !o.gives("fuse") {
		t.Errorf("shunt: %g A, %s", o.Stages[0].Battery, o.Text)
	}
	r = on(t, "shunt", func(d *hardware.Design) {
		for i := range d.Components {
			if name := d.Components[i].Name; name == "fuse" || name == "minus" { // its track would burn off like a fuse
				d.Components[i].Kind, d.Components[i].Fuse, d.Components[i].Track = "contact", nil, nil
				d.Components[i].Contact = &hardware.Contact{Resistance: given("1 mΩ")}
			}
		}
	}, "battery reversed, panel off")
	if o := r.at(t, "battery reversed, panel off", "dark"); o.End != Hazard {
		t.Errorf("shunt without a fuse: %s", o.Text)
	}
}

// TestBatteryTakenOff: in sun it puts the open-circuit voltage on everything behind, the load too.
func TestBatteryTakenOff(t *testing.T) {
	for _, circuit := range []string{"series-negative", "series-positive", "shunt", "back-to-back"} {
		r := on(t, circuit, nil, "battery taken off, load on")
		o := r.at(t, "battery taken off, load on", "full sun, charging")
		volts := o.Stages[0].Load * 12 / (shareLoad * 5)
		if open := r.world.open; volts < 0.85*open {
			t.Errorf("%s: %g V at the load, the open panel has %g V", circuit, volts, open)
		}
		if o.End < Harmed {
			t.Errorf("%s: %s", circuit, o.Text)
		}
	}
}

// TestHeavyLoadHidesNothing: a folder whose load current is the label's still tells what comes to battery and load when that load is off.
func TestHeavyLoadHidesNothing(t *testing.T) {
	for _, load := range []string{"0 A", "5 A", "50 A"} {
		in := ready(t, "series-negative")
		in.Load = given(load)
		in.Only = []string{"battery taken off, load on", "switch stuck on"}
		r := run(t, in)
		if o := r.at(t, in.Only[0], "full sun, charging"); o.End != Harmed {
			t.Errorf("%s: %s: %s", load, in.Only[0], o.Text)
		}
		if o := r.at(t, in.Only[1], "full sun, holding"); o.End != Hazard {
			t.Errorf("%s: %s: %s", load, in.Only[1], o.Text)
		}
	}
}

// TestGoesOnCharging: a panel at the load's terminals charges past the control through the load switch's body diode, and days of that gas
// the battery.
func TestGoesOnCharging(t *testing.T) {
	for _, circuit := range []string{"series-negative", "shunt"} {
		r := on(t, circuit, nil, "panel on the load terminals")
		o := r.at(t, "panel on the load terminals", "full sun, holding")
		last := o.Stages[len(o.Stages)-1]
		if o.End != Hazard || o.Harm[0].Kind == "" || last.Until <= hour {
			t.Errorf("%s: %s, after %s", circuit, o.Text, duration(last.Until))
		}
	}
}

// TestNoLongerCharges: what keeps the panel's current from the battery is told in every state in which it would come, whatever the load.
func TestNoLongerCharges(t *testing.T) {
	for _, load := range []string{"0 A", "5 A"} {
		in := ready(t, "series-negative")
		in.Load = given(load)
		in.Only = []string{"diode open", "top short", "switch stuck off"}
		r := run(t, in)
		for _, name := range in.Only {
			for _, state := range []string{"weak sun, battery low", "full sun, charging", "full sun, holding", "1.25 Isc"} {
				if o := r.at(t, name, state); o.End != Recovers {
					t.Errorf("%s, %s, %s: %s", load, name, state, o.Text)
				}
			}
		}
	}
}

// TestLoadCutInTime: a load within the label does not drain the battery flat past a control that cuts it off, and does without one.
func TestLoadCutInTime(t *testing.T) {
	in := ready(t, "series-negative")
	in.Only, in.Battery.Capacity = []string{"panel leads touched"}, given("1 Ah")
	state := "weak sun, battery low"
	o := run(t, in).at(t, in.Only[0], state)
	if o.End != Unharmed || !slices.ContainsFunc(o.Stages, func(s Stage) bool { return strings.HasSuffix(s.Text, "then the control cuts the load off.") }) {
		t.Errorf("%s %+v", o.Text, o.Stages)
	}
	in.Disconnect = nil
	if o := run(t, in).at(t, in.Only[0], state); o.End != Harmed {
		t.Errorf("never cut off: %s", o.Text)
	}
}

// TestShunt: it does not mind a shorted panel; its blocking diode gone short lets the switch short the battery at the next pulse; a
// reversed panel heats the switch with its gate off.
func TestShunt(t *testing.T) {
	r := on(t, "shunt", nil, "panel leads touched", "diode short", "panel reversed")
	if o := r.Worst("panel leads touched"); o.End != Unharmed {
		t.Errorf("shorted panel: %s", o.Text)
	}
	o := r.at(t, "diode short", "full sun, holding")
	if o.End < Recovers || !o.gives("fuse") && !o.gives("switch") {
		t.Errorf("diode short: %s", o.Text)
	}
	o = r.at(t, "panel reversed", "full sun, charging")
	i := slices.IndexFunc(r.Input.Design.Components, func(c hardware.Component) bool { return c.Name == "switch" })
	if amps := -o.Stages[0].Flows[i]; amps < 0.9*r.world.short {
		t.Errorf("reversed panel: %g A through the body diode of %g A", amps, r.world.short)
	}
}

// TestReversedPanelShuntHeats: 5 A through a body diode makes some 4 W.
func TestReversedPanelShuntHeats(t *testing.T) {
	in := ready(t, "shunt")
	in.Label = given("6.25 A") // of 5 A from the panel
	in.Only = []string{"panel reversed"}
	w, _, err := in.world()
	if err != nil {
		t.Fatal(err)
	}
	e, err := newEngine(&in, w, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	m := &maker{d: &in.Design, w: w}
	m.mistakes()
	k := slices.IndexFunc(m.out, func(c Case) bool { return c.Name == "panel reversed" })
	state := States()[2]
	e.begin(&state)
	m.out[k].apply(&e.s, &e.w)
	e.join()
	if err := e.settle(); err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(in.Design.Components, func(c hardware.Component) bool { return c.Name == "switch" })
	// MODELS-type hand value: 5 A × 0.8 V = 4 W cold; the junction's drop falls as it warms
	if p := e.flows[i].power; p < 2.5 || p > 4.2 {
		t.Errorf("%g W in the switch with its gate off; want about 4 W", p)
	}
}

// TestExample: the example product withstands touched panel leads, and loses its clamp to a reversed battery and its diode of 60 V to a
// reversed panel; a diode of 100 V is what its own notes ask about.
func TestExample(t *testing.T) {
	in := osier(t)
	in.Only = []string{"panel leads touched", "battery reversed", "panel reversed"}
	r := run(t, in)
	if o := r.Worst("panel leads touched"); o.End != Unharmed {
		t.Error(o.Text)
	}
	if o := r.Worst("battery reversed"); !o.gives("z1") || !o.gives("f1") {
		t.Error(o.Text)
	}
	if o := r.at(t, "panel reversed", "full sun, charging"); !o.gives("d1") {
		t.Error(o.Text)
	}
	in.NoRescues, in.Units = false, -1
	r, err := Run(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	saved := slices.ContainsFunc(r.Rescues, func(f Rescue) bool {
		return f.Case.Name == "panel reversed" && f.Then == Unharmed && f.Loss > 0 && f.Change == "a part of 100 V in place of sb20 at d1"
	})
	if !saved {
		t.Errorf("no larger diode saves a reversed panel: %v", r.Rescues)
	}
}

// TestLooksBack: two switches back to back that are turned off when the current turns back withstand touched panel leads if that is soon
// enough; one switch with its body diode does not, and neither do two that are slow or whose avalanche energy is small.
func TestLooksBack(t *testing.T) {
	const name, state = "panel leads touched", "full sun, charging"
	follow := func(circuit, soon string, change func(*hardware.Design)) *Outcome {
		in := ready(t, circuit)
		in.Only, in.ReverseOff = []string{name}, given(soon)
		if change != nil {
			change(&in.Design)
		}
		return run(t, in).at(t, name, state)
	}
	quick := follow("back-to-back", "5 us", nil)
	if quick.End != Unharmed || len(quick.Stages) != 2 || quick.Stages[0].Until != 5e-6 || -quick.Stages[0].Battery < 50 {
		t.Errorf("quick: %s %+v", quick.Text, quick.Stages)
	}
	if o := follow("back-to-back", "100 ms", nil); o.End == Unharmed {
		t.Errorf("slow: %s", o.Text)
	}
	if o := follow("series-negative-bare", "5 us", nil); o.End == Unharmed {
		t.Errorf("one switch: %s", o.Text)
	}
	// 1 m of 0.7 µH/m: 38 A after 2 µs hold 0.5 mJ; a mosfet of 0.1 mJ does not bear that
	if o := follow("back-to-back", "5 us", func(d *hardware.Design) {
		for i := range d.Components {
			if m := d.Components[i].Mosfet; m != nil {
				m.AvalancheEnergy = given("0.0001 J")
			}
		}
	}); o.End < PartLost || !slices.ContainsFunc(o.Stages[0].Gives, func(w Way) bool { return w.Of == "avalanche energy" }) {
		t.Errorf("little avalanche energy: %s", o.Text)
	}
}

// TestNoBypass: a panel without bypass diodes limits what a battery drives through it the wrong way round to its own current.
func TestNoBypass(t *testing.T) {
	amps := func(none bool) float64 {
		in := ready(t, "series-negative")
		in.Only, in.Panel.NoBypass = []string{"diode bridged by its owner"}, none
		r := run(t, in)
		e, err := newEngine(&r.Input, r.world, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		state := r.States[fullSun]
		e.begin(&state)
		e.s.at.Panel = reversed(e.s.at.Panel)
		i := slices.IndexFunc(r.Input.Design.Components, func(c hardware.Component) bool { return c.Name == "diode" })
		e.s.fail[i] = hardware.Bridged
		e.join()
		if err := e.settle(); err != nil {
			t.Fatal(err)
		}
		return -e.out[theBattery].current
	}
	if with, without := amps(false), amps(true); with < 50 || without > 1.2*4 {
		t.Errorf("%g A with bypass diodes, %g A without of a panel of 4 A", with, without)
	}
}

// TestLoadMax: the folder may say what its loads bear.
func TestLoadMax(t *testing.T) {
	in := ready(t, "series-negative")
	in.Only = []string{"battery taken off, load on"}
	if o := run(t, in).at(t, in.Only[0], "full sun, charging"); o.End != Harmed {
		t.Error(o.Text)
	}
	in.LoadMax = given("30 V")
	if o := run(t, in).at(t, in.Only[0], "full sun, charging"); o.End >= Harmed {
		t.Error(o.Text)
	}
}
