package sun

import (
	"fmt"
	"math"
	"time"

	"hindwatt/internal/numeric"
)

const (
	degree = math.Pi / 180
	second = degree / 3600 // of arc
)

// A Place is where the sun is looked at.
type Place struct {
	Latitude  float64 // rad, -π/2..π/2, north positive
	Longitude float64 // rad, -π..π, east positive
	Elevation float64 // above sea level, m
}

// Check returns an error that names what is out of range, or nil.
func (p Place) Check() error {
	switch {
	case !(math.Abs(p.Latitude) <= math.Pi/2):
		return fmt.Errorf("latitude %.4g°: beyond the poles; want -90..90°", p.Latitude/degree)
	case !(math.Abs(p.Longitude) <= 2*math.Pi):
		return fmt.Errorf("longitude %.4g°: not on the globe; want -180..180°, east positive", p.Longitude/degree)
	case !(p.Elevation >= -500 && p.Elevation <= 9000):
		return fmt.Errorf("elevation %.4g m: not on the ground; want -500..9000 m", p.Elevation)
	}
	return nil
}

// An Apparent is the sun as the centre of the earth sees it, of date.
type Apparent struct {
	Longitude      float64 // along the ecliptic, rad, 0..2π
	RightAscension float64 // rad, 0..2π
	Declination    float64 // rad
	Distance       float64 // astronomical units
	Sidereal       float64 // apparent sidereal time at Greenwich, rad, 0..2π
}

// ApparentAt returns the geocentric place of the sun, to 0.001° from 1950 to 2050. UTC is taken
// for UT1; that is at most 0.9 s, 0.004° of hour angle.
func ApparentAt(t time.Time) Apparent { return apparent(days(t)) }

// days returns days of universal time from 2000-01-01 12:00.
func days(t time.Time) float64 {
	return (float64(t.Unix()-946728000) + float64(t.Nanosecond())*1e-9) / 86400
}

func apparent(n float64) Apparent {
	tau := (n + deltaT(n)/86400) / 365250
	c := 10 * tau                                 // Julian centuries
	r := series(distance, tau)                    // [SN1], [SPA] eq. 9-11
	lam := series(longitude, tau) + math.Pi       // [SN1], [SPA] eq. 9, 13
	beta := -series(latitude, tau)                // [SPA] eq. 14
	node := (125.04452 - 1934.136261*c) * degree  // [ME] p. 144, ascending node of the moon
	ls := 2 * (280.4665 + 36000.7698*c) * degree  // twice the mean longitude of the sun
	lm := 2 * (218.3165 + 481267.8813*c) * degree // and of the moon
	dpsi := (-17.20*numeric.Sin(node) - 1.32*numeric.Sin(ls) - 0.23*numeric.Sin(lm) + 0.21*numeric.Sin(2*node)) * second
	deps := (9.20*numeric.Cos(node) + 0.57*numeric.Cos(ls) + 0.10*numeric.Cos(lm) - 0.09*numeric.Cos(2*node)) * second
	eps := (84381.448-46.8150*c)*second + deps                                 // [ME] eq. 22.2
	lam += dpsi - (20.4898/r+0.09033)*second                                   // aberration, [SPA] eq. 25, and the FK5 frame, [ME] eq. 32.3
	gmst := 280.46061837 + 360.98564736629*n + 0.000387933*(n/36525)*(n/36525) // [ME] eq. 12.4
	sl, cl := numeric.Sin(lam), numeric.Cos(lam)
	se, ce := numeric.Sin(eps), numeric.Cos(eps)
	sb, cb := numeric.Sin(beta), numeric.Cos(beta)
	return Apparent{
		Longitude:      turn(lam),
		RightAscension: turn(math.Atan2(sl*ce-sb/cb*se, cl)), // [SN2], [SPA] eq. 30
		Declination:    math.Asin(within(sb*ce + cb*se*sl)),  // [SN2], [SPA] eq. 31
		Distance:       r,
		Sidereal:       turn(gmst*degree + dpsi*ce), // [SN3], [SPA] eq. 29
	}
}

func series(powers [][]term, tau float64) float64 {
	sum, power := 0.0, 1e-8
	for _, terms := range powers {
		part := 0.0
		for _, k := range terms {
			part += k.a * numeric.Cos(k.b+k.c*tau)
		}
		sum += part * power
		power *= tau
	}
	return sum
}

// deltaT returns terrestrial less universal time in s, from a table by straight lines.
func deltaT(n float64) float64 {
	x := min(max((n/365.25+100)/10, 0), float64(len(ahead)-1))
	i := min(int(x), len(ahead)-2)
	return ahead[i] + (ahead[i+1]-ahead[i])*(x-float64(i))
}

// A Position is the sun as a place sees it, its centre, without the bending of the air.
type Position struct {
	Elevation   float64 // above the horizon, rad
	Azimuth     float64 // from north over east, rad, 0..2π; at a pole as beside it, on the place's meridian
	Declination float64 // geocentric, rad
	HourAngle   float64 // rad, -π..π, afternoon positive
	Distance    float64 // astronomical units
}

// Zenith returns the angle from straight up, rad.
func (p Position) Zenith() float64 { return math.Pi/2 - p.Elevation }

// At returns where the sun stands, to 0.001° from 1950 to 2050.
func (p Place) At(t time.Time) Position { return p.at(days(t)) }

func (p Place) at(n float64) Position {
	a := apparent(n)
	h := half(a.Sidereal + p.Longitude - a.RightAscension) // [SN3]
	v := Direction(p.Latitude, a.Declination, h)
	e := math.Asin(within(v.Up))
	return Position{
		Elevation:   e - 8.794*second/a.Distance*numeric.Cos(e), // parallax, [SN5], [SPA] eq. 33
		Azimuth:     turn(math.Atan2(v.East, v.North)),
		Declination: a.Declination, HourAngle: h, Distance: a.Distance,
	}
}

// Pressure returns the usual air pressure at an elevation in m, in Pa: International Standard
// Atmosphere (ISO 2533), to 11 km.
func Pressure(elevation float64) float64 {
	return 101325 * numeric.Pow(max(0, 1-2.25577e-5*elevation), 5.25588)
}

// Refraction returns by how much the air lifts the sun, rad; 0 below -0.8333°.
//
//	elevation    without the air, rad
//	pressure     Pa, ≥ 0
//	temperature  of the air, K, > 0
//
// [SN6]: [SPA] eq. 42, after Bennett and Saemundsson; good to some 0.002° above 15°, at the horizon to
// what the weather allows, 0.1° and more.
func Refraction(elevation, pressure, temperature float64) float64 {
	e := elevation / degree
	if e < -0.26667-0.5667 {
		return 0
	}
	x := (e + 10.3/(e+5.11)) * degree
	return pressure / 101000 * 283 / temperature * 1.02 / 60 * numeric.Cos(x) / numeric.Sin(x) * degree
}

func within(x float64) float64 { return min(max(x, -1), 1) }

// turn brings an angle into 0..2π.
func turn(a float64) float64 {
	a -= math.Floor(a/(2*math.Pi)) * 2 * math.Pi
	if a < 0 || a >= 2*math.Pi { // rounding
		return 0
	}
	return a
}

// half brings an angle into -π..π.
func half(a float64) float64 { return turn(a+math.Pi) - math.Pi }
