// Package iv answers which panel a measured curve is of: five parameters of the single-diode model from a
// sweep between short circuit and open circuit, with limits, and the label of it for an installation.
//
// Inside, everything is in SI units: V, A, Ω, W/m², K. Equations are numbered [I1]… as in docs/models.md.
//
// The exact implicit model is fitted. Where the last digits of both meters are known the distance of a reading
// from the curve is taken across it, else along the current. What the meters, the thermometer and
// the irradiance may be off by is carried through by fitting again.
//
// Left out: recombination of amorphous cells (fitted as if crystalline, with a warning), shade, light that changes
// during the sweep.
package iv
