package sun

import (
	"math"
	"time"

	"hindwatt/internal/numeric"
)

// A Daylight is a solar day of a place, from midnight to midnight of the sun.
type Daylight struct {
	Noon      time.Time // highest sun by the meridian
	Rise, Set time.Time // zero where there is none
	Above     bool      // without Rise and Set: the sun stays above the edge
}

// Length returns how long the sun is above the edge; ok is false where it does not cross it twice.
func (d Daylight) Length() (length time.Duration, ok bool) {
	if d.Rise.IsZero() || d.Set.IsZero() {
		return 0, false
	}
	return d.Set.Sub(d.Rise), true
}

// Daylight returns rise and set of the local solar day of a date, to some 5 s away from the polar circles.
//
//	date  year, month and day count; the day is that of the place's own longitude
//	edge  elevation of the sun's centre that counts, rad: 0 geometric, -0.833° with the usual refraction and the upper limb
func (p Place) Daylight(date time.Time, edge float64) Daylight {
	y, m, d := date.Date()
	start := time.Date(y, m, d, 12, 0, 0, 0, time.UTC)
	noon := days(start) - p.Longitude/(2*math.Pi)
	for range 3 { // the equation of time moves it by up to 16 min
		noon -= p.at(noon).HourAngle / (2 * math.Pi)
	}
	at := func(n float64) time.Time { return start.Add(time.Duration((n - days(start)) * 86400e9)) }
	height := func(n float64) float64 { return p.at(n).Elevation - edge }
	day := Daylight{Noon: at(noon), Above: height(noon) > 0}
	if n, err := numeric.FindRoot(height, noon-0.5, noon, 1e-7); err == nil {
		day.Rise = at(n)
	}
	if n, err := numeric.FindRoot(height, noon, noon+0.5, 1e-7); err == nil {
		day.Set = at(n)
	}
	return day
}

// A Track is the sun over a day, for many evaluations: declination and hour angle go straight
// between the ends, which is within 0.001°.
type Track struct {
	sinLat, cosLat float64
	dec, decRate   float64 // rad, rad/s
	hour, hourRate float64 // rad, rad/s
	Outside        float64 // extraterrestrial irradiance on a plane facing the sun at mid-day, W/m²
}

// Track returns the day that begins at a time.
func (p Place) Track(start time.Time) Track {
	n := days(start)
	a, b, mid := apparent(n), apparent(n+1), apparent(n+0.5)
	h0 := half(a.Sidereal + p.Longitude - a.RightAscension)
	h1 := half(b.Sidereal + p.Longitude - b.RightAscension)
	return Track{
		sinLat: numeric.Sin(p.Latitude), cosLat: numeric.Cos(p.Latitude),
		dec: a.Declination, decRate: (b.Declination - a.Declination) / 86400,
		hour: h0, hourRate: (2*math.Pi + half(h1-h0)) / 86400,
		Outside: Constant / (mid.Distance * mid.Distance),
	}
}

// Fill sets dst to the directions of the sun at equal steps: first, first+step, … in s after the
// day's start, with |step| some minutes at most.
func (t Track) Fill(dst []Vector, first, step float64) {
	h := t.hour + t.hourRate*first
	sh, ch := numeric.Sin(h), numeric.Cos(h)
	rs, rc := numeric.Sin(t.hourRate*step), numeric.Cos(t.hourRate*step)
	d := t.dec + t.decRate*first
	sd, cd := numeric.Sin(d), numeric.Cos(d)
	ds := t.decRate * step
	for i := range dst {
		dst[i] = Vector{East: -cd * sh, North: sd*t.cosLat - cd*t.sinLat*ch, Up: sd*t.sinLat + cd*t.cosLat*ch}
		sh, ch = sh*rc+ch*rs, ch*rc-sh*rs
		sd, cd = sd+cd*ds, cd-sd*ds
	}
}
