package battery

import (
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// Wells are the two parts of a charge: one at hand, one that flows to it.
type Wells struct {
	Available, Bound float64 // C
	Fraction         float64 // 0..1 of all charge, at hand at rest
	Rate             float64 // 1/s
}

// Draw returns the wells after a constant current (positive out of them) has flowed for a time in s. Manwell and McGowan 1993, closed form.
// An empty or overfull well is for the caller to see: Available below 0 means that the charge did not last.
func (w Wells) Draw(current, time float64) Wells {
	c, k, all := w.Fraction, w.Rate, w.Available+w.Bound
	x := float64(k * time)
	e := numeric.Exp(-x)
	f, g := relaxed(x)
	w.Available = float64(w.Available*e) + (float64(all*k*c)-current)*f/k - float64(current*c*g/k) // [G9]
	w.Bound = float64(w.Bound*e) + float64(all*(1-c)*f) - float64(current*(1-c)*g/k)
	return w
}

// relaxed returns 1 − e^−x and x − 1 + e^−x, both to full accuracy for a small x ≥ 0.
func relaxed(x float64) (f, g float64) {
	const small, terms = 0.25, 16
	if x >= small {
		f = 1 - numeric.Exp(-x)
		return f, x - f
	}
	g = 1
	for n := terms; n > 2; n-- { // x²/2!·(1 − x/3·(1 − x/4·(…)))
		g = 1 - float64(x*g)/float64(n)
	}
	g *= float64(x*x) / 2
	return x - g, g
}

// WellCapacity returns the charge in C that full wells of a total in C give at that constant current which empties the available one in a time in s.
func WellCapacity(total, fraction, rate, time float64) float64 {
	x := float64(rate * time)
	f, g := relaxed(x)
	return total * fraction * x / (f + float64(fraction*g)) // [G10]
}

// Runtime returns how long, in s, a current in A lasts if a capacity in C is stated for a discharge in so many seconds, and the charge
// that is drawn then, in C. Peukert 1897.
func Runtime(capacity, rated, exponent, current float64) (time, charge float64) {
	time = rated * numeric.Pow(capacity/float64(current*rated), exponent) // [G11]
	return time, float64(current * time)
}

// Peukert returns the exponent of two discharges by their currents and times. An error if they do not tell one.
func Peukert(current1, time1, current2, time2 float64) (float64, error) {
	for _, v := range []float64{current1, time1, current2, time2} {
		if !(v > 0) || math.IsInf(v, 0) {
			return 0, fmt.Errorf("a current or time of %g; want more than 0", v)
		}
	}
	if current1 == current2 {
		return 0, fmt.Errorf("both currents are %g A; want two that differ", current1)
	}
	return numeric.Log(time1/time2) / numeric.Log(current2/current1), nil
}

// RoundTrip returns the share of the energy that comes back out of a battery, of the share of the charge that does and the mean voltages of charging and discharging.
func RoundTrip(coulombic, charging, discharging float64) float64 {
	return coulombic * discharging / charging
}
