package quantity

import "math"

// Spread says how a quantity's value is scattered.
type Spread uint8

const (
	Exact  Spread = iota // "27.3 V"
	Limits               // "10 kΩ ±1 %": rectangular between Low and High (JCGM 100, 4.3.7)
	Normal               // "0.12 V sd 0.02 V": normal with SD
	Range                // "2.4 mΩ..3.1 mΩ": all that is known is that it lies between
)

// A Quantity is a number with its dimension and what is known of its spread.
// All numbers are in SI base units (K for temperatures, so 25 °C is 298.15;
// fractions for %, ppm; currency units for money) and finite.
type Quantity struct {
	Value     float64 // nominal; the middle of a Range
	Dim       Dimension
	Spread    Spread
	Percent   bool    // Limits or SD were given in percent of Value, and String writes them so
	Low, High float64 // ends of Limits or Range; both equal Value otherwise
	SD        float64 // standard deviation of Normal, else 0
	Drift     float64 // ± limit of the relative change per kelvin, 1/K, rectangular; 0 if none is given
	Currency  string  // "EUR" where Dim.Money is not 0
	Unit      string  // unit to show it in, canonical spelling: "kΩ", "°C"; "" is Dim.Unit()
}

// StandardUncertainty returns the standard uncertainty of the value in SI units, without
// its drift: SD of a Normal; the half-width over √3 of Limits and of a Range, taken as
// rectangular (JCGM 100, 4.3.7); 0 if the value is exact.
func (q Quantity) StandardUncertainty() float64 {
	switch q.Spread {
	case Limits, Range:
		return (q.High/2 - q.Low/2) / math.Sqrt(3) // JCGM 100 eq. (7)
	case Normal:
		return q.SD
	}
	return 0
}
