// Package product reads the folder that holds one product, and writes to it.
//
// It answers: what does the folder say, is that possible, and where does it stand?
// Read reads all files strictly and reports everything that is wrong at once;
// Folder.Resolve lays a variant over the product and returns it as typed values, each
// with the file, line and column that it came from; Set, Unset and Undo change one
// value in place; Record appends to the records.
//
// docs/folder.md is the schema in words, the tags of the types here are the same
// schema in code, and a test holds the two together. Values are in SI units, as
// package quantity gives them. Nothing is computed here and no default is filled in:
// what a value means, and what stands for a missing one, is the studies' business.
//
// A value that is not set is no error. It knows its file and key all the same, so
// that a study can say what it lacks: see Leaf.Lack.
package product
