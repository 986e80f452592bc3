package diagram

import (
	"cmp"
	"slices"
)

// cell is a device or a terminal in its place. Place 0 is the plus rail, places+1 the minus rail: there it lies, elsewhere it stands.
type cell struct {
	device    int // -1: a terminal
	net       int // of a terminal
	col, slot int
	flip      bool // the second main pin is at the left, or on top
}

// item is what is ordered from left to right: one device of a rail, or a stack.
type item struct {
	side  int // 0 plus rail, 1 minus rail, 2 stack
	cells []cell
	lanes [3]bool // what it takes of its column: plus rail, between, minus rail
	load  bool    // holds the load, which belongs at the right
	key   float64 // first guess of its place, 0 at the left, 1 at the right
}

// columns orders a plan from left to right.
type columns struct {
	*plan
	items       []item
	left, right []cell // panel; battery
	corners     []cell // the panel's terminals
	pins        [][]pinAt
	free        [3]int // scratch
	span        []extent
}

type extent struct{ low, high int }

// pinAt is a pin of an item: its net and whether it is a side pin.
type pinAt struct {
	net  int
	side bool
}

// arrange returns every device and terminal in its place, and the number of columns.
func (p *plan) arrange() ([]cell, int) {
	c := &columns{plan: p, span: make([]extent, len(p.names))}
	c.collect()
	slices.SortStableFunc(c.items, func(a, b item) int { return cmp.Compare(a.key, b.key) })
	c.gatherPins()
	c.improve()
	return c.pack()
}

// collect makes the items, each with a first guess of where it belongs from 0 (left) to 1.
func (c *columns) collect() {
	middle := (c.slots + 1) / 2
	for i, d := range c.devices {
		if d.outside && d.kind == "panel" {
			c.left = append(c.left, cell{device: i, slot: middle})
		}
		if d.outside && d.kind == "battery" {
			c.right = append(c.right, cell{device: i, slot: middle})
		}
	}
	at := make([]float64, len(c.names))
	for i := range at {
		at[i] = 0.5
	}
	for side, rail := range [2][]step{c.plus, c.minus} {
		slot := side * (c.slots + 1)
		lanes := [3]bool{side == 0, false, side == 1}
		if len(c.left) > 0 {
			net := c.index[terminals[0][side]]
			at[net] = 0
			c.corners = append(c.corners, cell{device: -1, net: net, slot: slot, col: 1})
		}
		reach := 1.0
		if side == 1 {
			reach = 0.3 // the minus rail's parts stand at the left: most parts belong to the battery's minus
		}
		for k, s := range rail {
			key := reach * float64(k+1) / float64(len(rail)+1)
			at[s.to] = reach * (float64(k) + 1.5) / float64(len(rail)+1)
			c.items = append(c.items, item{side: side, cells: []cell{{device: s.device, slot: slot, flip: c.devices[s.device].first != s.from}}, lanes: lanes, key: key})
		}
	}
	for _, s := range c.stacks {
		it := item{side: 2, lanes: [3]bool{s.atTop, true, s.atFloor}}
		for k, st := range s.steps {
			it.cells = append(it.cells, cell{device: st.device, slot: s.slots[k], flip: c.devices[st.device].first != st.from})
			if c.devices[st.device].kind == "load" {
				it.load, it.key, it.lanes[0] = true, 1, false // reaches its rail from the side
			}
		}
		it.key += (at[s.steps[0].from] + at[s.steps[len(s.steps)-1].to]) / 2
		c.items = append(c.items, it)
	}
}

// gatherPins lists the nets of each item.
func (c *columns) gatherPins() {
	for _, it := range c.items {
		var pins []pinAt
		for _, cell := range it.cells {
			if cell.device < 0 {
				pins = append(pins, pinAt{cell.net, false})
				continue
			}
			d := &c.devices[cell.device]
			pins = append(pins, pinAt{d.first, false}, pinAt{d.second, false})
			for _, net := range d.sides {
				pins = append(pins, pinAt{net, true})
			}
		}
		c.pins = append(c.pins, pins)
	}
}

