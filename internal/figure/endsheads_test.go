package figure

import (
	"strings"
	"testing"
)

// TestEndsHeads: on a phone the states' names are whole, of no less than 9 px, and stay within their columns.
func TestEndsHeads(t *testing.T) {
	table := EndsTable{Title: "ends", Rows: []string{"panel reversed"}, Columns: []string{"dark", "weak sun, battery low", "full sun, charging", "full sun, holding", "1.25 Isc", "edge of a cloud", "unpowered"}}
	d := table.Drawing(364)
	seen := ""
	for _, op := range d.Ops {
		text, ok := op.(Text)
		if !ok {
			continue
		}
		seen += text.Text + " "
		if text.Size < 9 {
			t.Errorf("%q has %g px", text.Text, text.Size)
		}
		if text.Text != table.Rows[0] && text.Anchor == Start && text.Role == Soft && text.At.Y < 60 && TextWidth(text.Text, text.Size) > 364.0/7 {
			t.Errorf("%q is wider than its column", text.Text)
		}
	}
	for _, want := range []string{"charging", "unpowered", "holding", "battery"} {
		if !strings.Contains(seen, want) {
			t.Errorf("no %q in %q", want, seen)
		}
	}
}
