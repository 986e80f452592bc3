// Package rating answers: how much current can it carry?
//
// From the controller as plain values (package hardware) it computes the largest continuous current at an ambient and which
// part stops it, what is dropped and lost on the way, how hot the case gets, and what the controller takes for itself; over
// units that differ within their data sheets, apart from what is merely unknown (convection, contact to the wall, fillings).
// Both full conduction and the worst duty of regulation are computed; the worse counts, and which one is said.
//
// SI units inside: A, V, W, K (absolute for temperatures). It leaves out what lasts less than minutes but for the rule on
// cloud-edge peaks, and whatever no limit is written for.
//
// Opinions: a limit is the datasheet's maximum, and beyond 0.8 of it stands a caution; a panel counts 1.25 times its
// short-circuit current; an ambient that no condition names is 25 °C.
package rating
