package heat

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"hindwatt/internal/numeric"
)

// A network of fixed conductances is a linear system: a library for those gives the same rises.
func TestLinearNetworksMeetALibrary(t *testing.T) {
	s := numeric.NewStream(7)
	for range 200 {
		size := 2 + s.Intn(25)
		var n Network
		m, p := mat.NewDense(size, size, nil), mat.NewVecDense(size, nil)
		for i := range size {
			at := n.Add("node")
			watts := s.Float64()
			n.SetHeat(at, watts)
			p.SetVec(i, watts)
		}
		join := func(a, b int, g float64) { // node 0 is the ambient
			n.Conduct(Node(a), Node(b), g)
			for _, x := range []int{a, b} {
				if x > 0 {
					m.Set(x-1, x-1, m.At(x-1, x-1)+g)
				}
			}
			if a > 0 && b > 0 {
				m.Set(a-1, b-1, m.At(a-1, b-1)-g)
				m.Set(b-1, a-1, m.At(b-1, a-1)-g)
			}
		}
		for i := 1; i <= size; i++ {
			join(i, s.Intn(i), math.Exp(4*s.Float64()-3)) // a way to the ambient
		}
		for range s.Intn(3 * size) {
			if a, b := s.Intn(size+1), s.Intn(size+1); a != b {
				join(a, b, math.Exp(4*s.Float64()-3))
			}
		}
		var want mat.VecDense
		if err := want.SolveVec(m, p); err != nil {
			t.Fatal(err)
		}
		if err := n.Solve(300); err != nil {
			t.Fatal(err)
		}
		for i := range size {
			if got := n.Temperature(Node(i+1)) - 300; math.Abs(got-want.AtVec(i)) > 1e-8*(1+want.AtVec(i)) {
				t.Fatalf("%d nodes, node %d: %v K, want %v", size, i, got, want.AtVec(i))
			}
		}
	}
}

// scan finds the lowest temperature at which a body gives off what its loss makes, by small steps from the ambient.
func scan(surface *Surface, loss Loss, ambient float64) (float64, bool) {
	for t := ambient; t < MaxTemperature; t += 0.01 {
		q, _ := surface.Heat(t, ambient)
		if p, _ := loss.At(t); q >= p {
			return t, true
		}
	}
	return 0, false
}

// Still air carries next to nothing at a small difference: the loss grows faster than cooling there, and yet there is a
// steady state. The lowest one is found, also where an upper one exists; where there is none that is said.
func TestLowestStateOfABodyInAir(t *testing.T) {
	surface := &Surface{Faces: []Face{{FacingUp, 0.02, 4e-3}, {Vertical, 0.02, 4e-3}}}
	for _, emissivity := range []float64{0, 0.9} {
		surface.Emissivity, surface.Radiating = emissivity, 8e-3
		for amps := 1.0; amps < 60; amps *= 1.15 {
			for _, loss := range []Loss{
				&Conduction{Current: amps, Resistance: 0.012, Tempco: 0.006, Duty: 1},
				&Conduction{Current: amps, Resistance: 0.012, Tempco: 0.0045, Quadratic: 1.6e-5, Duty: 1},
				Sum{&Rectifier{Current: amps / 4, Drop: 0.4, Tempco: -1.2e-3, Duty: 1}, &Leakage{Current: 2e-5, Voltage: 20, Exponent: 0.055, Duty: 1}},
			} {
				var n Network
				at := n.Add("body")
				n.Join(at, Outside, surface)
				n.SetLoss(at, loss)
				err := n.Solve(320)
				want, steady := scan(surface, loss, 320)
				var runaway *Runaway
				switch {
				case steady != (err == nil):
					t.Fatalf("ε %g, %g A, %T: %v, by steps %v %v", emissivity, amps, loss, err, want, steady)
				case steady && math.Abs(n.Temperature(at)-want) > 0.02:
					t.Fatalf("ε %g, %g A, %T: %v, by steps %v", emissivity, amps, loss, n.Temperature(at), want)
				case !steady && !(errors.As(err, &runaway) || errors.As(err, new(*TooHot))):
					t.Fatalf("ε %g, %g A, %T: %v", emissivity, amps, loss, err)
				}
			}
		}
	}
}

// Two parts on one board: the one that leaks runs away, not the hotter one beside it.
func TestRunawayNamesThePart(t *testing.T) {
	var n Network
	board, hot, leaky := n.Add("board"), n.Add("q1"), n.Add("d1")
	n.Conduct(board, Outside, 0.1)
	n.Conduct(hot, board, 0.05)
	n.Conduct(leaky, board, 0.05)
	n.SetHeat(hot, 3)
	n.SetLoss(hot, &Conduction{Current: 1, Resistance: 0.01, Tempco: 0.006, Duty: 1})
	n.SetLoss(leaky, &Leakage{Current: 1e-3, Voltage: 20, Exponent: 0.055, Duty: 1})
	err := n.Solve(Celsius0 + 40)
	var runaway *Runaway
	if !errors.As(err, &runaway) || runaway.Node != leaky || !strings.HasPrefix(err.Error(), "d1: no steady temperature at an ambient of 40.0 °C") {
		t.Fatalf("%v", err)
	}
	begins, bounded, err := n.LargestAmbient(MinAmbient, MaxAmbient)
	if err != nil || !bounded || begins >= Celsius0+40 {
		t.Fatalf("%v %v %v", begins, bounded, err)
	}
	if n.Solve(begins) != nil || n.Solve(begins+0.001) == nil {
		t.Error("not the place where it begins")
	}
}

