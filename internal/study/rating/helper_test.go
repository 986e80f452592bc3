package rating

import (
	"context"
	"testing"

	"hindwatt/internal/hardware"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// given makes a value of a text such as "10 A"; a test that writes it wrongly panics.
func given(text string) *Value {
	q, err := quantity.Parse(text)
	if err != nil {
		panic(err)
	}
	return &Value{Quantity: q, From: "test"}
}

// small is an invented controller of 12 V: fuse, blocking diode and a switch in the negative leg, in a case.
func small() hardware.Design {
	fet := &hardware.Mosfet{Channel: "n", OnResistance: given("10 mΩ ±15 %"), OnResistanceDrive: given("10 V"), OnResistanceTempco: given("0.0065 1/K"),
		Drive: given("10 V"), DrainVoltage: given("60 V"), Current: given("60 A"), BodyDrop: given("0.85 V"), Leakage: given("1 µA"),
		GateCharge: given("40 nC"), GateDrainCharge: given("12 nC"), GateResistance: given("1 kΩ"), Plateau: given("4.8 V"),
		JunctionToCase: given("1 K/W"), JunctionToAmbient: given("45 K/W"), MaxJunction: given("150 °C")}
	diode := &hardware.Diode{Drops: []hardware.Drop{drop(1, 0.33, 25), drop(3, 0.39, 25), drop(10, 0.49, 25), drop(10, 0.40, 100)}, DropsFrom: "test",
		Tempco: given("-1.2 mV/K"), Leakage: given("0.15 mA"), LeakageVoltage: given("60 V"), LeakageExponent: given("0.055 1/K"),
		ReverseVoltage: given("60 V"), Current: given("20 A"), JunctionToCase: given("1.6 K/W"), JunctionToAmbient: given("42 K/W"), MaxJunction: given("125 °C")}
	return hardware.Design{
		Method: "pwm", Switch: "series", Frequency: given("100 Hz"), NominalVoltage: given("12 V"),
		Components: []hardware.Component{
			{Name: "j1", Part: "screw", Kind: "contact", In: "case", From: "bat+", To: "n1", At: "test",
				Contact: &hardware.Contact{Resistance: given("1.2 mΩ..2.4 mΩ"), Current: given("30 A"), MaxTemperature: given("105 °C")}},
			{Name: "f1", Part: "fuse", Kind: "fuse", Role: "fuse", In: "case", From: "n1", To: "bus", At: "test",
				Fuse: &hardware.Fuse{Rating: given("30 A"), Resistance: given("2.5 mΩ ±15 %")}},
			{Name: "d1", Part: "sb", Kind: "diode", Role: "blocking", In: "case", From: "pv+", To: "bus", At: "test", Diode: diode},
			{Name: "q1", Part: "fet", Kind: "mosfet", Role: "switch", In: "case", From: "bat-", To: "pv-", Gate: "drive", At: "test", Mosfet: fet},
			{Name: "u2", Part: "control", Kind: "control", Role: "control", In: "case", From: "bus", To: "bat-", At: "test",
				Control: &hardware.Control{Supply: given("12 V"), Current: given("4 mA"), SleepCurrent: given("2 mA")}},
			{Name: "j4", Part: "screw", Kind: "contact", In: "case", From: "bus", To: "load+", At: "test",
				Contact: &hardware.Contact{Resistance: given("1.2 mΩ..2.4 mΩ"), Current: given("30 A"), MaxTemperature: given("105 °C")}},
			{Name: "q2", Part: "fet", Kind: "mosfet", Role: "load-switch", In: "case", From: "load-", To: "bat-", Gate: "drive2", At: "test", Mosfet: fet},
		},
		Enclosures: []hardware.Enclosure{{Name: "case", Shape: "box", Size: []Value{*given("100 mm"), *given("68 mm"), *given("40 mm")},
			Filling: "air", Material: "abs", Wall: given("2 mm"), Emissivity: exactly(0.9, quantity.Ratio, ""), Mounted: "free", Position: "flat",
			Board: []Value{*given("90 mm"), *given("60 mm")}, Copper: given("35 µm"), From: "test"}},
		From: "test",
	}
}

func input() Input {
	return Input{Design: small(), Label: given("5 A"), Conditions: Conditions{Ambient: given("40 °C")}, Seed: 1}
}

func drop(current, voltage, celsius float64) hardware.Drop {
	return hardware.Drop{Current: current, Voltage: voltage, Temperature: celsius + 273.15}
}

type note = page.Note

func run(t *testing.T, in Input) *Result {
	t.Helper()
	r, err := Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// with runs a changed design.
func with(t *testing.T, in Input, change func(*hardware.Design)) *Result {
	t.Helper()
	in.Design = changed(in.Design, change)
	return run(t, in)
}

func (r *Result) nominal(t *testing.T, name string) float64 {
	t.Helper()
	o := r.Outcome(name)
	if o == nil || o.Never != "" {
		t.Fatalf("no %s: %v", name, r.Lacks())
	}
	return o.Nominal
}

func quick(in Input) Input {
	in.Outer, in.Inner = 4, 4
	return in
}
