package panel

import (
	"math"

	"hindwatt/internal/numeric"
)

// omega returns the Wright function ω of a real argument: the w > 0 with w + ln w = z. It is Lambert's W of e^z without
// the overflow of e^z. Relative error below 1e-15·(1 + |z|); 0 below -745.
//
// Start and iteration of the fourth order: Lawrence, Corless and Jeffrey, ACM Trans. Math. Softw. 38
// (2012), algorithm 917, after Fritsch, Shafer and Crowley, Comm. ACM 16 (1973), p. 123.
func omega(z float64) float64 {
	var w float64
	switch {
	case z < -7.5: // five terms of the series are exact: the sixth is below 1e-16 of the first
		e := numeric.Exp(z)
		return float64(e * (1 - float64(e*(1-float64(e*(1.5-float64(e*(8.0/3-float64(e*(125.0/24))))))))))
	case z < -2:
		e := numeric.Exp(z)
		w = float64(e * (1 - float64(e*(1-float64(1.5*e)))))
	case z < 4:
		d := z - 1
		w = 1 + float64(d*(0.5+float64(d*(1.0/16-float64(d*(1.0/192+float64(d*(1.0/3072)))))))) // Taylor at z = 1
	default:
		l := numeric.Log(z)
		w = z - l + float64(l/z*(1+float64((l-2)/(2*z))))
	}
	for range 2 {
		l := numeric.Log(w)
		r := z - w - l
		if math.Abs(r) < float64(1e-5*(1+w)) { // its fourth power is below what a number holds; last step
			return correct(w, r)
		}
		w = correct(w, r)
	}
	return w
}

// correct makes one step of the iteration: r is what w + ln w lacks of z.
func correct(w, r float64) float64 {
	p := w + 1
	q := float64(2 * p * (p + float64(r*(2.0/3))))
	return w + float64(w*(r/p*((q-r)/(q-float64(2*r)))))
}
