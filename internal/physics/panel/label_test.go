package panel

import (
	"math"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/numeric"
)

// example20 is the label of a 20 W panel of 36 cells (invented).
var example20 = Label{ShortCircuit: 1.28, OpenCircuit: 21.6, PeakCurrent: 1.16, PeakVoltage: 17.3, PeakPower: 20, Cells: 36}

func fitLabel(t *testing.T, l Label) Fit {
	t.Helper()
	f, err := l.Fit()
	if err != nil {
		t.Fatal(err)
	}
	if err := f.Reference.Check(); err != nil {
		t.Fatalf("%+v gives %v", l, err)
	}
	return f
}

// meets fails unless the fitted panel has its label's three points and its maximum there.
func meets(t *testing.T, f Fit, l Label) {
	t.Helper()
	c := f.Reference
	v, _, _ := c.MaximumPower()
	for _, p := range []struct{ got, want, tol float64 }{
		{c.ShortCircuit(), l.ShortCircuit, 1e-9}, {c.OpenCircuit(), l.OpenCircuit, 1e-8},
		{c.Current(l.PeakVoltage), l.PeakCurrent, 1e-9}, {v, l.PeakVoltage, 1e-4},
	} {
		if math.Abs(p.got-p.want) > p.tol*p.want {
			t.Errorf("%+v: %v, want %v", l, p.got, p.want)
		}
	}
}

func TestLabelIsMet(t *testing.T) {
	f := fitLabel(t, example20)
	meets(t, f, example20)
	if f.Ideality != 1 || len(f.Notes) != 0 {
		t.Errorf("ideality %v, notes %q", f.Ideality, f.Notes)
	}
}

// The label that a known panel would have gives the panel back.
func TestKnownPanelIsFoundAgain(t *testing.T) {
	p := example()
	p.DarkShunt = 3000
	c := p.Reference
	v, i, _ := c.MaximumPower()
	const step = 10
	hot, cold := p.At(1000, ReferenceTemperature+step), p.At(1000, ReferenceTemperature-step)
	tempco := (hot.OpenCircuit() - cold.OpenCircuit()) / (2 * step)
	// 0.9 V is below an ideality of 1 for 36 cells; 34 cells have it at 1.03
	f := fitLabel(t, Label{ShortCircuit: c.ShortCircuit(), OpenCircuit: c.OpenCircuit(), PeakCurrent: i, PeakVoltage: v, Cells: 34,
		CurrentTempco: &p.Tempco, VoltageTempco: &tempco, DarkShunt: 3000})
	for _, pair := range [][2]float64{{f.Reference.Photocurrent, 1.287}, {f.Reference.Saturation, 5e-11}, {f.Reference.Thermal, 0.9}, {f.Reference.Series, 1.4}, {f.Reference.Shunt, 300}} {
		if math.Abs(pair[0]/pair[1]-1) > 1e-5 {
			t.Errorf("found %v, want %v (%q)", pair[0], pair[1], f.Notes)
		}
	}
}

// A copied coefficient of -0.33 %/K would want an ideality of 0.93 (computed independently): it is held at 1 and said.
func TestCopiedTempco(t *testing.T) {
	l := example20
	copied := -0.0033 * l.OpenCircuit
	l.VoltageTempco = &copied
	f := fitLabel(t, l)
	meets(t, f, l)
	if f.Ideality != 1 || len(f.Notes) != 1 || !strings.HasPrefix(f.Notes[0], "the voltage coefficient of -0.330 %/K goes with no such cells; -0.381 %/K is taken (ideality 1.00)") {
		t.Errorf("ideality %v, notes %q", f.Ideality, f.Notes)
	}
	g := Fit{Panel: Panel{Cells: 36, Tempco: 6.4e-4}}
	g.set(l, 0.93)
	if math.Abs(g.VoltageTempco/l.OpenCircuit+0.00331) > 0.000005 {
		t.Errorf("ideality 0.93 has %v /K", g.VoltageTempco/l.OpenCircuit)
	}
	// The same panel with the coefficient of its label, hot, cold and dim (computed independently with another solver):
	g.DarkShunt = 0
	hot, cold, dim := g.At(1000, 338.15), g.At(1000, 263.15), g.At(200, 318.15)
	_, _, p := hot.MaximumPower()
	v, _, _ := cold.MaximumPower()
	for _, c := range []struct{ got, want, tol float64 }{{hot.OpenCircuit(), 18.7, 0.05}, {hot.Current(14.4), 1.17, 0.005}, {hot.Current(16.5), 0.81, 0.005},
		{p, 16.8, 0.05}, {cold.OpenCircuit(), 24.1, 0.05}, {v, 19.9, 0.05}, {dim.OpenCircuit(), 18.7, 0.05}, {dim.Current(14.4), 0.246, 0.0005}} {
		if math.Abs(c.got-c.want) > c.tol {
			t.Errorf("%v, want %v", c.got, c.want)
		}
	}
}

func TestContradictionsAreSaid(t *testing.T) {
	for part, change := range map[string]func(*Label){
		"fill factor 0.5":                        func(l *Label) { l.PeakVoltage = 13 },
		"peak power 30 W":                        func(l *Label) { l.PeakPower = 30 },
		"0.675 V of open circuit for each of 32": func(l *Label) { l.Cells = 32 },
		"peak current 0.98 of the short-circuit": func(l *Label) { l.PeakCurrent = 1.2544 },
		"peak voltage 0.90 of the open-circuit":  func(l *Label) { l.PeakVoltage = 19.44 },
		"no cells have so square a curve":        func(l *Label) { l.PeakVoltage, l.PeakCurrent = 19.44, 1.26 },
		"the number of cells is not given: 36":   func(l *Label) { l.Cells = 0 },
	} {
		l := example20
		change(&l)
		f := fitLabel(t, l)
		found := slices.ContainsFunc(f.Notes, func(n string) bool { return strings.Contains(n, part) })
		if want := part != "0.675 V of open circuit for each of 32"; found != want { // 0.675 V is possible
			t.Errorf("%q: notes %q", part, f.Notes)
		}
	}
}

