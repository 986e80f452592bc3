package hardware

import (
	"errors"
	"testing"
)

// TestHistory sees that what a unit answers does not depend, to the last bit, on what it was asked before.
func TestHistory(t *testing.T) {
	d := seriesNegative(t)
	variables := d.Variables()
	values := make([]float64, len(variables))
	for i, v := range variables {
		values[i] = v.Quantity.Low + 0.3*(v.Quantity.High-v.Quantity.Low)
	}
	ask := func(u *Unit) (loss, most float64) {
		o := hotDay()
		o.Panel.Current = 7
		p, err := u.Operate(o, State{Duty: 0.5})
		if err != nil {
			t.Fatal(err)
		}
		r, err := u.Largest(o, State{Duty: 0.5}, Find{})
		if err != nil {
			t.Fatal(err)
		}
		return p.Loss, r.Current
	}
	fresh, used := unitOf(t, d), unitOf(t, d)
	if err := fresh.Set(values); err != nil {
		t.Fatal(err)
	}
	for _, v := range [][]float64{nil, values} {
		if err := used.Set(v); err != nil {
			t.Fatal(err)
		}
		o := hotDay()
		o.Panel.Current, o.Ambient = 12, 263.15
		for _, s := range []State{{Duty: 1}, {Night: true}, {Duty: 0.2}} {
			if _, err := used.Operate(o, s); err != nil {
				t.Fatal(err)
			}
			if _, err := used.Largest(o, State{Duty: 1}, Find{}); err != nil {
				t.Fatal(err)
			}
		}
	}
	loss, most := ask(fresh)
	if l, m := ask(used); l != loss || m != most {
		t.Errorf("fresh %.17g W, %.17g A; used %.17g W, %.17g A", loss, most, l, m)
	}
}

// TestLeaky sees that the largest current of a unit whose hot diode leaks much, and whose search begins where a nominal one ends,
// is the one at whose sides the whole unit settles within its limits and does not.
func TestLeaky(t *testing.T) {
	for _, leakage := range []string{"1 mA", "2 mA", "4 mA"} {
		d := shuntDesign(t)
		x := d.Components[1].Diode
		x.Leakage, x.LeakageVoltage, x.LeakageExponent = value(t, leakage), value(t, "60 V"), value(t, "0.055 1/K")
		x.JunctionToAmbient = value(t, "36..44 K/W")
		variables := d.Variables()
		for i, v := range variables {
			for _, share := range []float64{0.3, 0.7} {
				u := unitOf(t, d)
				values := make([]float64, len(variables))
				for k := range variables {
					values[k] = variables[k].Quantity.Value
				}
				values[i] = v.Quantity.Low + share*(v.Quantity.High-v.Quantity.Low)
				if err := u.Set(values); err != nil {
					t.Fatal(err)
				}
				s := State{Duty: 0.8}
				r, err := u.Largest(hotDay(), s, Find{})
				if err != nil {
					t.Fatal(err)
				}
				for _, side := range []float64{0.997, 1.003} {
					o := hotDay()
					o.Panel.Current = side * r.Current
					p, err := u.Operate(o, s)
					var away *Runaway
					if err != nil && !errors.As(err, &away) {
						t.Fatal(err)
					}
					if holds := err == nil && sound(p); holds != (side < 1) {
						t.Errorf("%s, %s: largest %.5g A, %s of %s; at %.5g A it holds: %v (%v)", leakage, v.Name, r.Current, r.Of, r.Part, o.Panel.Current, holds, err)
					}
				}
			}
		}
	}
}

// sound reports whether every limit holds.
func sound(p *Point) bool {
	for _, c := range p.Parts {
		if c.Tightest >= 0 && c.Limits[c.Tightest].Excess() > 0 {
			return false
		}
	}
	return true
}
