// Package influence says what each input of a figure has to do with it: how far its tolerance moves the figure, what share of the
// spread is its own, and where it would have to lie for a promise to be lost or kept.
//
// A figure is taken with every input at its nominal, and one of them moved. Equations are those of docs/models.md, What inputs change.
package influence
