package setpoint

import (
	"math"
	"runtime"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics"
)

// Results of speed/c/mc.c, which draws other random numbers: computed independently. Limits are
// four standard deviations of the difference of two runs of 10^6 samples.
func TestStackAgainstC(t *testing.T) {
	got := new(stack).run(t, 0)
	for _, c := range []struct {
		name              string
		got, want, within float64
	}{
		{"mean", got.mean, 0.01539, 6.1e-4},
		{"sd", got.sd, 0.10749, 4.3e-4},
		{"0.135 %", got.low, -0.2715, 5e-3},
		{"99.865 %", got.high, 0.3062, 5e-3},
		{"within 0.2 V", got.yield, 0.9380, 1.4e-3},
	} {
		if !(math.Abs(c.got-c.want) <= c.within) {
			t.Errorf("%s: %.5f, want %.5f within %v", c.name, c.got, c.want, c.within)
		}
	}
}

// BenchmarkMonteCarlo is the tolerance stack of speed/c/mc.c, drawn and summed up by the sampler of
// Run: 10 inputs, 10^6 samples, two quantiles by selection, on one core. speed/mc.sh compares.
func BenchmarkMonteCarlo(b *testing.B) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	var s stack
	s.run(b, 0)
	for i := uint64(1); b.Loop(); i++ {
		s.run(b, i)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1e6, "ns/sample")
}

// stack is the sampler with the figure of mc.c in place of the chain.
type stack struct {
	values []float64
	sums   [][3]float64 // of each outer draw: values, squares, values within 0.2 V
}

type stackResult struct{ mean, sd, low, high, yield float64 }

func about0(half float64) draw { return draw{shape: uniform, low: -half, high: half} }

func (s *stack) run(tb testing.TB, seed uint64) stackResult {
	gauss := func(mean, sd float64) draw { return draw{shape: normal, value: mean, sd: sd} }
	sampler := sampler{outer: outerDraws, inner: innerUnits, seed: seed, draws: []draw{
		gauss(1, 0.0033), gauss(0, 0.002), gauss(1, 0.3), gauss(1, 0.01),
		about0(15), about0(50e-6), about0(0.01), about0(1e-4), about0(0.01), about0(1),
	}}
	if s.values == nil {
		s.values, s.sums = make([]float64, outerDraws*innerUnits), make([][3]float64, outerDraws)
	}
	clear(s.sums)
	if err := sampler.run(tb.Context(), s.block); err != nil {
		tb.Fatal(err)
	}
	var total [3]float64
	for _, each := range s.sums {
		for i, x := range each {
			total[i] += x
		}
	}
	n := float64(len(s.values))
	q := statistics.Quantiles(s.values, 0.00135, 0.99865)
	mean := total[0] / n
	return stackResult{mean, math.Sqrt(total[1]/n - mean*mean), q[0], q[1], total[2] / n}
}

func (s *stack) block(b *block) {
	n, col := b.n, b.column
	ref, offset, bias, beta := col[0][:n], col[1][:n], col[2][:n], col[3][:n]
	warm, drift, upper, upperDrift, lower, sensor := col[4][:n], col[5][:n], col[6][:n], col[7][:n], col[8][:n], col[9][:n]
	out, sums := s.values[b.at:b.at+n], &s.sums[b.at/innerUnits]
	for i := range out {
		board := 25 + warm[i]
		vref := 2.5 * ref[i] * (1 + drift[i]*warm[i])
		r1 := 46400 * (1 + upper[i]) * (1 + upperDrift[i]*warm[i])
		r2 := 10000 * (1 + lower[i])
		ntc := 10000 * numeric.Exp(3950*beta[i]*(1/(board+sensor[i]+273.15)-1/298.15))
		leg := ntc/(ntc+10000) - 0.5
		e := (vref+offset[i])*(1+r1/r2) + 2e-7*bias[i]*r1 + leg*2.18 - (14.1 - 0.024*warm[i])
		out[i] = e
		sums[0] += e
		sums[1] += e * e
		if math.Abs(e) < 0.2 {
			sums[2]++
		}
	}
}

// BenchmarkRun is a whole run: five quantities from -10 to 45 °C, with what a verdict asks of each.
func BenchmarkRun(b *testing.B) { benchmarkRun(b) }

// BenchmarkRunFloat is the same for one quantity.
func BenchmarkRunFloat(b *testing.B) { benchmarkRun(b, "float-error") }

func benchmarkRun(b *testing.B, quantities ...string) {
	in := usual(b)
	in.Quantities = quantities
	for b.Loop() {
		r, err := Run(b.Context(), in)
		if err != nil {
			b.Fatal(err)
		}
		for _, o := range r.Outcomes {
			if _, err := o.Inside(-0.2, 0.2, 0.95); err != nil {
				b.Fatal(err)
			}
			if _, err := o.Tolerance(0.95, 0.95); err != nil {
				b.Fatal(err)
			}
		}
	}
}
