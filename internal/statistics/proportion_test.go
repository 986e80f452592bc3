package statistics

import (
	"math"
	"testing"

	"hindwatt/internal/numeric"
)

func limits(t *testing.T, mean, sd float64, n int, min, max, confidence float64) (best, low, high float64) {
	t.Helper()
	best, low, high, err := NormalProportion(mean, sd, n, min, max, confidence)
	if err != nil {
		t.Fatal(err)
	}
	if !(0 <= low && low <= best+1e-9 && best <= high+1e-9 && high <= 1) {
		t.Errorf("%v sd %v of %d in %v..%v: %v ≤ %v ≤ %v does not hold", mean, sd, n, min, max, low, best, high)
	}
	return best, low, high
}

// The lower limit is the inverse of the tolerance factor: a bound at mean + k·sd, or mean ± k·sd, has it
// at p exactly; the upper limit of one side is that of the factor at the other confidence.
func TestProportionInvertsTolerance(t *testing.T) {
	for _, n := range []int{2, 5, 10, 43, 1000, 1000000} {
		for _, p := range []float64{0.5, 0.95, 0.9999} {
			k1, err := ToleranceFactor(n, p, 0.95, 1)
			if err != nil {
				t.Fatal(err)
			}
			_, low, _ := limits(t, 7, 0.2, n, -inf, 7+k1*0.2, 0.95)
			near(t, "one side", NormalQuantile(low), NormalQuantile(p), 1e-7)
			_, low, _ = limits(t, 7, 0.2, n, 7-k1*0.2, inf, 0.95)
			near(t, "other side", NormalQuantile(low), NormalQuantile(p), 1e-7)
			_, low, _ = limits(t, 7, 0.2, n, 7-1000, 7+k1*0.2, 0.95)
			if n > 2 { // with 2 units the spread may be anything
				near(t, "one side far", NormalQuantile(low), NormalQuantile(p), 1e-6)
			}
			k2, err := ToleranceFactor(n, p, 0.95, 2)
			if err != nil {
				t.Fatal(err)
			}
			_, low, _ = limits(t, 7, 0.2, n, 7-k2*0.2, 7+k2*0.2, 0.95)
			near(t, "both sides", low, p, 1e-7)
			q, err := newProportion(7, 0.2, n, 7-k2*0.2, 7+k2*0.2, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "confidence of both sides", q.exceeds(NormalQuantile(p)), 0.95, 1e-9)
			k1, err = ToleranceFactor(n, p, 0.05, 1)
			if err != nil {
				t.Fatal(err)
			}
			_, _, high := limits(t, 7, 0.2, n, -inf, 7+k1*0.2, 0.95)
			near(t, "high", NormalQuantile(high), NormalQuantile(p), 1e-6)
			_, _, high = limits(t, 7, 0.2, n, -1e6, 7+k1*0.2, 0.95)
			near(t, "high, one side far", NormalQuantile(high), NormalQuantile(p), 1e-4)
		}
	}
}

