// Package hardware holds the controller itself as plain values and answers: at these outside conditions, which current flows
// where, what is lost, and how hot does each part get?
//
// A Design is the circuit, the data sheets of its parts and the enclosures, as written. A Unit is one concrete controller made
// from it: a network of physics/circuit, joined to a thermal network of physics/heat. Operate solves both together, since
// on-resistance, forward drop and leakage move with temperature; Largest finds the panel current that every limit just bears.
//
// SI units inside: V, A, Ω, W, m, K (absolute for temperatures). It knows neither files nor studies, and no arrangement by name:
// series or shunt, negative or positive leg, diode inside, in the lead or none follow from the netlist and its body diodes. A role
// tells only which mosfet the control drives, and a [regulation] switch word only whether a driven switch charges or stops.
//
// It leaves out ripple of capacitors and panel capacitance (a cycle is its on and its off state, each at rest), and transients:
// those belong to the fault study.
//
// Opinions, each marked where it stands: the datasheet maximum is the limit of a junction; a fuse carries 0.8 of its rating for
// ever at 25 °C and 0.25 % less a kelvin above; a diode's drop scatters by ±5 % from part to part where nothing is written.
package hardware
