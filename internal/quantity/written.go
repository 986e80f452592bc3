package quantity

// Written is a quantity as it stands in a file, and where.
type Written struct {
	Quantity
	From string // "product.toml:12"; "" where nothing is written
}
