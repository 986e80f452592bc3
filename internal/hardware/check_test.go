package hardware

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

func faultsOf(d *Design) string {
	var out []string
	for _, f := range d.Check() {
		out = append(out, fmt.Sprintf("%s: %s; want %s", f.At, f.Text, f.Want))
	}
	return strings.Join(out, "\n")
}

func TestCheckAccepts(t *testing.T) {
	for name, d := range map[string]*Design{"negative": seriesNegative(t), "positive": seriesPositive(t), "shunt": shuntDesign(t), "empty": {}} {
		if got := faultsOf(d); got != "" {
			t.Errorf("%s:\n%s", name, got)
		}
	}
}

func TestCheckRefuses(t *testing.T) {
	part := func(d *Design, name string) *Component {
		return &d.Components[slices.IndexFunc(d.Components, func(c Component) bool { return c.Name == name })]
	}
	for _, c := range []struct {
		name   string
		base   func(testing.TB) *Design
		change func(d *Design)
		want   string
	}{
		{"one connection", seriesNegative, func(d *Design) { part(d, "w2").From = "buss" },
			"buss: only w2 is connected to it; want a second part at buss, or one name for both nodes"},
		{"no end", seriesNegative, func(d *Design) { part(d, "q1").To = "" }, "q1: it has no source; want source = \"NODE\"\npv-: nothing reaches this terminal; want a part with an end at pv-"},
		{"one node twice", seriesNegative, func(d *Design) { part(d, "w2").To = "bus" }, "w2: both its ends are at bus; want two nodes\nload+: nothing reaches this terminal; want a part with an end at load+"},
		{"no data sheet", seriesNegative, func(d *Design) { part(d, "w2").Kind = "" }, "w2: its part track has no data sheet; want [part.track] in parts.toml"},
		{"terminal", seriesNegative, func(d *Design) { part(d, "d1").From = "bat+" },
			"pv+: nothing reaches this terminal; want a part with an end at pv+"},
		{"turned in the negative leg", seriesNegative, func(d *Design) { q := part(d, "q1"); q.From, q.To = q.To, q.From },
			"q1: it cannot stop the charge when off: a way from the panel to the battery is left, through a body diode or past the switch; want the other way round (drain = \"bat-\", source = \"pv-\") if its body diode is what conducts"},
		{"turned in the positive leg", seriesPositive, func(d *Design) { q := part(d, "q1"); q.From, q.To = q.To, q.From },
			"q1: it cannot stop the charge when off: a way from the panel to the battery is left, through a body diode or past the switch; want the other way round (drain = \"bus\", source = \"in\") if its body diode is what conducts"},
		{"n-channel as p-channel stands", seriesPositive, func(d *Design) { part(d, "q1").Mosfet.Channel = "n" },
			"q1: it cannot stop the charge when off: a way from the panel to the battery is left, through a body diode or past the switch; want the other way round (drain = \"in\", source = \"bus\") if its body diode is what conducts"},
		{"past the switch", seriesNegative, func(d *Design) { d.Components = append(d.Components, sheet{t}.track("w9", "pv-", "bat-")) },
			"q1: it cannot stop the charge when off: a way from the panel to the battery is left, through a body diode or past the switch; want the other way round (drain = \"pv-\", source = \"bat-\") if its body diode is what conducts"},
		{"diode turned", seriesNegative, func(d *Design) { x := part(d, "d1"); x.From, x.To = x.To, x.From },
			"pv+: no current can flow from the panel to the battery while it is charged; want a way from pv+ to bat+ and from bat- to pv-, diodes and body diodes with it"},
		{"no switch", seriesNegative, func(d *Design) { part(d, "q1").Role = "blocking" },
			"circuit: no part has the role of the switch, so nothing stops the charge; want role = \"switch\" at the mosfet that the control drives"},
		{"shunt without diode", shuntDesign, func(d *Design) { *part(d, "d1") = sheet{t}.track("d1", "pv+", "bus") },
			"q1: it shorts the battery when on; want a blocking diode between the switch and the battery"},
		{"series said to be shunt", seriesNegative, func(d *Design) { d.Switch = "shunt" },
			"pv+: no current can flow from the panel to the battery while it is charged; want a way from pv+ to bat+ and from bat- to pv-, diodes and body diodes with it\n" +
				"q1: it does not short the panel when on, so it cannot stop the charge; want the switch from pv+ to pv-, or regulation.switch = \"series\""},
		{"undriven", seriesNegative, func(d *Design) { part(d, "q2").Role = "" }, "q2: nothing drives its gate; want a part at g-q2, or a role"},
		{"threshold", seriesNegative, func(d *Design) { part(d, "q1").Mosfet.Drive = value(t, "2.5 V") },
			"q1: its drive does not reach beyond its threshold, so it never conducts; want a higher part.nfet.drive, or a part with a lower threshold"},
		{"load switch turned", seriesNegative, func(d *Design) { q := part(d, "q2"); q.From, q.To = q.To, q.From },
			"q2: it cannot cut the load off: a way from the battery through the load is left, through a body diode or past the switch; want the other way round (drain = \"load-\", source = \"bat-\") if its body diode is what conducts"},
		{"island", seriesNegative, func(d *Design) {
			d.Components = append(d.Components, Component{Name: "r9", Part: "r", Kind: "resistor", From: "x", To: "y", In: "case", Resistor: &Resistor{Resistance: value(t, "1 kΩ")}})
		}, "x: only r9 is connected to it; want a second part at x, or one name for both nodes\ny: only r9 is connected to it; want a second part at y, or one name for both nodes\n" +
			"r9: no way leads to it from any terminal; want one of its nodes, x and y, at another part"},
		{"nowhere", seriesNegative, func(d *Design) { part(d, "d1").In = "" }, "d1: it is in no place, so that its heat is reckoned to go straight to the open air; want in = \"ENCLOSURE\", \"lead\" or \"outside\""},
		{"no way from the junction", seriesNegative, func(d *Design) {
			sheet := *part(d, "d1").Diode
			sheet.JunctionToCase, sheet.JunctionToAmbient = nil, nil
			part(d, "d1").Diode = &sheet
		}, "d1: how its heat leaves its junction is not known, so that its junction counts in no rating; want part.schottky.junction_to_ambient, or junction_to_case in an enclosure"},
		{"no such place", seriesNegative, func(d *Design) { part(d, "d1").In = "tub" }, "d1: there is no enclosure tub; want [enclosure.tub], \"lead\" or \"outside\""},
		{"thick wall", seriesNegative, func(d *Design) { d.Enclosures[0].Wall = value(t, "20 mm") },
			"case: it is 40 mm across and has two walls of 20 mm: nothing is left inside; want a thinner wall or a larger size"},
		{"emissivity", seriesNegative, func(d *Design) { d.Enclosures[0].Emissivity = value(t, "1.2") }, "case: its emissivity is 1.2; want 0 to 1"},
		{"size", seriesNegative, func(d *Design) { d.Enclosures[0].Shape = "tube" }, "case: a tube has 2 lengths, its size has 3; want length x width x height, or length x diameter of a tube"},
		{"inside itself", seriesNegative, func(d *Design) { d.Enclosures[0].Inside = "case" }, "case: it stands inside itself; want an enclosure that holds it, or none"},
		{"negative resistance", seriesNegative, func(d *Design) { part(d, "q1").Mosfet.OnResistance = value(t, "-8 mΩ") }, "q1: its on_resistance goes down to -0.008 in SI units; want 0 or more"},
	} {
		d := c.base(t)
		for i := range d.Components { // their sheets are shared otherwise
			if m := d.Components[i].Mosfet; m != nil {
				own := *m
				d.Components[i].Mosfet = &own
			}
		}
		c.change(d)
		if got := faultsOf(d); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
	}
}

