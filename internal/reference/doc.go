// Package reference checks the program against sources outside the project:
// worked examples of standards, tables of handbooks, published data sets. `hindwatt
// selftest` and go test run the same checks.
//
// # Where the checks stand
//
//	testdata/cases/*.json   worked examples by topic: inputs, values expected, tolerance, source
//	testdata/tables/*.csv   tables of one function: a heading with source and status, then rows
//	testdata/*.csv          published data that examples use
//	testdata/ages/*.csv     ages at failure, in the columns that calculators read
//
// All of it is embedded in the program, so that a built program checks itself on the
// machine where it runs. What computes an example stands in the Go file of its topic; where a
// calculator of package calc answers the question, the check goes through that calculator.
//
// # What a check says
//
// Each number has its source, and how well that is confirmed: "published, confirmed in a second
// text", "published, from memory", or "computed independently" where there is no published number.
// The tolerance of a published number is half a unit of its last printed digit, that of a simulated
// one its own noise as well. Tolerances are never widened to make a check pass: what does not
// reproduce stays a miss, and a note says what is known about it.
package reference
