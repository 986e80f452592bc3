// Package compare puts a product beside its variants and revisions: which promises each keeps, what one costs in parts and minutes, and
// how badly mistakes end with it.
//
// The product as product.toml has it is the basis. Of a variant only what it touches is computed: a promise whose study reads the same
// as the basis' is judged as that is, measurements included. A choice is beaten by another that is at least as good on every count and
// better on one.
package compare
