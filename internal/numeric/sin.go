package numeric

import "math"

// Sin returns the sine of x, an angle in rad, within 1 ulp; NaN for ±Inf.
func Sin(x float64) float64 {
	if math.Abs(x) < 0x1p-27 { // -0 too
		return x
	}
	r, low, quadrant, ok := reduce(x)
	switch {
	case !ok:
		return math.Sin(x)
	case quadrant&1 == 1:
		return flip(cosNear(r, low), quadrant)
	}
	return flip(sinNear(r, low), quadrant)
}

// Cos returns the cosine of x, an angle in rad, within 1 ulp; NaN for ±Inf.
func Cos(x float64) float64 {
	r, low, quadrant, ok := reduce(x)
	switch {
	case !ok:
		return math.Cos(x)
	case quadrant&1 == 0:
		return flip(cosNear(r, low), quadrant)
	}
	return flip(sinNear(r, low), quadrant+1)
}

func flip(v float64, quadrant int64) float64 {
	if quadrant&2 != 0 {
		return -v
	}
	return v
}

// π/2 as three numbers of 33 bits and a rest, so that their products with a whole number
// below 2^19 are exact (fdlibm, e_rem_pio2.c).
const (
	halfPi1 = 1.57079632673412561417e+00
	halfPi2 = 6.07710050630396597660e-11
	halfPi3 = 2.02226624871116645580e-21
	halfPi4 = 8.47842766036889956997e-32
)

// reduce returns r+low = x - quadrant·π/2 with |r| ≤ π/4; ok is false where x is too large.
func reduce(x float64) (r, low float64, quadrant int64, ok bool) {
	if !(math.Abs(x) < math.Pi/2*(1<<19)) {
		return 0, 0, 0, false
	}
	k := float64(x*(2/math.Pi)) + roundShift - roundShift
	r, low = twoSum(x-float64(k*halfPi1), -float64(k*halfPi2))
	r, lost := twoSum(r, -float64(k*halfPi3))
	r, low = twoSum(r, low+lost-float64(k*halfPi4))
	return r, low, int64(k), true
}

// sinNear returns sin(x+low) for |x| ≤ π/4; polynomial of fdlibm, k_sin.c.
func sinNear(x, low float64) float64 {
	z := float64(x * x)
	p := 8.33333333332248946124e-03 + float64(z*(-1.98412698298579493134e-04+
		float64(z*(2.75573137070700676789e-06+float64(z*(-2.50507602534068634195e-08+
			float64(z*1.58969099521155010221e-10)))))))
	v := float64(z * x)
	return x - ((float64(z*(float64(0.5*low)-float64(v*p))) - low) - float64(v*-1.66666666666666324348e-01))
}

// cosNear returns cos(x+low) for |x| ≤ π/4; polynomial of fdlibm, k_cos.c.
func cosNear(x, low float64) float64 {
	z := float64(x * x)
	p := float64(z * (4.16666666666666019037e-02 + float64(z*(-1.38888888888741095749e-03+
		float64(z*(2.48015872894767294178e-05+float64(z*(-2.75573143513906633035e-07+
			float64(z*(2.08757232129817482790e-09+float64(z*-1.13596475577881948265e-11)))))))))))
	half := float64(0.5 * z)
	w := 1 - half
	return w + (((1 - w) - half) + (float64(z*p) - float64(x*low)))
}