func TestTooHotIsNoRunaway(t *testing.T) {
	var n Network
	at := n.Add("r1")
	n.Conduct(at, Outside, 0.01)
	n.SetHeat(at, 100)
	var hot *TooHot
	if err := n.Solve(300); !errors.As(err, &hot) || !strings.HasPrefix(err.Error(), "r1 would be above 2727 °C at an ambient of 26.9 °C") {
		t.Errorf("%v", err)
	}
	n.SetHeat(at, 1)
	if err := n.Again(300); err != nil || math.Abs(n.Temperature(at)-400) > 1e-6 {
		t.Errorf("afterwards: %v %v", n.Temperature(at), err)
	}
}

func TestNetworkRefuses(t *testing.T) {
	var empty Network
	if err := empty.Solve(300); err == nil {
		t.Error("no nodes: no error")
	}
	var n Network
	a, b := n.Add("a"), n.Add("b")
	n.Conduct(a, Outside, 1)
	if err := n.Solve(300); err == nil || err.Error() != "b has no way for its heat to the ambient; want a resistance or a surface" {
		t.Errorf("%v", err)
	}
	n.Conduct(a, b, 1)
	for _, ambient := range []float64{0, 100, 500, math.NaN(), math.Inf(1)} {
		if n.Solve(ambient) == nil {
			t.Errorf("ambient %v: no error", ambient)
		}
	}
	for _, p := range []float64{-1, math.NaN(), math.Inf(1)} {
		n.SetHeat(b, p)
		if n.Solve(300) == nil {
			t.Errorf("%v W: no error", p)
		}
	}
	n.SetHeat(b, 1)
	if err := n.Solve(300); err != nil || math.Abs(n.Temperature(b)-302) > 1e-9 {
		t.Errorf("%v %v", n.Temperature(b), err)
	}
}

func TestNoHeatNoRise(t *testing.T) {
	a := sample(t)
	for i := range a.Len() {
		a.SetHeat(Node(i), 0)
		a.SetLoss(Node(i), nil)
	}
	if err := a.Solve(300); err != nil {
		t.Fatal(err)
	}
	for i := range a.Len() {
		near(t, a.Name(Node(i)), a.Temperature(Node(i)), 300, 1e-6)
	}
}

func TestSolvingAllocatesNothing(t *testing.T) {
	a := sample(t)
	ambient := 300.0
	if n := testing.AllocsPerRun(100, func() {
		ambient = 610 - ambient
		a.SetDoubt(Doubt{0.9, 1.1, 1, 1, 1, 1})
		a.SetAround(Around{Altitude: 500})
		a.SetPart(0, 1.4, 0)
		if a.Solve(ambient) != nil || a.Again(ambient+1) != nil {
			t.Fatal("no state")
		}
	}); n > 0 {
		t.Errorf("%v allocations", n)
	}
}

// The same state from below and from another state, and the same bits from the same start.
func TestWarmStartMeetsColdStart(t *testing.T) {
	a, b := sample(t), sample(t)
	if a.Solve(340) != nil || a.Again(310) != nil || b.Solve(310) != nil {
		t.Fatal("no state")
	}
	for i := range a.Len() {
		near(t, a.Name(Node(i)), a.Temperature(Node(i)), b.Temperature(Node(i)), 1e-6)
	}
	c := sample(t)
	if c.Solve(310) != nil {
		t.Fatal("no state")
	}
	for i := range c.Len() {
		if b.Temperature(Node(i)) != c.Temperature(Node(i)) {
			t.Errorf("%s: %v and %v", c.Name(Node(i)), b.Temperature(Node(i)), c.Temperature(Node(i)))
		}
	}
}

// A network without growing losses has a steady state up to the largest ambient that is accepted.
func TestLargestAmbientWithoutBound(t *testing.T) {
	var n Network
	at := n.Add("r1")
	n.Conduct(at, Outside, 1)
	n.SetHeat(at, 1)
	if got, bounded, err := n.LargestAmbient(MinAmbient, 1000); got != MaxAmbient || bounded || err != nil {
		t.Errorf("%v %v %v", got, bounded, err)
	}
	if _, _, err := n.LargestAmbient(0, 300); err == nil {
		t.Error("from 0 K: no error")
	}
}

// A resistance that is drawn at nothing gives no infinity.
func TestPartDrawnAtNothing(t *testing.T) {
	a := sample(t)
	a.SetPart(2, 0, 0)
	a.SetPart(0, -1, 0)
	if err := a.Solve(300); err != nil {
		t.Fatal(err)
	}
	for i := range a.Len() {
		if now := a.Temperature(Node(i)); !(now >= 300 && now < 500) {
			t.Errorf("%s at %v K", a.Name(Node(i)), now)
		}
	}
}
