package product

import "testing"

// BenchmarkRead reads the example folder with its 1,400 units of records.
func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		if _, err := Read("../../demo/osier-24"); err != nil {
			b.Fatal(err)
		}
	}
}
