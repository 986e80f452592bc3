package heat

import (
	"errors"
	"math"
	"testing"
)

// sample is a unit of 16 nodes: a potted box in an outer box, parts in both.
func sample(t testing.TB) *Assembly {
	t.Helper()
	outer := Case{Name: "outer", Body: Body{Size: [3]float64{0.12, 0.08, 0.05}}, Wall: "abs", Thickness: 2e-3, Emissivity: 0.9, Inside: -1,
		Leads: []Lead{{Area: 2.5e-6, Diameter: 4e-3, Length: 1}}}
	inner := Case{Name: "tub", Body: Body{Size: [3]float64{0.06, 0.04, 0.02}}, Wall: "abs", Thickness: 1.5e-3, Emissivity: 0.9, Filling: Potted}
	a, err := Assemble([]Case{outer, inner}, []Part{
		{Name: "q1", Case: 0, JunctionToCase: 1.5}, {Name: "d1", Case: 0, JunctionToCase: 2}, {Name: "f1", Case: 0, JunctionToAmbient: 60},
		{Name: "q2", Case: 1, JunctionToCase: 1.5}, {Name: "d2", Case: 1, JunctionToCase: 2}, {Name: "u1", Case: 1, JunctionToAmbient: 90},
		{Name: "d3", Case: -1, JunctionToAmbient: 40}, {Name: "r1", Case: 0, JunctionToAmbient: 90},
	}, Around{})
	if err != nil {
		t.Fatal(err)
	}
	a.SetLoss(a.Junction[0], &Conduction{Current: 8, Resistance: 0.01, Tempco: 0.006, Duty: 1})
	a.SetLoss(a.Junction[1], Sum{&Rectifier{Current: 3, Drop: 0.4, Tempco: -0.0012, Duty: 1}, &Leakage{Current: 1e-5, Voltage: 20, Exponent: 0.055, Duty: 1}})
	a.SetHeat(a.Junction[2], 0.3)
	a.SetLoss(a.Junction[3], &Conduction{Current: 5, Resistance: 0.02, Tempco: 0.006, Duty: 1})
	a.SetLoss(a.Junction[4], &Rectifier{Current: 2, Drop: 0.4, Tempco: -0.0012, Duty: 1})
	a.SetHeat(a.Junction[5], 0.05)
	a.SetLoss(a.Junction[6], &Rectifier{Current: 5, Drop: 0.4, Tempco: -0.0012, Duty: 1})
	return a
}

func TestBalanceCloses(t *testing.T) {
	a := sample(t)
	for _, celsius := range []float64{-20, 25, 40, 70} {
		if err := a.Solve(Celsius0 + celsius); err != nil {
			t.Fatal(err)
		}
		made := 0.0
		for i := range a.Len() {
			made += a.Heat(Node(i))
		}
		if off := math.Abs(made - a.GivenOff()); off > 1e-9*made {
			t.Errorf("%g °C: %g W made, %g W given off", celsius, made, a.GivenOff())
		}
	}
}

func TestSteadyAndNetworkAgree(t *testing.T) {
	for _, c := range []struct {
		loss Loss
		rth  float64
	}{
		{&Conduction{Current: 5, Resistance: 0.012, Tempco: 0.006, Duty: 1, Constant: 0.15}, 60},
		{&Conduction{Current: 20, Resistance: 0.012, Tempco: 0.006, Duty: 1}, 62},
		{&Conduction{Current: 12.5, Resistance: 0.012, Tempco: 0.0045, Quadratic: 1.6e-5, Duty: 1}, 60},
		{&Conduction{Current: 9, Resistance: 0.012, Tempco: 0.0045, Quadratic: 1.6e-5, Duty: 1}, 60},
		{&Rectifier{Current: 5, Drop: 0.45, Tempco: -0.0012, Series: 0.02, Duty: 1}, 40},
		{&Leakage{Current: 5e-4, Voltage: 22, Exponent: Doubling(10), Duty: 1}, 80},
		{&Leakage{Current: 5e-4, Voltage: 22, Exponent: Doubling(10), Duty: 1}, 20},
	} {
		var n Network
		junction := n.Add("junction")
		n.Conduct(junction, Outside, 1/c.rth)
		n.SetLoss(junction, c.loss)
		ambient := Celsius0 + 50
		want, _, err := Steady(c.loss, c.rth, ambient)
		got := n.Solve(ambient)
		var runaway *Runaway
		if (err == nil) != (got == nil) || got != nil && !errors.As(got, &runaway) {
			t.Errorf("%+v: %v, network %v", c.loss, err, got)
			continue
		}
		if err == nil && math.Abs(n.Temperature(junction)-want) > 1e-7 {
			t.Errorf("%+v: %v, network %v", c.loss, want, n.Temperature(junction))
		}
	}
}

func TestLargestAmbientMeetsClosedForm(t *testing.T) {
	leak := &Leakage{Current: 5e-4, Voltage: 22, Exponent: Doubling(10), Duty: 1}
	var n Network
	junction := n.Add("junction")
	n.Conduct(junction, Outside, 1.0/80)
	n.SetLoss(junction, leak)
	got, bounded, err := n.LargestAmbient(MinAmbient, MaxAmbient)
	want, ok := leak.CriticalAmbient(80)
	if err != nil || !bounded || !ok || math.Abs(got-want) > 1e-4 {
		t.Errorf("%v %v %v; want %v", got-Celsius0, bounded, err, want-Celsius0)
	}
}

func BenchmarkSolve(b *testing.B) {
	a := sample(b)
	b.ReportAllocs()
	for b.Loop() {
		if err := a.Solve(Celsius0 + 40); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAgain(b *testing.B) {
	a := sample(b)
	b.ReportAllocs()
	at := Celsius0 + 40.0
	for b.Loop() {
		at = 2*(Celsius0+40.5) - at
		if err := a.Again(at); err != nil {
			b.Fatal(err)
		}
	}
}
