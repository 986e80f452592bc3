package calc

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"

	"hindwatt/internal/physics/circuit"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

const networkSamples = 10_000

func init() {
	register(Calculator{
		Name:     "network",
		Question: "Which voltages and currents does a direct-current network settle at?",
		Inputs: []Input{{Name: "file", Text: true, Want: "want a TOML file of parts", Help: `TOML, a table a part: [NAME] kind="KIND" from="NODE" to="NODE" ` +
			`and resistor: value="10 ohm"; source: value="12 V"; battery: value="12.6 V" resistance="20 mohm"; current: value="3 A", from one node into the other; ` +
			`diode: saturation="1 nA" emission="46 mV" (n·kT/q), series, breakdown; panel: photocurrent="5 A" saturation="1 nA" emission="0.97 V" (n·Ns·kT/q), series, shunt; ` +
			`from is plus and anode; the node "gnd" has 0 V; values may have tolerances`}},
		Results: []Result{
			{"voltage.NODE", "V", "of each node against gnd"}, {"current.NAME", "A", "into the from terminal of each part"},
			{"residual", "A", "largest sum of the currents at a node"},
		},
		Many:    true,
		Formula: "Σ i = 0 at every node; i = (v − value)/resistance, diode saturation·(e^(u/emission) − 1), panel that + u/shunt − photocurrent, u = v − series·i",
		Source: "modified nodal analysis: Ho, Ruehli and Brennan, IEEE Trans. Circuits Syst. 22 (1975), p. 504; limited Newton steps: Nagel, memorandum ERL-M520, University of California, Berkeley, 1975. " +
			"A junction lets 1e-18 S through at least; accepted if each sum is below 1e-9 of the largest current and rounding",
		Compute: network,
	})
}

func network(ctx context.Context, in Values) (Answers, error) {
	data, err := in.load("file")
	if err != nil {
		return Answers{}, err
	}
	parts, err := readNetwork(in.Text("file"), data)
	if err != nil {
		return Answers{}, err
	}
	n := buildNetwork(parts)
	a := Answers{List: networkResults(n)}
	figures, moved, err := solveNetwork(n, len(a.List))
	var value *circuit.ValueError
	switch {
	case errors.As(err, &value):
		return Answers{}, wrong("file", value.Problem, "want values of real parts")
	case err != nil:
		for i := range a.List {
			a.List[i].None = strings.TrimPrefix(err.Error(), "circuit: ")
		}
		return a, nil
	}
	for i := range a.List {
		a.List[i].Value = figures[i]
	}
	if moved > toldVolts {
		a.Warnings = append(a.Warnings, fmt.Sprintf("rounding leaves a voltage uncertain by %.1g V: a node hangs on much less conductance than others have; give it a path to gnd", moved))
	}
	return a, networkSpread(ctx, in.Seed, parts, n, &a)
}

// buildNetwork makes the network of the parts.
func buildNetwork(parts []*networkPart) *circuit.Network {
	n := circuit.New()
	for _, p := range parts {
		from, to := n.Node(p.from), n.Node(p.to)
		switch networkKinds[p.kind].name {
		case "resistor":
			n.Resistor(p.name, from, to, 1)
		case "source":
			n.Source(p.name, from, to, 0)
		case "battery":
			n.Battery(p.name, from, to, 0, 1)
		case "current":
			n.Current(p.name, from, to, 0)
		case "diode":
			n.Diode(p.name, from, to, circuit.Diode{})
		case "panel":
			n.Panel(p.name, from, to, circuit.Panel{})
		}
	}
	for id, p := range parts {
		values := make([]float64, len(p.values))
		for i, q := range p.values {
			values[i] = q.Value
		}
		setPart(n, circuit.ID(id), p, values)
	}
	return n
}

// setPart gives a part its values, in the order of its kind's keys.
func setPart(n *circuit.Network, id circuit.ID, p *networkPart, v []float64) {
	switch networkKinds[p.kind].name {
	case "resistor":
		n.SetResistance(id, v[0])
	case "source":
		n.SetVoltage(id, v[0])
	case "battery":
		n.SetVoltage(id, v[0])
		n.SetResistance(id, v[1])
	case "current":
		n.SetCurrent(id, v[0])
	case "diode":
		n.SetDiode(id, circuit.Diode{Saturation: v[0], Emission: v[1], Series: v[2], Breakdown: circuit.Breakdown{Voltage: v[3]}})
	case "panel":
		n.SetPanel(id, circuit.Panel{Photocurrent: v[0], Saturation: v[1], A: v[2], Series: v[3], Shunt: v[4]})
	}
}

