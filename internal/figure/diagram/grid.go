package diagram

// grid is where wires may run: lines across the drawing, their crossings numbered row by row, and what lies on them.
//
// Each column has some lines for wires at its left, then the line of its left pins, of its middle and of its right pins. Between the rails each
// place has the lines of its upper pins, of its side pins and of its lower pins, with lines for wires before it and after the last.
type grid struct {
	cols, rows int
	spare      int // wire lines in each channel
	sides      int // lines of side pins in each place, at least 1
	nx, ny     int
	h, v       []int // net on the edge to the right, below: -1 free, blocked
	pin        []int // net whose pin is here, -1 none
	weightX    []float64
	weightY    []float64
}

const (
	open    = -1
	blocked = -2
)

// Lines of a column after its wire lines.
const (
	lineLeft = iota
	lineMiddle
	lineRight
	ownLines
)

func newGrid(cols, slots, sides, spare int) *grid {
	g := &grid{cols: cols, rows: slots, spare: spare, sides: sides}
	g.nx = cols*(spare+ownLines) + spare
	g.ny = 4 + slots*(spare+2+sides) + spare
	n := g.nx * g.ny
	g.h, g.v, g.pin = make([]int, n), make([]int, n), make([]int, n)
	for i := range n {
		g.h[i], g.v[i], g.pin[i] = open, open, open
	}
	for x := range g.nx {
		w := 9.0
		if x%(spare+ownLines) >= spare {
			w = 18
		}
		g.weightX = append(g.weightX, w)
	}
	for y := range g.ny {
		w := 9.0
		if i := y - 2; i >= 0 && i < g.ny-4 && i%(spare+2+sides) >= spare {
			w = 16
		}
		g.weightY = append(g.weightY, w)
	}
	return g
}

func (g *grid) node(x, y int) int { return y*g.nx + x }

// x returns the number of a line of a column.
func (g *grid) x(col, line int) int { return col*(g.spare+ownLines) + g.spare + line }

// top returns the first line of a place between the rails, its upper pins.
func (g *grid) top(slot int) int { return 2 + (slot-1)*(g.spare+2+g.sides) + g.spare }

func (g *grid) bottom(slot int) int { return g.top(slot) + 1 + g.sides }

// rail and gate return the lines of a rail and of the gates on it.
func (g *grid) rail(slot int) int {
	if slot == 0 {
		return 0
	}
	return g.ny - 1
}

func (g *grid) gate(slot int) int {
	if slot == 0 {
		return 1
	}
	return g.ny - 2
}

// pinPlace is a pin with its place.
type pinPlace struct{ net, node, x, y int }

// places returns where the pins of a cell are: first, second, sides. A terminal is one place.
func (g *grid) places(n *netlist, c cell) []pinPlace {
	at := func(net, x, y int) pinPlace { return pinPlace{net, g.node(x, y), x, y} }
	if c.device < 0 {
		return []pinPlace{at(c.net, g.x(c.col, lineMiddle), g.rail(c.slot))}
	}
	d := &n.devices[c.device]
	first, second, sides := d.first, d.second, d.sides
	var out []pinPlace
	if c.slot == 0 || c.slot == g.rows+1 {
		y := g.rail(c.slot)
		out = []pinPlace{at(first, g.x(c.col, lineLeft), y), at(second, g.x(c.col, lineRight), y)}
		for _, net := range sides {
			out = append(out, at(net, g.x(c.col, lineMiddle), g.gate(c.slot)))
		}
	} else {
		x := g.x(c.col, lineMiddle)
		out = []pinPlace{at(first, x, g.top(c.slot)), at(second, x, g.bottom(c.slot))}
		for k, net := range sides {
			out = append(out, at(net, g.x(c.col, lineLeft), g.top(c.slot)+1+k))
		}
	}
	if c.flip {
		out[0].net, out[1].net = out[1].net, out[0].net
		out[0], out[1] = out[1], out[0]
	}
	return out
}

// occupy takes the room of a cell: no wire may cross its body or what is written beside it.
func (g *grid) occupy(n *netlist, c cell) {
	for _, p := range g.places(n, c) {
		g.pin[p.node] = p.net
	}
	if c.device < 0 {
		return
	}
	left, middle, right := g.x(c.col, lineLeft), g.x(c.col, lineMiddle), g.x(c.col, lineRight)
	if c.slot == 0 || c.slot == g.rows+1 {
		y := g.rail(c.slot)
		g.h[g.node(left, y)], g.h[g.node(middle, y)] = blocked, blocked
		g.v[g.node(middle, min(y, g.gate(c.slot)))] = blocked
		return
	}
	for y := g.top(c.slot); y <= g.bottom(c.slot); y++ {
		if y < g.bottom(c.slot) {
			for _, x := range []int{left, middle, right} {
				g.v[g.node(x, y)] = blocked
			}
		}
		if y > g.top(c.slot) && y < g.bottom(c.slot) {
			for _, x := range []int{left, middle, right} {
				g.h[g.node(x, y)] = blocked
			}
		}
	}
	for _, p := range g.places(n, c) {
		if p.x == middle && (n.count(p.net) == 1 || n.devices[c.device].kind == "load") { // its name is written at its right
			g.h[g.node(middle, p.y)], g.h[g.node(right, p.y)] = blocked, blocked
		}
	}
}

// count is how many pins a net has.
func (n *netlist) count(net int) int {
	sum := 0
	for i := range n.devices {
		for _, p := range n.devices[i].pins() {
			if p == net {
				sum++
			}
		}
	}
	return sum
}
