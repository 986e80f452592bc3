package sun

import (
	"math"

	"hindwatt/internal/numeric"
)

const (
	// HandbookConstant is the solar constant of [DB] and of the correlations fitted with it, W/m².
	HandbookConstant = 1367
	// Constant is the total solar irradiance at the mean distance, W/m²: G. Kopp and J. L. Lean,
	// Geophys. Res. Lett. 38, 2011, 1360.8 ± 0.5.
	Constant = 1361
)

// Declination returns the handbook's declination of a day of the year 1..366, rad: P. I. Cooper,
// Solar Energy 12, 1969, [DB] eq. 1.6.1a, [SN7]; off by up to some 0.5°.
func Declination(day float64) float64 {
	return 23.45 * degree * numeric.Sin(2*math.Pi*(284+day)/365)
}

// Eccentricity returns how many times the solar constant stands on a plane that faces the sun outside
// the air, on a day of the year: [DB] eq. 1.4.1a, [SN7].
func Eccentricity(day float64) float64 { return 1 + 0.033*numeric.Cos(2*math.Pi*day/365) }

// EquationOfTime returns solar less mean time on a day of the year, in s: J. W. Spencer, Search 2,
// 1971, [DB] eq. 1.5.3; to some 20 s.
func EquationOfTime(day float64) float64 {
	b := 2 * math.Pi * (day - 1) / 365
	return 60 * 229.18 * (0.000075 + 0.001868*numeric.Cos(b) - 0.032077*numeric.Sin(b) -
		0.014615*numeric.Cos(2*b) - 0.04089*numeric.Sin(2*b))
}

// SunsetAngle returns the hour angle at which the sun's centre meets the level horizon, rad: π where
// it does not set, 0 where it does not rise. [DB] eq. 1.6.10.
func SunsetAngle(latitude, declination float64) float64 {
	up := numeric.Sin(latitude) * numeric.Sin(declination)
	round := numeric.Cos(latitude) * numeric.Cos(declination)
	if math.Abs(up) >= round { // at a pole round is 0
		if up > 0 {
			return math.Pi
		} else if up < 0 {
			return 0
		}
		return math.Pi / 2
	}
	return math.Acos(-up / round)
}

// DailyExtraterrestrial returns what falls on a level plane outside the air in a day, J/m²:
// [DB] eq. 1.10.3, [SN8].
//
//	latitude  rad
//	day       of the year, 1..366
//	constant  solar constant, W/m²
func DailyExtraterrestrial(latitude, day, constant float64) float64 {
	d := Declination(day)
	ws := SunsetAngle(latitude, d)
	h := numeric.Cos(latitude)*numeric.Cos(d)*numeric.Sin(ws) + ws*numeric.Sin(latitude)*numeric.Sin(d)
	return max(0, 86400/math.Pi*constant*Eccentricity(day)*h)
}

// HourOfDay returns the share of a day's global irradiation that falls in the hour around an hour
// angle: M. Collares-Pereira and A. Rabl, Solar Energy 22, 1979, [DB] eq. 2.13.1 to 2.13.2, as printed, [SN9].
//
//	hourAngle  at the middle of the hour, rad, -π..π
//	sunset     SunsetAngle of the day, rad, 0..π
//
// The hours of a day add up to 1 only within some 2 %. 0 when the sun is down.
func HourOfDay(hourAngle, sunset float64) float64 {
	a := 0.409 + 0.5016*numeric.Sin(sunset-60*degree)
	b := 0.6609 - 0.4767*numeric.Sin(sunset-60*degree)
	return max(0, (a+b*numeric.Cos(hourAngle))*DiffuseHourOfDay(hourAngle, sunset))
}

// DiffuseHourOfDay returns the same for diffuse irradiation, and for what falls outside the air:
// B. Y. H. Liu and R. C. Jordan, Solar Energy 4, 1960, [DB] eq. 2.13.4.
func DiffuseHourOfDay(hourAngle, sunset float64) float64 {
	cs := numeric.Cos(sunset)
	whole := numeric.Sin(sunset) - sunset*cs
	if math.Abs(hourAngle) >= sunset || whole <= 0 {
		return 0
	}
	return max(0, math.Pi/24*(numeric.Cos(hourAngle)-cs)/whole)
}
