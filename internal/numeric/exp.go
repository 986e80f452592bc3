package numeric

import "math"

const (
	expHigh    = 709.782712893384   // above, exp overflows: ln(MaxFloat64)
	expLow     = -745.1332191019412 // below, exp rounds to 0
	expNormal  = 708.39             // within ±, exp is a normal number
	roundShift = 0x1.8p52           // adding it rounds to a whole number
)

// Exp returns e^x, within 1.5 ulp. It is +Inf above 709.7827 and 0 below -745.13.
//
// x = k·ln2/256 + r with |r| ≤ ln2/512, and e^x = 2^(k/256)·e^r: the power from
// a table, e^r from five terms of its series (the sixth is below 3e-17).
func Exp(x float64) float64 {
	if !(math.Abs(x) < expNormal) {
		return expEdge(x)
	}
	k := float64(x*expPerStep) + roundShift
	n := math.Float64bits(k)
	k -= roundShift
	r := x - float64(k*expStepHi) - float64(k*expStepLo)
	t := math.Float64frombits(expTable[n&255] + n>>8<<52)
	return t + float64(t*expm1Near(r))
}

// expm1Near returns e^r - 1 for |r| ≤ ln2/512.
func expm1Near(r float64) float64 {
	r2 := float64(r * r)
	return r + float64(r2*((0.5+float64(r*(1.0/6)))+float64(r2*(1.0/24))))
}

// expEdge is Exp where the result overflows, is subnormal, or is not a number.
func expEdge(x float64) float64 {
	switch {
	case x > expHigh:
		return math.Inf(1)
	case x < expLow:
		return 0
	}
	return expPair(x, 0)
}

// expPair returns e^(x+low) for |low| far below |x|, -746 < x < 710, with one rounding
// where the result is subnormal.
func expPair(x, low float64) float64 {
	k := float64(x*expPerStep) + roundShift
	n := math.Float64bits(k)
	k -= roundShift
	r := x - float64(k*expStepHi) - (float64(k*expStepLo) - low)
	t := math.Float64frombits(expTable[n&255])
	y := t + float64(t*expm1Near(r))
	exponent := (int(k) - int(n&255)) / 256
	half := exponent / 2
	return float64(float64(y*power2(half)) * power2(exponent-half))
}

// power2 returns 2^n for -1022 ≤ n ≤ 1023.
func power2(n int) float64 { return math.Float64frombits(uint64(n+1023) << 52) }
