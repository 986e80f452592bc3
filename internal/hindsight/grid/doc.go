// Package grid computes figures over many values of inputs, in installations and under variants, on all cores.
//
// What is wanted stands in a file of TOML. Points are cut into chunks of a fixed size; each chunk that is done is appended to one file
// beside it as a line with a checksum, so that a run that was ended at any moment goes on where it was. The same file, folder, program
// and seed give the same rows on any number of cores, however often the run was ended.
package grid
