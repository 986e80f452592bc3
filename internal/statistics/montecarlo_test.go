package statistics

import (
	"context"
	"errors"
	"math"
	"runtime"
	"testing"

	"hindwatt/internal/numeric"
)

func run(t *testing.T, f func([]float64) (float64, error), in []Input, corr Correlation) Result {
	t.Helper()
	r, err := MonteCarlo(context.Background(), f, in, corr, 1000000, 1, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func rectangular(name string, low, high float64) Input {
	return Input{Name: name, Value: (low + high) / 2, Dist: Rectangular, Low: low, High: high}
}

// JCGM 101:2008 9.2.2-9.2.4, Tables 2-4 (shared cases UNC-03, UNC-05): Table 3 and 4 from memory. The
// tolerances are half a printed digit and the scatter of 10^6 samples.
func TestMonteCarloAdditive(t *testing.T) {
	long(t)
	root3 := math.Sqrt(3)
	unit := func(name string) Input { return rectangular(name, -root3, root3) }
	normal := func(name string) Input { return Input{Name: name, U: 1} }
	for _, c := range []struct {
		name             string
		in               []Input
		u, high, ut, hit float64
	}{
		{"Table 2", []Input{normal("a"), normal("b"), normal("c"), normal("d")}, 2.00, 3.92, 0.005, 0.01},
		{"Table 3", []Input{unit("a"), unit("b"), unit("c"), unit("d")}, 2.00, 3.88, 0.005, 0.01},
		{"Table 4", []Input{unit("a"), unit("b"), unit("c"), rectangular("d", -10*root3, 10*root3)}, 10.1, 17.0, 0.06, 0.06},
	} {
		r := run(t, sumOf, c.in, nil)
		near(t, c.name+" mean", r.Mean, 0, 4*r.U/1000)
		near(t, c.name+" u", r.U, c.u, c.ut)
		near(t, c.name+" low", r.Low, -c.high, c.hit)
		near(t, c.name+" high", r.High, c.high, c.hit)
		if short, tails := r.ShortHigh-r.ShortLow, r.High-r.Low; !(short <= tails && short > 0.97*tails) {
			t.Errorf("%s: shortest interval is %v wide, that with equal tails %v", c.name, short, tails)
		}
	}
}

// JCGM 101:2008 9.3, mass calibration, Table 5 (from memory): δm in mg, where the law of propagation
// misses what multiplies two inputs of mean 0.
func TestMonteCarloMass(t *testing.T) {
	long(t)
	in := []Input{
		{Name: "mR", Value: 100000, U: 0.050}, {Name: "dmR", Value: 1.234, U: 0.020},
		rectangular("air", 1.10, 1.30), rectangular("weight", 7000, 9000), rectangular("reference", 7950, 8050),
	}
	f := func(x []float64) (float64, error) {
		return (x[0]+x[1])*(1+(x[2]-1.2)*(1/x[3]-1/x[4])) - 100000, nil
	}
	b, err := Propagate(f, in, nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "first order", b.Value, 1.2340, 0.00005)
	near(t, "first order u", b.U, 0.0539, 0.00005)
	second, err := SecondOrder(f, in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "second order u", second, 0.0750, 0.00005)
	r := run(t, f, in, nil)
	near(t, "mean", r.Mean, 1.2341, 0.0004) // 4 u/√M
	near(t, "u", r.U, 0.0754, 0.0003)
	near(t, "shortest low", r.ShortLow, 1.0834, 0.002)
	near(t, "shortest high", r.ShortHigh, 1.3825, 0.002)
}

// JCGM 101:2008 9.4, comparison loss, Tables 6 and 8 (shared cases UNC-07, UNC-09; from memory).
func TestMonteCarloLoss(t *testing.T) {
	long(t)
	squares := func(x []float64) (float64, error) { return x[0]*x[0] + x[1]*x[1], nil }
	for _, c := range []struct{ x1, r, mean, u, ut float64 }{
		{0, 0, 50e-6, 50e-6, 5e-7}, {0.010, 0, 150e-6, 112e-6, 6e-7}, {0.050, 0, 2550e-6, 502e-6, 2e-6},
		{0, 0.9, 50e-6, 67e-6, 6e-7}, {0.010, 0.9, 150e-6, 121e-6, 6e-7}, {0.050, 0.9, 2550e-6, 505e-6, 2e-6},
		{0, 1, 50e-6, 5e-5 * math.Sqrt2, 5e-7}, {0, -1, 50e-6, 5e-5 * math.Sqrt2, 5e-7}, // 2·χ²(1)·u²: own algebra
	} {
		in := []Input{{Name: "x1", Value: c.x1, U: 0.005}, {Name: "x2", U: 0.005}}
		r := run(t, squares, in, Correlation{{"x1", "x2", c.r}})
		near(t, "mean", r.Mean, c.mean, 5e-7+4*r.U/1000)
		near(t, "u", r.U, c.u, c.ut)
	}
}

// Shared cases UNC-11 and UNC-13, a voltage read through a divider (computed independently, with the 10^7
// samples that they name: with 10^6 the limits of the second scatter by 0.0013).
func TestMonteCarloDivider(t *testing.T) {
	long(t)
	for _, c := range []struct {
		v, r1, r2, tol, vref, tolRef, bits, lsb, low, high, u float64
	}{
		{28.8, 150000, 15000, 0.001, 3, 0.002, 12, 6.5, -0.0928, 0.0930, 0.048448},
		{14.4, 100000, 22000, 0.05, 3, 0.02, 10, 3.5, -0.9491, 1.0059, 0.510546},
	} {
		pm := func(name string, v, tol float64) Input { return rectangular(name, v*(1-tol), v*(1+tol)) }
		step := c.vref / math.Exp2(c.bits) * (c.r1 + c.r2) / c.r2
		linear := c.lsb - 0.5
		in := []Input{pm("r1", c.r1, c.tol), pm("r2", c.r2, c.tol), pm("ref", c.vref, c.tolRef),
			rectangular("linearity", -linear*step, linear*step), rectangular("step", -step/2, step/2)}
		f := func(x []float64) (float64, error) { // what the nominal values make of the true voltage
			seen := c.v * x[1] / (x[0] + x[1]) / x[2]
			return seen*c.vref*(c.r1+c.r2)/c.r2 - c.v + x[3] + x[4], nil
		}
		b, err := Propagate(f, in, nil)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "u", b.U, c.u, 2e-5)
		r, err := MonteCarlo(context.Background(), f, in, nil, 10000000, 1, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "low", r.Low, c.low, 0.002)
		near(t, "high", r.High, c.high, 0.002)
	}
}

// Standard deviations of the distributions: JCGM 101:2008 6.4. For t it is U·√(ν/(ν-2)).
func TestDraws(t *testing.T) {
	long(t)
	for _, c := range []struct {
		in Input
		u  float64
	}{
		{Input{Name: "x", Dist: Rectangular, Low: -1, High: 1}, 1 / math.Sqrt(3)},
		{Input{Name: "x", Dist: Triangular, Low: -1, High: 1}, 1 / math.Sqrt(6)},
		{Input{Name: "x", Dist: Arcsine, Low: -1, High: 1}, 1 / math.Sqrt2},
		{Input{Name: "x", U: 0.7, Dist: Triangular}, 0.7},
		{Input{Name: "x", U: 0.7}, 0.7},
		{Input{Name: "x", U: 0.7, DOF: 10}, 0.7 * math.Sqrt(10.0/8)},
		{Input{Name: "x", U: 0.7, DOF: 10, Dist: StudentT}, 0.7 * math.Sqrt(10.0/8)},
	} {
		alone := run(t, sumOf, []Input{c.in}, nil)
		near(t, c.in.Dist.String()+" u", alone.U, c.u, 0.003*c.u)
		near(t, c.in.Dist.String()+" mean", alone.Mean, 0, 0.004*c.u)
		// The same by way of a normal score.
		copula := run(t, func(x []float64) (float64, error) { return x[0], nil },
			[]Input{c.in, {Name: "other", U: 1}}, Correlation{{"x", "other", 0.5}})
		near(t, c.in.Dist.String()+" u, correlated", copula.U, c.u, 0.003*c.u)
		near(t, c.in.Dist.String()+" high", copula.High, alone.High, 0.01*c.u)
	}
	// Few degrees of freedom, no variance at all: the quantile is that of t.
	heavy := run(t, sumOf, []Input{{Name: "x", U: 1, DOF: 1}}, nil)
	near(t, "t(1)", heavy.High, 12.706, 0.2)
	half := run(t, sumOf, []Input{{Name: "x", U: 1, DOF: 0.9}}, nil)
	near(t, "t(0.9)", half.High, StudentTQuantile(0.975, 0.9), 0.3)
}

// Correlated draws have the correlation asked, normal ones exactly, rectangular ones (6/π)·asin(r/2) of it.
func TestCorrelatedDraws(t *testing.T) {
	long(t)
	in := []Input{{Name: "a", U: 2}, {Name: "b", U: 1}, rectangular("c", -1, 1), rectangular("d", -1, 1), {Name: "e", U: 1}}
	corr := Correlation{{"a", "b", 0.6}, {"a", "e", -0.3}, {"b", "e", 0.2}, {"c", "d", 0.5}}
	product := func(i, j int) float64 {
		return run(t, func(x []float64) (float64, error) { return x[i] * x[j], nil }, in, corr).Mean
	}
	near(t, "a, b", product(0, 1)/2, 0.6, 0.006)
	near(t, "a, e", product(0, 4)/2, -0.3, 0.006)
	near(t, "b, e", product(1, 4), 0.2, 0.006)
	near(t, "c, d", product(2, 3)*3, 6/math.Pi*math.Asin(0.25), 0.006)
	near(t, "a, c", product(0, 2), 0, 0.006)
	// Fully correlated t inputs of equal degrees share everything: their difference is 0.
	pair := []Input{{Name: "a", Value: 3, U: 1, DOF: 4}, {Name: "b", Value: 3, U: 1, DOF: 4}}
	r := run(t, func(x []float64) (float64, error) { return x[0] - x[1], nil }, pair, Correlation{{"a", "b", 1}})
	near(t, "difference", r.U, 0, 1e-12)
}

func TestMonteCarloSameOnOneCore(t *testing.T) {
	in := []Input{{Name: "a", U: 1}, {Name: "b", Value: 1, U: 1, DOF: 5}, rectangular("c", 0, 1)}
	corr := Correlation{{"a", "b", 0.5}}
	get := func(seed uint64) Result {
		r, err := MonteCarlo(context.Background(), sumOf, in, corr, 12345, seed, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		r.Values = nil
		return r
	}
	many := get(7)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := get(7)
	if one.Mean != many.Mean || one.U != many.U || one.Low != many.Low || one.High != many.High || one.ShortLow != many.ShortLow {
		t.Errorf("one core gives %+v, many %+v", one, many)
	}
	if other := get(8); other.Mean == one.Mean {
		t.Error("another seed gives the same mean")
	}
}

// The order statistics of JCGM 101:2008 7.7.2: of 100 values and 95 %, q = 95 and r = 3, so the 3rd
// and the 98th; of 1000, r = 25: the 25th and the 975th.
func TestCoverageRanks(t *testing.T) {
	for _, c := range []struct {
		m         int
		level     float64
		low, high float64
	}{{100, 0.95, 3, 98}, {1000, 0.95, 25, 975}, {1000, 0.5, 250, 750}, {1000, 0.001, 500, 501}, {1000, 0.999, 1, 1000}} {
		y := make([]float64, c.m)
		for i := range y {
			y[i] = float64(i + 1)
		}
		s := numeric.NewStream(3)
		numeric.Shuffle(&s, y)
		low, high, _, _ := coverage(y, c.level)
		near(t, "low", low, c.low, 0)
		near(t, "high", high, c.high, 0)
	}
	// The shortest interval of a skewed sample lies where it is dense.
	y := make([]float64, 1000)
	for i := range y {
		y[i] = math.Pow(float64(i), 2)
	}
	_, _, low, high := coverage(y, 0.9)
	near(t, "shortest low", low, 0, 0)
	near(t, "shortest high", high, 900*900, 0)
}

func TestMonteCarloRefuses(t *testing.T) {
	ctx := context.Background()
	in := []Input{{Name: "load", U: 1}}
	_, err := MonteCarlo(ctx, func(x []float64) (float64, error) { return math.Sqrt(x[0]), nil }, in, nil, 1000, 1, 0.95)
	refused(t, err, "sample", "load = -", "finite")
	_, err = MonteCarlo(ctx, func(x []float64) (float64, error) { return 1 / (x[0] - x[0]), nil }, in, nil, 1000, 1, 0.95)
	refused(t, err, "sample 1,", "finite")
	fault := errors.New("does not start")
	_, err = MonteCarlo(ctx, func(x []float64) (float64, error) {
		if x[0] > 2 {
			return 0, fault
		}
		return 0, nil
	}, in, nil, 100000, 1, 0.95)
	refused(t, err, "sample", "load = ", "does not start")
	if !errors.Is(err, fault) {
		t.Error("cause is lost")
	}
	for _, c := range []struct {
		samples int
		level   float64
		says    string
	}{{10, 0.95, "too few"}, {1000, 1, "level"}, {1000, 0, "level"}, {1000, 0.9999, "too few"}, {1000, math.NaN(), "level"}} {
		_, err = MonteCarlo(ctx, sumOf, in, nil, c.samples, 1, c.level)
		refused(t, err, c.says)
	}
	_, err = MonteCarlo(ctx, sumOf, []Input{{Name: "x", U: math.NaN()}}, nil, 1000, 1, 0.95)
	refused(t, err, "input x")
	stopped, cancel := context.WithCancel(ctx)
	cancel()
	if _, err = MonteCarlo(stopped, sumOf, in, nil, 1000, 1, 0.95); !errors.Is(err, context.Canceled) {
		t.Errorf("error is %v; want that of the context", err)
	}
}
