// Package soak answers how warm something gets at a held current, and how fast: from temperatures of
// a run that may have been stopped before they were steady.
//
// Inside, everything is in SI units: K, s, W, K/W. Equations are numbered [T1]… as in docs/models.md.
//
// A warm-up is taken for one or two exponentials in time above the ambient as it was then. Two are taken where the
// readings tell them apart, else one, and it is said. Readings that follow each other (a draught, a
// slow probe) count for as many as are independent. A run that was stopped early leaves the steady
// value with a wide limit, or with none.
//
// Left out: how the ambient reaches the part late (a drifting ambient is a warning), radiation and convection that
// make a warm part cool better than in proportion.
package soak
