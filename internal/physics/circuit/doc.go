// Package circuit answers: what voltages and currents does a direct-current network settle at, whatever
// is in it: wires, batteries, solar panels, diodes, transistors, clamps, loads?
//
// A Network is nodes and parts between them; Compile makes a Solver of it. All values are SI: ohms,
// volts, amperes, siemens, kelvins. Any value can be changed between two solutions without allocating, any
// part opened, moved or reversed, so that one Solver serves thousands of cases.
//
// # Signs
//
// The current of a part is that which flows into its first terminal; its power is what it absorbs, so a
// panel in the sun and a battery that feeds have a negative one.
//
// # How it is solved
//
// Kirchhoff's current law at every node, with the currents of ideal sources and of resistances under 1 mΩ as
// further unknowns (modified nodal analysis, Ho, Ruehli and Brennan, IEEE Trans. Circuits Syst. 22 (1975), p. 504).
// Newton's method with limited steps of the junctions (Nagel, memorandum ERL-M520, University of
// California, Berkeley, 1975), and where that does not settle, sources raised in steps, then conductances to ground
// lowered in steps to nothing. A series resistance needs no node of its own: it is eliminated within its part.
// Every part but the ideal sources lets more current through at more voltage, so a solution, if there is
// one, is the only one (Duffin, Bull. Amer. Math. Soc. 53 (1947), p. 963).
//
// # When a solution is accepted
//
// Only if at every node the currents sum to less than 1e-9 of the largest current plus 8·ε·Σ|G·V|, with no
// conductance left over from the stepping. A network without a unique solution is found by its graph,
// before any number is computed, and named: a node that nothing fixes, a current into an open node, sources in
// parallel. A not-a-number is never a solution. Solution.Rounding tells how well the voltages are known.
//
// # What is assumed
//
// Every semiconductor and every electronic load lets at least 1e-18 S through (LeastConductance), which no answer shows. A
// current forced backwards through a diode without breakdown has no solution below 1e9 V, and that is what is said.
// Nothing here heats: whoever knows the temperature sets the values for it (DiodeFit.At, Channel.OnResistance).
package circuit
