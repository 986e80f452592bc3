// Package pair answers which of two controllers on the same rig held the lower level, and whether that is real: from
// spans taken in turn (A-B-A, alternating), from two columns side by side, or from two hand readings.
//
// Values are in SI units. Equations are numbered [D1]… as in docs/models.md. A difference is the second less the first.
//
// The sun changes meanwhile: a regression takes out what goes with the irradiance or with the panel's short-circuit current, and a
// steady drift. One meter errs alike in both readings: of its error only the part of the
// reading remains, times the difference, and the last digit of each.
//
// Left out: what a controller does to the battery that the next one finds (alternate often enough to see it), drifts that
// are not straight.
package pair
