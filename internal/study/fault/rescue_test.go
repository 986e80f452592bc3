package fault

import (
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/hardware"
)

// rescued runs some cases of a ready circuit and looks for what would save them.
func rescued(t *testing.T, circuit string, only ...string) *Result {
	t.Helper()
	in := ready(t, circuit)
	in.Only, in.Units = only, -1
	r, err := Run(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestSecondLoadSwitch: against the body diode that gives the load a reversed battery; its loss is what it makes of the label's current.
func TestSecondLoadSwitch(t *testing.T) {
	r := rescued(t, "series-negative", "battery reversed, panel off")
	at := slices.IndexFunc(r.Rescues, func(s Rescue) bool { return strings.HasSuffix(s.Change, "source to source with the load-switch") })
	if at < 0 {
		t.Fatalf("not among %v", r.Rescues)
	}
	c := slices.IndexFunc(r.Input.Design.Components, func(c hardware.Component) bool { return c.Name == "load-switch" })
	ohms := r.Input.Design.Components[c].Mosfet.OnResistance.Value
	cold := 5 * 5 * ohms
	if s := r.Rescues[at]; s.Worst != Harmed || s.Then >= Harmed || s.Loss < cold || s.Loss > 2.5*cold { // hot, a mosfet has up to twice its resistance, and the first one is warmed too
		t.Errorf("%s → %s, %g W of %g W cold", s.Worst, s.Then, s.Loss, cold)
	}
}

// TestEverySaved: each case that ends badly stands in the table or among those that nothing of the list helps; each line has cost and loss.
func TestEverySaved(t *testing.T) {
	for _, circuit := range []string{"series-negative", "shunt"} {
		r := rescued(t, circuit)
		table := r.rescueTable()
		told := strings.Join(r.unsaved(), "|")
		for i := range r.Cases {
			c := &r.Cases[i]
			saved := slices.ContainsFunc(r.Rescues, func(s Rescue) bool { return s.Case == c })
			bad := r.Worst(c.Name).End >= PartLost
			if lost := slices.Contains(r.unsaved(), c.Name); bad != (saved || lost) || saved && lost || lost && !strings.Contains(table.Note, c.Name) {
				t.Errorf("%s, %s: bad %t, saved %t, told of %t (%s)", circuit, c.Name, bad, saved, lost, told)
			}
		}
		if len(table.Rows) != len(r.Rescues) {
			t.Errorf("%s: %d rows of %d", circuit, len(table.Rows), len(r.Rescues))
		}
		for _, row := range table.Rows {
			if row[4] == "" || !strings.HasSuffix(row[5], " W") {
				t.Errorf("%s: %q", circuit, row)
			}
		}
	}
	r := rescued(t, "series-negative", "bat- and load- bonded")
	if table := r.rescueTable(); len(table.Rows) != 1 || table.Rows[0][2] != "nothing of the short list" || !strings.Contains(table.Note, "ends better: bat- and load- bonded.") {
		t.Errorf("%+v", table)
	}
}
