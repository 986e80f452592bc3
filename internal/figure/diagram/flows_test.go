package diagram

import (
	"math"
	"testing"

	"hindwatt/internal/figure"
	"hindwatt/internal/numeric"
)

// Kirchhoff's current law at each pin and joint of each wire, for currents that hold to it: those of loops through the parts.
func TestFlowsHoldCurrentLaw(t *testing.T) {
	for i := range 60 {
		s := numeric.NewStream(31, uint64(i))
		c := anyCircuit(&s, 2+i%30)
		l := newLayout(c)
		for k := range l.devices { // potentials at random make currents; what is left over at a node goes out by a pin of our own choice
			l.devices[k].current = s.Uniform(-5, 5)
		}
		l.balance()
		f := l.flows()
		if f.most == 0 {
			continue
		}
		for node := range l.h {
			sum := 0.0
			for dir := range 4 {
				owner, to := l.edge(node, dir)
				if owner == nil || *owner < 0 {
					continue
				}
				// a wire straight across belongs to another net: both sums are zero
				switch dir {
				case east:
					sum -= f.edges[2*node+east]
				case south:
					sum -= f.edges[2*node+south]
				case west:
					sum += f.edges[2*to+east]
				case north:
					sum += f.edges[2*to+south]
				}
			}
			if got := sum + l.pinCurrent(node); math.Abs(got) > 1e-9*math.Max(1, f.most) {
				t.Fatalf("circuit %d: %g A are left at a node of net %q", i, got, l.names[max(l.pin[node], 0)])
			}
		}
	}
}

// balance changes currents so that what enters each net leaves it: a current only stays on devices of loops.
func (l *layout) balance() {
	next := make([]float64, len(l.devices))
	for k := range l.devices {
		d := &l.devices[k]
		if d.outside || d.first == d.second {
			continue
		}
		// the loop: this device forth, the cheapest other way back
		r := search{l.netlist, func(i int) float64 {
			if o := &l.devices[i]; o == d || o.outside || o.first == o.second {
				return 0
			}
			return 1
		}, func(int) bool { return true }}.from(d.second)
		path := r.path(d.first)
		if len(path) == 0 {
			continue
		}
		next[k] += d.current
		for _, st := range path {
			if l.devices[st.device].first == st.from {
				next[st.device] += d.current
			} else {
				next[st.device] -= d.current
			}
		}
	}
	for k := range l.devices {
		l.devices[k].current = next[k]
	}
}

// pinCurrent is what comes out of the pins at a node.
func (l *layout) pinCurrent(node int) float64 {
	sum := 0.0
	for _, c := range l.cells {
		if c.device < 0 {
			continue
		}
		pins := l.places(l.netlist, c)
		if pins[0].node == node {
			sum -= l.devices[c.device].current
		}
		if pins[1].node == node {
			sum += l.devices[c.device].current
		}
	}
	return sum
}

// The demo's battery takes what comes through its fuse, and the wires there are as wide as that: 7 of 10 A.
func TestFlowsCloseAtTerminals(t *testing.T) {
	l := newLayout(flowing(t))
	f := l.flows()
	for _, d := range l.devices {
		want, outside := map[string]float64{"panel": -10, "battery": 7, "load": 3}[d.name]
		if outside && math.Abs(d.current-want) > 1e-12 {
			t.Errorf("%s carries %g A, want %g", d.name, d.current, want)
		}
	}
	var d figure.Drawing
	l.drawWires(&d, f)
	for _, c := range l.cells {
		if c.device < 0 && l.names[c.net] == "bat+" {
			at := l.point(l.places(l.netlist, c)[0].node)
			for _, op := range d.Ops {
				if w, ok := op.(figure.Line); ok && passes(w, at) && math.Abs(w.Stroke.Width-(lineWidth+3.2*0.7)) > 1e-9 {
					t.Errorf("the wire at bat+ is %g px wide", w.Stroke.Width)
				}
			}
			return
		}
	}
	t.Error("no bat+")
}
