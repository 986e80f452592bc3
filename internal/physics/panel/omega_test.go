package panel

import (
	"math"
	"math/big"
	"testing"
)

// bigLog returns log x to 200 bits: x = m·2^e, log m by the series of artanh.
func bigLog(x *big.Float) *big.Float {
	const prec = 200
	new := func(v float64) *big.Float { return new(big.Float).SetPrec(prec).SetFloat64(v) }
	series := func(m *big.Float) *big.Float { // log m = 2 artanh((m-1)/(m+1))
		t := new(0).Quo(new(0).Sub(m, new(1)), new(0).Add(m, new(1)))
		square, term, sum := new(0).Mul(t, t), new(0).Copy(t), new(0)
		for k := 1; k < 400; k += 2 {
			sum.Add(sum, new(0).Quo(term, new(float64(k))))
			term.Mul(term, square)
		}
		return sum.Mul(sum, new(2))
	}
	m := new(0).SetPrec(prec)
	e := x.MantExp(m)
	return new(0).Add(series(m), new(0).Mul(new(float64(e)), series(new(2))))
}

// TestOmegaSolvesItsEquation holds w + log w against z with 200 bits, so that no library is trusted.
func TestOmegaSolvesItsEquation(t *testing.T) {
	worst := 0.0
	for z := -700.0; z < 1e6; z += 0.137 * (1 + math.Abs(z)/3) {
		w := omega(z)
		if !(w > 0) {
			t.Fatalf("omega(%v) = %v", z, w)
		}
		b := new(big.Float).SetPrec(200).SetFloat64(w)
		r := new(big.Float).SetPrec(200).Add(bigLog(b), b)
		lack, _ := r.Sub(new(big.Float).SetPrec(200).SetFloat64(z), r).Float64()
		relative := math.Abs(lack / (1 + w)) // dw/w = dz/(1+w)
		worst = max(worst, relative/(1+math.Abs(z)/(1+w)))
	}
	if worst > 4e-16 {
		t.Errorf("relative error %g of what rounding z explains; want below 4e-16", worst)
	}
	t.Logf("worst %g", worst)
}

// Values of Lambert's W: DLMF 4.13 names Ω = W(1); the others follow from w·e^w = x.
func TestOmegaAtKnownPlaces(t *testing.T) {
	for _, c := range []struct{ z, w float64 }{
		{0, 0.56714329040978387300}, {1, 1}, {1 + math.Log(1), 1}, {2 + math.Log(2), 2}, {1e300, 1e300}, {-800, 0},
	} {
		if got := omega(c.z); math.Abs(got-c.w) > 4e-16*c.w {
			t.Errorf("omega(%v) = %v, want %v", c.z, got, c.w)
		}
	}
}
