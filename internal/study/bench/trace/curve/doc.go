// Package curve answers what a log of a charging day tells: when the battery was charged, at which
// voltages the controller held it, how sure that is, and whether the meter can be believed.
//
// The log is cut where its course changes (trace.Segments) and each piece is named by what a maker sees
// in it: bulk where the voltage rises, absorption and float where it is held, night where nothing comes
// from the panel. A level is that of its held rows, once they have settled; rows that fall out of it,
// as under a cloud, are left out and counted.
//
// Inside, everything is in SI units: s, V, A, K. Equations are numbered [L1]… as in docs/models.md.
//
// Left out: charging by another source, more than one controller on the battery, levels that are held
// for less than some minutes.
package curve
