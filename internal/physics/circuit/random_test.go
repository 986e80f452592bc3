package circuit

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"hindwatt/internal/numeric"
)

// drawn is a random network and what went into it.
type drawn struct {
	net   *Network
	parts []drawnPart
}

type drawnPart struct {
	id      ID
	a, b    Node
	kind    kind
	ohms    float64 // of linear ones
	emf     float64
	amps    float64
	diode   Diode
	panel   Panel
	load    Load
	clamp   Clamp
	mosfet  Mosfet
	on, off bool
}

// draw makes a network of 1 to 30 parts of every kind, wild values, floating pieces and conflicts among them.
func draw(seed uint64) drawn {
	s := numeric.NewStream(drawSeed, seed)
	d := drawn{net: New()}
	nodes := 2 + s.Intn(11)
	for i := 1; i < nodes; i++ {
		d.net.Node(fmt.Sprint("n", i))
	}
	joined := s.Intn(2) == 0 // every node is reached from ground, if there are parts enough
	for i := range 1 + s.Intn(30) {
		p := drawnPart{a: Node(s.Intn(nodes)), b: Node(s.Intn(nodes))}
		if joined && i+1 < nodes {
			p.a, p.b = Node(i+1), Node(s.Intn(i+1))
		}
		name := fmt.Sprint("p", i)
		switch k := s.Intn(20); {
		case k < 8:
			p.kind, p.ohms = resistor, wild(&s, 1e-6, 1e9)
			if s.Intn(40) == 0 {
				p.ohms = 0
			}
			p.id = d.net.Resistor(name, p.a, p.b, p.ohms)
		case k == 8:
			p.kind, p.emf = source, volts(&s)
			p.id = d.net.Source(name, p.a, p.b, p.emf)
		case k < 11:
			p.kind, p.emf, p.ohms = source, volts(&s), wild(&s, 1e-4, 1e2)
			p.id = d.net.Battery(name, p.a, p.b, p.emf, p.ohms)
		case k == 11:
			p.kind, p.amps = current, s.Uniform(-10, 10)
			p.id = d.net.Current(name, p.a, p.b, p.amps)
		case k < 15:
			p.kind, p.diode = diode, drawDiode(&s)
			p.id = d.net.Diode(name, p.a, p.b, p.diode)
		case k == 15:
			p.kind, p.panel = panel, drawPanel(&s)
			p.id = d.net.Panel(name, p.a, p.b, p.panel)
		case k < 18:
			p.kind, p.mosfet, p.on = mosfet, Mosfet{PChannel: s.Intn(2) == 0, OnResistance: wild(&s, 1e-4, 1), Body: drawDiode(&s)}, s.Intn(2) == 0
			p.id = d.net.Mosfet(name, p.a, p.b, p.mosfet)
			d.net.Switch(p.id, p.on)
		case k == 18:
			p.kind, p.clamp = clamp, Clamp{Breakdown: Breakdown{Voltage: s.Uniform(5, 60)}, Series: wild(&s, 1e-3, 10), Bidirectional: s.Intn(2) == 0}
			p.id = d.net.Clamp(name, p.a, p.b, p.clamp)
		default:
			p.kind, p.load = load, Load{Current: wild(&s, 1e-4, 20), Fade: s.Uniform(0.2, 12)}
			p.id = d.net.Load(name, p.a, p.b, p.load)
		}
		if s.Intn(12) == 0 && !joined {
			p.off = true
			d.net.Open(p.id, true)
		}
		d.parts = append(d.parts, p)
	}
	return d
}

func wild(s *numeric.Stream, low, high float64) float64 {
	return math.Exp(s.Uniform(math.Log(low), math.Log(high)))
}

func volts(s *numeric.Stream) float64 {
	if s.Intn(10) == 0 {
		return s.Uniform(-1, 1) * 1e4
	}
	return s.Uniform(-60, 60)
}

