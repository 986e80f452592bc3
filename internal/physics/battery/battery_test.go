package battery

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.9g, want %.9g within %g", what, got, want, tol)
	}
}

func lead(t *testing.T, c Chemistry, capacity float64) *Battery {
	t.Helper()
	b, err := New(Defaults(c, 20*hour), 6, capacity*ah)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The standard's example of rainflow counting: ASTM E1049-85, figure 6 and its table, from memory.
func TestRainflowStandard(t *testing.T) {
	got := map[float64]float64{}
	r := NewRainflow(func(size, cycles float64) { got[size] += cycles })
	for _, x := range []float64{-2, 1, -3, 5, -1, 3, -4, 4, -2} {
		r.Add(x)
	}
	r.End()
	want := map[float64]float64{3: 0.5, 4: 1.5, 6: 0.5, 8: 1, 9: 0.5}
	if len(got) != len(want) {
		t.Errorf("ranges %v, want %v", got, want)
	}
	for size, n := range want {
		near(t, "cycles", got[size], n, 0)
	}
}

// Steps on the way and rests count nothing: the same ranges as without them.
func TestRainflowIgnoresSteps(t *testing.T) {
	count := func(course []float64) (sum, all float64) {
		r := NewRainflow(func(size, cycles float64) { sum += size * cycles; all += cycles })
		for _, x := range course {
			r.Add(x)
		}
		r.End()
		return sum, all
	}
	a, n := count([]float64{0, 1, 0.2, 0.7, 0, 1})
	b, m := count([]float64{0, 0.5, 1, 1, 0.5, 0.2, 0.2, 0.4, 0.7, 0.3, 0, 0, 0.9, 1})
	if a != b || n != m {
		t.Errorf("%g in %g cycles, with steps %g in %g", a, n, b, m)
	}
}

// Open-circuit voltages at rest, common practice: flooded 12.65, 12.24, 11.89 V at 100, 50, 0 %; absorbed mat 12.9 and 11.8 V.
func TestOpenCircuit(t *testing.T) {
	for _, c := range []struct {
		chemistry    Chemistry
		state, volts float64
		tol          float64
	}{{Flooded, 1, 12.65, 0.01}, {Flooded, 0.75, 12.45, 0.02}, {Flooded, 0.5, 12.24, 0.04}, {Flooded, 0.25, 12.06, 0.03}, {Flooded, 0, 11.89, 0.01},
		{AGM, 1, 12.9, 0.06}, {Gel, 0.5, 12.35, 0.06}, {AGM, 0, 11.8, 0.01}} {
		b := lead(t, c.chemistry, 60)
		v, _ := b.Open(b.Deficit(c.state), Warm)
		near(t, c.chemistry.String(), v, c.volts, c.tol)
	}
}

// A battery discharged at its rated current from full ends at 1.75 V a cell when its capacity is out (how capacity is measured).
func TestRatedDischarge(t *testing.T) {
	for _, hours := range []float64{10, 20, 100} {
		b, err := New(Defaults(Flooded, hours*hour), 6, 60*ah)
		if err != nil {
			t.Fatal(err)
		}
		current := b.Capacity / (hours * hour)
		v, ok := b.At(b.Capacity, Warm).Voltage(-current)
		if !ok {
			t.Fatalf("%g h: no voltage", hours)
		}
		near(t, "end voltage", v, 6*1.75, 0.01)
	}
}

// At which voltage a battery stands when all of the current is gassing. Closed form of the gassing law: 45 Ah, 1.1 A, 20 mA/100 Ah: 16.00 V (computed independently).
func TestAllGassing(t *testing.T) {
	b := lead(t, Flooded, 45)
	b.Cell.Gas = per100Ah(0.020)
	v, ok := b.At(b.Deficit(b.Cell.Cc), 298).Voltage(1.1)
	near(t, "terminal voltage", v, 16.00, 0.005)
	if !ok {
		t.Error("no voltage")
	}
}

// The slope of equal gassing over temperature: −0.06/11 V/K a cell (computed independently).
func TestEqualGassing(t *testing.T) {
	cold, _ := Gassing(100*ah, 2.4, 298, 0.02, 11, 0.06)
	warm, _ := Gassing(100*ah, 2.4-0.06/11*10, 308, 0.02, 11, 0.06)
	near(t, "gassing", warm, cold, 1e-12)
}

// Faraday: a mole of water for two of electrons, 0.336 g and 0.418 L of hydrogen for 1 Ah a cell (IEC 62485-2, 7.2, from memory: 0.336 g, 0.42 L).
func TestWater(t *testing.T) {
	near(t, "water", Water(ah, 1, 0), 0.336e-3, 0.0005e-3)
	near(t, "hydrogen", Hydrogen(ah, 1, 0, zero), 0.418e-3, 0.0005e-3)
	near(t, "of six cells, 97 % recombined", Water(ah, 6, 0.97), 6*0.03*Water(ah, 1, 0), 1e-18)
}

// The table of IEC 62485-2:2010, 7.2 (from memory): vented 5 and 20 mA/Ah, valve-regulated 1 and 8.
func TestVentilation(t *testing.T) {
	for _, c := range []struct {
		chemistry     Chemistry
		float, boost  float64
		volts, charge float64
	}{{Flooded, 5, 20, 12, 100}, {AGM, 1, 8, 24, 200}, {Gel, 1, 8, 12, 50}} {
		vent := Defaults(c.chemistry, 20*hour).Vent
		near(t, "float", vent.Float, c.float, 0)
		near(t, "boost", vent.Boost, c.boost, 0)
		n := c.volts / 2
		flow, opening := Ventilation(int(n), vent.Boost, c.charge*ah)
		near(t, "flow, m³/h", flow*hour, 0.05*n*c.boost*c.charge/1000, 1e-12)
		near(t, "opening, cm²", opening*1e4, 28*0.05*n*c.boost*c.charge/1000, 1e-9)
	}
}

func TestBranchIsMonotone(t *testing.T) {
	for c := Flooded; c <= LiFePO4; c++ {
		b := lead(t, c, 60)
		for _, state := range []float64{1.0009, 0.999, 0.7, 0.2, 0, -0.019} {
			br := b.At(b.Deficit(state), 285)
			before := math.Inf(-1)
			for v := 0.0; v < 40; v += 0.05 {
				i := br.Main(v) + br.Gassing(v)
				if !(i >= before) || math.IsInf(i, 0) {
					t.Fatalf("%v at %g: %g A at %g V after %g A", c, state, i, v, before)
				}
				before = i
			}
		}
	}
}

func TestAgeTakesCapacity(t *testing.T) {
	b := lead(t, AGM, 60)
	old := b.Aged(b.Cell.Life)
	near(t, "capacity at the end of life", old.Capacity, 0.8*b.Capacity, 1e-6)
	near(t, "resistance", b.At(b.Deficit(0.5), Warm).Discharge/old.At(old.Deficit(0.5), Warm).Discharge, 2, 1e-9)
	if b.Aged(0) != b {
		t.Error("a new battery has aged")
	}
}

func TestSelfDischargeDoubles(t *testing.T) {
	b := lead(t, Flooded, 100)
	near(t, "25 °C: 5 % a month, in A", b.SelfDischarge(Warm), 5.0/(365.25*24/12), 1e-6)
	near(t, "35 °C", b.SelfDischarge(Warm+10)/b.SelfDischarge(Warm), 2, 1e-12)
}

func TestGuard(t *testing.T) {
	b := lead(t, LiFePO4, 50)
	b.Cells = 4
	g := b.Next(Guard{}, 14.7, 298)
	if !g.NoCharge || g.NoDischarge {
		t.Errorf("above 14.6 V: %+v", g)
	}
	if g = b.Next(g, 14.3, 298); !g.NoCharge {
		t.Error("closed before the voltage had fallen")
	}
	if g = b.Next(g, 13.9, 298); g.NoCharge {
		t.Error("stays open")
	}
	if g = b.Next(g, 13.9, 272); !g.NoCharge {
		t.Error("charged in frost")
	}
	if g = b.Next(Guard{}, 9.9, 298); !g.NoDischarge {
		t.Error("discharged below 10 V")
	}
}

func TestRefuses(t *testing.T) {
	flooded := Defaults(Flooded, 20*hour)
	bad := flooded
	bad.Recombination = 1.5
	falling := Defaults(LiFePO4, 0)
	falling.Curve = []Knot{{0, 3}, {1, 2}}
	for _, c := range []struct {
		cell     Cell
		cells    int
		capacity float64
		say      string
	}{
		{flooded, 0, 1, "0 cells in series; want 1 to 1000"},
		{flooded, 6, 0, "a capacity of 0 Ah; want more than 0"},
		{flooded, 6, math.NaN(), "a capacity of NaN Ah; want more than 0"},
		{bad, 6, 1, "recombination of a cell is 1.5 in SI units; want 0 to 1"},
		{falling, 4, 1, "the open-circuit curve falls at a state of 1; want it to rise"},
	} {
		if _, err := New(c.cell, c.cells, c.capacity); err == nil || err.Error() != c.say {
			t.Errorf("says %v, want %s", err, c.say)
		}
	}
	if _, err := Gassing(100*ah, 100, 298, 0.02, 11, 0.06); err == nil {
		t.Error("gassing at 100 V a cell")
	}
}

// Wells: what is drawn is missing from both together, and at rest they come to their fractions.
func TestWells(t *testing.T) {
	w := Wells{Available: 15.75 * ah, Bound: 34.25 * ah, Fraction: 0.315, Rate: 1.24 / hour}
	after := w.Draw(-8, 2*hour)
	near(t, "sum", after.Available+after.Bound, 66*ah, 1e-6)
	rest := after.Draw(0, 100*hour)
	near(t, "at rest", rest.Available/(66*ah), 0.315, 1e-9)
	twice := w.Draw(4, hour).Draw(4, hour)
	once := w.Draw(4, 2*hour)
	near(t, "in two steps", twice.Available, once.Available, 1e-6)
	total := 100.0 * ah
	full := Wells{Available: 0.315 * total, Bound: 0.685 * total, Fraction: 0.315, Rate: 1.24 / hour}
	c := WellCapacity(total, 0.315, 1.24/hour, 10*hour)
	near(t, "empties in its time", full.Draw(c/(10*hour), 10*hour).Available, 0, 1e-3)
}

func TestLagging(t *testing.T) {
	near(t, "one time constant", Lagging(5, 5), math.Exp(-1), 1e-15)
	near(t, "no lag", Lagging(5, 0), 0, 0)
}

// A sealed battery turns back 97 % of a little gas, and of much no more than C/100 (estimate): by hand for 40 Ah, 0.1 A and 3 A.
func TestRecombined(t *testing.T) {
	b := lead(t, AGM, 40)
	near(t, "of little", b.Recombined(0.1), 0.097, 1e-12)
	near(t, "of much", b.Recombined(3), 0.4, 1e-12)
	near(t, "where the two meet", b.Overwhelmed(), 0.4/0.97, 1e-12)
	vented := lead(t, Flooded, 40)
	near(t, "vented", vented.Recombined(3), 0, 0)
	if !math.IsInf(vented.Overwhelmed(), 1) {
		t.Error("a vented battery is overwhelmed")
	}
}

// Of gas that all recombines all energy stays as heat; of gas that all escapes, 285.83 kJ for each mole of water leave (its enthalpy of formation: published).
func TestOverchargeHeat(t *testing.T) {
	near(t, "all recombines", OverchargeHeat(1000, 0, 6), 1000, 0)
	mole := 2 * Faraday
	near(t, "all escapes", OverchargeHeat(6*2.4*mole, mole, 6), 6*(2.4*mole-285.83e3), 6*100)
}
