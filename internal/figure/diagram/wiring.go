package diagram

import (
	"cmp"
	"hindwatt/internal/figure"
	"slices"
)

// layout is a circuit with every device in its place and every wire on the grid.
type layout struct {
	*plan
	*grid
	cells      []cell
	joined     [][]pinPlace // by net
	terminalAt map[int]bool
	xs, ys     []float64    // px, where the lines of the grid are
	natural    figure.Point // size at scale 1
	loose      []int        // nets for which no way was found: their ends carry its name
}

// newLayout places and wires a circuit.
func newLayout(c Circuit) *layout {
	l := &layout{plan: newPlan(newNetlist(c))}
	var cols int
	l.cells, cols = l.arrange()
	sides := 1
	for _, s := range l.stacks {
		for _, st := range s.steps {
			sides = max(sides, len(l.devices[st.device].sides))
		}
	}
	for _, spare := range []int{3, 5, 8, 12, 18} {
		if l.wire(cols, sides, spare) {
			break
		}
	}
	l.measure()
	return l
}

// wire searches all wires with so many lines in each channel. Where a net finds no way all begin again with that net first.
func (l *layout) wire(cols, sides, spare int) bool {
	order := []int(nil)
	for range 10 {
		l.grid = newGrid(cols, l.slots, sides, spare)
		l.joined, l.terminalAt = make([][]pinPlace, len(l.names)), map[int]bool{}
		for _, c := range l.cells {
			l.occupy(l.netlist, c)
			for _, p := range l.places(l.netlist, c) {
				l.joined[p.net] = append(l.joined[p.net], p)
				l.terminalAt[p.node] = c.device < 0
			}
		}
		if order == nil {
			order = l.order()
		}
		l.loose = nil
		l.layRails()
		r := newRouter(l.grid)
		for _, net := range order {
			if !r.joinBest(net, l.joined[net]) {
				l.loose = append(l.loose, net)
			}
		}
		if len(l.loose) == 0 {
			return true
		}
		for _, net := range l.loose {
			i := slices.Index(order, net)
			order = slices.Insert(slices.Delete(order, i, i+1), 0, net)
		}
	}
	return false
}

// order lists the nets that need wires: those of the rails first, then from narrow to wide.
func (l *layout) order() []int {
	var out []int
	width := make([]int, len(l.names))
	for net, pins := range l.joined {
		if len(pins) < 2 {
			continue // a terminal that no part reaches is joined to its panel, battery or load at least
		}
		out = append(out, net)
		low, high := pins[0].x, pins[0].x
		for _, p := range pins {
			low, high = min(low, p.x), max(high, p.x)
		}
		width[net] = high - low
		if _, rail := l.side[net]; rail {
			width[net] -= l.nx
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(width[a], width[b]) })
	return out
}

// layRails leads the rails straight through all that lies on them, and from there to panel and battery.
func (l *layout) layRails() {
	for side := range 2 {
		slot := side * (l.slots + 1)
		var row []pinPlace // what is on the rail, and the corners above or below panel and battery
		for _, c := range l.cells {
			pins := l.places(l.netlist, c)
			switch {
			case c.slot == slot:
				row = append(row, pins[:min(2, len(pins))]...)
			case c.device >= 0 && l.devices[c.device].outside && l.devices[c.device].kind != "load":
				p := pins[side]
				l.layDown(p, l.rail(slot))
				row = append(row, pinPlace{p.net, l.node(p.x, l.rail(slot)), p.x, l.rail(slot)})
			}
		}
		slices.SortFunc(row, func(a, b pinPlace) int { return cmp.Compare(a.x, b.x) })
		for i := range max(0, len(row)-1) {
			if a, b := row[i], row[i+1]; a.net == b.net {
				for n := a.node; n < b.node; n++ {
					if l.h[n] == open {
						l.h[n] = a.net
					}
				}
			}
		}
		l.hangStraight(side)
	}
}

// hangStraight leads a wire from a rail straight to each standing pin of the same net that has nothing between.
func (l *layout) hangStraight(side int) {
	y := l.rail(side * (l.slots + 1))
	for _, c := range l.cells {
		if c.slot == 0 || c.slot == l.slots+1 {
			continue
		}
		for _, p := range l.places(l.netlist, c)[:2] {
			if at := l.node(p.x, y); !l.touches(p.node, p.net) && l.touches(at, p.net) && (l.pin[at] == open || l.pin[at] == p.net) && l.clear(p, y) {
				l.layDown(p, y)
			}
		}
	}
}

// clear reports whether a wire straight from a pin to a rail would meet nothing.
func (l *layout) clear(p pinPlace, y int) bool {
	for k := min(p.y, y); k < max(p.y, y); k++ {
		if l.v[l.node(p.x, k)] != open {
			return false
		}
	}
	for k := min(p.y, y) + 1; k < max(p.y, y); k++ {
		if n := l.node(p.x, k); l.pin[n] != open || l.h[n] >= 0 || p.x > 0 && l.h[n-1] >= 0 {
			return false
		}
	}
	return true
}

// layDown leads a wire straight from a pin to a line above or below it.
func (l *layout) layDown(p pinPlace, y int) {
	for k := min(p.y, y); k < max(p.y, y); k++ {
		l.v[l.node(p.x, k)] = p.net
	}
}

// degree is how many wire ends and pins meet at a node of a net.
func (l *layout) degree(node, net int) int {
	sum := 0
	if l.pin[node] == net && !l.terminalAt[node] {
		sum = 1
	}
	for dir := range 4 {
		if owner, _ := l.edge(node, dir); owner != nil && *owner == net {
			sum++
		}
	}
	return sum
}

// run is a wire from one pin or joint to the next.
type run struct {
	net   int
	nodes []int // its ends and bends
}

// runs returns all wires, each from pin or joint to pin or joint, in the order of the grid.
func (l *layout) runs() []run {
	var out []run
	seen := make([]bool, 2*len(l.h))
	for node := range l.h {
		for dir := range 4 {
			owner, to := l.edge(node, dir)
			if owner == nil || *owner < 0 || seen[edgeID(node, dir, to)] || l.midst(node, *owner) {
				continue
			}
			out = append(out, l.follow(node, dir, seen))
		}
	}
	return out
}

// edgeID numbers edges: 2n leads right from node n, 2n+1 down.
func edgeID(node, dir, to int) int {
	if dir == east || dir == south {
		return 2*node + dir
	}
	return 2*to + dir - 2
}

// midst reports whether a wire of a net only passes a node.
func (l *layout) midst(node, net int) bool { return l.degree(node, net) == 2 && l.pin[node] != net }

// follow walks along a wire to its end and marks its edges as seen.
func (l *layout) follow(node, dir int, seen []bool) run {
	owner, _ := l.edge(node, dir)
	net := *owner
	w := run{net, []int{node}}
	for {
		_, next := l.edge(node, dir)
		seen[edgeID(node, dir, next)] = true
		if node = next; !l.midst(node, net) {
			w.nodes = append(w.nodes, node)
			return w
		}
		for turn := range 4 {
			if o, _ := l.edge(node, turn); o != nil && *o == net && turn != (dir+2)%4 {
				if turn != dir {
					w.nodes = append(w.nodes, node)
				}
				dir = turn
				break
			}
		}
	}
}
