package numeric

import (
	"math"
	"testing"
)

// First outputs of the generators as their authors publish the algorithms; the numbers are from memory and
// were computed again with C from the same public-domain definition.
func TestStreamKnownAnswers(t *testing.T) {
	seed := uint64(1234567)
	for i, want := range []uint64{6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821} {
		if got := splitmix(&seed); got != want {
			t.Errorf("splitmix64 output %d is %d; want %d", i, got, want)
		}
	}
	s := Stream{1, 2, 3, 4}
	for i, want := range []uint64{41943041, 58720359, 3588806011781223, 3591011842654386, 9228616714210784205,
		9973669472204895162, 14011001112246962877, 12406186145184390807, 15849039046786891736, 10450023813501588000} {
		if got := s.Uint64(); got != want {
			t.Errorf("xoshiro256++ output %d is %d; want %d", i, got, want)
		}
	}
	s = NewStream(42) // computed with C
	for i, want := range []uint64{15021278609987233951, 5881210131331364753, 18149643915985481100, 12933668939759105464, 14637574242682825331} {
		if got := s.Uint64(); got != want {
			t.Errorf("seed 42, output %d is %d; want %d", i, got, want)
		}
	}
}

func TestStreamPaths(t *testing.T) {
	seen := map[uint64]string{}
	for name, s := range map[string]Stream{
		"1": NewStream(1), "1/0": NewStream(1, 0), "1/1": NewStream(1, 1), "1/0/0": NewStream(1, 0, 0), "1/1/0": NewStream(1, 1, 0),
		"1/0/1": NewStream(1, 0, 1), "0": NewStream(0), "0/1": NewStream(0, 1), "2": NewStream(2), "1/max": NewStream(1, math.MaxUint64),
	} {
		u := s.Uint64()
		if other, ok := seen[u]; ok {
			t.Errorf("paths %s and %s begin alike", name, other)
		}
		seen[u] = name
	}
	// Neighbouring paths: the first draws of many streams are as uniform as one stream's.
	const count = 100000
	var sum, lag float64
	before := 0.0
	for i := range uint64(count) {
		s := NewStream(9, i)
		u := s.Float64() - 0.5
		sum += u
		lag += u * before
		before = u
	}
	if limit := 4 / math.Sqrt(12*count); math.Abs(sum/count) > limit {
		t.Errorf("mean of first draws is off by %v; want at most %v", sum/count, limit)
	}
	if limit := 4.0 / 12 / math.Sqrt(count); math.Abs(lag/count) > limit {
		t.Errorf("covariance of neighbours is %v; want at most %v", lag/count, limit)
	}
}

func TestFillsEqualSingleDraws(t *testing.T) {
	a, b := NewStream(3), NewStream(3)
	dst := make([]float64, 20000)
	a.FillNorm(dst)
	for i, v := range dst {
		if w := b.Norm(); v != w {
			t.Fatalf("FillNorm[%d] = %v; Norm gives %v", i, v, w)
		}
	}
	a.FillUniform(dst, -3, 5)
	for i, v := range dst {
		if w := b.Uniform(-3, 5); v != w {
			t.Fatalf("FillUniform[%d] = %v; Uniform gives %v", i, v, w)
		}
		if v < -3 || v > 5 {
			t.Fatalf("%v is outside -3..5", v)
		}
	}
	if a != b {
		t.Error("the streams end in different states")
	}
}

// The layers have equal areas only for the right tail: the last, from its edge up to the top of the curve, must
// have the area of the others.
func TestZigguratCloses(t *testing.T) {
	area := zigguratTail*density(zigguratTail) + tailArea
	if want := math.Sqrt(math.Pi/2) * math.Erfc(zigguratTail/math.Sqrt2); math.Abs(tailArea/want-1) > 1e-13 {
		t.Errorf("tail area is %v; want %v", tailArea, want)
	}
	if top := zigguratX[255] * (1 - zigguratY[255]); math.Abs(top/area-1) > 1e-8 {
		t.Errorf("top layer's area is %v; want %v", top, area)
	}
	// Marsaglia and Tsang print 4.92867323399e-3 (from memory), whose last two digits their own tail does not
	// give; computed independently (mpmath, 40 digits):
	if math.Abs(area-4.928673233974655e-3) > 1e-17 {
		t.Errorf("layers' area is %v; want 4.928673233974655e-3", area)
	}
}

// Counts in 40 cells of equal probability and far out in the tails, and moments, against the normal law.
func TestNormDistribution(t *testing.T) {
	if testing.Short() {
		t.Skip("a long check of numbers")
	}
	const count, cells = 4000000, 40
	s := NewStream(10)
	var seen [cells]float64
	var moment [5]float64
	beyond := map[float64]float64{3: 0, 3.7: 0, 4: 0, 4.5: 0}
	block := make([]float64, 1000)
	for range count / len(block) {
		s.FillNorm(block)
		for _, x := range block {
			seen[min(cells-1, int(cells*math.Erfc(-x/math.Sqrt2)/2))]++
			for k := range moment {
				moment[k] += math.Pow(x, float64(k)) / count
			}
			for limit := range beyond {
				if math.Abs(x) > limit {
					beyond[limit]++
				}
			}
		}
	}
	var chi2 float64
	for _, n := range seen {
		chi2 += (n - count/cells) * (n - count/cells) / (count / cells)
	}
	if chi2 < 12 || chi2 > 81 { // χ²(39): 1e-5 in either tail, about
		t.Errorf("χ² of %d cells is %v", cells, chi2)
	}
	for k, want := range []float64{1, 0, 1, 0, 3} {
		spread := math.Sqrt([]float64{1, 1, 2, 15, 96}[k] / count)
		if math.Abs(moment[k]-want) > 4.5*spread {
			t.Errorf("moment %d is %v; want %v ± %v", k, moment[k], want, spread)
		}
	}
	for limit, n := range beyond {
		want := count * math.Erfc(limit/math.Sqrt2)
		if math.Abs(n-want) > 4.5*math.Sqrt(want) {
			t.Errorf("%v of %d beyond %v; want %.0f", n, count, limit, want)
		}
	}
}

func TestIntn(t *testing.T) {
	s := NewStream(12)
	var seen [7]float64
	for range 70000 {
		seen[s.Intn(7)]++
	}
	for i, n := range seen {
		if math.Abs(n-10000) > 450 {
			t.Errorf("%d came %v times of 70000", i, n)
		}
	}
	x := []int{0, 1, 2, 3}
	Shuffle(&s, x)
	var bits int
	for _, v := range x {
		bits |= 1 << v
	}
	if bits != 15 {
		t.Errorf("shuffled to %v", x)
	}
}
