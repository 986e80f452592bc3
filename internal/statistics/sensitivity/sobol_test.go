package sensitivity

import (
	"context"
	"errors"
	"math"
	"reflect"
	"runtime"
	"testing"
)

// ishigami is the test function of Ishigami and Homma, "An importance quantification technique in uncertainty analysis for computer
// models", Proc. First International Symposium on Uncertainty Modeling and Analysis (IEEE 1990), p. 398, with a = 7, b = 0.1.
func ishigami(u []float64) (float64, error) {
	var x [3]float64
	for i := range x {
		x[i] = math.Pi * (2*u[i] - 1)
	}
	return math.Sin(x[0]) + 7*math.Pow(math.Sin(x[1]), 2) + 0.1*math.Pow(x[2], 4)*math.Sin(x[0]), nil
}

// Its indices, as they are printed for these a and b; they follow from the integrals in closed form.
var ishigamiIndices = []pair{{0.3139, 0.5576}, {0.4424, 0.4424}, {0, 0.2437}}

func must(t *testing.T, f func([]float64) (float64, error), inputs, rows int, seed uint64) Result {
	t.Helper()
	r, err := Sobol(context.Background(), f, inputs, rows, seed, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// near holds an estimate against a published value: within four of its own standard errors, as the bootstrap has them, which one
// index of 15 000 would miss by chance, and with an error that is small at all.
func near(t *testing.T, what string, got Estimate, want float64) {
	t.Helper()
	se := (got.High - got.Low) / (2 * 1.96)
	if math.Abs(got.Best-want) > 4*se+0.00005 { // half of the last printed digit
		t.Errorf("%s is %.4f (%.4f to %.4f); want %.4f", what, got.Best, got.Low, got.High, want)
	}
	if se > 0.01 {
		t.Errorf("%s: standard error %.4f says little", what, se)
	}
}

func TestIshigami(t *testing.T) {
	r := must(t, ishigami, 3, 1<<16, 1)
	for i, want := range ishigamiIndices {
		near(t, "first", r.Inputs[i].First, want.first)
		near(t, "total", r.Inputs[i].Total, want.total)
	}
	// The mean is a/2, the variance a²/8 + bπ⁴/5 + b²π⁸/18 + 1/2.
	variance := 49.0/8 + 0.1*math.Pow(math.Pi, 4)/5 + 0.01*math.Pow(math.Pi, 8)/18 + 0.5
	if math.Abs(r.Mean-3.5) > 4*math.Sqrt(variance/(2<<16)) || math.Abs(r.SD*r.SD/variance-1) > 0.02 {
		t.Errorf("mean %v, variance %v; want 3.5, %v", r.Mean, r.SD*r.SD, variance)
	}
	if r.Runs != 5<<16 {
		t.Errorf("%d runs", r.Runs)
	}
}

// The G function of Saltelli et al. 2010, section 5, with a = 0, 0.5, 3, 9, 99, 99: Vi = 1/(3(1+ai)²), V = ∏(1+Vi) - 1, and the total
// of an input is Vi·∏(1+Vj) over the others.
func TestGFunction(t *testing.T) {
	a := []float64{0, 0.5, 3, 9, 99, 99}
	r := must(t, func(u []float64) (float64, error) {
		y := 1.0
		for i, x := range u {
			y *= (math.Abs(4*x-2) + a[i]) / (1 + a[i])
		}
		return y, nil
	}, len(a), 1<<15, 7)
	all := 1.0
	part := make([]float64, len(a))
	for i := range a {
		part[i] = 1 / (3 * (1 + a[i]) * (1 + a[i]))
		all *= 1 + part[i]
	}
	for i := range a {
		near(t, "first", r.Inputs[i].First, part[i]/(all-1))
		near(t, "total", r.Inputs[i].Total, part[i]*all/(1+part[i])/(all-1))
	}
}

// In a sum each input has its share of the variance, and the total is the first.
func TestSumHasNoMore(t *testing.T) {
	r := must(t, func(u []float64) (float64, error) { return 3*u[0] - 4*u[1] + 1e6, nil }, 3, 1<<14, 3)
	for i, want := range []float64{9.0 / 25, 16.0 / 25, 0} {
		near(t, "first", r.Inputs[i].First, want)
		near(t, "total", r.Inputs[i].Total, want)
	}
	if last := r.Inputs[2]; last.Total != (Estimate{}) || last.First != (Estimate{}) {
		t.Errorf("an input that is not read has %+v", last)
	}
}

// The limits hold the truth about as often as they say: of 200 runs at 95 % fewer than 180 would do so once in a thousand tries if 95 % did.
func TestLimitsHoldTheTruth(t *testing.T) {
	const runs = 200
	var first, total [3]int
	for seed := range uint64(runs) {
		r := must(t, ishigami, 3, 512, seed)
		for i, want := range ishigamiIndices {
			if e := r.Inputs[i].First; e.Low <= want.first && want.first <= e.High {
				first[i]++
			}
			if e := r.Inputs[i].Total; e.Low <= want.total && want.total <= e.High {
				total[i]++
			}
		}
	}
	for i := range first {
		if first[i] < 180 || total[i] < 180 {
			t.Errorf("input %d: the limits hold the first index in %d of %d runs, the total in %d", i+1, first[i], runs, total[i])
		}
	}
	t.Log(first, total)
}

func TestSameOnAnyCores(t *testing.T) {
	was := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(was)
	one := must(t, ishigami, 3, 1000, 5)
	runtime.GOMAXPROCS(max(4, was))
	if many := must(t, ishigami, 3, 1000, 5); !reflect.DeepEqual(one, many) {
		t.Errorf("one core %+v, four %+v", one, many)
	}
	if other := must(t, ishigami, 3, 1000, 6); reflect.DeepEqual(one, other) {
		t.Error("another seed gives the same")
	}
}

func TestSobolRefuses(t *testing.T) {
	ctx := context.Background()
	fails := errors.New("it fails")
	for _, c := range []struct {
		f            func([]float64) (float64, error)
		inputs, rows int
		level        float64
		want         string
	}{
		{ishigami, 0, 100, 0.95, "there is no input; want one or more"},
		{ishigami, 3, 63, 0.95, "63 rows; want 64 to 1048576"},
		{ishigami, 3, 100, 1, "level is 1; want more than 0 and less than 1"},
		{func([]float64) (float64, error) { return 5, nil }, 3, 100, 0.95, ErrStill.Error()},
		{func([]float64) (float64, error) { return math.NaN(), nil }, 3, 100, 0.95, "the figure is not a number that can be used"},
		{func([]float64) (float64, error) { return 0, fails }, 3, 100, 0.95, "it fails"},
	} {
		if _, err := Sobol(ctx, c.f, c.inputs, c.rows, 1, c.level); err == nil || err.Error() != c.want {
			t.Errorf("%v; want %s", err, c.want)
		}
	}
	ended, cancel := context.WithCancel(ctx)
	cancel()
	if _, err := Sobol(ended, ishigami, 3, 100, 1, 0.95); !errors.Is(err, context.Canceled) {
		t.Errorf("interrupted: %v", err)
	}
}

func BenchmarkSobol(b *testing.B) {
	for b.Loop() {
		if _, err := Sobol(context.Background(), ishigami, 3, 4096, 1, 0.95); err != nil {
			b.Fatal(err)
		}
	}
}
