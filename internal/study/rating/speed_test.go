package rating

import (
	"context"
	"testing"
)

// BenchmarkRating is 2,000 units of the largest current and the derating curve with its band.
func BenchmarkRating(b *testing.B) {
	in := input()
	in.Quantities = []string{"current"}
	for b.Loop() {
		r, err := Run(context.Background(), in)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := r.Derate(context.Background()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLargest(b *testing.B) {
	in := input()
	p, err := in.probe(&in.Design)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, _, _, err := p.largest(place{air: 313}, []duty{1}); err != nil {
			b.Fatal(err)
		}
	}
}
