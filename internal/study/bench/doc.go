// Package bench answers "What did the bench say?": what readings of one or several units tell of
// all units, with the meter's own error kept apart from the scatter of the units.
//
// Inside, everything is in SI units: V, K (temperatures absolute), shares as fractions. Equations
// are numbered [R1]… as in docs/models.md.
//
// A meter's leaflet gives limits, within which its error is unknown and the same for all readings
// by it: more units do not make it smaller. The scatter of the units does shrink in their mean.
// Both are carried through apart, and so is what a model does not know that carries readings over
// to other conditions.
//
// The limits of a share of units are one-sided at the confidence each, as in statistics and in
// setpoint; those of a mean and of the tolerance interval are the two ends at that confidence.
//
// Left out: how a meter drifts beyond its leaflet's year or temperatures, units that were picked
// and not taken at random, populations other than the normal (it is tested, and said), logs.
//
// Same Input, same bits, on any number of cores.
package bench
