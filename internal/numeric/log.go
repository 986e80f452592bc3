package numeric

import "math"

// Log returns the natural logarithm of x, within 1.5 ulp; -Inf at 0, NaN below.
//
// x = 2^e·m, 1 ≤ m < 2; F is m rounded to 1/256; log x = e·ln2 + log F + log(1+r)
// with r = (m-F)/F, |r| ≤ 1/512: the first two from tables, each as a short
// number and a rest, the last from six terms of its series.
func Log(x float64) float64 {
	bits := math.Float64bits(x)
	var e float64
	if bits-1<<52 >= 0x7fe<<52 { // zero, subnormal, negative, infinite or not a number
		if !(x > 0 && x < math.Inf(1)) {
			return logEdge(x)
		}
		bits = math.Float64bits(float64(x * (1 << 52)))
		e = -52
	}
	e += float64(int(bits>>52) - 1023)
	m := math.Float64frombits(bits&(1<<52-1) | 1023<<52)
	j := (bits&(1<<52-1) + 1<<43) >> 44
	entry := &logTable[j]
	r := float64((m - (1 + float64(float64(j)*(1.0/256)))) * entry.inverse)
	hi := float64(e*ln2Hi) + entry.hi // exact: both are multiples of 2^-42
	lo := float64(e*ln2Lo) + entry.lo
	r2 := float64(r * r)
	p := float64(r2 * ((-0.5 + float64(r*(1.0/3))) + float64(r2*((-0.25+float64(r*(1.0/5)))+float64(r2*(-1.0/6))))))
	return hi + (r + (lo + p))
}

func logEdge(x float64) float64 {
	switch {
	case x == 0:
		return math.Inf(-1)
	case x > 0:
		return math.Inf(1)
	}
	return math.NaN()
}

// logPair returns log x as the sum of two numbers, to about 2^-70 of its value,
// for 0 < x < +Inf.
func logPair(x float64) (hi, lo float64) {
	fraction, exponent := math.Frexp(x)
	m, e := float64(2*fraction), float64(exponent-1)
	bits := math.Float64bits(m)
	j := (bits&(1<<52-1) + 1<<43) >> 44
	f := 1 + float64(float64(j)*(1.0/256))
	entry := &logTable[j]
	// r = rh + rl, rh of 25 bits, so that rh·F and rh² are exact.
	rh := math.Float64frombits(math.Float64bits(float64((m-f)*entry.inverse)) &^ (1<<28 - 1))
	rl := float64((m - f - float64(rh*f)) * entry.inverse)
	r := rh + rl
	// log(1+r) = rh - rh²/2 + [rl - rh·rl - rl²/2 + r³/3 - …]
	series := 1.0/3 + float64(r*(-0.25+float64(r*(0.2+float64(r*(-1.0/6+float64(r*(1.0/7))))))))
	rest := rl - float64(rl*(rh+float64(0.5*rl))) + float64(float64(float64(r*r)*r)*series)
	hi, lo = twoSum(float64(e*ln2Hi)+entry.hi, rh)
	hi, carry := twoSum(hi, float64(-0.5*float64(rh*rh)))
	lo += carry + (rest + (float64(e*ln2Lo) + entry.lo))
	return twoSum(hi, lo)
}

// twoSum returns a+b rounded, and what the rounding lost (Knuth, The Art of
// Computer Programming, vol. 2, 4.2.2, theorem B).
func twoSum(a, b float64) (sum, lost float64) {
	sum = a + b
	t := sum - a
	return sum, (a - (sum - t)) + (b - t)
}
