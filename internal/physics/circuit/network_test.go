package circuit

import (
	"bufio"
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

// solved compiles and solves.
func solved(t *testing.T, n *Network) *Solution {
	t.Helper()
	s, err := Compile(n)
	if err != nil {
		t.Fatal(err)
	}
	r, err := s.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func near1(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.10g, want %.10g ± %.2g", what, got, want, tol)
	}
}

// TestAgainstC holds the fault cases to the voltages that the C reference printed. It stops at steps of 1e-9 V.
func TestAgainstC(t *testing.T) {
	f, err := os.Open("testdata/nodal.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	c, count := newFaultCases(t), 0
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		r := strings.NewReader(lines.Text())
		var fault int
		if _, err := fmt.Fscan(r, &fault); err != nil {
			t.Fatal(err)
		}
		c.fault(fault, false)
		s, err := c.solver.Solve()
		if err != nil {
			t.Fatalf("case %d: %v", fault, err)
		}
		for i := range gridNodes {
			var want float64
			if _, err := fmt.Fscan(r, &want); err != nil {
				t.Fatal(err)
			}
			near1(t, fmt.Sprintf("case %d, node %d", fault, i), s.Voltage(c.node[i]), want, 2e-8)
		}
		c.fault(fault, true)
		count++
	}
	if count != 58 {
		t.Errorf("%d cases read; want 58", count)
	}
}

func TestEveryFaultCaseIsSolvedWithoutAllocating(t *testing.T) {
	c := newFaultCases(t)
	run := func() {
		for f := range 400 {
			c.fault(f, false)
			s, err := c.solver.Solve()
			if err != nil {
				t.Errorf("case %d: %v", f, err)
			} else if s.Residual > 1e-9*s.Largest {
				t.Errorf("case %d: %v A over of %v", f, s.Residual, s.Largest)
			}
			c.fault(f, true)
		}
	}
	run()
	if allocs := testing.AllocsPerRun(3, run); allocs > 0 {
		t.Errorf("%v allocations in 400 cases", allocs)
	}
}

// TestBridge is a bridge out of balance: its branch currents by mesh equations solved by Cramer's rule here.
func TestBridge(t *testing.T) {
	const e, r1, r2, r3, r4, rg = 10.0, 100.0, 220.0, 150.0, 300.0, 50.0
	n := New()
	top, left, right := n.Node("top"), n.Node("left"), n.Node("right")
	n.Source("v", top, Ground, e)
	n.Resistor("r1", top, left, r1)
	n.Resistor("r2", left, Ground, r2)
	n.Resistor("r3", top, right, r3)
	n.Resistor("r4", right, Ground, r4)
	g := n.Resistor("rg", left, right, rg)
	s := solved(t, n)
	// Thevenin: open voltage of the bridge over its inner resistance and rg (any textbook).
	open := e * (r2/(r1+r2) - r4/(r3+r4))
	inner := r1*r2/(r1+r2) + r3*r4/(r3+r4)
	near1(t, "detector", s.Current(g), open/(inner+rg), 1e-15)
	near1(t, "source power", s.Power(0), -e*(s.Current(1)+s.Current(3)), 1e-12)
}

// lambertW solves w·e^w = e^ln by bisection on w + ln w = ln, for w > 0.
func lambertW(ln float64) float64 {
	low, high := 1e-300, math.Max(2, ln+2)
	for range 400 {
		if w := low + (high-low)/2; w+math.Log(w) > ln {
			high = w
		} else {
			low = w
		}
	}
	return low
}

// TestDiodeByLambertW holds a diode behind a resistance to its closed form over twelve decades (Corless and others, On
// the Lambert W function, Adv. Comput. Math. 5 (1996), p. 329; the form computed independently here):
//
//	I = (a/R)·W(Is·R/a·exp((V + Is·R)/a)) − Is
func TestDiodeByLambertW(t *testing.T) {
	for _, volts := range []float64{0.1, 0.6, 3, 12, 48, 400, -5} {
		for _, ohms := range []float64{1e-4, 0.1, 10, 1e4, 1e7} {
			for _, is := range []float64{1e-15, 1e-9, 1e-5} {
				const a = 0.0465
				want := a/ohms*lambertW(math.Log(is*ohms/a)+(volts+is*ohms)/a) - is
				if want > straightFrom {
					continue
				}
				for inside := range 2 { // the resistance apart, and within the diode
					n := New()
					plus := n.Node("plus")
					n.Source("v", plus, Ground, volts)
					var d ID
					if inside == 1 {
						d = n.Diode("d", plus, Ground, Diode{Saturation: is, Emission: a, Series: ohms})
					} else {
						mid := n.Node("mid")
						n.Resistor("r", plus, mid, ohms)
						d = n.Diode("d", mid, Ground, Diode{Saturation: is, Emission: a})
					}
					s := solved(t, n)
					near1(t, fmt.Sprint(volts, " V ", ohms, " Ω ", is, " A"), s.Current(d), want, 1e-9*math.Abs(want)+LeastConductance*math.Abs(volts)+1e-18)
				}
			}
		}
	}
}

// pv07 is the 36-cell module of reference case PV-07.
var pv07 = Panel{Photocurrent: 6.15, Saturation: 2.4e-10, A: 37.8 * 1.380649e-23 * 298.15 / 1.602176634e-19, Series: 0.22, Shunt: 180}

// TestPanel holds modules to cases PV-07, PV-09, PV-11 (computed independently) and to their closed form by Lambert W.
func TestPanel(t *testing.T) {
	pv09 := Panel{Photocurrent: 0.92, Saturation: 1.1e-9, A: 79.2 * 1.380649e-23 * 298.15 / 1.602176634e-19, Series: 0.45, Shunt: 2500}
	for _, c := range []struct {
		name          string
		p             Panel
		volts, i, tol float64
	}{
		{"PV-07 at 12 V", pv07, 12, 6.075687, 1e-5},
		{"PV-07 short", pv07, 0, 6.142493, 1e-5},
		{"PV-11 at 30 V", pv07, 30, -23.62162, 1e-5},
		{"PV-09 at 27.6 V", pv09, 27.6, 0.9077514, 1e-5},
		{"PV-09 short", pv09, 0, 0.919834, 1e-5},
	} {
		n := New()
		plus := n.Node("plus")
		n.Source("v", plus, Ground, c.volts)
		p := n.Panel("pv", plus, Ground, c.p)
		near1(t, c.name, -solved(t, n).Current(p), c.i, c.tol)
	}
	for _, c := range []struct {
		p   Panel
		voc float64
	}{{pv07, 23.25548}, {pv09, 41.76788}} {
		n := New()
		plus := n.Node("plus")
		n.Panel("pv", plus, Ground, c.p)
		near1(t, "open", solved(t, n).Voltage(plus), c.voc, 1e-4)
	}
}

// TestBypass shades one of three substrings: the string's current takes the way round it.
func TestBypass(t *testing.T) {
	cells := Panel{Photocurrent: 6, Saturation: 2.4e-10, A: 0.32, Series: 0.07, Shunt: 60, Bypass: &Diode{Saturation: 1e-7, Emission: 0.027}}
	dark := cells
	dark.Photocurrent = 0.2
	n := New()
	a, b, c := n.Node("a"), n.Node("b"), n.Node("c")
	n.Panel("one", a, Ground, cells)
	shaded := n.Panel("two", b, a, dark)
	n.Panel("three", c, b, cells)
	battery := n.Battery("bat", c, Ground, 8, 0.02)
	s := solved(t, n)
	if i := s.Current(battery); i < 5.5 {
		t.Errorf("only %v A pass", i)
	}
	near1(t, "drop of the bypass", s.Across(shaded), -0.027*math.Log1p(-s.Bypass(shaded)/1e-7), 1e-9)
	n.SetLight(shaded, 6)
	if again := solved(t, n); !(again.Across(shaded) > 2) || again.Bypass(shaded) < -1e-5 || again.Bypass(shaded) > 1e-3 {
		t.Errorf("in the sun %v V, bypass %v A", again.Across(shaded), again.Bypass(shaded))
	}
}

// TestMosfet turns transistors of both kinds on and off, forward, in reverse and beyond their avalanche voltage.
func TestMosfet(t *testing.T) {
	body := Diode{Saturation: 1e-12, Emission: 0.03, Leakage: Leakage{Current: 1e-6, Voltage: 40}, Breakdown: Breakdown{Voltage: 60}}
	for _, p := range []bool{false, true} {
		sign := 1.0
		if p {
			sign = -1
		}
		n := New()
		d := n.Node("drain")
		v := n.Battery("v", d, Ground, 0, 10)
		m := n.Mosfet("q", d, Ground, Mosfet{PChannel: p, OnResistance: 0.005, Body: body})
		solver, err := Compile(n)
		if err != nil {
			t.Fatal(err)
		}
		at := func(volts float64, on bool) *Solution {
			n.SetVoltage(v, sign*volts)
			n.Switch(m, on)
			s, err := solver.Solve()
			if err != nil {
				t.Fatal(err)
			}
			return s
		}
		near1(t, "off", sign*at(40, false).Current(m), 1e-6, 1e-10)
		near1(t, "on", sign*at(40, true).Current(m), 40/10.005, 1e-6)
		near1(t, "its channel", sign*at(40, true).Bypass(m), 40/10.005, 1e-6)
		s := at(-40, false)
		near1(t, "body diode", sign*s.Across(m), -0.03*math.Log1p(-sign*s.Current(m)/1e-12), 1e-6)
		s = at(90, false)
		near1(t, "avalanche", sign*s.Across(m), 60+0.12*math.Log(sign*s.Current(m)/1e-3), 1e-4)
		n.SetOnResistance(m, 2e-6)
		near1(t, "on, little resistance", sign*at(40, true).Current(m), 40/10.000002, 1e-9)
	}
}

// TestClamp checks both kinds by their own equation and their symmetry.
func TestClamp(t *testing.T) {
	for _, both := range []bool{false, true} {
		n := New()
		plus := n.Node("plus")
		v := n.Battery("v", plus, Ground, 50, 1)
		c := n.Clamp("z", plus, Ground, Clamp{Breakdown: Breakdown{Voltage: 30}, Series: 0.1, Bidirectional: both})
		s := solved(t, n)
		i := s.Current(c)
		near1(t, "clamped", s.Across(c), 30+0.06*math.Log(i/1e-3)+0.1*i, 1e-9)
		n.SetVoltage(v, -50)
		s = solved(t, n)
		if both {
			near1(t, "the other way", s.Current(c), -i, 1e-9)
		} else {
			near1(t, "forward", s.Across(c), -0.02585*math.Log1p(-s.Current(c)/1e-9)+0.1*s.Current(c), 1e-9)
		}
	}
}

// TestLoad draws its current, less where the source cannot give it, and never feeds.
func TestLoad(t *testing.T) {
	n := New()
	plus := n.Node("plus")
	v := n.Battery("v", plus, Ground, 12, 1)
	l := n.Load("l", plus, Ground, Load{Current: 2, Fade: 3})
	near1(t, "full", solved(t, n).Current(l), 2, 1e-10)
	n.SetResistance(0, 10)
	s := solved(t, n)
	x := s.Across(l) / 3
	near1(t, "fading", s.Current(l), 2*x*x*(3-2*x), 1e-10)
	if !(x > 0 && x < 1) {
		t.Errorf("at %v V", s.Across(l))
	}
	n.SetVoltage(v, -12)
	near1(t, "reversed", solved(t, n).Current(l), 0, 2e-11)
}

func TestChangesOfShape(t *testing.T) {
	n := New()
	a, b := n.Node("a"), n.Node("b")
	v := n.Source("v", a, Ground, 10)
	r := n.Resistor("r", a, b, 1000)
	q := n.Resistor("q", b, Ground, 1000)
	short := n.Resistor("short", a, b, 0)
	n.Open(short, true)
	near1(t, "divider", solved(t, n).Voltage(b), 5, 1e-12)
	n.Open(short, false)
	s := solved(t, n)
	near1(t, "shorted", s.Voltage(b), 10, 1e-12)
	near1(t, "current of the short", s.Current(short), 0.01, 1e-15)
	n.Connect(short, b, Ground)
	near1(t, "short moved", solved(t, n).Current(r), 0.01, 1e-15)
	n.Open(short, true)
	n.Reverse(v)
	near1(t, "reversed", solved(t, n).Voltage(b), -5, 1e-12)
	copied := n.Clone()
	n.SetResistance(q, 3000)
	near1(t, "changed", solved(t, n).Voltage(b), -7.5, 1e-12)
	near1(t, "copy untouched", solved(t, copied).Voltage(b), -5, 1e-12)
	n.SetResistance(r, 1e-6)
	near1(t, "little resistance", solved(t, n).Current(q), -10/3000.000001, 1e-15)
}

// TestBadlyScaled is a shorted battery of some thousand amperes that hangs between two resistances of a gigaohm: in sums with
// its current that of the gigaohms has three digits, and the solution says so.
func TestBadlyScaled(t *testing.T) {
	n := New()
	a, b, c, d := n.Node("a"), n.Node("b"), n.Node("c"), n.Node("d")
	n.Source("v", a, Ground, 23.7)
	n.Resistor("r1", a, b, 1.1e9)
	n.Battery("shorted", b, c, 12.3, 2.1e-3)
	n.Resistor("short", b, d, 1.3e-3)
	n.Resistor("lead", d, c, 1.2e-3)
	n.Resistor("r2", c, Ground, 0.7e9)
	s := solved(t, n)
	across := 12.3 * 2.5 / 4.6
	low := (23.7 - across) * 0.7 / 1.8
	near1(t, "lower", s.Voltage(c), low, s.Rounding())
	near1(t, "upper", s.Voltage(b), low+across, s.Rounding())
	near1(t, "across", s.Voltage(b)-s.Voltage(c), across, 1e-9)
	if !(s.Rounding() > 1e-5 && s.Rounding() < 1e-2) {
		t.Errorf("rounding may move a voltage by %v V", s.Rounding())
	}
	n.SetResistance(1, 1000)
	n.SetResistance(5, 1000)
	if s = solved(t, n); s.Rounding() > 1e-7 {
		t.Errorf("rounding may move a voltage by %v V", s.Rounding())
	}
}

// TestWarm starts from the last solution: fewer iterations, the same to the last digits that count.
func TestWarm(t *testing.T) {
	c := newFaultCases(t)
	c.fault(100, false)
	cold, err := c.solver.Solve()
	if err != nil {
		t.Fatal(err)
	}
	first, from := cold.Iterations, cold.Voltage(c.node[7])
	c.solver.Warm = true
	c.net.SetVoltage(c.sources[0], 12.61)
	warm, err := c.solver.Solve()
	if err != nil {
		t.Fatal(err)
	}
	if warm.Iterations >= first {
		t.Errorf("%d iterations after %d", warm.Iterations, first)
	}
	c.net.SetVoltage(c.sources[0], 12.6)
	if _, err := c.solver.Solve(); err != nil {
		t.Fatal(err)
	}
	near1(t, "there and back", c.solver.solution.Voltage(c.node[7]), from, 1e-9)
}

func TestRefuses(t *testing.T) {
	for _, c := range []struct {
		build func(n *Network, a, b Node)
		want  string
	}{
		{func(n *Network, a, b Node) { n.Resistor("r", a, b, -1); n.Resistor("s", a, b, 1) },
			"circuit: r: resistance of -1 ohm; want 0 to 1e+12 ohm"},
		{func(n *Network, a, b Node) { n.Resistor("r", a, b, math.NaN()) }, "circuit: r: resistance of NaN ohm; want 0 to 1e+12 ohm"},
		{func(n *Network, a, b Node) { n.Source("v", a, b, math.Inf(1)) }, "circuit: v: voltage of +Inf V; want -1e+09 to 1e+09 V"},
		{func(n *Network, a, b Node) { n.Diode("d", a, b, Diode{Saturation: 1e-9}) }, "circuit: d: emission voltage of 0 V; want 0.001 to 1000 V"},
		{func(n *Network, a, b Node) { n.Panel("p", a, b, Panel{Photocurrent: -1}) }, "circuit: p: photocurrent of -1 A; want 0 to 10000 A"},
		{func(n *Network, a, b Node) { n.Clamp("z", a, b, Clamp{}) }, "circuit: z: no breakdown voltage; want one above 0 V"},
		{func(n *Network, a, b Node) { n.Load("l", a, b, Load{Current: -1}) }, "circuit: l: current of -1 A; want 0 to 1e+06 A"},
		{func(n *Network, a, b Node) { n.Mosfet("q", a, b, Mosfet{OnResistance: -1}) }, "circuit: q: on-resistance of -1 ohm; want 0 to 1e+12 ohm"},
		{func(n *Network, a, b Node) { n.Resistor("r", a, b, 1); n.Resistor("r", a, b, 1) }, "circuit: r: a second part of this name; want each once"},
		{func(n *Network, a, b Node) { n.Resistor("r", a, 17, 1) }, "circuit: r: no node 17; want one that Node returned"},
		{func(n *Network, a, b Node) { n.Resistor("r", a, b, 1) }, "circuit: no unique solution: nothing fixes the voltage of a, b; want a resistive path to gnd"},
		{func(n *Network, a, b Node) { n.Resistor("r", a, Ground, 1); n.Current("i", Ground, b, 1) },
			"circuit: no solution: the current of i into b has no way back; want a resistive path to gnd"},
		{func(n *Network, a, b Node) {
			n.Resistor("r", a, Ground, 1)
			n.Current("i", a, b, 1)
			n.Current("j", b, a, 1)
		}, "circuit: no unique solution: nothing fixes the voltage of b; want a resistive path to gnd"},
		{func(n *Network, a, b Node) {
			n.Resistor("r", a, b, 1)
			n.Source("v", a, Ground, 12)
			n.Source("w", a, Ground, 12)
		}, "circuit: no unique solution: nothing settles how v, w share their current; want a resistance in their loop"},
		{func(n *Network, a, b Node) {
			n.Source("v", a, Ground, 12)
			n.Source("w", b, a, 1)
			n.Resistor("s", Ground, b, 0)
		}, "circuit: no solution: v, w, s contradict each other; want a resistance in their loop"},
	} {
		n := New()
		c.build(n, n.Node("a"), n.Node("b"))
		if _, err := Compile(n); err == nil || err.Error() != c.want {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
	}
}

// TestImpossibleValueIsForgotten: replaced by a possible one, the network solves again.
func TestImpossibleValueIsForgotten(t *testing.T) {
	n := New()
	a := n.Node("a")
	n.Source("v", a, Ground, 12)
	r := n.Resistor("r", a, Ground, 1)
	s, err := Compile(n)
	if err != nil {
		t.Fatal(err)
	}
	n.SetResistance(r, math.NaN())
	var bad *ValueError
	if _, err := s.Solve(); !errors.As(err, &bad) {
		t.Errorf("got %v", err)
	}
	n.SetResistance(r, 2)
	if got, err := s.Solve(); err != nil || got.Current(r) != 6 {
		t.Errorf("got %v %v", got, err)
	}
}

// TestNotANumberIsNotSolved puts a NaN past the checks: it must not count as converged.
func TestNotANumberIsNotSolved(t *testing.T) {
	n := New()
	a := n.Node("a")
	n.Source("v", a, Ground, 12)
	n.Resistor("r", a, Ground, 1)
	s, err := Compile(n)
	if err != nil {
		t.Fatal(err)
	}
	n.branches[0].emf = math.NaN()
	var not *NotSolvedError
	if _, err := s.Solve(); !errors.As(err, &not) {
		t.Errorf("got %v", err)
	}
}

// TestStepping forces each way of solving and finds the same.
func TestStepping(t *testing.T) {
	c := newFaultCases(t)
	for _, f := range []int{0, 150, 289, 291, 399} { // 289 and 291 are those that C does not solve
		c.fault(f, false)
		s, err := c.solver.Solve()
		if err != nil {
			t.Fatal(err)
		}
		want := append([]float64(nil), c.solver.x...)
		if s.How != Newton {
			t.Errorf("case %d by %v", f, s.How)
		}
		for how, way := range []func() bool{c.solver.raiseSources, c.solver.lowerConductances} {
			if !way() {
				t.Fatalf("case %d: way %d fails", f, how)
			}
			for i, v := range c.solver.x {
				near1(t, fmt.Sprintf("case %d, way %d, place %d", f, how, i), v, want[i], 1e-8)
			}
		}
		c.fault(f, true)
	}
}
