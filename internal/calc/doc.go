// Package calc is the drawer of small calculators: each answers one question of
// the workbench by the same function that a study uses, and names its formula and its source.
//
// A calculator is one entry (type Calculator): name, question, inputs, results,
// formula, source and the function that computes. To add one, write its entry in the file of its
// topic and hand it to register there; list, errors, tolerances, text and JSON follow from the entry.
//
// # Inputs
//
// Values are quantities as everywhere in the product folder: "5 A", "10 kΩ ±1 %". A bare
// number is accepted where a plain number is wanted and refused elsewhere with the unit
// that is wanted. Shares such as a confidence may be written 0.95 or 95 %.
//
// # Files
//
// Data come as CSV whose first line names the columns; numbers in it have no units, and results have those of the
// file. Every fault of a file is told with its line and column before anything is computed.
//
// # Intervals of the results
//
// Where inputs carry tolerances, each result has low and high: the limits of the central
// 95 % of the result's distribution (JCGM 101:2008, 5.5 and 7.7, equal tails) when
// each input is drawn at random from its own: rectangular for ± and for a range, normal for
// sd. The value itself is computed from the nominal inputs. Counts, shares and whatever else
// describes the question rather than a measured thing take no tolerance and refuse one.
//
// # Results that do not exist
//
// A result that does not exist says why in place of its value. One that exists but has no bound
// (infinitely many degrees of freedom) is null and open. NaN and infinities are never written.
package calc
