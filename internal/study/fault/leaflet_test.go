package fault

import (
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/page"
)

// row is that of the leaflet which names a mistake; there must be one and no second.
func row(t *testing.T, table page.Table, name string) []string {
	t.Helper()
	var found [][]string
	for _, r := range table.Rows {
		named := []string{r[1]}
		if r[0] == "Withstands" {
			named = strings.Split(strings.TrimSuffix(r[2], ": nothing gives way."), "; ")
		}
		if slices.ContainsFunc(named, func(one string) bool { return strings.EqualFold(one, name) }) {
			found = append(found, r)
		}
	}
	if len(found) != 1 {
		t.Fatalf("%q stands %d times in the leaflet", name, len(found))
	}
	return found[0]
}

// TestLeafletLeavesNothingOut: every mistake stands in it once, and what ends badly or may do so as a warning.
func TestLeafletLeavesNothingOut(t *testing.T) {
	for name, in := range all(t) {
		in.Units, in.NoRescues = 16, true
		r, err := Run(t.Context(), in)
		if err != nil {
			t.Fatal(err)
		}
		table := r.leaflet()
		for _, c := range r.ofFamily(Mistake) {
			end, reach := Unharmed, Unharmed
			for _, o := range r.Outcomes {
				if o.Case == c {
					end, reach = max(end, o.End), max(reach, o.Reach)
				}
			}
			said := row(t, table, c.Name)[0]
			want := "Withstands"
			switch {
			case end >= PartLost:
				want = "Warning"
			case reach >= PartLost:
				want = "Warning, unproven"
			case reach == Recovers:
				want = "Works again"
			}
			if said != want {
				t.Errorf("%s, %s: %s, want %s", name, c.Name, said, want)
			}
		}
	}
}

// TestLeafletOtherState: what some units may come to in another state than that of the worst end is a warning too.
func TestLeafletOtherState(t *testing.T) {
	c := Case{Name: "leads touched", Family: Mistake}
	states := States()
	r := &Result{Cases: []Case{c}, States: states}
	r.Outcomes = []*Outcome{
		{Case: &r.Cases[0], State: &states[0], End: Recovers, Reach: Recovers, Text: "Recovers: f1 is to be replaced.", Shares: [Hazard + 1]float64{Recovers: 1}},
		{Case: &r.Cases[0], State: &states[2], End: Unharmed, Reach: Hazard, Text: "Unharmed: nothing gives way.", Shares: [Hazard + 1]float64{Unharmed: 0.97, Hazard: 0.03}},
	}
	got := row(t, r.leaflet(), c.Name)
	if want := "Recovers: f1 is to be replaced. Some units may end worse, full sun, charging: hazard (3 of 100)."; got[0] != "Warning, unproven" || got[2] != want {
		t.Errorf("%q", got)
	}
	b := Bound{Case: c.Name, State: "all", Allowed: []End{Unharmed, Recovers}}
	if said := r.boundSentence(b, r.Under(b.Case, b.State)); !strings.Contains(said, "3 of 100 units may end worse, full sun, charging: hazard") {
		t.Error(said)
	}
	b.State = "dark"
	if said := r.boundSentence(b, r.Under(b.Case, b.State)); !strings.Contains(said, "as promised") {
		t.Error(said)
	}
}
