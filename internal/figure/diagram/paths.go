package diagram

import (
	"math"
	"slices"
)

// ease is how readily a part belongs to a rail; a kind that is not listed has 4, one that never carries the rail's current none.
var ease = map[string]float64{
	"wire": 1, "track": 1, "contact": 1, "fuse": 1, "diode": 1, "schottky": 1, "mosfet": 1, "p-mosfet": 1, "resistor": 3,
	"capacitor": 0, "clamp": 0, "thermistor": 0, "reference": 0, "regulator": 0, "control": 0, "lamp": 0, "panel": 0, "battery": 0, "load": 0,
}

// railCost is the cost of a device on a rail, or 0 if it does not belong there.
func railCost(d *device) float64 {
	if len(d.sides) > 0 && !d.mosfet() {
		return 0
	}
	if c, known := ease[d.kind]; known {
		return c
	}
	return 4
}

// step is a device passed from one of its main nets to the other.
type step struct{ device, from, to int }

// search is a walk over main pins from some nets, cheapest first, each net by its cheapest way.
type search struct {
	n       *netlist
	cost    func(device int) float64 // 0: not to be passed
	through func(net int) bool       // whether the walk may go on from a net that it has reached
}

// reached is what a search found: the cost of each net, the step that led there, and the order of arrival.
type reached struct {
	cost  []float64
	by    []step
	order []int
}

// from walks. Of equal costs the device that stands first in the circuit wins.
func (s search) from(starts ...int) reached {
	r := reached{cost: make([]float64, len(s.n.names)), by: make([]step, len(s.n.names))}
	for i := range r.cost {
		r.cost[i], r.by[i] = math.Inf(1), step{-1, -1, -1}
	}
	for _, i := range starts {
		r.cost[i] = 0
	}
	done := make([]bool, len(s.n.names))
	for {
		at := -1
		for i, c := range r.cost {
			if !done[i] && !math.IsInf(c, 1) && (at < 0 || c < r.cost[at]) {
				at = i
			}
		}
		if at < 0 {
			return r
		}
		done[at] = true
		r.order = append(r.order, at)
		if r.cost[at] > 0 && !s.through(at) {
			continue
		}
		for i := range s.n.devices {
			d := &s.n.devices[i]
			if d.first != at && d.second != at {
				continue
			}
			to, c := d.other(at), s.cost(i)
			if c > 0 && r.cost[at]+c < r.cost[to] {
				r.cost[to], r.by[to] = r.cost[at]+c, step{i, at, to}
			}
		}
	}
}

// path returns the steps that lead to a net.
func (r reached) path(to int) []step {
	var out []step
	for at := to; r.by[at].device >= 0; at = r.by[at].from {
		out = append(out, r.by[at])
	}
	slices.Reverse(out)
	return out
}

// rail returns the cheapest path from the panel's to the battery's terminal of one sign (0 plus, 1 minus) that touches no net of avoid.
func (n *netlist) rail(sign int, avoid map[int]bool) []step {
	from, ok := n.index[terminals[0][sign]]
	to, ok2 := n.index[terminals[1][sign]]
	if !ok || !ok2 {
		return nil
	}
	blocked := map[int]bool{}
	for _, pair := range terminals {
		for s, name := range pair {
			if i, known := n.index[name]; known && (s != sign || pair == terminals[2]) {
				blocked[i] = true
			}
		}
	}
	s := search{n, func(i int) float64 { return railCost(&n.devices[i]) }, func(net int) bool { return !avoid[net] && !blocked[net] }}
	return s.from(from).path(to)
}
