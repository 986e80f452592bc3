// Package life says what variants and single changes would have done to a product's life as it happened, what they would do for units
// still to be made, and for somebody who builds one; which decisions held up; and which changes make the next revision.
//
// A change is weighed against the product as product.toml has it, over all units really sold: what one saves (package production, what
// both ways share cancelled), the returns that do not come with it, its tooling and hours. What is uncertain is drawn once for all
// changes, so that differences between them are of the same life.
package life