func drawDiode(s *numeric.Stream) Diode {
	d := Diode{Saturation: wild(s, 1e-15, 1e-3), Emission: s.Uniform(0.02, 0.06)}
	if s.Intn(2) == 0 {
		d.Series = wild(s, 1e-6, 1e3)
	}
	if s.Intn(3) == 0 {
		d.Breakdown = Breakdown{Voltage: s.Uniform(5, 200)}
	}
	if s.Intn(3) == 0 {
		d.Leakage = Leakage{Current: wild(s, 1e-9, 1e-2), Voltage: s.Uniform(5, 100), Exponent: s.Uniform(0.5, 2)}
	}
	return d
}

func drawPanel(s *numeric.Stream) Panel {
	p := Panel{Photocurrent: s.Uniform(0, 9), Saturation: wild(s, 1e-12, 1e-7), A: s.Uniform(0.5, 4), Series: wild(s, 1e-3, 5), Shunt: wild(s, 10, 1e5)}
	if s.Intn(3) == 0 {
		p.Photocurrent = 0
	}
	if s.Intn(2) == 0 {
		p.Bypass = &Diode{Saturation: 1e-7, Emission: 0.027, Series: 0.01}
		p.Bypasses = 1 + s.Intn(3)
	}
	return p
}

const randomNetworks = 10_000

var drawSeed uint64 = 77

// TestRandomNetworks solves 10,000 random networks: each is solved and holds by its own equations, lies beyond 1e9 V by them, or is named and
// is without unique solution by the rank of its matrix.
func TestRandomNetworks(t *testing.T) {
	how := map[How]int{}
	named, worst, far := 0, 0, 0
	for seed := range uint64(randomNetworks) {
		d := draw(seed)
		full := d.fullRank()
		solver, err := Compile(d.net)
		var s *Solution
		if err == nil {
			s, err = solver.Solve()
		}
		var not *NoUniqueError
		var out *OutOfReachError
		switch {
		case errors.As(err, &out):
			if !full {
				t.Errorf("%d: %v, but the matrix has not full rank", seed, err)
			}
			far++
			if problem := d.beyond(out.Node, solver); problem != "" {
				t.Errorf("%d: %v, but %s", seed, err, problem)
			}
			continue
		case errors.As(err, &not):
			if named++; full {
				t.Errorf("%d: %v, but the matrix has full rank", seed, err)
			}
			if err.Error() == "" || len(not.Floating)+len(not.Sources) == 0 {
				t.Errorf("%d: nothing is named", seed)
			}
			continue
		case err != nil:
			t.Errorf("%d: %v", seed, err)
			continue
		case !full:
			t.Errorf("%d: solved, but the matrix has not full rank", seed)
		}
		how[s.How]++
		worst = max(worst, s.Iterations)
		if problem := d.audit(s); problem != "" {
			t.Errorf("%d: %s (%v, %d iterations)", seed, problem, s.How, s.Iterations)
		}
		again, err := Compile(draw(seed).net)
		if err != nil {
			t.Fatal(err)
		}
		r, err := again.Solve()
		if err != nil {
			t.Fatal(err)
		}
		for i := range solver.x {
			if math.Float64bits(solver.x[i]) != math.Float64bits(r.solver.x[i]) {
				t.Errorf("%d: other bits on a second run", seed)
				break
			}
		}
	}
	t.Logf("%d beyond reach; %d named, solved by %v, at most %d iterations", far, named, how, worst)
	if named < randomNetworks/20 || named > randomNetworks*9/10 {
		t.Errorf("%d of %d named: the draw tests one side only", named, randomNetworks)
	}
}

// beyond holds the node of the largest voltage at 1e9 V: as every part lets more through at more voltage, the network
// still drives current out of it just if its open voltage is larger.
func (d drawn) beyond(name string, s *Solver) string {
	volts := math.Copysign(1e9, s.x[d.net.Node(name)])
	n := d.net.Clone()
	probe := n.Source("probe", n.Node(name), Ground, volts)
	held, err := Compile(n)
	if err != nil {
		return err.Error()
	}
	_, err = held.Solve()
	if out := (*OutOfReachError)(nil); errors.As(err, &out) { // another node lies yet further
		held.record()
	} else if err != nil {
		return err.Error()
	}
	held.weigh(1, 0)
	if i := held.solution.Current(probe); !(math.Copysign(i, i*volts) > 0) || math.Abs(i) <= 8*epsilon*held.weight[n.Node(name)] {
		return fmt.Sprintf("held at %v V it takes %v A", volts, i)
	}
	return ""
}

