package hardware

import (
	"testing"

	"hindwatt/internal/quantity"
)

// value is a quantity as a folder has it.
func value(t testing.TB, text string) *Value {
	t.Helper()
	q, err := quantity.Parse(text)
	if err != nil {
		q, err = quantity.ParseAs(text, quantity.Ratio)
	}
	if err != nil {
		t.Fatal(err)
	}
	return &Value{Quantity: q, From: "test"}
}

// sheet is the data sheets that the designs of the tests are made of; all invented, of the usual size.
type sheet struct{ t testing.TB }

func (s sheet) diode(name, from, to, in string) Component {
	v := func(text string) *Value { return value(s.t, text) }
	return Component{Name: name, Part: "schottky", Kind: "diode", Role: "blocking", From: from, To: to, In: in, Diode: &Diode{
		Drops:  []Drop{{3, 0.40, 298.15}, {10, 0.52, 298.15}, {10, 0.43, 373.15}},
		Tempco: v("-1.2 mV/K"), Leakage: v("0.1 mA"), LeakageVoltage: v("60 V"), ReverseVoltage: v("60 V"), Current: v("20 A"),
		JunctionToCase: v("2 K/W"), JunctionToAmbient: v("40 K/W"), MaxJunction: v("150 °C"),
	}}
}

func (s sheet) mosfet(name, role, drain, source, channel, in string) Component {
	v := func(text string) *Value { return value(s.t, text) }
	return Component{Name: name, Part: channel + "fet", Kind: "mosfet", Role: role, From: drain, To: source, Gate: "g-" + name, In: in, Mosfet: &Mosfet{
		Channel: channel, OnResistance: v("8 mΩ ±20 %"), OnResistanceDrive: v("10 V"), OnResistanceTempco: v("0.0065 1/K"), Drive: v("10 V"),
		Threshold: v("2 V..4 V"), DrainVoltage: v("60 V"), Current: v("60 A"), GateDrainCharge: v("20 nC"), GateResistance: v("1 kΩ"), Plateau: v("5 V"),
		BodyDrop: v("0.8 V"), Leakage: v("1 uA"), JunctionToCase: v("1 K/W"), JunctionToAmbient: v("45 K/W"), MaxJunction: v("150 °C"),
	}}
}

func (s sheet) track(name, from, to string) Component {
	v := func(text string) *Value { return value(s.t, text) }
	return Component{Name: name, Part: "track", Kind: "track", From: from, To: to, In: "case", Track: &Track{Width: v("6 mm"), Length: v("40 mm"), Copper: v("70 um")}}
}

func (s sheet) box() Enclosure {
	v := func(text string) *Value { return value(s.t, text) }
	return Enclosure{Name: "case", Shape: "box", Size: []Value{*v("100 mm"), *v("68 mm"), *v("40 mm")}, Filling: "air", Material: "abs", Wall: v("2 mm"),
		Emissivity: v("0.9"), Absorptance: v("0.7"), Mounted: "free", Position: "upright", Board: []Value{*v("70 mm"), *v("50 mm")}, Copper: v("70 um")}
}

func (s sheet) design(how string, parts ...Component) *Design {
	return &Design{Components: parts, Enclosures: []Enclosure{s.box()}, Method: "pwm", Switch: how, Frequency: value(s.t, "100 Hz"), NominalVoltage: value(s.t, "12 V"), From: "product.toml"}
}

// seriesNegative has the switch in the negative leg and a diode.
func seriesNegative(t testing.TB) *Design {
	s := sheet{t}
	return s.design("series", s.diode("d1", "pv+", "bus", "case"), s.mosfet("q1", "switch", "bat-", "pv-", "n", "case"), s.track("w1", "bus", "bat+"),
		s.track("w2", "bus", "load+"), s.mosfet("q2", "load-switch", "load-", "bat-", "n", "case"))
}

// seriesPositive has a p-channel switch in the positive leg and a diode.
func seriesPositive(t testing.TB) *Design {
	s := sheet{t}
	return s.design("series", s.diode("d1", "pv+", "in", "case"), s.mosfet("q1", "switch", "bus", "in", "p", "case"), s.track("w1", "bus", "bat+"),
		s.track("w3", "pv-", "bat-"), s.track("w2", "bus", "load+"), s.mosfet("q2", "load-switch", "load-", "bat-", "n", "case"))
}

// shuntDesign has the switch across the panel.
func shuntDesign(t testing.TB) *Design {
	s := sheet{t}
	return s.design("shunt", s.mosfet("q1", "switch", "pv+", "pv-", "n", "case"), s.diode("d1", "pv+", "bus", "case"), s.track("w1", "bus", "bat+"),
		s.track("w3", "pv-", "bat-"), s.track("w2", "bus", "load+"), s.mosfet("q2", "load-switch", "load-", "bat-", "n", "case"))
}

// hotDay is 40 °C, 10 A held into a battery of 14 V.
func hotDay() Outside {
	return Outside{Ambient: 313.15, Panel: Panel{Current: 10}, Battery: Battery{EMF: 14, Resistance: 0.01}}
}

func unitOf(t testing.TB, d *Design) *Unit {
	t.Helper()
	u, err := d.Unit(nil)
	if err != nil {
		t.Fatal(err)
	}
	return u
}

func pointOf(t testing.TB, d *Design, o Outside, s State) *Point {
	t.Helper()
	p, err := unitOf(t, d).Operate(o, s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func (p *Point) named(t testing.TB, name string) Part {
	t.Helper()
	for _, part := range p.Parts {
		if part.Name == name {
			return part
		}
	}
	t.Fatalf("no part %s", name)
	return Part{}
}
