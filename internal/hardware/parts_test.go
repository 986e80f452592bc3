package hardware

import (
	"math"
	"testing"
)

// withControl adds a supply of 5 V, a control, a contact in the panel's plus and references on a resistor and on the supply.
func withControl(t testing.TB) *Design {
	d := seriesNegative(t)
	v := func(text string) *Value { return value(t, text) }
	d.Components[0].From = "pvin"
	d.Components = append(d.Components,
		Component{Name: "j1", Part: "screw", Kind: "contact", From: "pv+", To: "pvin", In: "outside", Contact: &Contact{Resistance: v("2 mΩ"), Current: v("20 A"), MaxTemperature: v("105 °C")}},
		Component{Name: "u1", Part: "reg", Kind: "regulator", From: "bus", To: "vcc", In: "case", Regulator: &Regulator{Output: v("5 V"), Quiescent: v("1 mA"), JunctionToAmbient: v("60 K/W"), MaxJunction: v("125 °C")}},
		Component{Name: "u2", Part: "control", Kind: "control", From: "vcc", To: "bat-", In: "case", Control: &Control{Supply: v("5 V"), Current: v("6 mA"), SleepCurrent: v("2 mA")}},
		Component{Name: "vr1", Part: "ref", Kind: "reference", From: "vcc", To: "bat-", In: "case", Reference: &Reference{Voltage: v("2.5 V")}},
		Component{Name: "r1", Part: "r", Kind: "resistor", From: "vcc", To: "ref", In: "case", Resistor: &Resistor{Resistance: v("5 kΩ")}},
		Component{Name: "vr2", Part: "ref2", Kind: "reference", From: "ref", To: "bat-", In: "case", Reference: &Reference{Voltage: v("2.5 V")}})
	return d
}

// TestControl works the small parts out by hand: supply 1 mA itself, control 6 mA or 2 mA, 0.5 mA over 5 kΩ into a reference of 2.5 V.
func TestControl(t *testing.T) {
	d := withControl(t)
	if got := faultsOf(d); got != "" {
		t.Fatal(got)
	}
	for night, want := range map[bool]float64{false: 7.5e-3, true: 3.5e-3} {
		o := hotDay()
		o.Panel.Current = 0
		p := pointOf(t, d, o, State{Night: night})
		if math.Abs(p.Standby-want) > 0.1e-3 {
			t.Errorf("night %v: %g mA, want %g mA", night, p.Standby*1e3, want*1e3)
		}
		u1 := p.named(t, "u1")
		if want := 9*(p.Standby-1e-3) + 14*1e-3; math.Abs(u1.Loss.Sum()-want) > 1e-3*want+1e-5 {
			t.Errorf("night %v: u1 makes %g W, want %g W", night, u1.Loss.Sum(), want)
		}
	}
	p := pointOf(t, d, hotDay(), State{Duty: 1})
	if math.Abs(p.Cases[0].Heat-p.In) > 1e-6*p.In {
		t.Errorf("the case gives off %.9g W of %.9g W", p.Cases[0].Heat, p.In)
	}
	// 45 K at 20 A: a quarter of it at 10 A
	if j1 := p.named(t, "j1"); math.Abs(j1.At-hotDay().Ambient-45.0/4) > 1e-3 {
		t.Errorf("j1 is %g K above the air, want 11.25 K", j1.At-hotDay().Ambient)
	}
}

// TestRatings: a diode's rating counts the mean of a pulsed current, that of a mosfet its rms.
func TestRatings(t *testing.T) {
	p := pointOf(t, seriesNegative(t), hotDay(), State{Duty: 0.5})
	for name, want := range map[string]float64{"d1": 5, "q1": 10 * math.Sqrt(0.5)} {
		for _, l := range p.named(t, name).Limits {
			if l.Of == "current" && math.Abs(l.Value-want) > 1e-3 {
				t.Errorf("%s counts %g A, want %g A", name, l.Value, want)
			}
		}
	}
}

// TestDullCase: a unit whose case radiates less is hotter, and a body diode drops what was drawn for it.
func TestDullCase(t *testing.T) {
	d := seriesNegative(t)
	d.Enclosures[0].Emissivity = value(t, "0.5 ±60 %")
	d.Components[1].Mosfet.BodyDrop = value(t, "0.8 V ±10 %")
	u := unitOf(t, d)
	surface := func(high bool) float64 {
		values := make([]float64, len(u.slots))
		for i, s := range u.slots {
			values[i] = s.Quantity.Value
			if s.Name == "enclosure.case.emissivity" || s.Name == "q1: part.nfet.body_drop" {
				if values[i] = s.Quantity.Low; high {
					values[i] = s.Quantity.High
				}
			}
		}
		if err := u.Set(values); err != nil {
			t.Fatal(err)
		}
		p, err := u.Operate(hotDay(), State{Duty: 1})
		if err != nil {
			t.Fatal(err)
		}
		return p.Cases[0].Surface
	}
	if dull, bright := surface(false), surface(true); !(dull > bright+2) {
		t.Errorf("%g K with little emissivity, %g K with much", dull, bright)
	}
	if got := u.parts[1].forward(10, 298.15); math.Abs(got-0.88) > 1e-3 {
		t.Errorf("the body diode drops %g V, want 0.88 V", got)
	}
}
