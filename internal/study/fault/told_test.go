package fault

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/hardware"
)

// TestBreaksThrough: a diode that current goes through backward is told, and a switch that is held on against it.
func TestBreaksThrough(t *testing.T) {
	in := osier(t)
	in.Only = []string{"panel reversed"}
	if o := run(t, in).at(t, "panel reversed", "1.25 Isc"); !strings.Contains(o.Stages[0].Text, "; d1 breaks through; then d1 ") {
		t.Errorf("d1 is not told: %s", o.Stages[0].Text)
	}
	held := "; the switch blocking would block that, but the control holds it on"
	if o := on(t, "back-to-back", nil, "panel leads touched").at(t, "panel leads touched", "1.25 Isc"); !strings.Contains(o.Stages[0].Text, held) {
		t.Errorf("not told that it is held on: %s", o.Stages[0].Text)
	}
	quick := ready(t, "back-to-back")
	quick.ReverseOff, quick.Only = given("0.1 ms"), []string{"panel leads touched"}
	if o := run(t, quick).at(t, "panel leads touched", "1.25 Isc"); o.End != Unharmed || strings.Contains(o.Stages[0].Text, held) {
		t.Errorf("a control that looks back ends %s: %s", o.End, o.Stages[0].Text)
	}
	lone := func(d *hardware.Design) {
		for i := range d.Components {
			if d.Components[i].Name == "blocking" {
				d.Components[i].Role = ""
			}
		}
	}
	if o := on(t, "back-to-back", lone, "panel leads touched").at(t, "panel leads touched", "1.25 Isc"); strings.Contains(o.Stages[0].Text, held) {
		t.Errorf("told of a part that is no blocking switch: %s", o.Stages[0].Text)
	}
}

// TestCorroded: a control reads the battery through a bad contact: by Ohm's law more than it has while it charges, less while the load draws.
func TestCorroded(t *testing.T) {
	name := "corroded battery terminal"
	in := osier(t)
	in.Only = []string{name}
	r := run(t, in)
	for state, more := range map[string]bool{"full sun, charging": true, "dark": false} {
		s := &r.at(t, name, state).Stages[0]
		said := fmt.Sprintf("the control sees %s V %s than the battery has", digits(math.Abs(s.Battery)*corroded), map[bool]string{true: "more", false: "less"}[more])
		if (s.Battery > 0) != more || !strings.Contains(s.Text, said) {
			t.Errorf("%s: %s, want %q", state, s.Text, said)
		}
	}
	in.Label, in.Panel.ShortCircuit, in.Panel.OpenCircuit = given("30 A"), given("24 A"), given("44 V") // 2 V and more at the contact
	if o := run(t, in).at(t, name, "full sun, holding"); o.End < Recovers || !strings.Contains(o.Text, "it stops the charge too early") {
		t.Errorf("large panel: %s", o.Text)
	}
}

// TestRecordCold: the panel is as cold as its place has ever been; its voltage falls in a straight line (IEC 60891).
func TestRecordCold(t *testing.T) {
	in := osier(t)
	name := "record cold, battery taken off"
	in.Only, in.Lowest = []string{name}, given("-10 °C")
	mild := run(t, in)
	in.Lowest = nil
	cold := run(t, in)
	if !strings.Contains(mild.Cases[0].Text, "of -10 °C") || !strings.Contains(cold.Cases[0].Text, "of -40 °C") {
		t.Errorf("%q, %q", mild.Cases[0].Text, cold.Cases[0].Text)
	}
	told := func(r *Result) bool {
		return slices.ContainsFunc(r.Taken, func(k Taken) bool { return k.Name == "record cold" })
	}
	if told(mild) || !told(cold) {
		t.Errorf("the estimate is told: with the place's own %t, without %t", told(mild), told(cold))
	}
	a, b := mild.Worst(name).Margin, cold.Worst(name).Margin
	if a.Ratio <= b.Ratio {
		t.Errorf("margin at -10 °C %g, at -40 °C %g", a.Ratio, b.Ratio)
	}
}

// TestWhoDrives: a battery that is charged by another source and the panel drives no current, and what gives way at once is one stage.
func TestWhoDrives(t *testing.T) {
	r := on(t, "series-negative", nil, "another source on the battery")
	for _, o := range r.Outcomes {
		if s := o.Stages[0]; s.Battery > 0 && strings.Contains(s.Text, "flow from the battery") {
			t.Errorf("%s: %+g A into the battery: %s", o.State.Name, s.Battery, s.Text)
		}
	}
	for name, in := range all(t) {
		for _, o := range run(t, in).Outcomes {
			for _, s := range o.Stages {
				if s.Until <= s.From {
					t.Errorf("%s: %s, %s: a stage of no time: %s", name, o.Case.Name, o.State.Name, s.Text)
				}
			}
		}
	}
	// a load that bears neither what the panel has in one phase nor the battery the wrong way round in the other
	r = on(t, "back-to-back", func(d *hardware.Design) {
		for i := range d.Components {
			if d.Components[i].Regulator != nil || d.Components[i].Control != nil {
				d.Components[i].Kind, d.Components[i].Role, d.Components[i].Regulator, d.Components[i].Control = "resistor", "", nil, nil
				d.Components[i].Resistor = &hardware.Resistor{Resistance: given("10 kΩ")}
			}
		}
	}, "panel and battery exchanged, reversed")
	first := r.at(t, "panel and battery exchanged, reversed", "full sun, holding").Stages[0]
	if len(first.Gives) != 2 || strings.Count(first.Text, "; then the load stands more voltage") != 2 {
		t.Errorf("%s", first.Text)
	}
}

// TestBackwardTold: what flows through a regulator the wrong way round has its way told, leaves nothing at bat+ and melts a bond wire long
// before a fuse of amperes.
func TestBackwardTold(t *testing.T) {
	r := on(t, "series-negative", nil, "battery reversed, panel off")
	o := r.at(t, "battery reversed, panel off", "dark")
	s := o.Stages[0]
	if !strings.Contains(s.Text, "flow from the battery through the regulator the wrong way round and the fuse") {
		t.Error(s.Text)
	}
	if len(s.Backward) == 0 || s.Backward[0].Part != "regulator" || s.Backward[0].Current > 1.01*math.Abs(s.Battery) || s.Backward[0].Current < 0.3*math.Abs(s.Battery) {
		t.Errorf("%+v of %g A", s.Backward, s.Battery)
	}
	if !o.gives("regulator") || s.Until > bondWire {
		t.Errorf("after %g s: %s", s.Until, o.Text)
	}
}
