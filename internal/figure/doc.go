// Package figure draws what a study found: is the promise kept, how far do units spread, which input is to blame?
//
// A figure is a Plot: plain numbers in the unit shown. It lays itself out as a Drawing, a short list of operations, which
// three sinks write: SVG (text of our own), PDF and PNG (by libraries). The same Plot writes itself as lines of a terminal.
// Strip, Distribution, Budget, Curve and Bars are the plots; Carpet and Totals draw a year, Tradeoff two measures of choices,
// Ends and EndsTable how a mistake ends.
//
// Lengths are px of 1/96 inch. Figures keep their text size and take the width they are given, so that a page can hold
// a narrow and a wide layout of the same figure. Every output is the same bytes for the same values: fixed decimals, no
// identifiers, no date. Numbers that are not finite, or beyond 10⁹⁹, never reach an output: such a limit is open, such a value left out.
//
// Conventions are the project's own: the allowed region is hatched, what lies outside it is thick and warm, the kind of
// evidence is told by shape. The axes of a Curve may be linear, logarithmic,
// of dates, or those of a Weibull probability plot (IEC 61649). Long series are thinned to what one px can show. Left out: rotated text.
package figure
