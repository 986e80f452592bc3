// Package diagram draws a controller's circuit from its netlist: where does the current flow, and what stands in its way?
//
// A Circuit is a figure.Plot. The panel stands at the left, the battery at the right, the plus rail at the top, the minus
// rail at the bottom; what lies across the rails hangs between them in columns, and a column reads from plus to minus.
// Symbols follow IEC 60617: resistor a rectangle, fuse a rectangle with a line through, diode a triangle and bar, a mosfet
// with its body diode. What the standard has no sign for here (regulator, control, reference, any kind that is not known) is a box
// with its word in it; a track is a thick line and a wire a wavy one.
//
// The layout follows from the netlist alone: rails are the cheapest paths from the panel's to the battery's terminals, the
// rest falls apart into chains between what already has a place, columns are ordered for short wires, and wires
// are searched on a grid, where two may cross but never lie on each other. Joints have a dot, crossings none. Every part and
// every connection is in the drawing, odd ones too: a node that leads nowhere ends in an open ring with its name.
// The same circuit always gives the same drawing.
//
// Whoever holds a netlist fills in one Part a component: its name, its kind as parts.toml has it ("p-mosfet" for a mosfet of channel p, "schottky"
// for a diode that is one), a short value, where it is, and its ends: {Node: from}, {Node: to}, or {"drain", …}, {"source", …}, {"gate", …}. For a still frame of a
// stage Flows makes the wires as wide as their current, and Marks frames what gives way.
package diagram
