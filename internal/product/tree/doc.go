// Package tree reads the text files of a product folder, TOML and CSV, into nodes
// that know their place: the bytes they stand at, the line and the column.
//
// It answers "what stands where, and what is wrong there?" and knows nothing of
// products. Lines and columns count from 1, columns in characters, offsets in bytes
// from the start of the file. Nothing here panics, whatever the bytes; what cannot
// be read is reported as an Error with its place, and reading goes on behind it.
//
// Syntax of TOML: toml.io, v1.0.0 (with the line breaks in inline tables of v1.1.0);
// of CSV: RFC 4180, with ";" or a tab as separators too.
package tree
