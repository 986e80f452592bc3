package sun

import "math"

// Erbs is D. G. Erbs, S. A. Klein and J. A. Duffie, Solar Energy 28, 1982, [DB] eq. 2.10.1, 2.11.1
// and 2.12.1, [SN10]: fitted at latitudes 31..42°; against four typical years elsewhere it is off by
// -7 to +6 % of the year's diffuse.

// DiffuseOfHour returns the diffuse share of an hour's global irradiation, from the share of the
// extraterrestrial that arrives (clearness, ≥ 0).
func DiffuseOfHour(clearness float64) float64 {
	k := clearness
	switch {
	case k <= 0.22:
		return 1 - 0.09*max(k, 0)
	case k <= 0.80:
		return 0.9511 + k*(-0.1604+k*(4.388+k*(-16.638+k*12.336)))
	}
	return 0.165
}

// DiffuseOfDay returns the diffuse share of a day.
//
//	clearness  of the day, ≥ 0
//	sunset     SunsetAngle of the day, rad
func DiffuseOfDay(clearness, sunset float64) float64 {
	k := max(clearness, 0)
	switch {
	case sunset <= 81.4*degree && k < 0.715:
		return 1 + k*(-0.2727+k*(2.4495+k*(-11.9514+k*9.3879)))
	case sunset <= 81.4*degree:
		return 0.143
	case k < 0.722:
		return 1 + k*(0.2832+k*(-2.5557+k*0.8448))
	}
	return 0.175
}

// DiffuseOfMonth returns the diffuse share of a month's mean day; clearness outside 0.3..0.8 is
// taken at the end of that range.
func DiffuseOfMonth(clearness, sunset float64) float64 {
	k := math.Min(math.Max(clearness, 0.3), 0.8)
	if sunset <= 81.4*degree {
		return 1.391 + k*(-3.560+k*(4.189-k*2.137))
	}
	return 1.311 + k*(-3.022+k*(3.427-k*1.821))
}
