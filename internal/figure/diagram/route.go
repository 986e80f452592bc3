package diagram

import (
	"math"
	"slices"
)

// Directions in which an edge leaves a node.
const (
	east = iota
	south
	west
	north
)

// edge returns where the edge that leaves a node in a direction is kept, nil if it would leave the grid, and the node at its other end.
func (g *grid) edge(node, dir int) (owner *int, to int) {
	x, y := node%g.nx, node/g.nx
	switch {
	case dir == east && x+1 < g.nx:
		return &g.h[node], node + 1
	case dir == west && x > 0:
		return &g.h[node-1], node - 1
	case dir == south && y+1 < g.ny:
		return &g.v[node], node + g.nx
	case dir == north && y > 0:
		return &g.v[node-g.nx], node - g.nx
	}
	return nil, node
}

// length is what an edge costs.
func (g *grid) length(node, dir int) float64 {
	x, y := node%g.nx, node/g.nx
	switch dir {
	case east:
		return g.weightX[x+1]
	case west:
		return g.weightX[x]
	case south:
		return g.weightY[y+1]
	}
	return g.weightY[y]
}

// stranger reports whether another net's wire passes a node.
func (g *grid) stranger(node, net int) bool {
	for dir := range 4 {
		if owner, _ := g.edge(node, dir); owner != nil && *owner >= 0 && *owner != net {
			return true
		}
	}
	return false
}

// crossable reports whether a wire of a net may go straight on over a node in a direction: no other net has a pin there, nor a wire along this
// way. What is left of others is a wire straight across, for a bend or a joint has an end along this way too.
func (g *grid) crossable(node, dir, net int) bool {
	if g.pin[node] >= 0 && g.pin[node] != net {
		return false
	}
	for _, d := range []int{dir, (dir + 2) % 4} {
		if owner, _ := g.edge(node, d); owner != nil && *owner >= 0 && *owner != net {
			return false
		}
	}
	return true
}

const (
	bendCost  = 22.0
	crossCost = 70.0
)

// mark is a place in the search: a node entered in a direction.
type mark struct {
	cost  float64
	state int // node*4+dir
}

// queue is a heap of marks, cheapest first, of equal costs the lower state.
type queue []mark

func (m mark) before(o mark) bool {
	return m.cost < o.cost || m.cost == o.cost && m.state < o.state
}

func (q *queue) push(m mark) {
	h := append(*q, m)
	i := len(h) - 1
	for i > 0 && m.before(h[(i-1)/2]) {
		h[i] = h[(i-1)/2]
		i = (i - 1) / 2
	}
	h[i] = m
	*q = h
}

func (q *queue) pop() mark {
	h := *q
	least, last := h[0], h[len(h)-1]
	h = h[:len(h)-1]
	i := 0
	for {
		k := 2*i + 1
		if k >= len(h) {
			break
		}
		if k+1 < len(h) && h[k+1].before(h[k]) {
			k++
		}
		if !h[k].before(last) {
			break
		}
		h[i] = h[k]
		i = k
	}
	if len(h) > 0 {
		h[i] = last
	}
	*q = h
	return least
}

// router holds what a search needs, kept from one to the next.
type router struct {
	*grid
	cost           []float64
	from           []int
	epoch          []int
	alongX, alongY []float64 // how far each line is from the first
	near           [4]int    // lines between which what is to be reached lies: left, top, right, bottom
	now            int
	laid           []*int  // edges of the net in work
	spent          float64 // cost of the net in work
	limit          float64 // above which the search may give up
	queue          queue
}

func newRouter(g *grid) *router {
	n := g.nx * g.ny * 4
	r := &router{grid: g, cost: make([]float64, n), from: make([]int, n), epoch: make([]int, n)}
	r.alongX, r.alongY = running(g.weightX), running(g.weightY)
	return r
}

func running(steps []float64) []float64 {
	out := make([]float64, len(steps))
	for i := range steps[1:] {
		out[i+1] = out[i] + steps[i+1]
	}
	return out
}

// widen extends what is to be reached by a node.
func (r *router) widen(node int) {
	x, y := node%r.nx, node/r.nx
	r.near = [4]int{min(r.near[0], x), min(r.near[1], y), max(r.near[2], x), max(r.near[3], y)}
}

// least is what the way from a node to what is to be reached costs at least.
func (r *router) least(node int) float64 {
	x, y := node%r.nx, node/r.nx
	cx, cy := max(r.near[0], min(r.near[2], x)), max(r.near[1], min(r.near[3], y))
	return math.Abs(r.alongX[x]-r.alongX[cx]) + math.Abs(r.alongY[y]-r.alongY[cy])
}

