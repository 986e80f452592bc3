// Package starter begins a product folder from eight questions, each of which may be answered
// by a figure, by a range, or not at all.
//
// What is answered goes into the files as it was meant. What is not is left out, a commented line
// in its place, and the Report says which question waits for which key. Everything that the eight
// questions don't ask gets a value that is usual in the trade, marked "# typical" with the reason:
// the defaults are this package's opinion, and they stand in templates/ to be read.
//
// The package writes files and reads none.
package starter