// fullRank asks the singular values of the matrix of the network with every conducting part replaced by a
// resistance of some ohms: whether a solution is unique does not depend on the values.
func (d drawn) fullRank() bool {
	var paths [][3]float64 // from, to, ohms
	for i, p := range d.parts {
		if p.off || p.kind == current {
			continue
		}
		ohms := 1 + 0.37*float64(i%7)
		if p.kind <= source && p.ohms == 0 {
			ohms = 0
		}
		if p.kind == mosfet && p.on && p.mosfet.OnResistance == 0 {
			ohms = 0
		}
		paths = append(paths, [3]float64{float64(p.a), float64(p.b), ohms})
	}
	nodes := d.net.Nodes() - 1
	size := nodes + len(paths) // a current of every path is an unknown
	m := mat.NewDense(size, size, nil)
	for k, p := range paths {
		row := nodes + k
		for side, node := range []int{int(p[0]), int(p[1])} {
			sign := 1 - 2*float64(side)
			if node > 0 {
				m.Set(node-1, row, m.At(node-1, row)+sign)
				m.Set(row, node-1, m.At(row, node-1)+sign)
			}
		}
		m.Set(row, row, -p[2])
	}
	var svd mat.SVD
	if !svd.Factorize(m, mat.SVDNone) {
		panic("no singular values")
	}
	values := svd.Values(nil)
	return values[size-1] > 1e-10*values[0]
}

// audit computes each part's current from the voltages by the part's own equation, and sums them at the nodes.
func (d drawn) audit(s *Solution) string {
	nodes := d.net.Nodes()
	sum, slack := make([]float64, nodes), make([]float64, nodes)
	var power, flow, wobble float64
	for _, p := range d.parts {
		v, i := s.Across(p.id), s.Current(p.id)
		if math.IsNaN(v) || math.IsNaN(i) || math.IsInf(v, 0) || math.IsInf(i, 0) {
			return fmt.Sprintf("part %d: %v V, %v A", p.id, v, i)
		}
		noise := 8 * epsilon * (math.Abs(s.Voltage(p.a)) + math.Abs(s.Voltage(p.b)) + math.Abs(p.emf) + 1e-3)
		low, high := p.current(v-noise), p.current(v+noise)
		if p.off {
			low, high = 0, 0
		} else if p.kind <= source && p.ohms == 0 {
			if math.Abs(v-p.emf) > noise {
				return fmt.Sprintf("part %d: %v V instead of %v", p.id, v, p.emf)
			}
			low, high = i, i
		}
		rounding := 1e-18 + 2e-14*p.panel.Photocurrent // of this function's own sums
		if few := rounding + 1e-9*max(math.Abs(i), s.Largest*1e-3); i < low-few || i > high+few {
			return fmt.Sprintf("part %d (kind %d): %v A at %v V, its equation says %v to %v", p.id, p.kind, i, v, low, high)
		}
		sum[p.a] += i
		sum[p.b] -= i
		slack[p.a] += high - low + rounding
		slack[p.b] += high - low + rounding
		power += s.Power(p.id)
		flow += math.Abs(s.Power(p.id))
		wobble += (high - low + rounding) * (math.Abs(s.Voltage(p.a)) + math.Abs(s.Voltage(p.b)))
	}
	for node := 1; node < nodes; node++ {
		if !(math.Abs(sum[node]) <= 1.1e-9*s.Largest+slack[node]) {
			return fmt.Sprintf("%v A over at node %d, largest current %v", sum[node], node, s.Largest)
		}
	}
	highest := 0.0
	for node := range nodes {
		highest = max(highest, math.Abs(s.Voltage(Node(node))))
	}
	if !(math.Abs(power) <= 1e-9*flow+float64(nodes)*1.1e-9*s.Largest*highest+wobble) {
		return fmt.Sprintf("%v W over of %v", power, flow)
	}
	return ""
}

