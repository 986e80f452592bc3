package fault

import (
	"context"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/hardware"
	"hindwatt/internal/page"
)

// TestOddInputs: whatever is connected, every case solves and every number is one.
func TestOddInputs(t *testing.T) {
	for name, spoil := range map[string]func(*Input){
		"lithium":     func(in *Input) { in.Battery.Chemistry = "lithium-iron-phosphate" },
		"flooded":     func(in *Input) { in.Battery.Chemistry, in.Battery.Capacity = "flooded", given("7 Ah") },
		"no bypass":   func(in *Input) { in.Panel.NoBypass = true },
		"two strings": func(in *Input) { in.Panel.Series, in.Panel.Parallel = 2, 2 },
		"small panel": func(in *Input) { in.Panel.ShortCircuit, in.Panel.OpenCircuit = given("0.3 A"), given("21 V") },
		"large panel": func(in *Input) { in.Panel.ShortCircuit, in.Panel.OpenCircuit = given("40 A"), given("48 V") },
		"cold":        func(in *Input) { in.Ambient = given("-40 °C") },
		"hot":         func(in *Input) { in.Ambient = given("20..85 °C") },
		"stiff":       func(in *Input) { in.Battery.Resistance = given("0.5 mΩ") },
		"automatic":   func(in *Input) { in.Automatic = true },
		"on-off":      func(in *Input) { in.Design.Method = "on-off" },
		"weak load":   func(in *Input) { in.LoadMax = given("13 V") },
		"looks back":  func(in *Input) { in.ReverseOff = given("5 us") },
		"large load":  func(in *Input) { in.Load = given("50 A") },
	} {
		for _, circuit := range []string{"series-negative", "shunt", "back-to-back-positive"} {
			in := ready(t, circuit)
			spoil(&in)
			for _, o := range run(t, in).Outcomes {
				if !finite(o.Margin.Ratio) || o.Text == "" {
					t.Fatalf("%s, %s: %s, %s: margin %g", name, circuit, o.Case.Name, o.State.Name, o.Margin.Ratio)
				}
			}
		}
	}
}

// TestLithiumProtects: what goes on charging a lithium battery opens its own protection.
func TestLithiumProtects(t *testing.T) {
	in := ready(t, "series-negative")
	in.Battery.Chemistry, in.Only = "lithium-iron-phosphate", []string{"switch short"}
	o := run(t, in).at(t, "switch short", "full sun, holding")
	protects := false
	for _, h := range o.Harm {
		protects = protects || h.What == "battery" && h.End == Recovers
	}
	if !protects {
		t.Errorf("%s", o.Text)
	}
}

// TestLithiumDrained: a lithium battery's own protection opens before it is drained flat; a lead one is harmed.
func TestLithiumDrained(t *testing.T) {
	for chemistry, want := range map[string]End{"lithium-iron-phosphate": Recovers, "agm": Harmed} {
		in := ready(t, "series-negative")
		in.Battery.Chemistry, in.Only = chemistry, []string{"load-switch stuck on"}
		if o := run(t, in).at(t, in.Only[0], "dark"); o.End != want {
			t.Errorf("%s: %s", chemistry, o.Text)
		}
	}
}

// TestOwnProtection: the folder may say at what voltage it opens; one that never opens lets the charge go on.
func TestOwnProtection(t *testing.T) {
	for volts, want := range map[string]bool{"14.4 V": true, "40 V": false} {
		in := ready(t, "series-negative")
		in.Battery = Battery{Chemistry: "lithium-iron-phosphate", Cells: 4, ProtectionHigh: given(volts)}
		in.Only, in.Absorption = []string{"top high"}, given("14 V")
		o := run(t, in).at(t, in.Only[0], "full sun, holding")
		if opens := strings.Contains(o.Text, "own protection opens"); opens != want {
			t.Errorf("%s: %s", volts, o.Text)
		}
	}
}

// TestOtherBattery: a battery of another voltage than the product's is told of, and what its own protection may do to a short.
func TestOtherBattery(t *testing.T) {
	for _, c := range []struct {
		battery Battery
		words   string
		want    bool
	}{
		{Battery{Cells: 12}, "25.8 V when full", true},
		{Battery{Cells: 6}, "when full", false},
		{Battery{Chemistry: "lithium-iron-phosphate", Cells: 4}, "when full", false},
		{Battery{Chemistry: "lithium-iron-phosphate", Cells: 4}, "own protection may open when it is shorted", true},
	} {
		in := ready(t, "series-negative")
		in.Battery, in.Only = c.battery, []string{"panel leads touched"}
		told := slices.ContainsFunc(run(t, in).Warnings, func(n page.Note) bool { return strings.Contains(n.Text, c.words) })
		if told != c.want {
			t.Errorf("%+v: %q told: %t", c.battery, c.words, told)
		}
	}
}

// TestOvercharge: a switch that is stuck on gives off gas beyond what a room is aired for; the current that gasses is the panel's.
func TestOvercharge(t *testing.T) {
	in := ready(t, "series-negative")
	in.Only = []string{"switch stuck on"}
	o := run(t, in).at(t, "switch stuck on", "full sun, holding")
	if o.End != Hazard || o.Harm[0].Kind != "gas" && o.Harm[0].Kind != "heat" {
		t.Errorf("%s", o.Text)
	}
}

// TestOddCircuits: a circuit that cannot be is named by the error, one without parts is a lack, any other solves.
func TestOddCircuits(t *testing.T) {
	each := func(change func(*hardware.Component)) func(*hardware.Design) {
		return func(d *hardware.Design) {
			for i := range d.Components {
				change(&d.Components[i])
			}
		}
	}
	ohms := func(v float64) func(*hardware.Design) {
		return each(func(c *hardware.Component) {
			if c.Resistor != nil {
				r := *c.Resistor
				r.Resistance, c.Resistor = number(v), &r
			}
		})
	}
	for _, c := range []struct {
		name  string
		spoil func(*hardware.Design)
		want  string // of the error; "": it solves
	}{
		{"no resistance", ohms(0), "as it should be, dark: no operating point"},
		{"too much resistance", ohms(1e12), "want 0 to 1e+12 ohm"},
		{"no diode", func(d *hardware.Design) {
			d.Components = slices.DeleteFunc(d.Components, func(c hardware.Component) bool { return c.Diode != nil })
		}, "pv+: nothing reaches this terminal"},
		{"fuse without a rating", each(func(c *hardware.Component) {
			if c.Fuse != nil {
				c.Fuse = &hardware.Fuse{Resistance: c.Fuse.Resistance}
			}
		}), ""},
		{"loose ends", each(func(c *hardware.Component) {
			if c.Resistor != nil {
				c.To += "-loose"
			}
		}), ""},
	} {
		in := ready(t, "series-negative")
		c.spoil(&in.Design)
		in.Units, in.NoRescues = -1, true
		r, err := Run(context.Background(), in)
		switch {
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		case c.want == "" && (err != nil || len(r.Outcomes) == 0):
			t.Errorf("%s: %v", c.name, err)
		}
	}
	in := ready(t, "series-negative")
	in.Design.Components = nil
	if r, err := Run(context.Background(), in); err != nil || len(r.Lacks) == 0 {
		t.Errorf("empty: %v", err)
	}
}
