// Package formula reads a formula over named quantities, checks its dimensions
// and computes it fast, for the calculator of measurement uncertainty.
//
// # What can be written
//
//	numbers      2, 0.5, 1.6e-19
//	names        letters, digits and _, beginning with a letter: R1, u_ref, α
//	operators    + - * / ^ (also · × ÷ ** ² ³ and every kind of minus), parentheses
//	functions    sqrt exp ln log log10 sin cos tan asin acos atan abs min max pow
//	constant     pi
//
// As on paper, ^ binds more than a sign before it (-x^2 is -(x^2)) and is grouped from the
// right; a product needs its sign (2*x, not 2x). ln and log are the natural logarithm.
//
// # Dimensions
//
// Terms of a sum and arguments of min and max are of one dimension. exp, ln, log and
// log10 take a plain number; sin, cos and tan an angle, or a plain number in radians; asin, acos and atan
// return an angle. A power of a quantity with a unit needs a constant exponent whose result has whole
// powers of the units. The difference of two temperatures on a scale is a temperature
// difference; their sum is an error. In a product, a temperature on a scale counts in
// kelvin, as physical laws want it (U = k·T/q), and a warning says so.
//
// Results have the same bits on every platform that package numeric promises, save those
// of log10, tan, asin, acos and atan, which come from the library.
package formula
