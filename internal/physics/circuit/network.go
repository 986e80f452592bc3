package circuit

import "fmt"

// A Node is a place where parts meet. Ground is the node of 0 V.
type Node int

// Ground is the node against which voltages count.
const Ground Node = 0

// An ID is a part of a network.
type ID int

// A Network is parts between nodes. The zero value is not usable: see New. It belongs to one goroutine; Clone
// gives another its own.
type Network struct {
	names    []string // of nodes, Ground first
	nodes    map[string]Node
	elements []element
	branches []branch
	curves   []junction
	bad      int    // parts with an impossible value
	fault    string // of the building
	shape    int    // counts changes of what is joined to what
}

// kind is what an element is.
type kind uint8

const (
	resistor kind = iota
	source
	current
	diode
	panel
	mosfet
	clamp
	load
)

// element is a part as the maker sees it: one or two branches.
type element struct {
	name      string
	kind      kind
	first     Node
	second    Node
	branch    int // the first of them
	count     int // of branches
	opened    bool
	on        bool // a transistor
	hasBypass bool // a panel
	fault     string
}

// way is how a branch conducts.
type way uint8

const (
	linear   way = iota // v = emf + ohms·i
	constant            // i = amps
	curved              // i = f(v)
)

// branch is one path from a to b.
type branch struct {
	a, b  Node
	way   way
	off   bool
	ohms  float64
	emf   float64
	amps  float64
	curve int // of the network's curves

	follows bool // see Network.Follow
	ref     Node
}

// New returns a network that has only its ground.
func New() *Network {
	return &Network{names: []string{"gnd"}, nodes: map[string]Node{"gnd": Ground}}
}

// Node returns the node of a name, a new one if there is none yet; "gnd" is Ground.
func (n *Network) Node(name string) Node {
	node, known := n.nodes[name]
	if !known {
		node = Node(len(n.names))
		n.nodes[name] = node
		n.names = append(n.names, name)
		n.shape++
	}
	return node
}

// Find returns the node of a name; ok is false if there is none.
func (n *Network) Find(name string) (node Node, ok bool) {
	node, ok = n.nodes[name]
	return node, ok
}

// Nodes returns how many nodes there are, Ground counted; they are 0 … Nodes()-1.
func (n *Network) Nodes() int { return len(n.names) }

// NodeName returns the name of a node.
func (n *Network) NodeName(node Node) string {
	if node < 0 || int(node) >= len(n.names) {
		return fmt.Sprintf("node %d", node)
	}
	return n.names[node]
}

// Parts returns how many parts there are; they are 0 … Parts()-1 in the order of their building.
func (n *Network) Parts() int { return len(n.elements) }

// Name returns the name of a part.
func (n *Network) Name(id ID) string { return n.elements[id].name }

// Terminals returns the nodes of a part, first terminal first.
func (n *Network) Terminals(id ID) (first, second Node) {
	return n.elements[id].first, n.elements[id].second
}

// Part returns the part of a name; ok is false if there is none.
func (n *Network) Part(name string) (id ID, ok bool) {
	for i := range n.elements {
		if n.elements[i].name == name {
			return ID(i), true
		}
	}
	return 0, false
}

// Clone returns a network of its own with the same nodes, parts and values.
func (n *Network) Clone() *Network {
	c := *n
	c.names = append([]string(nil), n.names...)
	c.elements = append([]element(nil), n.elements...)
	c.branches = append([]branch(nil), n.branches...)
	c.curves = append([]junction(nil), n.curves...)
	c.nodes = make(map[string]Node, len(n.nodes))
	for node, name := range n.names {
		c.nodes[name] = Node(node)
	}
	return &c
}

// add makes a part of so many branches, all from first to second.
func (n *Network) add(k kind, name string, first, second Node, ways ...way) ID {
	id := ID(len(n.elements))
	for _, node := range []Node{first, second} {
		if (node < 0 || int(node) >= len(n.names)) && n.fault == "" {
			n.fault = fmt.Sprintf("%s: no node %d; want one that Node returned", name, node)
		}
	}
	if _, twice := n.Part(name); twice && n.fault == "" {
		n.fault = fmt.Sprintf("%s: a second part of this name; want each once", name)
	}
	n.elements = append(n.elements, element{name: name, kind: k, first: first, second: second, branch: len(n.branches), count: len(ways)})
	for _, w := range ways {
		n.branches = append(n.branches, branch{a: first, b: second, way: w, curve: len(n.curves)})
		if w == curved {
			n.curves = append(n.curves, junction{})
		}
	}
	n.shape++
	return id
}

// Resistor adds a resistance of 0 … MostResistance ohms; 0 is a short. Its first terminal is a.
func (n *Network) Resistor(name string, a, b Node, ohms float64) ID {
	id := n.add(resistor, name, a, b, linear)
	n.SetResistance(id, ohms)
	return id
}

// Source adds an ideal source of a voltage.
func (n *Network) Source(name string, plus, minus Node, volts float64) ID {
	id := n.add(source, name, plus, minus, linear)
	n.SetVoltage(id, volts)
	return id
}

// Battery adds a source of a voltage behind a resistance.
//
//	emf   open-circuit voltage, V
//	ohms  internal resistance, 0 … MostResistance
func (n *Network) Battery(name string, plus, minus Node, emf, ohms float64) ID {
	id := n.add(source, name, plus, minus, linear)
	n.SetVoltage(id, emf)
	n.SetResistance(id, ohms)
	return id
}

// Current adds an ideal source of a current: it takes amps out of from and drives them into into.
func (n *Network) Current(name string, from, into Node, amps float64) ID {
	id := n.add(current, name, from, into, constant)
	n.SetCurrent(id, amps)
	return id
}

// Diode adds a diode.
func (n *Network) Diode(name string, anode, cathode Node, d Diode) ID {
	id := n.add(diode, name, anode, cathode, curved)
	n.SetDiode(id, d)
	return id
}

// Panel adds a solar panel or a part of one with the same light on every cell.
func (n *Network) Panel(name string, plus, minus Node, p Panel) ID {
	id := n.add(panel, name, plus, minus, curved, curved)
	n.SetPanel(id, p)
	return id
}

// Mosfet adds a field-effect transistor, switched off.
func (n *Network) Mosfet(name string, drain, source Node, m Mosfet) ID {
	id := n.add(mosfet, name, drain, source, curved, linear)
	n.SetMosfet(id, m)
	n.Switch(id, false)
	return id
}

// Clamp adds a suppressor diode; plus is its cathode.
func (n *Network) Clamp(name string, plus, minus Node, c Clamp) ID {
	id := n.add(clamp, name, plus, minus, curved)
	n.SetClamp(id, c)
	return id
}

// Load adds what draws a constant current: electronics, a regulator with what hangs on it, a lamp driver.
func (n *Network) Load(name string, plus, minus Node, l Load) ID {
	id := n.add(load, name, plus, minus, curved)
	n.SetLoad(id, l)
	return id
}
