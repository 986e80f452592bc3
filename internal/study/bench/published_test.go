package bench

import (
	"math"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

// yarn is the breaking load of 12 yarns, in cN, from ISO 2854:1976 (from memory; mean 252.0 and s = 35.5 as printed there).
var yarn = []float64{228.6, 232.7, 238.8, 317.2, 315.8, 275.1, 222.2, 236.7, 224.7, 251.2, 210.4, 270.7}

// k for 95 % of the population at confidence 95 %, two-sided: Odeh and Owen, Tables for Normal Tolerance Limits
// (1980), and ISO 16269-6, printed with three decimals (from memory).
func TestTolerancePublished(t *testing.T) {
	for _, c := range []struct {
		n int
		k float64
	}{{2, 36.519}, {3, 9.789}, {5, 5.077}, {10, 3.393}, {20, 2.760}} {
		r := run(t, input(perfect, lot(c.n, 10, 1)...))
		near(t, "upper end", r.Tolerance.High, 10+c.k, 6e-4)
		near(t, "lower end", r.Tolerance.Low, 10-c.k, 6e-4)
	}
	r := run(t, input(perfect, yarn...))
	near(t, "mean of the yarn", r.Mean.Best, 252.0, 0.05)
	near(t, "s of the yarn", r.SD, 35.5, 0.05)
}

// NIST/SEMATECH e-Handbook 1.3.5.2: 195 values, mean 9.261460, standard deviation 0.022789; 95 % limits of the
// mean 9.258242 and 9.264679 as printed.
func TestMeanPublished(t *testing.T) {
	r := run(t, input(perfect, lot(195, 9.261460, 0.022789)...))
	near(t, "low", r.Mean.Low, 9.258242, 1e-6)
	near(t, "high", r.Mean.High, 9.264679, 1e-6)
	if r.Mean != r.MeanWithoutMeter {
		t.Errorf("without the meter %v; want %v, as it does not err", r.MeanWithoutMeter, r.Mean)
	}
}

// JCGM 101:2008 9.2.3: the sum of four rectangular inputs of standard uncertainty 1 lies within ±3.88 with 95 %; here
// the errors of four meters, each of which read a quarter of the units.
func TestMetersPublished(t *testing.T) {
	in := input(nil, lot(400, 10, 0.01)...)
	for i := range in.Readings {
		m := *meter(4 * math.Sqrt(3))
		m.Name = string(rune('a' + i%4))
		in.Readings[i].Meter = &m
	}
	r := run(t, in)
	near(t, "half-width", (r.Mean.High-r.Mean.Low)/2, 3.88, 0.06) // three of the four are laid out on 128 points
}

// One meter's error and the scatter of units, against random draws.
func TestMeanConvolution(t *testing.T) {
	for _, c := range []struct {
		n         int
		sd, limit float64
	}{{2, 0.1, 0.2}, {3, 0.1, 0.2}, {10, 0.1, 0.01}, {10, 0.001, 0.2}, {30, 0.1, 0.05}} {
		r := run(t, input(meter(c.limit), lot(c.n, 0, c.sd)...))
		s, x := numeric.NewStream(3), make([]float64, 400000)
		for i := range x {
			squares := 0.0
			for range c.n - 1 {
				squares += square(s.Norm())
			}
			x[i] = s.Norm()/math.Sqrt(squares/float64(c.n-1))*c.sd/math.Sqrt(float64(c.n)) + s.Uniform(-c.limit, c.limit)
		}
		below, above := 0, 0
		for _, v := range x {
			if v < r.Mean.Low {
				below++
			}
			if v > r.Mean.High {
				above++
			}
		}
		near(t, "part below low", float64(below)/float64(len(x)), 0.025, 0.00075) // 3 standard deviations of a count
		near(t, "part above high", float64(above)/float64(len(x)), 0.025, 0.00075)
	}
}

// The lower limit of the share is that of statistics, which integrates where this draws. Its upper limit comes from a
// test of another kind, and may differ by what both leave of the confidence.
func TestInsideIntegrated(t *testing.T) {
	for _, c := range []struct {
		n            int
		mean, sd     float64
		min, max     float64
		lower, upper float64 // tolerance
	}{
		{2, 0.03, 0.05, -0.2, 0.2, 0.012, 0.002},
		{3, 0.03, 0.05, -0.2, 0.2, 0.015, 0.002},
		{5, 0.03, 0.1, -0.2, 0.2, 0.010, 0.004},
		{10, 0.03, 0.1, -0.2, 0.2, 0.006, 0.003},
		{10, 0.1, 0.1, math.Inf(-1), 0.2, 0.006, 0.004},
		{10, 0.1, 0.1, -0.02, math.Inf(1), 0.006, 0.004},
		{30, 0.1, 0.05, -0.2, 0.2, 0.003, 0.004},
	} {
		r := run(t, input(perfect, lot(c.n, c.mean, c.sd)...))
		best, low, high, err := statistics.NormalProportion(c.mean, c.sd, c.n, c.min, c.max, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		got := inside(t, r, c.min, c.max)
		near(t, "best", got.Best, best, 1e-8)
		near(t, "low", got.Low, low, c.lower)
		near(t, "high", got.High, high, c.upper)
	}
}

// 14.40 V on a meter of ±(0.5 % + 3 digits) of 10 mV is within ±0.10 V: 0.072 V + 0.03 V, by hand.
func TestOneReading(t *testing.T) {
	accuracy, err := quantity.ParseAccuracy("±(0.5 % + 3 digits)")
	if err != nil {
		t.Fatal(err)
	}
	r := run(t, input(&Meter{Name: "pocket", Accuracy: accuracy, Digit: 0.01}, 14.40))
	near(t, "low", r.Mean.Low, 14.40-0.102-1.96*0.01/math.Sqrt(12), 1e-5)
	near(t, "high without the meter", r.MeanWithoutMeter.High, 14.40+1.96*0.01/math.Sqrt(12), 1e-5)
	if !r.Tolerance.OpenLow || !r.Tolerance.OpenHigh {
		t.Errorf("tolerance interval of one unit is %v; want it open", r.Tolerance)
	}
	// 1 of 1 and 0 of 1 at 95 %, one-sided: 0.05^(1/1) and 1 - 0.05 (Clopper and Pearson)
	for _, c := range []struct {
		min, max float64
		want     Interval
	}{
		{14, 15, Interval{Best: 1, Low: 0.05, High: 1}},
		{14.35, 15, Interval{Best: 1, Low: 0, High: 1}},
		{14, 14.45, Interval{Best: 1, Low: 0, High: 1}},
		{14.45, 15, Interval{Best: 0, Low: 0, High: 1}},
		{14.6, 15, Interval{Best: 0, Low: 0, High: 0.95}},
	} {
		got := inside(t, r, c.min, c.max)
		near(t, "best", got.Best, c.want.Best, 0)
		near(t, "low", got.Low, c.want.Low, 1e-12)
		near(t, "high", got.High, c.want.High, 1e-12)
	}
}

func TestNormality(t *testing.T) {
	// D'Agostino and Stephens (1986), chapter 4: weights of 20 leghorn chicks, mean 209.6, s = 30.65, A² = 0.214 (from memory).
	chicks := []float64{156, 162, 168, 182, 186, 190, 190, 196, 202, 210, 214, 220, 226, 230, 230, 236, 236, 242, 246, 270}
	statistic, _ := normality(chicks)
	near(t, "A² of the chicks", statistic/(1+0.75/20+2.25/400), 0.214, 5e-4)
	// computed independently, by the formulas in another language
	statistic, p := normality(append([]float64(nil), yarn...))
	near(t, "modified A² of the yarn", statistic, 0.7126816568747243, 1e-9)
	near(t, "p of the yarn", p, 0.06294132363754387, 1e-9)
	// table 4.7: upper tail percentage points of the modified A² (from memory)
	for _, c := range []struct{ a, p float64 }{
		{0.341, 0.50}, {0.470, 0.25}, {0.561, 0.15}, {0.631, 0.10}, {0.752, 0.05}, {0.873, 0.025}, {1.035, 0.01}, {1.159, 0.005},
	} {
		near(t, "p at a percentage point", fitted(c.a), c.p, 0.02*c.p)
	}
	// by simulation: 5 % of normal lots are doubted
	s, doubted := numeric.NewStream(5), 0
	const lots = 4000
	for range lots {
		x := make([]float64, 12)
		for i := range x {
			x[i] = s.Norm()
		}
		if _, p := normality(x); p < doubtful {
			doubted++
		}
	}
	near(t, "part of normal lots that is doubted", float64(doubted)/lots, 0.05, 0.011) // 3 standard deviations
}

func TestScales(t *testing.T) {
	for _, dof := range []float64{1, 2, 5, 9, 100, 9999} {
		s := newScales(dof)
		for _, p := range []float64{1e-6, 0.001, 0.0371, 0.25, 0.513, 0.9, 0.987, 0.9999} {
			want := math.Sqrt(dof / statistics.ChiSquaredQuantile(p, dof))
			near(t, "scale", s.at(statistics.NormalQuantile(p)), want, 1e-4*want)
		}
	}
	for z := -9.0; z < 9; z += 0.0137 {
		near(t, "normal distribution", phi(z), statistics.NormalCDF(z), 4e-9)
	}
}
