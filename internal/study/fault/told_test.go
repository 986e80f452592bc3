package fault

import (
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
	held := "; blocking would block that, but the control holds it on"
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
