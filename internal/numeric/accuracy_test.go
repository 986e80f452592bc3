package numeric

import (
	"math"
	"math/big"
	"testing"
)

// Reference values are series summed with 200 bits by math/big, here in the test: they share
// nothing with the package but the arguments.

func wide(x float64) *big.Float { return new(big.Float).SetPrec(200).SetFloat64(x) }

var wideLn2 = func() *big.Float { // 2·artanh(1/3)
	third := new(big.Float).SetPrec(200).Quo(wide(1), wide(3))
	return new(big.Float).SetPrec(200).Mul(wide(2), artanh(third))
}()

func artanh(s *big.Float) *big.Float {
	square := wide(0).Mul(s, s)
	term, sum := wide(0).Set(s), wide(0)
	for n := 1.0; n < 140; n += 2 {
		sum.Add(sum, wide(0).Quo(term, wide(n)))
		term.Mul(term, square)
	}
	return sum
}

func wideExp(x *big.Float) *big.Float {
	kf, _ := wide(0).Quo(x, wideLn2).Float64()
	k := math.Round(kf)
	r := wide(0).Sub(x, wide(0).Mul(wide(k), wideLn2))
	term, sum := wide(1), wide(1)
	for n := 1.0; n < 60; n++ {
		term.Quo(term.Mul(term, r), wide(n))
		sum.Add(sum, term)
	}
	return sum.SetMantExp(sum, int(k))
}

func wideLog(x float64) *big.Float {
	m, e := math.Frexp(x)
	if m < math.Sqrt2/2 {
		m, e = 2*m, e-1
	}
	s := wide(0).Quo(wide(0).Sub(wide(m), wide(1)), wide(0).Add(wide(m), wide(1)))
	v := wide(0).Mul(wide(2), artanh(s))
	return v.Add(v, wide(0).Mul(wide(float64(e)), wideLn2))
}

// ulps tells how far got is from want, in units of the last place of want.
func ulps(got float64, want *big.Float) float64 {
	near, _ := want.Float64()
	if math.IsInf(near, 0) || near == 0 {
		if got == near {
			return 0
		}
		return math.Inf(1)
	}
	unit := math.Nextafter(math.Abs(near), math.Inf(1)) - math.Abs(near)
	d, _ := wide(0).Quo(wide(0).Sub(wide(got), want), wide(unit)).Float64()
	return math.Abs(d)
}

// tries is how many arguments are tried: few under the race detector, which they do not concern.
func tries() int {
	if testing.Short() {
		return 300
	}
	return 6000
}

// worst holds the largest error seen and where.
type worst struct{ ulps, x, y float64 }

func (w *worst) see(e, x, y float64) {
	if !(e <= w.ulps) {
		*w = worst{e, x, y}
	}
}

func (w worst) hold(t *testing.T, name string, limit float64) {
	t.Helper()
	t.Logf("%s: largest error %.3f ulp at %v, %v", name, w.ulps, w.x, w.y)
	if !(w.ulps <= limit) {
		t.Errorf("%s: error %.3f ulp at %v, %v; promised %v", name, w.ulps, w.x, w.y, limit)
	}
}

func TestExpAccuracy(t *testing.T) {
	s := NewStream(1)
	var w worst
	for i := range tries() {
		x := s.Uniform(-745, 709.7)
		if i%2 == 0 {
			x = s.Uniform(-1, 1) * Exp(s.Uniform(-30, 3))
		}
		w.see(ulps(Exp(x), wideExp(wide(x))), x, 0)
	}
	w.hold(t, "Exp", 1.5)
}

func TestLogAccuracy(t *testing.T) {
	s := NewStream(2)
	var w worst
	for i := range tries() {
		x := math.Float64frombits(s.Uint64() >> 1 % (0x7ff << 52)) // every exponent, subnormals too
		switch i % 3 {
		case 1:
			x = s.Uniform(0.98, 1.02)
		case 2:
			x = 1 + s.Uniform(-1, 1)*Exp(s.Uniform(-35, -2))
		}
		w.see(ulps(Log(x), wideLog(x)), x, 0)
	}
	w.hold(t, "Log", 1.5)
}

func TestPowAccuracy(t *testing.T) {
	s := NewStream(3)
	var w worst
	for i := range tries() {
		x, y := Exp(s.Uniform(-5, 5)), s.Uniform(-140, 140)
		switch i % 3 {
		case 1:
			x, y = 1+s.Uniform(-1e-3, 1e-3), s.Uniform(-6e5, 6e5)
		case 2:
			x, y = math.Float64frombits(s.Uint64()>>1%(0x7ff<<52)), s.Uniform(-1, 1)
		}
		want := wideExp(wide(0).Mul(wide(y), wideLog(x)))
		w.see(ulps(Pow(x, y), want), x, y)
	}
	w.hold(t, "Pow", 1.5)
}

// wideSin sums the series of sin (from = 1) or cos (from = 0) at x itself; |x| ≤ 30 needs no
// reduction with 200 bits.
func wideSin(x float64, from int) *big.Float {
	term, sum := wide(1), wide(0)
	if from == 1 {
		term = wide(x)
	}
	square := wide(0).Mul(wide(x), wide(x))
	for n := from; n < 260; n += 2 {
		sum.Add(sum, term)
		term.Quo(term.Mul(term, square), wide(float64((n+1)*(n+2))))
		term.Neg(term)
	}
	return sum
}

func TestSinCosAccuracy(t *testing.T) {
	s := NewStream(4)
	var sine, cosine worst
	for i := range tries() {
		x := s.Uniform(-30, 30)
		if i%2 == 1 { // near a multiple of π/2, where digits cancel
			x = math.Round(s.Uniform(-19, 19)) * math.Pi / 2 * (1 + s.Uniform(-1, 1)*Exp(s.Uniform(-36, -3)))
		}
		sine.see(ulps(Sin(x), wideSin(x, 1)), x, 0)
		cosine.see(ulps(Cos(x), wideSin(x, 0)), x, 0)
	}
	sine.hold(t, "Sin", 1)
	cosine.hold(t, "Cos", 1)
}

// The library's own functions are a second witness over wide ranges; they err by up to 1 ulp
// themselves, so the limits are 1 more.
func TestAgainstLibrary(t *testing.T) {
	s := NewStream(5)
	var exp, log, pow, sine, cosine worst
	for range 60000 {
		x := s.Uniform(-700, 700)
		exp.see(ulps(Exp(x), wide(math.Exp(x))), x, 0)
		log.see(ulps(Log(Exp(x)), wide(math.Log(Exp(x)))), x, 0)
		y := s.Uniform(-50, 50)
		pow.see(ulps(Pow(x*x, y), wide(math.Pow(x*x, y))), x*x, y)
		x *= 1000
		sine.see(ulps(Sin(x), wide(math.Sin(x))), x, 0)
		cosine.see(ulps(Cos(x), wide(math.Cos(x))), x, 0)
	}
	exp.hold(t, "Exp", 2.5)
	log.hold(t, "Log", 2.5)
	t.Log("math.Pow", pow) // math.Pow errs by many ulp: shown, not judged
	sine.hold(t, "Sin", 2)
	cosine.hold(t, "Cos", 2)
}
