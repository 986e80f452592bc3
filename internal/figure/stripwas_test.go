package figure

import (
	"strings"
	"testing"
)

// What stood elsewhere before is drawn and told; what did not move is neither.
func TestStripTellsWhereMarksStood(t *testing.T) {
	limit := 60.0
	now := Strip{Quantity: "unit cost", Unit: "EUR", Max: &limit, Marks: []Mark{{Best: 50, Low: 45, High: 55}, {Kind: Recorded, Best: 40, Low: 38, High: 42}}}
	plain := now.Drawing(340)
	now.Was = []Mark{{Best: 50, Low: 45, High: 55}, {Kind: Measured, Best: 30, Low: 29, High: 31}}
	if same := now.Drawing(340); string(same.SVG()) != string(plain.SVG()) {
		t.Error("a mark that did not move, or has no follower, is drawn")
	}
	now.Was[0] = Mark{Best: 70, Low: 65, High: 75}
	moved := now.Drawing(340)
	if len(moved.Ops) <= len(plain.Ops) || !strings.Contains(moved.Description, "Before, calculated: 70") || strings.Contains(plain.Description, "Before") {
		t.Errorf("%d operations instead of %d; %s", len(moved.Ops), len(plain.Ops), moved.Description)
	}
	for _, w := range []Mark{{Best: 5000, Low: 4000, High: 6000}, {Best: 50, OpenLow: true, OpenHigh: true}} {
		now.Was[0] = w
		d := now.Drawing(340)
		if len(d.SVG()) == 0 || strings.Contains(string(d.SVG()), "NaN") {
			t.Errorf("%+v cannot be drawn", w)
		}
	}
}
