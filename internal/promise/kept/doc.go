// Package kept answers what was computed before: it keeps results in the product folder by a hash of all that they rest on.
//
// A result is kept under the SHA-256 of the study's name, of the program itself and of every field of what the study was given, so
// that a changed value, another seed or another build of the program is another key, and nothing has ever to be declared stale.
// What is kept may be deleted at any time, in whole or in part: it is computed again. An entry that is torn or was altered is
// computed again too, without a word; a folder that cannot be written keeps nothing and works.
//
// Entries are written whole, beside each other and then renamed, so that several programs may share a folder. Together they take at
// most 64 MiB: those not used for longest go first.
package kept
