package hardware

import "testing"

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