// current is that of a part at a voltage, by bisection on the voltage of the junction.
func (p drawnPart) current(v float64) float64 {
	switch p.kind {
	case resistor, source:
		return (v - p.emf) / p.ohms
	case current:
		return p.amps
	case diode:
		return behind(p.diode.Series, v, p.diode.bare)
	case panel:
		i := behind(p.panel.Series, v, func(u float64) float64 {
			return bareExp(p.panel.Saturation, p.panel.A, u) + u/p.panel.Shunt + u*LeastConductance - p.panel.Photocurrent
		})
		if p.panel.Bypass != nil {
			n := float64(p.panel.Bypasses)
			i -= behind(p.panel.Bypass.Series, -v/n, func(u float64) float64 {
				return bareExp(p.panel.Bypass.Saturation, p.panel.Bypass.Emission, u) + u*n*LeastConductance
			})
		}
		return i
	case mosfet:
		sign := -1.0
		if p.mosfet.PChannel {
			sign = 1
		}
		i := sign * behind(p.mosfet.Body.Series, sign*v, p.mosfet.Body.bare)
		if p.on {
			i += v / p.mosfet.OnResistance
		}
		return i
	case clamp:
		return -behind(p.clamp.Series, -v, func(u float64) float64 {
			reverse := bareBreakdown(p.clamp.Breakdown, -u)
			if p.clamp.Bidirectional {
				return bareBreakdown(p.clamp.Breakdown, u) - reverse + u*LeastConductance
			}
			return bareExp(1e-9, 0.02585, u) - reverse + u*LeastConductance
		})
	}
	x := min(max(v/p.load.Fade, 0), 1)
	return p.load.Current*x*x*(3-2*x) + v*LeastConductance
}

// bareExp goes on as a tangent from 1e6 A.
func bareExp(is, a, u float64) float64 { return is*straightExp(is, u/a) - is }

func straightExp(is, x float64) float64 {
	if top := math.Log(1e6 / is); x > top {
		return math.Exp(top) * (1 + x - top)
	}
	return math.Exp(x)
}

// bareBreakdown is the current beyond a breakdown voltage, both positive.
func bareBreakdown(b Breakdown, u float64) float64 {
	if b.Voltage == 0 {
		return 0
	}
	knee := max(0.02585, 0.002*b.Voltage)
	return 1e-3 * (straightExp(1e-3, (u-b.Voltage)/knee) - math.Exp(-b.Voltage/knee))
}

func (d Diode) bare(u float64) float64 {
	i := bareExp(d.Saturation, d.Emission, u) - bareBreakdown(d.Breakdown, -u) + u*(d.Shunt+LeastConductance)
	if l := d.Leakage; l.Current > 0 {
		const delta = 0.02585
		scale := l.Current / (math.Pow(l.Voltage+delta, l.Exponent) - math.Pow(delta, l.Exponent))
		if u < 0 {
			i -= scale * (math.Pow(delta-u, l.Exponent) - math.Pow(delta, l.Exponent))
		} else {
			i += scale * l.Exponent * math.Pow(delta, l.Exponent-1) * u
		}
	}
	return i
}

// behind is the current through a series resistance and a curve.
func behind(series, v float64, curve func(float64) float64) float64 {
	if series == 0 {
		return curve(v)
	}
	low, high := min(v, 0)-series*20, max(v, 0)+series*20 // 20 A is more than any photocurrent here
	for range 200 {
		middle := low + (high-low)/2
		if middle+series*curve(middle) > v {
			high = middle
		} else {
			low = middle
		}
	}
	if i := curve(low); math.Abs(i*series) < math.Abs(v)/2 {
		return i
	}
	return (v - low) / series
}
