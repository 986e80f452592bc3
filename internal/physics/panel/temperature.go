package panel

import (
	"math"

	"hindwatt/internal/numeric"
)

// UsualNOCT is the usual nominal operating cell temperature, K: at 800 W/m², in air of 20 °C and 1 m/s, without load. 45 °C,
// within 2 K on an open rack; 5 to 12 K more flat on a roof (estimate).
const UsualNOCT = 45 + zeroCelsius

const (
	zeroCelsius = 273.15
	noctAir     = 20 + zeroCelsius // K
	noctSun     = 800.0            // W/m²

	// Minutes is how long a module takes for 63 % of a step of its temperature, s: 5 to 10 minutes (estimate).
	Minutes = 420.0
)

// CellTemperature returns the temperature of the cells, K, by the panel's NOCT.
//
//	ambient     K
//	irradiance  on the panel, W/m²
//	noct        nominal operating cell temperature, K, such as UsualNOCT
//
// Source: Ross 1976, as in Duffie and Beckman, 23.3. A time of ten minutes or more; see Follow.
func CellTemperature(ambient, irradiance, noct float64) float64 {
	return ambient + float64((noct-noctAir)/noctSun*irradiance) // [Y9]
}

// WindyTemperature returns the temperature of the cells, K, with the wind at the panel.
//
//	wind        m/s, 0 to 10
//	efficiency  of the panel at these conditions; about 0.15, 0 if its power is not drawn
//
// Source: Duffie and Beckman, 4th ed., eq. 23.3.3 (transmittance·absorptance 0.9).
func WindyTemperature(ambient, irradiance, noct, wind, efficiency float64) float64 {
	return ambient + float64(irradiance/noctSun*(noct-noctAir)*(9.5/(5.7+float64(3.8*wind)))*(1-efficiency/0.9)) // [Y10]
}

// FaimanTemperature returns the temperature of the back of an open-rack module, K, with the wind at the panel.
// Source: Faiman, Progress in Photovoltaics 16 (2008), p. 307: 25 W/(m²·K) and 6.84 W·s/(m³·K), from memory.
func FaimanTemperature(ambient, irradiance, wind float64) float64 {
	return ambient + irradiance/(25+float64(6.84*wind)) // [Y11]
}

// Lagging returns the share of a difference in temperature that is left after a time, 0..1.
//
//	elapsed  s; ≥ 0
//	constant s; > 0, such as Minutes
func Lagging(elapsed, constant float64) float64 { return numeric.Exp(-elapsed / constant) } // [Y12]

// Fading returns the share of the power that age takes.
//
//	years  since the panel was new; ≥ 0
//	rate   a year; 0: 0.005, the median of Jordan and Kurtz, Progress in Photovoltaics 21 (2013), p. 12, from memory
//
// Taken from the photocurrent, since most of it is lost there.
func Fading(years, rate float64) float64 {
	if rate == 0 {
		rate = 0.005
	}
	return min(1, max(0, years)*rate)
}

// Settling returns the share of the power that an amorphous panel still has.
//
//	dose    light so far, J/m²; ≥ 0
//	loss    the share lost in the end: 0.15 to 0.30 for a single junction, 0.10 to 0.15 for more (estimates)
//	half    dose scale, J/m²; 100 to 300 kWh/m² (estimate)
//
// Labels give the settled power; a new panel has that over (1 - loss), for weeks.
func Settling(dose, loss, half float64) float64 {
	if !(dose > 0) || !(half > 0) {
		return 1
	}
	return 1 - float64(loss*(1-numeric.Exp(-math.Sqrt(dose/half)))) // [Y13]
}