// An amorphous panel meets its label with recombination, and its curve falls without a kink.
func TestAmorphous(t *testing.T) {
	for _, l := range []Label{
		{ShortCircuit: 1, OpenCircuit: 23, PeakCurrent: 0.8, PeakVoltage: 17, Amorphous: true},
		{ShortCircuit: 0.45, OpenCircuit: 26, PeakCurrent: 0.36, PeakVoltage: 17.5, Amorphous: true},
		{ShortCircuit: 0.45, OpenCircuit: 23.8, PeakCurrent: 0.38, PeakVoltage: 17.5, Amorphous: true},
	} {
		f := fitLabel(t, l)
		meets(t, f, l)
		if f.Reference.Recombination <= 0 || f.Gap != amorphousGap || len(f.Notes) != 1 { // the number of cells
			t.Errorf("%+v: %+v %q", l, f, f.Notes)
		}
		last := math.Inf(1)
		for v := -5.0; v < 1.2*l.OpenCircuit; v += 0.05 {
			i := f.Reference.Current(v)
			if i >= last {
				t.Fatalf("%v V: %v after %v", v, i, last)
			}
			last = i
		}
	}
}

// Any label that Check accepts is fitted, with a curve that Check accepts and that has its short-circuit
// current and open-circuit voltage.
func TestEveryLabelIsFitted(t *testing.T) {
	s := numeric.NewStream(2)
	square, fitted := 0, 0
	for range 1500 {
		l := Label{ShortCircuit: numeric.Exp(s.Uniform(-5, 4)), OpenCircuit: numeric.Exp(s.Uniform(-1, 6)), Amorphous: s.Intn(4) == 0}
		l.PeakCurrent, l.PeakVoltage = l.ShortCircuit*s.Uniform(0.06, 0.999), l.OpenCircuit*s.Uniform(0.06, 0.999)
		if s.Intn(2) == 0 {
			l.Cells = 1 + s.Intn(100)
		}
		if s.Intn(2) == 0 {
			b := l.OpenCircuit * s.Uniform(-0.009, 0.002)
			l.VoltageTempco = &b
		}
		if l.Check() != nil {
			continue
		}
		fitted++
		f := fitLabel(t, l)
		c := f.Reference
		if math.Abs(c.ShortCircuit()-l.ShortCircuit) > 1e-6*l.ShortCircuit || math.Abs(c.OpenCircuit()-l.OpenCircuit) > 1e-6*l.OpenCircuit {
			t.Fatalf("%+v: %v A, %v V with %+v %q", l, c.ShortCircuit(), c.OpenCircuit(), c, f.Notes)
		}
		if slices.ContainsFunc(f.Notes, func(n string) bool { return strings.Contains(n, "square") }) {
			square++
		}
	}
	if fitted < 300 || square == 0 || square == fitted {
		t.Errorf("%d labels fitted, %d too square", fitted, square)
	}
}

func TestLabelRefuses(t *testing.T) {
	steep := -1.0
	for say, change := range map[string]func(*Label){
		"short_circuit_current: 0.000 A is not possible; want a current above 0":                                                         func(l *Label) { l.ShortCircuit = 0 },
		"open_circuit_voltage: not a number is not possible; want a voltage above 0":                                                     func(l *Label) { l.OpenCircuit = math.NaN() },
		"peak_current: 1.400 A is not below the short-circuit current of 1.280 A; want the smaller current at maximum power":             func(l *Label) { l.PeakCurrent = 1.4 },
		"peak_voltage: 22.00 V is not below the open-circuit voltage of 21.60 V; want the smaller voltage at maximum power":              func(l *Label) { l.PeakVoltage = 22 },
		"peak_voltage: maximum power at 9 % of the voltage and 91 % of the current is not that of a panel; want the values of its label": func(l *Label) { l.PeakVoltage = 2 },
		"cells: -1 is not possible; want a whole number above 0":                                                                         func(l *Label) { l.Cells = -1 },
		"voltage_tempco: -1.000 V/K is not possible; want about -0.3 %/K of the open-circuit voltage":                                    func(l *Label) { l.VoltageTempco = &steep },
	} {
		l := example20
		change(&l)
		if _, err := l.Fit(); err == nil || err.Error() != say {
			t.Errorf("got %v, want %s", err, say)
		}
	}
}

// The closed form for one cell: 0.600 V and -1.980 mV/K give 0.9245 (computed independently), and it agrees with the whole
// solution, which counts the shunt and the photocurrent's change too, to 0.01.
func TestIdeality(t *testing.T) {
	if n := Ideality(0.600, -1.980e-3); math.Abs(n-0.9245) > 0.00005 {
		t.Errorf("ideality %v, want 0.9245", n)
	}
	f := Fit{Panel: Panel{Cells: 36, Tempco: 6.4e-4}}
	for _, n := range []float64{0.93, 1, 1.1, 1.3} {
		f.set(example20, n)
		if closed := Ideality(21.6/36, f.VoltageTempco/36); math.Abs(closed-n) > 0.01 {
			t.Errorf("closed form %v, solution %v", closed, n)
		}
	}
}
