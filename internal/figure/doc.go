// Package figure draws what a study found: is the promise kept, how far do units spread, which input is to blame?
//
// A figure is a Plot: plain numbers in the unit shown. It lays itself out as a Drawing, a short list of operations, which
// three sinks write: SVG (text of our own), PDF and PNG (by libraries). The same Plot writes itself as lines of a terminal.
// Strip, Distribution, Budget and Curve are the plots.
//
// Lengths are px of 1/96 inch. Figures keep their text size and take the width they are given, so that a page can hold
// a narrow and a wide layout of the same figure. Every output is the same bytes for the same values: fixed decimals, no
// identifiers, no date. Numbers that are not finite, or beyond 10⁹⁹, never reach an output: such a limit is open, such a value left out.
//
// Conventions are the project's own: the allowed region is hatched, what lies outside it is thick and warm, the kind of
// evidence is told by shape. Left out: logarithmic axes, rotated text, decimation of very long series.
package figure
