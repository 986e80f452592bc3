package diagram

import (
	"math"

	"hindwatt/internal/figure"
)

// flows is how much current each wire carries.
type flows struct {
	most  float64         // A; 0: no current is drawn
	edges map[int]float64 // by edgeID, positive to the right and downward
	nodes map[int]float64 // the largest at a node
}

// stroke is the line of a wire with a current: as wide as its share of the largest.
func (f *flows) stroke(current float64) figure.Stroke {
	return figure.Stroke{Role: f.role(current), Width: lineWidth + 3.2*f.share(current)}
}

func (f *flows) share(current float64) float64 {
	if f.most == 0 {
		return 0
	}
	return min(1, math.Abs(current)/f.most)
}

// role: what carries more than a hundredth of the largest current stands out.
func (f *flows) role(current float64) figure.Role {
	if f.share(current) > 0.01 {
		return figure.Accent
	}
	return figure.Ink
}

// flows spreads the parts' currents over the wires. Wires of a net are a tree, so that the current law gives each wire's current; what is
// missing at a terminal goes through panel, battery or load.
func (l *layout) flows() *flows {
	f := &flows{edges: map[int]float64{}, nodes: map[int]float64{}}
	for _, d := range l.devices {
		f.most = max(f.most, math.Abs(d.current))
	}
	if f.most == 0 {
		return f
	}
	into := map[int]float64{} // current that comes out of a pin into its node
	sum := make([]float64, len(l.names))
	for _, c := range l.cells {
		if c.device < 0 || l.devices[c.device].outside {
			continue
		}
		pins, i := l.places(l.netlist, c), l.devices[c.device].current
		into[pins[0].node] -= i
		into[pins[1].node] += i
		sum[pins[0].net] -= i
		sum[pins[1].net] += i
	}
	l.closeTerminals(into, sum)
	f.most = 0
	for _, d := range l.devices {
		f.most = max(f.most, math.Abs(d.current))
	}
	l.spread(f, into)
	return f
}

// closeTerminals lets the outside take what comes to its plus terminal.
func (l *layout) closeTerminals(into map[int]float64, sum []float64) {
	for _, c := range l.cells {
		if c.device < 0 || !l.devices[c.device].outside {
			continue
		}
		d := &l.devices[c.device]
		pins := l.places(l.netlist, c)
		d.current = sum[d.first]
		into[pins[0].node] -= sum[d.first]
		into[pins[1].node] -= sum[d.second]
	}
}

// spread walks each net's tree from its leaves.
func (l *layout) spread(f *flows, into map[int]float64) {
	seen := map[int]bool{}
	var visit func(node, net, from int) float64
	visit = func(node, net, from int) float64 {
		seen[node] = true
		total := into[node]
		for dir := range 4 {
			owner, to := l.edge(node, dir)
			if owner == nil || *owner != net || to == from || seen[to] {
				continue
			}
			i := visit(to, net, node) // comes from there to here
			total += i
			sign := 1.0
			if dir == east || dir == south {
				sign = -1
			}
			f.edges[edgeID(node, dir, to)] = sign * i
			f.nodes[node], f.nodes[to] = max(f.nodes[node], math.Abs(i)), max(f.nodes[to], math.Abs(i))
		}
		return total
	}
	for net, pins := range l.joined {
		seen = map[int]bool{}
		for _, p := range pins {
			if !seen[p.node] {
				visit(p.node, net, -1)
			}
		}
	}
}

// drawRun draws a wire, with an arrow on its longest stretch where it carries current.
func (l *layout) drawRun(d *figure.Drawing, r run, f *flows) {
	var points []figure.Point
	for _, node := range r.nodes {
		points = append(points, l.point(node))
	}
	i := l.runCurrent(r, f)
	d.Ops = append(d.Ops, figure.Line{Points: points, Stroke: f.stroke(i)})
	if f.share(i) <= 0.01 {
		return
	}
	if i < 0 {
		for a, b := 0, len(points)-1; a < b; a, b = a+1, b-1 {
			points[a], points[b] = points[b], points[a]
		}
	}
	best, at := 0.0, 0
	for k := range points[1:] {
		if n := math.Hypot(points[k+1].X-points[k].X, points[k+1].Y-points[k].Y); n > best {
			best, at = n, k
		}
	}
	if best < 40 {
		return
	}
	a, b := points[at], points[at+1]
	ux, uy := (b.X-a.X)/best, (b.Y-a.Y)/best
	w := 3 + 2*f.share(i)
	tip := figure.Point{X: (a.X+b.X)/2 + ux*w, Y: (a.Y+b.Y)/2 + uy*w}
	tail := figure.Point{X: tip.X - 2.2*w*ux, Y: tip.Y - 2.2*w*uy}
	d.Ops = append(d.Ops, figure.Area{Points: []figure.Point{tip, {X: tail.X - w*uy, Y: tail.Y + w*ux}, {X: tail.X + w*uy, Y: tail.Y - w*ux}}, Fill: f.role(i)})
}

// runCurrent is the current along a wire, positive from its first node to its last.
func (l *layout) runCurrent(r run, f *flows) float64 {
	a, b := r.nodes[0], r.nodes[1]
	switch {
	case b/l.nx == a/l.nx && b > a:
		return f.edges[2*a+east]
	case b/l.nx == a/l.nx:
		return -f.edges[2*(a-1)+east]
	case b > a:
		return f.edges[2*a+south]
	}
	return -f.edges[2*(a-l.nx)+south]
}
