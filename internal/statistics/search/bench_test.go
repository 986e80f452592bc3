package search

import (
	"context"
	"fmt"
	"math"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics/survival"
)

// fleet is groups of units made one after the other and watched to one day, with a constant rate of failure that is times as
// high in the groups from first to last, and a part of reasons that are drawn alike.
func fleet(seed uint64, groups, units, reasons int, rate float64, first, last int, times float64) [][]Unit {
	s := numeric.NewStream(seed)
	made := make([][]Unit, groups)
	for g := range made {
		watched := 1000 * float64(groups-g) / float64(groups)
		for range units {
			hazard := rate
			if g >= first && g <= last {
				hazard *= times
			}
			failure := -math.Log1p(-s.Float64()) / hazard
			u := Unit{Life: survival.Good(watched)}
			if failure < watched {
				u = Unit{survival.Failed(failure), fmt.Sprintf("reason %d", s.Intn(reasons))}
			}
			made[g] = append(made[g], u)
		}
	}
	return made
}

// BenchmarkFind searches 100,000 units of 100 groups, some 5,000 of which failed for 10 reasons, with 1,999 draws for each search.
func BenchmarkFind(b *testing.B) {
	groups := fleet(3, 100, 1000, 10, 1e-4, 40, 42, 3)
	failures := 0
	for _, g := range groups {
		for _, u := range g {
			if u.Reason != "" {
				failures++
			}
		}
	}
	b.ReportMetric(float64(failures), "failures")
	for b.Loop() {
		r, err := Find(context.Background(), groups, Options{Seed: 1})
		if err != nil {
			b.Fatal(err)
		}
		if r.Best.Permutations != 1999 {
			b.Fatalf("%+v", r.Best)
		}
	}
}
