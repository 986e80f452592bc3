// Package sweep answers what a supply that was swept up and down over the switching points tells: at
// which voltage each unit switched, with which hysteresis, how far units differ, and how the points
// follow the temperature.
//
// A unit's response (its charge current, its output) has two levels; it switches where the response
// leaves the one for the other. The voltage there is that of a line through the rows before, so that a
// supply that jumps when its load goes does not matter.
//
// Inside, everything is in SI units: s, V, A, K. Equations are numbered [L1]… as in docs/models.md.
//
// Left out: points that depend on how long the voltage was there, thresholds of more than two levels.
package sweep