func TestLacks(t *testing.T) {
	d := seriesNegative(t)
	d.Components[0].Diode.MaxJunction = nil
	d.Components[1].Mosfet.OnResistance = nil
	d.Enclosures = nil
	var got []string
	for _, l := range d.Lacks() {
		got = append(got, fmt.Sprintf("%s: %s (%v)", l.File, l.Key, l.Fatal))
	}
	want := "parts.toml: part.schottky.max_junction (false)\nparts.toml: part.nfet.on_resistance (true)\nproduct.toml: enclosure.case.size (true)"
	if s := strings.Join(got, "\n"); s != want {
		t.Errorf("got %s\nwant %s", s, want)
	}
	if _, err := d.Unit(nil); err == nil || err.Error() != "part.nfet.on_resistance: it is missing; want it in parts.toml" {
		t.Errorf("Unit: %v", err)
	}
	if l := (&Design{}).Lacks(); len(l) != 1 || l[0].Key != "circuit" {
		t.Errorf("an empty design lacks %v", l)
	}
}

// TestFaultsHaveLines: a fault of the whole circuit stands where the first part of the terminal does, or of the other one of its pair.
func TestFaultsHaveLines(t *testing.T) {
	for _, change := range []func(c *Component){
		func(c *Component) { // nothing reaches pv+
			if c.Name == "d1" {
				c.From = "bat+"
			}
		},
		func(c *Component) { // no current can flow
			if c.Name == "d1" {
				c.From, c.To = c.To, c.From
			}
		},
		func(c *Component) { // nothing stops the charge
			if c.Role == "switch" {
				c.Role = "blocking"
			}
		},
	} {
		d := seriesNegative(t)
		for i := range d.Components {
			change(&d.Components[i])
			d.Components[i].At = fmt.Sprintf("product.toml:%d", 100+i)
		}
		found := d.Check()
		if len(found) == 0 {
			t.Error("no fault")
		}
		for _, f := range found {
			if !strings.HasPrefix(f.From, "product.toml:1") {
				t.Errorf("%s: %s stands at %q", f.At, f.Text, f.From)
			}
		}
	}
}
