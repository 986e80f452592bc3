package numeric

import (
	"math"
	"testing"
)

var sink float64

var arguments = func() (x [1024]float64) {
	s := NewStream(6)
	s.FillUniform(x[:], -20, 20)
	return x
}()

func benchmark(b *testing.B, f func(float64) float64, positive bool) {
	x := arguments
	for i := range x {
		if positive {
			x[i] = math.Abs(x[i])
		}
	}
	sum := 0.0
	for i := 0; b.Loop(); i++ {
		sum += f(x[i&1023])
	}
	sink = sum
}

func BenchmarkExp(b *testing.B)     { benchmark(b, Exp, false) }
func BenchmarkMathExp(b *testing.B) { benchmark(b, math.Exp, false) }
func BenchmarkLog(b *testing.B)     { benchmark(b, Log, true) }
func BenchmarkMathLog(b *testing.B) { benchmark(b, math.Log, true) }
func BenchmarkSin(b *testing.B)     { benchmark(b, Sin, false) }
func BenchmarkMathSin(b *testing.B) { benchmark(b, math.Sin, false) }
func BenchmarkPow(b *testing.B) {
	benchmark(b, func(x float64) float64 { return Pow(x, 1.3) }, true)
}
func BenchmarkMathPow(b *testing.B) {
	benchmark(b, func(x float64) float64 { return math.Pow(x, 1.3) }, true)
}

func BenchmarkExpChain(b *testing.B) {
	x := 0.0
	for b.Loop() {
		x = Exp(-0.5 * x)
	}
	sink = x
}

func perValue(b *testing.B, fill func(s *Stream, dst []float64)) {
	s, dst := NewStream(7), make([]float64, 1024)
	for b.Loop() {
		fill(&s, dst)
	}
	sink = dst[0]
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1024, "ns/value")
}

func BenchmarkFillUniform(b *testing.B) {
	perValue(b, func(s *Stream, dst []float64) { s.FillUniform(dst, -1, 1) })
}

func BenchmarkFillNorm(b *testing.B) {
	perValue(b, func(s *Stream, dst []float64) { s.FillNorm(dst) })
}

func BenchmarkSelectTwoOfMillion(b *testing.B) {
	s := NewStream(8)
	from, x := make([]float64, 1e6), make([]float64, 1e6)
	s.FillNorm(from)
	for b.Loop() {
		b.StopTimer()
		copy(x, from)
		b.StartTimer()
		low := Select(x, 25000)
		sink = low + Select(x[25001:], 975000-25001)
	}
}

// The chain of ../../speed/mc.c: 4 normal and 6 uniform inputs, one exp, 10^6 samples in
// blocks, two quantiles.
func BenchmarkMonteCarloChain(b *testing.B) {
	const samples, block = 1000000, 1000
	v := make([]float64, samples)
	var n [4][block]float64
	var u [6][block]float64
	for b.Loop() {
		s := NewStream(1)
		for at := 0; at < samples; at += block {
			for i := range n {
				s.FillNorm(n[i][:])
			}
			for i := range u {
				s.FillUniform(u[i][:], -1, 1)
			}
			dst := v[at : at+block]
			for i := range dst {
				tb := 25 + 15*u[0][i]
				vref := 2.5 * (1 + 0.0033*n[0][i]) * (1 + 50e-6*u[1][i]*(tb-25))
				r1 := 46400 * (1 + .01*u[2][i]) * (1 + 1e-4*u[3][i]*(tb-25))
				r2 := 10000 * (1 + .01*u[4][i])
				ib := 2e-7 * (1 + 0.3*n[2][i])
				beta := 3950 * (1 + 0.01*n[3][i])
				rn := 10000 * Exp(beta*(1/(tb+u[5][i]+273.15)-1/298.15))
				k := rn/(rn+10000) - 0.5
				dst[i] = (vref+0.002*n[1][i])*(1+r1/r2) + ib*r1 + k*2.18 - (14.1 - 0.024*(tb-25))
			}
		}
		low := Select(v, 1350)
		sink = low + Select(v[1351:], 998650-1351)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/samples, "ns/sample")
}
