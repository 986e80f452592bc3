package sun

import "hindwatt/internal/numeric"

// ClearSky returns the global irradiance on the level under a cloudless sky, W/m², from the cosine
// of the zenith angle: B. Haurwitz, J. Meteorology 2, 1945, [SN11]. 0 when the sun is down. The 95th percentile of
// typical years is 1.00 to 1.08 times it: low for dry and high places.
func ClearSky(cosZenith float64) float64 {
	if cosZenith <= 0 {
		return 0
	}
	return 1098 * cosZenith * numeric.Exp(-0.057/cosZenith)
}

// AirMass returns the path through the air as a multiple of the vertical one at sea level: F. Kasten
// and A. T. Young, Applied Optics 28, 1989. Below the horizon it keeps the value there, 38.
//
//	zenith     rad, without refraction
//	elevation  of the place, m; pressure falls with exp(-elevation/8434 m)
func AirMass(zenith, elevation float64) float64 {
	z := min(max(zenith/degree, 0), 90)
	m := 1 / (numeric.Cos(z*degree) + 0.50572*numeric.Pow(96.07995-z, -1.6364))
	return m * numeric.Exp(-elevation/8434)
}
