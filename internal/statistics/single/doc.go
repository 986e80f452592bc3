// Package single answers which one input, changed alone, would bring a calculated figure to a given value,
// and how far beyond its own stated tolerance it would have to go.
//
// Changes are ranked by how many of its tolerances an input is moved: the fewest is the least implausible. An input
// that cannot bring the figure there, however far it goes, is named as such. That two inputs are wrong at
// once is not looked for.
//
// Figures and inputs are in SI units. A tolerance is the half-width of what an input is stated to lie in, or
// what the caller takes for it.
package single
