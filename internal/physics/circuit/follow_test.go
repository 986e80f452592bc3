package circuit

import (
	"errors"
	"math"
	"testing"
)

// regulated is a battery that feeds a load of 100 Ω through 10 Ω and a regulator for 5 V.
func regulated() (n *Network, battery, pass ID, out Node) {
	n = New()
	in, mid := n.Node("in"), n.Node("mid")
	out = n.Node("out")
	battery = n.Source("battery", in, Ground, 12)
	n.Resistor("r1", in, mid, 10)
	pass = n.Source("u1", mid, out, 0)
	n.Follow(pass, Ground, 5)
	n.Resistor("load", out, Ground, 100)
	return n, battery, pass, out
}

// By hand: 5 V across 100 Ω draw 50 mA, 0.5 V of it fall over 10 Ω, so that 12 − 0.5 − 5 = 6.5 V lie across the pass element. At
// 4 V it lets all through: 4·100/110 V. At 5.5 V it is on the edge.
func TestFollow(t *testing.T) {
	n, battery, pass, out := regulated()
	s, err := Compile(n)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ emf, out, across float64 }{{12, 5, 6.5}, {4, 4 * 100.0 / 110, 0}, {5.5, 5, 0}, {-3, -3 * 100.0 / 110, 0}} {
		for _, warm := range []bool{false, true} {
			s.Warm = warm
			n.SetVoltage(battery, c.emf)
			at, err := s.Solve()
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(at.Voltage(out)-c.out) > 1e-12 || math.Abs(at.Across(pass)-c.across) > 1e-12 || math.Abs(at.Current(pass)-c.out/100) > 1e-12 {
				t.Errorf("%g V: out %g V, across %g V, %g A", c.emf, at.Voltage(out), at.Across(pass), at.Current(pass))
			}
		}
	}
	n.SetVoltage(battery, 12)
	n.SetVoltage(pass, 2)
	if at, err := s.Solve(); err != nil || math.Abs(at.Across(pass)-2) > 1e-12 {
		t.Errorf("as a source again: %v", err)
	}
	n.Follow(pass, 99, 5)
	var bad *ValueError
	if _, err := s.Solve(); !errors.As(err, &bad) {
		t.Errorf("a node that there is not: %v", err)
	}
}

// TestFrom sees that a start leads to the same answer as nothing, with fewer iterations.
func TestFrom(t *testing.T) {
	build := func(ohms float64) *Solver {
		n := New()
		a, b := n.Node("a"), n.Node("b")
		n.Battery("bat", a, Ground, 12, 0.01)
		n.Resistor("r", a, b, ohms)
		n.Diode("d", b, Ground, Diode{Saturation: 1e-9, Emission: 0.03, Series: 0.01})
		s, err := Compile(n)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	first, next, cold := build(2), build(2.1), build(2.1)
	if _, err := first.Solve(); err != nil {
		t.Fatal(err)
	}
	start := first.Start()
	next.Warm = true
	next.From(start)
	got, err := next.Solve()
	if err != nil {
		t.Fatal(err)
	}
	want, err := cold.Solve()
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got.Voltage(2)-want.Voltage(2)) > 1e-10 || got.Iterations >= want.Iterations {
		t.Errorf("%.15g V in %d iterations, %.15g V in %d", got.Voltage(2), got.Iterations, want.Voltage(2), want.Iterations)
	}
	other, _, _, _ := regulated()
	s, err := Compile(other)
	if err != nil {
		t.Fatal(err)
	}
	s.From(start) // of other parts: left aside
	if _, err := s.Solve(); err != nil {
		t.Error(err)
	}
}
