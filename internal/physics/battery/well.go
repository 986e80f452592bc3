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
	e := numeric.Exp(-float64(k * time))
	gone := (float64(k*time) - 1 + e) / k
	w.Available = float64(w.Available*e) + (float64(all*k*c)-current)*(1-e)/k - float64(current*c*gone) // [G9]
	w.Bound = float64(w.Bound*e) + float64(all*(1-c)*(1-e)) - float64(current*(1-c)*gone)
	return w
}

// WellCapacity returns the charge in C that full wells of a total in C give at that constant current which empties the available one in a time in s.
func WellCapacity(total, fraction, rate, time float64) float64 {
	x := float64(rate * time)
	e := numeric.Exp(-x)
	return total * fraction * x / (1 - e + float64(fraction*(x-1+e))) // [G10]
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
