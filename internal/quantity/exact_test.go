package quantity

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// Both ways of keeping a number must agree with math/big, near overflow too.
func TestExactArithmetic(t *testing.T) {
	part := rapid.OneOf(rapid.Int64(), rapid.Int64Range(-1000, 1000), rapid.Int64Range(math.MaxInt64-1000, math.MaxInt64))
	anyExact := rapid.Custom(func(t *rapid.T) exact {
		x := exact{n: max(part.Draw(t, "n"), -math.MaxInt64), d: max(part.Draw(t, "d"), 1)}
		if rapid.Bool().Draw(t, "big") {
			return exact{r: x.rat()}
		}
		return x
	})
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyExact.Draw(t, "a"), anyExact.Draw(t, "b")
		same := func(name string, got exact, want *big.Rat) {
			nearest, _ := want.Float64()
			if got.rat().Cmp(want) != 0 || got.sign() != want.Sign() || got.float() != nearest {
				t.Fatalf("%s: %v, want %v", name, got.rat(), want)
			}
		}
		same("a·b", a.mul(b), new(big.Rat).Mul(a.rat(), b.rat()))
		same("a+b", a.add(b), new(big.Rat).Add(a.rat(), b.rat()))
		same("|a|", a.abs(), new(big.Rat).Abs(a.rat()))
		same("-a", a.neg(), new(big.Rat).Neg(a.rat()))
		if a.sign() != 0 {
			same("1/a", a.inverse(), new(big.Rat).Inv(a.rat()))
		}
	})
}

func TestExactSumBeyondAWord(t *testing.T) {
	most := exact{n: math.MaxInt64, d: 1}
	if got := most.add(most).float(); got != 1<<64 {
		t.Error(got)
	}
}

func TestPowerOfTen(t *testing.T) {
	for k := -40; k <= 40; k++ {
		if got := powerOfTen(k).mul(powerOfTen(-k)).float(); got != 1 {
			t.Error(k, got)
		}
	}
	if got := powerOfTen(-20).float(); got != 1e-20 {
		t.Error(got)
	}
}
