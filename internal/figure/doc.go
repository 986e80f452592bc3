// Package figure draws: one list of operations, written as SVG, PDF or PNG, and the same figures as lines of a terminal.
package figure
