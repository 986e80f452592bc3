// Package setpoint answers "Does it stop at the right voltage?": what the battery really gets
// when the controller believes that it is at absorption, at float, at load disconnect or at load
// reconnect, and how far an indicator is off, over units and over the conditions of a promise.
//
// Inside, everything is in SI units: V, A, Ω, K (temperatures absolute), ratios as fractions,
// converter errors in steps. Equations are numbered [S1]… as in docs/models.md.
//
// What varies from unit to unit and what is merely unknown, the same for all units, are drawn
// apart: Outer draws of the unknown, and for each of them Inner units. A condition that a promise
// names is covered: a unit counts by its lowest and highest deviation over the whole of it.
//
// Left out: noise and the time that a deviation lasts, the heating of the battery lead, leakage
// that grows with temperature, and resistors that drift together (each drifts for itself, which
// is the wider case).
//
// Same Input, same bits, on any number of cores and on js/wasm.
package setpoint
