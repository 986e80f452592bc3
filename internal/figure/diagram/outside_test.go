package diagram

import (
	"math"
	"strings"
	"testing"

	"hindwatt/internal/figure"
)

// texts are all words of a drawing.
func texts(d figure.Drawing) string {
	var all []string
	for _, op := range d.Ops {
		if t, ok := op.(figure.Text); ok {
			all = append(all, t.Text)
		}
	}
	return "|" + strings.Join(all, "|") + "|"
}

// TestOutside: what stands at the terminals is drawn as it stands, and named; the currents and the connections are the same.
func TestOutside(t *testing.T) {
	for _, c := range []struct {
		outside [3]Outside
		want    []string
	}{
		{[3]Outside{}, []string{"|panel|", "|battery|", "|load|"}},
		{[3]Outside{1: {Turned: true}}, []string{"|panel|", "|battery, reversed|"}},
		{[3]Outside{0: {Kind: Nothing}, 2: {Kind: "battery", Turned: true}, 1: {Kind: "load"}}, []string{"|no panel|", "|battery, reversed|", "|load|"}},
		{[3]Outside{0: {Kind: "battery"}, 1: {Kind: "panel"}, 2: {Kind: Nothing}}, []string{"|battery|", "|panel|", "|no load|"}},
		{[3]Outside{1: {Kind: "other source"}}, []string{"|other source|"}},
	} {
		drawn := flowing(t)
		drawn.Outside = c.outside
		d := drawn.Drawing(0)
		for _, want := range c.want {
			if !strings.Contains(texts(d), want) {
				t.Errorf("%+v: no %s in %s", c.outside, want, texts(d))
			}
		}
		check(t, drawn)
	}
}

// plates are the heights of a battery's short, thick plates below its highest.
func plates(d figure.Drawing) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, op := range d.Ops {
		if l, ok := op.(figure.Line); ok && len(l.Points) == 2 && l.Stroke.Width == 2.6 && l.Points[0].Y == l.Points[1].Y {
			low, high = min(low, l.Points[0].Y), max(high, l.Points[0].Y)
		}
	}
	return low, high
}

// TestTurned: the short plate of a battery that is turned stands where the long one stood.
func TestTurned(t *testing.T) {
	c := Circuit{Parts: []Part{{Name: "w", Kind: "wire", Ends: []End{{Node: "pv+"}, {Node: "bat+"}}}, {Name: "x", Kind: "wire", Ends: []End{{Node: "pv-"}, {Node: "bat-"}}}}, Outside: [3]Outside{0: {Kind: Nothing}}}
	low, high := plates(c.Drawing(0))
	c.Outside[1].Turned = true
	d := c.Drawing(0)
	turnedLow, turnedHigh := plates(d)
	if math.Abs(high-low-10) > 1e-9 || math.Abs(low-turnedLow-5) > 1e-9 || math.Abs(high-turnedHigh-5) > 1e-9 {
		t.Errorf("plates at %g and %g, turned %g and %g", low, high, turnedLow, turnedHigh)
	}
}

// TestMarkOutside: what stands outside can be marked by its kind.
func TestMarkOutside(t *testing.T) {
	c := flowing(t)
	c.Outside[1].Turned = true
	c.Marks = []Mark{{"battery", "lead: insulation"}, {"load", "voltage"}}
	d := c.Drawing(0)
	if !strings.Contains(texts(d), "|lead: insulation|") {
		t.Error(texts(d))
	}
	frames := 0
	for _, op := range d.Ops {
		if a, ok := op.(figure.Area); ok && a.Outline.Role == figure.Over {
			frames++
		}
	}
	if frames != 4 { // two lines each
		t.Errorf("%d frames around two parts", frames)
	}
}
