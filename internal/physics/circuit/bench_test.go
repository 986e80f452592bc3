package circuit

import "testing"

// faultCases is the network of speed/c/nodal.c: 15 nodes, 24 resistors, 8 diodes, 2 sources with
// series resistance, 1 nS from each node to ground, and 400 faults.
type faultCases struct {
	net         *Network
	solver      *Solver
	node        [16]Node // the last is Ground
	resistors   [24]ID
	diodes      [8]ID
	sources     [2]ID
	short       ID
	anode, cath [8]int
}

const (
	gridNodes = 15
	open1n    = 1e9 // Ω, as C opens a resistor
)

func newFaultCases(t testing.TB) *faultCases {
	c := &faultCases{net: New()}
	n := c.net
	for i := range gridNodes {
		c.node[i] = n.Node(string(rune('a' + i)))
	}
	for i := range c.resistors {
		a, b := i%gridNodes, (i*7+3)%(gridNodes+1)
		if i < gridNodes {
			b = (i + 1) % gridNodes
			if i%5 == 4 {
				b = gridNodes
			}
		}
		if a == b {
			b = gridNodes
		}
		c.resistors[i] = n.Resistor("r"+string(rune('a'+i)), c.node[a], c.node[b], c.ohms(i))
	}
	for i := range c.diodes {
		a, b := (i*4+1)%gridNodes, (i*6+9)%(gridNodes+1)
		if a == b {
			b = gridNodes
		}
		c.anode[i], c.cath[i] = a, b
		c.diodes[i] = n.Diode("d"+string(rune('a'+i)), c.node[a], c.node[b],
			Diode{Saturation: 1e-12 * float64(1+1000*(i&1)), Emission: 0.02585})
	}
	c.sources[0] = n.Battery("va", c.node[0], Ground, 12.6, 0.05)
	c.sources[1] = n.Battery("vb", c.node[5], Ground, 20, 3)
	for i := range gridNodes {
		n.Resistor("leak"+string(rune('a'+i)), c.node[i], Ground, 1e9)
	}
	c.short = n.Resistor("short", c.node[0], c.node[1], 1e-3)
	var err error
	if c.solver, err = Compile(n); err != nil {
		t.Fatal(err)
	}
	return c
}

func (c *faultCases) ohms(i int) float64 { return 10.0 * float64(1+(i*37)%97) }

// fault sets up a case as C does: 0 … 104 two nodes shorted, 105 … 128 a resistor open, 129 … 136 a diode open,
// 137 … 144 a diode shorted, 145 … 159 a node to ground, from 160 on a source reversed besides. undo takes it back.
func (c *faultCases) fault(f int, undo bool) {
	n := c.net
	volts := [2]float64{12.6, 20}
	n.SetVoltage(c.sources[0], volts[0])
	n.SetVoltage(c.sources[1], volts[1])
	if f >= 160 {
		if i := (f / 7) & 1; !undo {
			n.SetVoltage(c.sources[i], -volts[i])
		}
		f = (f - 160) % 160
	}
	n.Open(c.short, true)
	switch {
	case f < 105:
		k := f
		for i := range gridNodes {
			w := gridNodes - 1 - i
			if k < w {
				c.lay(c.node[i], c.node[i+1+k], undo)
				break
			}
			k -= w
		}
	case f < 129:
		ohms := open1n
		if undo {
			ohms = c.ohms(f - 105)
		}
		n.SetResistance(c.resistors[f-105], ohms)
	case f < 137:
		n.Open(c.diodes[f-129], !undo)
	case f < 145:
		c.lay(c.node[c.anode[f-137]], c.node[c.cath[f-137]], undo)
	default:
		c.lay(c.node[f-145], Ground, undo)
	}
}

func (c *faultCases) lay(a, b Node, undo bool) {
	c.net.Connect(c.short, a, b)
	c.net.Open(c.short, undo)
}

func BenchmarkFaultCases(b *testing.B) {
	c := newFaultCases(b)
	b.ReportAllocs()
	iterations, unsolved := 0, 0
	for b.Loop() {
		iterations, unsolved = 0, 0
		for f := range 400 {
			c.fault(f, false)
			s, err := c.solver.Solve()
			if err != nil {
				unsolved++
			} else {
				iterations += s.Iterations
			}
			c.fault(f, true)
		}
	}
	b.ReportMetric(float64(iterations)/400, "iterations/case")
	b.ReportMetric(float64(unsolved), "unsolved")
}