// The pivotal quantity itself over a plain grid of equally likely Z and χ², sharing no code but Φ.
func TestProportionByGrid(t *testing.T) {
	long(t)
	const cells = 700
	for _, c := range []struct{ near, far, y float64 }{{1.5, 2.5, 0.9}, {0.3, 2, -0.2}, {-0.5, 1.5, -0.8}, {0, 3, 0.1}} {
		const n = 8
		q, err := newProportion(0, 1, n, -c.near, c.far, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		var more float64
		for i := range cells {
			s := math.Sqrt(ChiSquaredQuantile((float64(i)+0.5)/cells, n-1) / (n - 1))
			for j := range cells {
				z := NormalQuantile((float64(j)+0.5)/cells) / math.Sqrt(n)
				if NormalCDF(c.far*s+z)-NormalCDF(-c.near*s+z) > NormalCDF(c.y) {
					more++
				}
			}
		}
		near(t, "exceeds", q.exceeds(c.y), more/cells/cells, 0.001)
	}
}

// The high limit's test, likewise: the likeliest population with Φ(y) inside, found by trying many, and how often
// its samples show more than best, over a plain grid of their means and standard deviations.
func TestProportionHighByGrid(t *testing.T) {
	long(t)
	const cells, n = 700, 4
	for _, c := range []struct{ near, far, y float64 }{{1.5, 2.5, 1.9}, {0.3, 2, 0.6}, {-0.5, 1.5, 0}, {0.4, 0.5, 0.5}} {
		q, err := newProportion(0, 1, n, -c.near, c.far, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		ratio, inside := likeliestByTrial(q, c.y)
		near(t, "likeliest", q.likeliest(c.y), ratio, 0.002)
		var more float64
		for i := range cells {
			s := math.Sqrt(ChiSquaredQuantile((float64(i)+0.5)/cells, n-1) / (n - 1))
			for j := range cells {
				margin := inside + NormalQuantile((float64(j)+0.5)/cells)/math.Sqrt(n)
				if NormalCDF(margin/s)-NormalCDF((margin-(c.near+c.far)*ratio)/s) > q.best() {
					more++
				}
			}
		}
		near(t, "shows", q.shows(c.y), more/cells/cells, 0.002)
	}
}

// likeliestByTrial tries sd/σ in small steps, and for each finds by halving how far inside the nearer limit the mean is.
func likeliestByTrial(q *proportion, y float64) (ratio, inside float64) {
	n, p, best := float64(q.n), NormalCDF(y), math.Inf(-1)
	for s := 0.02; s < 12; s += 0.001 {
		width := (q.near + q.far) * s
		lo, hi := y, width/2
		if NormalCDF(hi)-NormalCDF(-hi) < p {
			continue
		}
		for range 60 {
			if m := (lo + hi) / 2; NormalCDF(m)-NormalCDF(m-width) < p {
				lo = m
			} else {
				hi = m
			}
		}
		off := q.near*s - hi
		if l := math.Log(s)*n - ((n-1)*s*s+n*off*off)/2; l > best {
			best, ratio, inside = l, s, hi
		}
	}
	return ratio, inside
}

// Coverage in truth, from simulated samples of known populations. One-sided limits are exact, so 0.95
// within the scatter of 1000 samples (4 standard errors); two-sided ones are held to what the
// documentation says.
func TestProportionCoverage(t *testing.T) {
	long(t)
	const samples = 1000
	scatter := 4 * math.Sqrt(0.95*0.05/samples)
	for _, c := range []struct {
		n        int
		min, max float64
		least    float64 // coverage
		most     float64
	}{
		{4, -inf, 1.5, 0.95, 0.95}, {12, -1, inf, 0.95, 0.95}, {3, -2, 2, 0.94, 0.99}, {5, -2.2, 2.6, 0.94, 0.99},
		{10, -2, 2, 0.94, 0.99}, {10, -1.7, 4, 0.94, 0.99}, {30, -2, 2, 0.94, 0.99}, {6, 0.5, 2, 0.94, 0.99},
	} {
		y := NormalQuantile(normalBetween(c.min, c.max))
		below, above := make([]bool, samples), make([]bool, samples)
		err := numeric.Parallel(t.Context(), samples, func(i int) error {
			s := numeric.NewStream(1, uint64(c.n), uint64(i))
			mean := s.Norm() / math.Sqrt(float64(c.n))
			sd := math.Sqrt(2 * gamma(&s, float64(c.n-1)/2) / float64(c.n-1))
			q, err := newProportion(mean, sd, c.n, c.min, c.max, 0.95)
			below[i] = q.exceeds(y) <= 0.95 // the same as: low is at most the truth
			above[i] = q.shows(y) <= 0.95   // high is at least the truth
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		for name, hits := range map[string][]bool{"low": below, "high": above} {
			coverage := share(hits)
			t.Logf("n %d, %v..%v: %s covers %.3f", c.n, c.min, c.max, name, coverage)
			if !(coverage >= c.least-scatter && coverage <= c.most+scatter) {
				t.Errorf("n %d, %v..%v: %s covers %.3f", c.n, c.min, c.max, name, coverage)
			}
		}
	}
}

func share(hits []bool) float64 {
	var n int
	for _, h := range hits {
		if h {
			n++
		}
	}
	return float64(n) / float64(len(hits))
}

func TestProportionLaws(t *testing.T) {
	// Mirror, shift and scale change nothing.
	_, low, high := limits(t, 0.3, 1, 9, -2, 2.5, 0.95)
	_, low2, high2 := limits(t, -0.3, 1, 9, -2.5, 2, 0.95)
	near(t, "mirrored low", low2, low, 1e-9)
	near(t, "mirrored high", high2, high, 1e-9)
	_, low2, high2 = limits(t, 100+3, 10, 9, 100-20, 100+25, 0.95)
	near(t, "scaled low", low2, low, 1e-9)
	near(t, "scaled high", high2, high, 1e-9)
	// More units, narrower; more confidence, wider.
	last := 1.0
	for _, n := range []int{2, 3, 5, 10, 30, 100, 1000, 100000} {
		_, low, high := limits(t, 0, 1, n, -1.8, 2.2, 0.95)
		if !(high-low < last) {
			t.Errorf("%d units leave %v..%v, no narrower than %v", n, low, high, last)
		}
		last = high - low
	}
	_, low9, high9 := limits(t, 0.3, 1, 9, -2, 2.5, 0.99)
	if !(low9 < low && high9 > high) {
		t.Errorf("at 0.99 %v..%v, at 0.95 %v..%v", low9, high9, low, high)
	}
	// A mean that walks through the limit sees no jump.
	before := -1.0
	for m := -0.02; m <= 0.02; m += 0.002 {
		_, low, high := limits(t, m, 1, 10, 0, 3, 0.95)
		if before >= 0 && !(low > before && low < before+0.002 && high < 1) {
			t.Errorf("low goes from %v to %v at mean %v", before, low, m)
		}
		before = low
	}
}

// Far inside, far outside, hair-thin and huge bounds: finite, ordered, in 0..1.
func TestProportionEdges(t *testing.T) {
	long(t)
	for _, n := range []int{2, 3, 10, 1000, 1000000} {
		for _, b := range [][2]float64{{-inf, 12}, {-12, inf}, {12, inf}, {-1000, 1000}, {10, 20}, {1e6, inf}, {-1e-9, 1e-9},
			{0, 1}, {-1, 1e300}, {-37, inf}, {-38, inf}, {0, inf}, {-1e9, 1}, {5, 5.001}} {
			limits(t, 0, 1, n, b[0], b[1], 0.95)
		}
	}
}

func TestProportionRefuses(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		mean, sd       float64
		n              int
		min, max, conf float64
		says           string
	}{
		{0, 1, 1, -1, 1, 0.95, "2 or more units"}, {0, 0, 5, -1, 1, 0.95, "all readings are alike"}, {0, -1, 5, -1, 1, 0.95, "standard deviation"},
		{0, nan, 5, -1, 1, 0.95, "standard deviation"}, {nan, 1, 5, -1, 1, 0.95, "mean"}, {0, 1, 5, 1, -1, 0.95, "bound"},
		{0, 1, 5, nan, 1, 0.95, "bound"}, {0, 1, 5, -inf, inf, 0.95, "open"}, {0, 1, 5, -1, 1, 1, "confidence"}, {0, 1, 5, -1, 1, 0.3, "confidence"},
	} {
		_, _, _, err := NormalProportion(c.mean, c.sd, c.n, c.min, c.max, c.conf)
		refused(t, err, c.says)
	}
}

// What SettleN says is so: with that many units the limit decides, with one fewer it does not.
func TestSettleN(t *testing.T) {
	for _, c := range []struct {
		min, max float64
		kept     bool
	}{{-2.2, 2.2, true}, {-3, inf, true}, {-1.8, 1.8, false}, {-1.5, inf, false}, {-2.3, 3, true}} {
		b := Bound{Min: c.min, Max: c.max, Proportion: 0.95, Confidence: 0.95}
		units, kept, ok, err := SettleN(0, 1, 5, b, 10000)
		if err != nil || !ok || kept != c.kept {
			t.Errorf("%v: %d units, kept %v, ok %v, %v", b, units, kept, ok, err)
			continue
		}
		settled := func(n int) bool {
			_, low, high := limits(t, 0, 1, n, c.min, c.max, 0.95)
			return kept && low >= 0.95 || !kept && high < 0.95
		}
		if !settled(units) || units > 5 && settled(units-1) {
			t.Errorf("%v: %d units are not the fewest that settle it", b, units)
		}
	}
	edge := NormalQuantile(0.975)
	_, _, ok, err := SettleN(0, 1, 10, Bound{-edge, edge, 0.95, 0.95}, 10000)
	if err != nil || ok {
		t.Errorf("a proportion that is just the one asked is settled: %v, %v", ok, err)
	}
	units, kept, ok, err := SettleN(0, 1, 50, Bound{-9, 9, 0.95, 0.95}, 10)
	if err != nil || !ok || !kept || units != 50 {
		t.Errorf("settled already: %d, %v, %v, %v; want 50", units, kept, ok, err)
	}
	_, _, _, err = SettleN(0, 1, 1, Bound{-1, 1, 0.95, 0.95}, 100)
	refused(t, err, "2 or more")
	_, _, _, err = SettleN(0, 1, 5, Bound{-1, 1, 1, 0.95}, 100)
	refused(t, err, "proportion")
}
