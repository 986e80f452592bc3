package hardware

import (
	"math"
	"testing"

	"hindwatt/internal/numeric"
)

// broken is how far the nearest limit of a solved point is exceeded.
func (p *Point) broken() (part, of string, excess float64) {
	excess = math.Inf(-1)
	for _, one := range p.Parts {
		for _, l := range one.Limits {
			if x := l.Excess(); x > excess {
				part, of, excess = one.Name, l.Of, x
			}
		}
	}
	return part, of, excess
}

// TestLargest sees for many units that the largest current just reaches a limit, by the full solution, which the search does not use.
func TestLargest(t *testing.T) {
	for name, d := range arrangements(t) {
		u, variables := unitOf(t, d), d.Variables()
		values := make([]float64, len(variables))
		for unit := range 12 {
			stream := numeric.NewStream(1, uint64(unit))
			for i, v := range variables {
				values[i] = v.Quantity.Low + (v.Quantity.High-v.Quantity.Low)*stream.Float64()
			}
			if err := u.Set(values); err != nil {
				t.Fatal(err)
			}
			o := hotDay()
			o.Ambient = 253.15 + 80*stream.Float64()
			o.Irradiance = 1000 * stream.Float64()
			for _, s := range []State{{Duty: 1}, {Duty: 0.6, LoadOn: true}, {Duty: 0.2}} {
				just(t, name, u, o, s, Find{Load: s.LoadOn})
			}
		}
	}
}

func just(t *testing.T, name string, u *Unit, o Outside, s State, f Find) {
	t.Helper()
	r, err := u.Largest(o, s, f)
	if err != nil || !r.Bound || !(r.Current > 0) {
		t.Errorf("%s %+v: %+v, %v", name, s, r, err)
		return
	}
	if o.Panel.Current = r.Current; f.Load {
		o.Load.Current = r.Current
	}
	p, err := u.Operate(o, s)
	if err != nil {
		t.Errorf("%s %+v: at its largest current of %g A: %v", name, s, r.Current, err)
		return
	}
	part, of, excess := p.broken()
	own := math.Inf(-1) // of the part that the search names: two equal tracks may lie within what both solutions leave
	for _, x := range p.Parts {
		for _, l := range x.Limits {
			if x.Name == r.Part && l.Of == r.Of {
				own = l.Excess()
			}
		}
	}
	if math.Abs(excess) > 1e-3 || excess-own > 1e-4 {
		t.Errorf("%s %+v: %g A by %s of %s, but the full solution has %s of %s at %g", name, s, r.Current, r.Of, r.Part, of, part, excess)
	}
}

func TestLargestEnds(t *testing.T) {
	u := unitOf(t, seriesNegative(t))
	o := hotDay()
	r, err := u.Largest(o, State{Duty: 1}, Find{Most: 2})
	if err != nil || r.Bound || r.Current != 2 {
		t.Errorf("looked for up to 2 A: %+v, %v", r, err)
	}
	o.Ambient = 273.15 + 125
	d := seriesNegative(t)
	d.Components[0].Diode.MaxJunction = value(t, "120 °C")
	r, err = unitOf(t, d).Largest(o, State{Duty: 1}, Find{})
	if err != nil || !r.Bound || r.Current != 0 || r.Part != "d1" {
		t.Errorf("hotter than d1 bears: %+v, %v", r, err)
	}
	r, err = u.Largest(hotDay(), State{Duty: 1}, Find{Full: true})
	if err != nil || r.Point == nil || math.Abs(r.Point.PanelCurrent-r.Current) > 1e-6*r.Current {
		t.Errorf("with its point: %+v, %v", r, err)
	}
	again, err := u.Largest(hotDay(), State{Duty: 1}, Find{})
	if err != nil || again.Current != r.Current {
		t.Errorf("%.17g A and then %.17g A", r.Current, again.Current)
	}
}

// TestLargestFuse works a rating out by hand: a fuse of 15 A in the lead carries 0.75 to 0.8 of its rating at 25 °C and 0.2 to 0.3 % less
// for each kelvin above (common practice for blade fuses); at 45 °C that is 15·0.775·0.95 = 11.04 A, into the battery.
func TestLargestFuse(t *testing.T) {
	d := seriesNegative(t)
	s := sheet{t}
	for i := range d.Components {
		if c := &d.Components[i]; c.Name == "w1" {
			*c = Component{Name: "f1", Part: "fuse", Kind: "fuse", Role: "fuse", From: "bus", To: "bat+", In: "lead", Fuse: &Fuse{Rating: value(s.t, "15 A"), Resistance: value(s.t, "5 mΩ")}}
		}
	}
	d.Components[0].In = "lead"
	d.Components[0].Diode.MaxJunction, d.Components[0].Diode.Current = value(t, "400 °C"), value(t, "40 A")
	o := hotDay()
	o.Ambient = 318.15
	r, err := unitOf(t, d).Largest(o, State{Duty: 1}, Find{})
	if err != nil || r.Part != "f1" || math.Abs(r.Current-11.04375) > 0.001 {
		t.Errorf("%+v, %v; want 11.04 A by f1", r, err)
	}
}

func TestSetAllocatesNothing(t *testing.T) {
	u := unitOf(t, seriesNegative(t))
	values := make([]float64, len(u.slots))
	for i, s := range u.slots {
		values[i] = s.Quantity.Low
	}
	if n := testing.AllocsPerRun(10, func() { _ = u.Set(values) }); n > 0 {
		t.Errorf("Set allocates %g times", n)
	}
}

func BenchmarkLargest(b *testing.B) {
	d := seriesNegative(b)
	u := unitOf(b, d)
	for b.Loop() {
		if _, err := u.Largest(hotDay(), State{Duty: 1}, Find{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOperate(b *testing.B) {
	u := unitOf(b, shuntDesign(b))
	for b.Loop() {
		if _, err := u.Operate(hotDay(), State{Duty: 0.5}); err != nil {
			b.Fatal(err)
		}
	}
}
