package sensitivity

import (
	"math"
	"reflect"
	"testing"
)

func TestEverySliceHasOnePoint(t *testing.T) {
	const points, inputs = 1000, 5
	all := LatinHypercube(points, inputs, 4)
	for i := range inputs {
		seen := map[int]bool{}
		for _, p := range all {
			if !(p[i] >= 0 && p[i] < 1) {
				t.Fatalf("%v is outside", p[i])
			}
			seen[int(p[i]*points)] = true
		}
		if len(seen) != points {
			t.Errorf("input %d: %d slices of %d have a point", i+1, len(seen), points)
		}
	}
	if again := LatinHypercube(points, inputs, 4); !reflect.DeepEqual(all, again) {
		t.Error("the same seed gives other points")
	}
	more := LatinHypercube(points, inputs+1, 4)
	if reflect.DeepEqual(all, LatinHypercube(points, inputs, 5)) || more[17][2] != all[17][2] {
		t.Error("another seed gives the same points, or a further input moved the others")
	}
}

// McKay, Beckman and Conover 1979, section 2: where a figure rises or falls with each input, its mean over such points scatters less
// than over points drawn at random; of a sum almost nothing is left (Stein, Technometrics 29, 1987, p. 143).
func TestMeanScattersLess(t *testing.T) {
	const points, runs = 50, 400 // the standard deviation seen is itself good to 1/√800: 3.5 %
	var squares float64
	for seed := range uint64(runs) {
		var mean float64
		for _, p := range LatinHypercube(points, 2, seed) {
			mean += (p[0] + p[1]) / points
		}
		squares += (mean - 1) * (mean - 1) / runs
	}
	random := math.Sqrt(2.0 / 12 / points)     // of points drawn at random
	latin := math.Sqrt(2.0/12/points) / points // of one uniform number within each slice
	if sd := math.Sqrt(squares); sd > random/20 || math.Abs(sd/latin-1) > 4*0.035 {
		t.Errorf("standard deviation of the mean %.2e; want %.2e, at random %.2e", sd, latin, random)
	}
}

func TestNoPoints(t *testing.T) {
	if got := LatinHypercube(0, 3, 1); len(got) != 0 {
		t.Errorf("%v", got)
	}
	if got := LatinHypercube(1, 1, 1); len(got) != 1 || len(got[0]) != 1 {
		t.Errorf("%v", got)
	}
}
