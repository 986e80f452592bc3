package promise

import (
	"context"
	"testing"

	"hindwatt/demo"
	"hindwatt/internal/product"
)

// BenchmarkRating is all that the rating study does for the example product: every quantity over 2,000 units, budgets, derating
// curve with its band, single changes, and the page in words.
func BenchmarkRating(b *testing.B) {
	dir := b.TempDir()
	if err := demo.Write(dir); err != nil {
		b.Fatal(err)
	}
	folder, err := product.Read(dir)
	if err != nil {
		b.Fatal(err)
	}
	p, err := folder.Resolve("")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Study(context.Background(), p, "rating", Options{Seed: 1}); err != nil {
			b.Fatal(err)
		}
	}
}