// next returns the column of the next item and takes it.
func (c *columns) next(it *item) int {
	col := 0
	for lane, takes := range it.lanes {
		if takes {
			col = max(col, c.free[lane])
		}
	}
	for lane, takes := range it.lanes {
		if takes {
			c.free[lane] = col + 1
		}
	}
	return col
}

// start puts the panel and its terminals.
func (c *columns) start() {
	n := len(c.left)
	c.free = [3]int{2 * n, n, 2 * n}
}

// cost is the length of all wires, in columns, with a little for the width of the whole.
func (c *columns) cost() float64 {
	c.start()
	for i := range c.span {
		c.span[i] = extent{1 << 30, -1}
	}
	for _, t := range c.corners {
		c.span[t.net] = extent{2, 2}
	}
	extra := 0.0
	for i := range c.items {
		it := &c.items[i]
		col := c.next(it)
		for _, p := range c.pins[i] {
			at := 2 * col
			if p.side && it.side == 2 {
				at--
			}
			c.span[p.net].low, c.span[p.net].high = min(c.span[p.net].low, at), max(c.span[p.net].high, at)
		}
		if it.load {
			extra -= float64(col)
		}
	}
	last := max(c.free[0], c.free[1], c.free[2])
	sum := 0.0
	for net, s := range c.span {
		if side, rail := c.side[net]; rail && len(c.right) > 0 && c.names[net] == terminals[1][side] {
			s.high = 2 * last
		}
		if s.high > s.low {
			sum += float64(s.high-s.low) / 2
		}
	}
	return sum + extra + 1.5*float64(last)
}

// improve moves one item at a time to where the wires are shortest, until no move helps.
func (c *columns) improve() {
	best := c.cost()
	for range 8 {
		before := best
		for i := range c.items {
			at := i
			for j := range c.items {
				if !c.allowed(at, j) {
					continue
				}
				c.move(at, j)
				if v := c.cost(); v < best-1e-9 {
					best, at = v, j
				} else {
					c.move(j, at)
				}
			}
		}
		if best == before {
			return
		}
	}
}

// allowed reports whether an item may move from i to j: what stands on one rail keeps its order.
func (c *columns) allowed(i, j int) bool {
	if i == j {
		return false
	}
	side := c.items[i].side
	if side == 2 {
		return true
	}
	for k := min(i, j); k <= max(i, j); k++ {
		if k != i && c.items[k].side == side {
			return false
		}
	}
	return true
}

func (c *columns) move(i, j int) {
	it, pins := c.items[i], c.pins[i]
	if i < j {
		copy(c.items[i:j], c.items[i+1:j+1])
		copy(c.pins[i:j], c.pins[i+1:j+1])
	} else {
		copy(c.items[j+1:i+1], c.items[j:i])
		copy(c.pins[j+1:i+1], c.pins[j:i])
	}
	c.items[j], c.pins[j] = it, pins
}

// pack puts the items into columns in their order, each as far left as what it takes of a column allows.
func (c *columns) pack() (cells []cell, count int) {
	c.start()
	cells = append(append(cells, c.left...), c.corners...)
	for i := range c.items {
		col := c.next(&c.items[i])
		for _, cell := range c.items[i].cells {
			cell.col = col
			cells = append(cells, cell)
		}
	}
	last := max(c.free[0], c.free[1], c.free[2])
	if len(c.right) == 0 {
		return cells, last
	}
	if c.free[1] < last { // the terminals leave the column below them free: the last place of it is as good
		last = max(c.free[0], c.free[2], c.free[1]-1)
	}
	for side := range 2 {
		net := c.index[terminals[1][side]]
		cells = append(cells, cell{device: -1, net: net, slot: side * (c.slots + 1), col: last})
	}
	for _, battery := range c.right {
		battery.col = last + 1
		cells = append(cells, battery)
	}
	return cells, last + 2
}