// price is what it costs to go on from a node in a direction.
func (r *router) price(node, dir, turn int, across bool) float64 {
	cost := r.length(node, turn)
	if turn != dir {
		cost += bendCost
	}
	if across {
		cost += crossCost
	}
	return cost
}

// connect leads a wire of a net from a pin to the nearest of its goals and lays it down. It reports whether there is a way.
func (r *router) connect(net, start int, goal func(node int) bool) bool {
	r.now++
	q := r.queue[:0]
	defer func() { r.queue = q }()
	push := func(state, from int, cost float64) {
		if r.epoch[state] == r.now && r.cost[state] <= cost {
			return
		}
		r.epoch[state], r.cost[state], r.from[state] = r.now, cost, from
		q.push(mark{cost + r.least(state/4), state})
	}
	for dir := range 4 {
		if owner, to := r.edge(start, dir); owner != nil && *owner == open {
			push(to*4+dir, -1, r.length(start, dir))
		}
	}
	for len(q) > 0 {
		m := q.pop()
		if r.spent+m.cost >= r.limit {
			return false
		}
		sofar := r.cost[m.state]
		if m.cost > sofar+r.least(m.state/4)+1e-9 {
			continue
		}
		node, dir := m.state/4, m.state%4
		if !r.crossable(node, dir, net) {
			continue
		}
		across := r.stranger(node, net)
		if !across && goal(node) {
			r.lay(net, m.state)
			r.widen(start)
			r.spent += sofar
			return true
		}
		for turn := range 4 {
			owner, to := r.edge(node, turn)
			if owner == nil || *owner != open || across && turn != dir || turn == (dir+2)%4 {
				continue
			}
			push(to*4+turn, m.state, sofar+r.price(node, dir, turn, across))
		}
	}
	return false
}

// lay marks the edges that lead to a state.
func (r *router) lay(net, state int) {
	for state >= 0 {
		owner, _ := r.edge(state/4, (state%4+2)%4)
		*owner = net
		r.laid = append(r.laid, owner)
		r.widen(state / 4)
		state = r.from[state]
	}
}

// touches reports whether a wire of the net is at a node.
func (g *grid) touches(node, net int) bool {
	for dir := range 4 {
		if owner, _ := g.edge(node, dir); owner != nil && *owner == net {
			return true
		}
	}
	return false
}

// joinBest joins a net from each of its first pins on, and keeps the cheapest.
func (r *router) joinBest(net int, pins []pinPlace) bool {
	roots := min(len(pins), 4)
	for _, p := range pins {
		if r.touches(p.node, net) {
			roots = 1
		}
	}
	best, at := math.Inf(1), -1
	try := func(root int, limit float64) bool {
		r.limit = limit
		r.laid, r.spent = r.laid[:0], 0
		return r.join(net, pins, root)
	}
	for root := range roots {
		if try(root, best-1e-9) {
			best, at = r.spent, root
		}
		for _, owner := range r.laid {
			*owner = open
		}
	}
	return at >= 0 && try(at, math.Inf(1))
}

// join leads wires between all pins of a net, from the root on: from the pin that is next to what is joined already, one after the other.
func (r *router) join(net int, pins []pinPlace, root int) bool {
	var joined, rest []pinPlace
	for _, p := range pins {
		if r.touches(p.node, net) {
			joined = append(joined, p)
		} else {
			rest = append(rest, p)
		}
	}
	if len(joined) == 0 {
		joined = []pinPlace{rest[root]}
		rest = slices.Delete(rest, root, root+1)
	}
	r.near = [4]int{r.nx, r.ny, -1, -1}
	for node := range r.h {
		if r.touches(node, net) {
			r.widen(node)
		}
	}
	r.widen(joined[0].node)
	for len(rest) > 0 {
		best, at := math.Inf(1), 0
		for i, p := range rest {
			for _, q := range joined {
				if d := math.Abs(float64(p.x-q.x)) + 1.5*math.Abs(float64(p.y-q.y)); d < best {
					best, at = d, i
				}
			}
		}
		p := rest[at]
		rest = slices.Delete(rest, at, at+1)
		goal := func(node int) bool { return r.touches(node, net) || node == joined[0].node }
		if !r.touches(p.node, net) && !r.connect(net, p.node, goal) {
			return false
		}
		joined = append(joined, p)
	}
	return true
}
