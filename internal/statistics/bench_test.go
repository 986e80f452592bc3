package statistics

import (
	"context"
	"testing"
)

// Four normal inputs added up, 10^6 samples on all cores, with both intervals.
func BenchmarkMonteCarlo(b *testing.B) {
	in := []Input{{Name: "a", U: 1}, {Name: "b", U: 1}, {Name: "c", U: 1}, {Name: "d", U: 1}}
	sum := func(x []float64) (float64, error) { return x[0] + x[1] + x[2] + x[3], nil }
	for b.Loop() {
		if _, err := MonteCarlo(context.Background(), sum, in, nil, 1000000, 1, 0.95); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNormalProportion(b *testing.B) {
	for b.Loop() {
		if _, _, _, err := NormalProportion(27.31, 0.05, 10, 27.1, 27.5, 0.95); err != nil {
			b.Fatal(err)
		}
	}
}
