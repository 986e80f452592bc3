package heat

import "fmt"

// A Node is a place of one temperature; Outside is the air around, of given temperature.
type Node int

// Outside is the ambient: air and surroundings.
const Outside Node = 0

// An Exchange carries heat between two places.
type Exchange interface {
	// Heat returns the heat from a to b at their temperatures, K, and its slope over a. It
	// changes sign when a and b change places, and the slope is above 0.
	Heat(a, b float64) (q, slope float64)
}

// A Conductance is a fixed one, W/K.
type Conductance float64

// Heat returns g·(a − b).
func (g Conductance) Heat(a, b float64) (q, slope float64) { return float64(g) * (a - b), float64(g) }

// A Loss is the heat that a part makes, W, at its own temperature, K, and its slope over it, W/K.
type Loss interface {
	At(t float64) (p, slope float64)
}

// A Network is a set of nodes with heat made in them and ways for it to go. The zero value holds Outside alone.
// Build it once, then set values and solve as often as wanted: that allocates nothing. Not for use by two goroutines.
type Network struct {
	names   []string
	heat    []float64 // fixed, W
	losses  []Loss
	fixed   []link
	joined  []joint
	ambient float64

	rise    []float64 // above the ambient, K: differences of rises round less than those of temperatures
	shape   structure
	shaped  bool
	residue []float64
	saved   []float64
}

type link struct {
	a, b Node
	g    float64
}

type joint struct {
	a, b Node
	by   Exchange
}

// Add returns a new node.
func (n *Network) Add(name string) Node {
	if len(n.names) == 0 {
		n.names, n.heat, n.losses = []string{"ambient"}, []float64{0}, []Loss{nil}
	}
	n.names, n.heat, n.losses = append(n.names, name), append(n.heat, 0), append(n.losses, nil)
	n.shaped = false
	return Node(len(n.names) - 1)
}

// Name returns the name of a node.
func (n *Network) Name(at Node) string { return n.names[at] }

// Len returns how many nodes there are, Outside among them.
func (n *Network) Len() int { return len(n.names) }

// A Link is a fixed conductance of a network.
type Link int

// Conduct joins two nodes by a fixed conductance, W/K, ≥ 0; above 0 if it is a node's only way.
func (n *Network) Conduct(a, b Node, g float64) Link {
	n.fixed, n.shaped = append(n.fixed, link{a, b, g}), false
	return Link(len(n.fixed) - 1)
}

// SetConductance changes a fixed conductance, W/K, ≥ 0.
func (n *Network) SetConductance(l Link, g float64) { n.fixed[l].g = g }

// Join joins two nodes by an exchange that depends on their temperatures.
func (n *Network) Join(a, b Node, by Exchange) {
	n.joined, n.shaped = append(n.joined, joint{a, b, by}), false
}

// SetHeat sets the fixed heat of a node, W, ≥ 0.
func (n *Network) SetHeat(at Node, p float64) { n.heat[at] = p }

// SetLoss sets the heat of a node that depends on its temperature; nil for none.
func (n *Network) SetLoss(at Node, loss Loss) { n.losses[at] = loss }

// Temperature returns that of a node after Solve, K.
func (n *Network) Temperature(at Node) float64 { return n.ambient + n.rise[at] }

// Heat returns the heat made in a node after Solve, W.
func (n *Network) Heat(at Node) float64 {
	p := n.heat[at]
	if n.losses[at] != nil {
		q, _ := n.losses[at].At(n.Temperature(at))
		p += q
	}
	return p
}

// GivenOff returns the heat that reaches the ambient after Solve, W.
func (n *Network) GivenOff() float64 {
	sum := 0.0
	for _, l := range n.fixed {
		sum += outward(l.a, l.b, l.g*(n.rise[l.a]-n.rise[l.b]))
	}
	for _, j := range n.joined {
		q, _ := j.by.Heat(n.Temperature(j.a), n.Temperature(j.b))
		sum += outward(j.a, j.b, q)
	}
	return sum
}

func outward(a, b Node, q float64) float64 {
	switch Outside {
	case b:
		return q
	case a:
		return -q
	}
	return 0
}

// Runaway says that there is no steady state: the heat made grows faster than what is carried away.
type Runaway struct {
	Node    Node
	Name    string  // of the part that runs away
	Ambient float64 // at which it does, K
}

// Error names the part and the ambient.
func (r *Runaway) Error() string {
	return fmt.Sprintf("%s: no steady temperature at an ambient of %.1f °C, its heat grows faster than it is carried away; want less current, a better path for the heat or a cooler place",
		r.Name, r.Ambient-Celsius0)
}
