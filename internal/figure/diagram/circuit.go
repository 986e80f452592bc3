package diagram

import "hindwatt/internal/figure"

// Circuit is a netlist with its names. The six nodes "pv+", "pv-", "bat+", "bat-", "load+" and "load-" are the terminals: panel, battery
// and load are drawn by themselves where one of their two terminals is used.
type Circuit struct {
	Title  string // empty: "circuit"
	Parts  []Part // in the order of the folder; the drawing depends on it only where two layouts are equally good
	Source string // where the netlist comes from, written below; may be empty
	Flows  []Flow // draws wires and parts by the current through them; may be empty
	Marks  []Mark // what gives way; may be empty
	// Outside is what stands at the terminals of panel, battery and load where that is not what should.
	Outside [3]Outside
}

// Outside is what stands at two terminals. The zero value is what should stand there.
type Outside struct {
	Kind   string // "panel", "battery", "load", any other word for a box, or Nothing; "": what should stand there
	Turned bool   // its plus is at the minus terminal
}

// Nothing stands at two terminals where what should is off.
const Nothing = "nothing"

// Part is one part of the circuit.
type Part struct {
	Name string // "d1", shown beside the symbol; should be unique
	// Kind chooses the symbol: resistor, wire, track, contact, diode, schottky, mosfet (n-channel), p-mosfet, fuse, clamp, capacitor,
	// thermistor, reference, regulator, control, lamp, panel, battery. Any other is a box with its kind written in it.
	Kind  string
	Label string // a short value such as "sb20" or "15 A"; may be empty
	// Ends are the connections. Of two, the first is the anode or positive end. A mosfet has drain, source, gate in this order, or names
	// them by Pin. Of more than two ends of another part the first is drawn on top, the second below, the others at its left.
	Ends  []End
	Place string // "lead" and "outside" are written beside the part, an enclosure's name is not
}

// End is one connection of a part.
type End struct {
	Pin  string // "drain", "source", "gate"; may be empty
	Node string // the node it is joined to; empty: joined to nothing
}

// Flow is the current through a part, from its first to its second end, in A; negative: the other way. Current at the terminals follows
// from it by the current law. A part without a flow carries none.
type Flow struct {
	Part    string
	Current float64 // A; not finite counts as 0
}

// Mark points at a part that gives way, or at what stands outside by its kind.
type Mark struct {
	Part string
	Text string // "gives way: 1.8 times its limit"; written in full in the description
}

var _ figure.Plot = Circuit{}
