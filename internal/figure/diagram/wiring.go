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
	cells   []cell
	joined  [][]pinPlace // by net
	xs, ys  []float64    // px, where the lines of the grid are
	natural figure.Point // size at scale 1
	loose   []int        // nets for which no way was found: their ends carry its name
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
		l.joined = make([][]pinPlace, len(l.names))
		for _, c := range l.cells {
			l.occupy(l.netlist, c)
			for _, p := range l.places(l.netlist, c) {
				l.joined[p.net] = append(l.joined[p.net], p)
			}
		}
		if order == nil {
			order = l.order()
		}
		l.loose = nil
		r := newRouter(l.grid)
		for _, net := range order {
			if !r.join(net, l.joined[net]) {
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
			continue
		}
		out = append(out, net)
		low, high := pins[0].x, pins[0].x
		for _, p := range pins {
			low, high = min(low, p.x), max(high, p.x)
		}
		width[net] = high - low
		if _, rail := l.side[net]; rail {
			width[net] -= l.nx
			slices.SortFunc(pins, func(a, b pinPlace) int { // along its rail, then what hangs on it
				return cmp.Or(cmp.Compare(l.offRail(a, net), l.offRail(b, net)), cmp.Compare(a.x, b.x))
			})
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(width[a], width[b]) })
	return out
}

// offRail is how far a pin of a rail's net is from the rail.
func (l *layout) offRail(p pinPlace, net int) int {
	if l.side[net] == 0 {
		return min(p.y, 1)
	}
	return min(l.ny-1-p.y, 1)
}

// degree is how many wire ends and pins meet at a node of a net.
func (l *layout) degree(node, net int) int {
	sum := 0
	if l.pin[node] == net {
		sum = 1
	}
	for dir := range 4 {
		if owner, _ := l.edge(node, dir); owner != nil && *owner == net {
			sum++
		}
	}
	return sum
}

// run is a wire from one joint, bend-free or not, to the next.
type run struct {
	net   int
	nodes []int // its ends and bends
}

// runs returns all wires, each from pin or joint to pin or joint, in the order of the grid.
func (l *layout) runs() []run {
	var out []run
	seen := make([]bool, 2*len(l.h)) // edges: right, below
	id := func(node, dir, to int) int {
		if dir == east || dir == south {
			return 2*node + dir
		}
		return 2*to + dir - 2
	}
	for node := range l.h {
		for dir := range 4 {
			owner, to := l.edge(node, dir)
			if owner == nil || *owner < 0 || seen[id(node, dir, to)] {
				continue
			}
			net := *owner
			if l.degree(node, net) == 2 && l.pin[node] != net {
				continue // in the midst of a wire
			}
			w := run{net, []int{node}}
			at, d := node, dir
			for {
				o, next := l.edge(at, d)
				if o == nil || *o != net {
					break
				}
				seen[id(at, d, next)] = true
				at = next
				if l.degree(at, net) != 2 || l.pin[at] == net {
					break
				}
				for turn := range 4 {
					if o, _ := l.edge(at, turn); o != nil && *o == net && turn != (d+2)%4 {
						if turn != d {
							w.nodes = append(w.nodes, at)
						}
						d = turn
						break
					}
				}
			}
			w.nodes = append(w.nodes, at)
			out = append(out, w)
		}
	}
	return out
}