// networkResults returns the answers without their values: nodes, parts, residual.
func networkResults(n *circuit.Network) []Answer {
	var list []Answer
	for node := 1; node < n.Nodes(); node++ {
		list = append(list, Answer{Key: "voltage." + n.NodeName(circuit.Node(node)), Unit: "V"})
	}
	for id := range n.Parts() {
		list = append(list, Answer{Key: "current." + n.Name(circuit.ID(id)), Unit: "A"})
	}
	return append(list, Answer{Key: "residual", Unit: "A"})
}

// toldVolts is from how many volts on rounding is told of.
const toldVolts = 1e-6

// solveNetwork returns the results in the order of networkResults, and by how many volts rounding leaves them open.
func solveNetwork(n *circuit.Network, results int) (figures []float64, moved float64, err error) {
	solver, err := circuit.Compile(n)
	if err != nil {
		return nil, 0, err
	}
	figures = make([]float64, results)
	moved, err = fillNetwork(n, solver, figures)
	return figures, moved, err
}

func fillNetwork(n *circuit.Network, solver *circuit.Solver, y []float64) (moved float64, err error) {
	s, err := solver.Solve()
	if err != nil {
		return 0, err
	}
	if s.Beyond != "" {
		return 0, fmt.Errorf("more than 1 MA through %s, where no junction follows its law; want a resistance in its loop", s.Beyond)
	}
	nodes := n.Nodes() - 1
	for i := range nodes {
		y[i] = s.Voltage(circuit.Node(i + 1))
	}
	for id := range n.Parts() {
		y[nodes+id] = s.Current(circuit.ID(id))
	}
	y[len(y)-1] = s.Residual
	return s.Rounding(), nil
}

// networkSpread gives voltages and currents their intervals where values have tolerances.
func networkSpread(ctx context.Context, seed uint64, parts []*networkPart, n *circuit.Network, a *Answers) error {
	var inputs []statistics.Input
	var part, key []int
	for i, p := range parts {
		for k, q := range p.values {
			if p.given[k] && q.Spread != quantity.Exact {
				inputs = append(inputs, scatter(p.name+"."+networkKinds[p.kind].keys[k].name, q))
				part, key = append(part, i), append(key, k)
			}
		}
	}
	if len(inputs) == 0 {
		return nil
	}
	type desk struct {
		net    *circuit.Network
		solver *circuit.Solver
		values [][]float64
		y      []float64
	}
	desks := sync.Pool{New: func() any {
		d := &desk{net: n.Clone(), y: make([]float64, len(a.List))}
		d.solver, _ = circuit.Compile(d.net) // n itself was solved
		for _, p := range parts {
			values := make([]float64, len(p.values))
			for i, q := range p.values {
				values[i] = q.Value
			}
			d.values = append(d.values, values)
		}
		return d
	}}
	draw := func(x, y []float64) error {
		d := desks.Get().(*desk)
		defer desks.Put(d)
		for i, v := range x {
			d.values[part[i]][key[i]] = v
			setPart(d.net, circuit.ID(part[i]), parts[part[i]], d.values[part[i]])
		}
		if _, err := fillNetwork(d.net, d.solver, d.y); err != nil {
			return err
		}
		copy(y, d.y[:len(y)])
		return nil
	}
	results, err := statistics.MonteCarloVector(ctx, draw, len(a.List)-1, inputs, nil, networkSamples, seed, level)
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		a.Warnings = append(a.Warnings, "no interval: not every value within the tolerances has a result: "+err.Error())
		return nil
	}
	for i, r := range results {
		a.List[i].Interval, a.List[i].Low, a.List[i].High = true, r.Low, r.High
	}
	a.Note = fmt.Sprintf("low and high: central 95 %% by JCGM 101:2008, %d samples, seed %d", networkSamples, seed)
	return nil
}
