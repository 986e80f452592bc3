package numeric

import (
	"hash/fnv"
	"math"
	"math/big"
	"testing"
)

// Table values of Abramowitz and Stegun, Handbook of Mathematical Functions: e and ln 10 from Table
// 1.1, ln from Table 4.2, exp from Table 4.4, sin and cos (rad) from Table 4.6; the rest by arithmetic.
func TestPublishedValues(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"exp 1", Exp(1), 2.718281828459045}, {"ln 10", Log(10), 2.302585092994046}, {"ln 2", Log(2), 0.6931471805599453},
		{"exp -1", Exp(-1), 0.36787944117144233}, {"exp 0.5", Exp(0.5), 1.6487212707001282}, {"ln 0.5", Log(0.5), -0.6931471805599453},
		{"sin 1", Sin(1), 0.8414709848078965}, {"cos 1", Cos(1), 0.5403023058681398}, {"sin 0.5", Sin(0.5), 0.479425538604203},
		{"2^0.5", Pow(2, 0.5), 1.4142135623730951}, {"2^10", Pow(2, 10), 1024}, {"10^-3", Pow(10, -3), 0.001}, {"3^5", Pow(3, 5), 243},
		{"(-2)^3", Pow(-2, 3), -8}, {"(-2)^4", Pow(-2, 4), 16}, {"exp 0", Exp(0), 1}, {"ln 1", Log(1), 0}, {"cos 0", Cos(0), 1},
	} {
		if math.Abs(c.got-c.want) > 1.5*0x1p-52*math.Abs(c.want) {
			t.Errorf("%s = %v; want %v", c.name, c.got, c.want)
		}
	}
}

// Ends of the range, and what is no number, are those of the library, but for the logarithm of
// subnormal numbers, which the library takes for 2^-1023 on amd64 (seen in Go 1.26).
func TestSpecialValues(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	if e := ulps(Exp(709.7827), wideExp(wide(709.7827))); e > 1.5 { // where the library gives +Inf on amd64
		t.Errorf("Exp(709.7827) is %v ulp off", e)
	}
	if got := Log(5e-324); math.Abs(got+1074*math.Ln2) > 1e-12 {
		t.Errorf("Log(2^-1074) = %v", got)
	}
	odd := []float64{0, math.Copysign(0, -1), 1, -1, 2, 0.5, -0.5, 3, -3, 1e300, -1e300, 5e-324, math.MaxFloat64, 1 << 53, 1<<53 + 2,
		709, 709.79, 708.4, -708.4, -745.13, -745.14, -740, inf, -inf, nan}
	same := func(name string, got, want float64, args ...float64) {
		t.Helper()
		if math.IsNaN(want) != math.IsNaN(got) || !math.IsNaN(want) && ulps(got, wideOr0(want)) > 2.5 && got != want {
			t.Errorf("%s%v = %v; want %v", name, args, got, want)
		}
		if want == 0 && math.Signbit(want) != math.Signbit(got) {
			t.Errorf("%s%v has the wrong sign of 0", name, args)
		}
	}
	for _, x := range odd {
		same("Exp", Exp(x), math.Exp(x), x)
		if x != 5e-324 {
			same("Log", Log(x), math.Log(x), x)
		}
		same("Sin", Sin(x), math.Sin(x), x)
		same("Cos", Cos(x), math.Cos(x), x)
		for _, y := range odd {
			same("Pow", Pow(x, y), math.Pow(x, y), x, y)
		}
	}
}

func wideOr0(x float64) *big.Float {
	if math.IsInf(x, 0) || math.IsNaN(x) {
		return wide(0)
	}
	return wide(x)
}

// The same bits everywhere: a digest of 10^5 results of each function and stream, taken on amd64. Run
// it elsewhere with GOOS=js GOARCH=wasm go test -exec="$(go env GOROOT)/lib/wasm/go_js_wasm_exec".
func TestSameBits(t *testing.T) {
	const want = 0x9f007cc9ac51726b
	h := fnv.New64a()
	add := func(x float64) {
		u := math.Float64bits(x)
		h.Write([]byte{byte(u), byte(u >> 8), byte(u >> 16), byte(u >> 24), byte(u >> 32), byte(u >> 40), byte(u >> 48), byte(u >> 56)})
	}
	s := NewStream(20)
	for range 100000 {
		x := s.Uniform(-740, 700)
		add(Exp(x))
		add(Log(math.Abs(x)))
		add(Sin(x))
		add(Cos(1e4 * x))
		add(Sin(1e9 * x))
		add(Pow(math.Abs(x), s.Uniform(-90, 90)))
		add(s.Norm())
	}
	x, err := FindRoot(func(x float64) float64 { return Exp(x) - 3 }, 0, 2, 0)
	if err != nil {
		t.Fatal(err)
	}
	add(x)
	if got := h.Sum64(); got != want {
		t.Errorf("digest is %#x; want %#x", got, uint64(want))
	}
}
