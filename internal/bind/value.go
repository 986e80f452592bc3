package bind

import (
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
)

// Value is a quantity of the folder as an input of a study; nil if it is not set.
func Value(q product.Quantity) *quantity.Written {
	if !q.Set() {
		return nil
	}
	return &quantity.Written{Quantity: q.Quantity, From: from(q.Leaf)}
}

func from(l product.Leaf) string {
	if !l.Set() {
		return ""
	}
	return l.Origin.String()
}
