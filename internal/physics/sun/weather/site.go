package weather

import (
	"fmt"
	"math"
	"time"

	"hindwatt/internal/physics/sun"
)

const (
	// Days is the number of days of a year here; a 29th of February is left out.
	Days = 365
	// PerDay is the number of minutes of a day.
	PerDay = 1440
)

// A Site is a place with its clock.
type Site struct {
	sun.Place
	Zone float64 // standard time ahead of UTC, s, -12 h..14 h; no daylight saving
}

// SolarZone returns the clock of a longitude's own mean time, s ahead of UTC.
func SolarZone(longitude float64) float64 { return longitude / (2 * math.Pi) * 86400 }

// Check returns an error that names what is out of range, or nil.
func (s Site) Check() error {
	if err := s.Place.Check(); err != nil {
		return err
	}
	if !(s.Zone >= -12*3600 && s.Zone <= 14*3600) {
		return fmt.Errorf("zone %.4g h: no clock runs so; want -12..14 h ahead of UTC", s.Zone/3600)
	}
	return nil
}

// reference is the year whose sun all years have; that of another year is within 0.25 days of it.
const reference = 2026

var monthDays = [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// monthOf has the month 0..11 of each day of the year, monthStart the first day of each month.
var monthOf, monthStart = calendar()

func calendar() (of [Days]int, start [13]int) {
	day := 0
	for m, n := range monthDays {
		start[m] = day
		for range n {
			of[day] = m
			day++
		}
	}
	start[12] = day
	return of, start
}

// MonthOf returns the month 0..11 of a day 0..364.
func MonthOf(day int) int { return monthOf[day] }

// tracks has the sun of each day of the year.
func (s Site) tracks() *[Days]sun.Track {
	var t [Days]sun.Track
	for d := range t {
		t[d] = s.Track(time.Date(reference, 1, 1+d, 0, 0, 0, 0, time.UTC).Add(-time.Duration(s.Zone * 1e9)))
	}
	return &t
}

// Minutes are the samples of one day. Each slice has PerDay elements or is nil, and is then left out.
type Minutes struct {
	Global  []float64 // on the level, W/m², ≥ 0
	Diffuse []float64 // on the level, W/m², 0..Global; the rest is beam
	Plane   []float64 // that reaches the cells of the panel, W/m²
	Air     []float64 // K
}

// NewMinutes makes room for one day of everything.
func NewMinutes() Minutes {
	all := make([]float64, 4*PerDay)
	return Minutes{all[:PerDay:PerDay], all[PerDay : 2*PerDay : 2*PerDay], all[2*PerDay : 3*PerDay : 3*PerDay], all[3*PerDay:]}
}

// A Source is weather by years.
type Source interface {
	// Year returns year n, 0 or more, of a seed. Different n are independent draws.
	Year(seed uint64, n int, plane sun.Plane) *Year
}

// hours are a day as its hours have it: hour h lasts from h to h+1.
type hours struct {
	global, diffuse [24]float64 // means over the hour, W/m²
	air             [25]float64 // at the ends of the hours, K
}

// A Year fills days with minutes. It holds some 0.1 MB whatever the number of days and years, and
// allocates nothing after it was made; it is for one goroutine.
type Year struct {
	seed      uint64
	number    uint64
	tracks    *[Days]sun.Track
	collector sun.Collector
	hourly    interface {
		hours(y *Year, day int, h *hours)
	}

	clearness [Days]float64     // of a drawn year
	swing     [Days]float64     // K, peak to peak
	midnight  [Days + 1]float64 // K, the course of the air's mean

	*overhead
	own  Minutes
	hour hours
}

// An overhead is the sun and the clear sky of a day, which no year changes.
type overhead struct {
	day     int // 0 when none was looked at yet, else the day of the year + 1
	sun     [PerDay]sun.Vector
	clear   [PerDay]float64 // under a clear sky, on the level, W/m²
	mean    [24]float64     // of the hours of clear, W/m²
	outside [24]float64     // above the air, on the level, W/m²
}

// Beside lets y share its sun and clear sky with another year of its source. Years that share are for one
// goroutine, and are quicker when each is asked for the same day in turn.
func (y *Year) Beside(other *Year) {
	if y.tracks == other.tracks {
		y.overhead = other.overhead
	}
}

// streams of draws, by what they are for.
const (
	forMonths = iota + 1
	forHours
	forMinutes
)

// Day sets dst to the minutes of day 0..364. Days may be asked for in any order.
func (y *Year) Day(day int, dst Minutes) {
	y.look(day)
	y.hourly.hours(y, day, &y.hour)
	global, diffuse := dst.Global, dst.Diffuse
	if global == nil {
		global = y.own.Global
	}
	if diffuse == nil {
		diffuse = y.own.Diffuse
	}
	y.minutes(day, global, diffuse)
	if dst.Plane != nil {
		outside := y.tracks[day].Outside
		for i, g := range global[:PerDay] {
			dst.Plane[i] = 0
			if g > 0 {
				dst.Plane[i] = y.collector.Irradiance(y.sun[i], g, diffuse[i], outside)
			}
		}
	}
	if dst.Air != nil {
		for i := range dst.Air[:PerDay] {
			h, x := i/60, (float64(i%60)+0.5)/60
			dst.Air[i] = y.hour.air[h] + (y.hour.air[h+1]-y.hour.air[h])*x
		}
	}
}

// look finds the sun and the clear sky of each minute of a day.
func (y *Year) look(day int) {
	o := y.overhead
	if o.day == day+1 {
		return
	}
	o.day = day + 1
	y.tracks[day].Fill(o.sun[:], 30, 60)
	normal := y.tracks[day].Outside
	for h := range o.mean {
		o.outside[h] = 0
		for i := 60 * h; i < 60*h+60; i++ {
			o.clear[i] = sun.ClearSky(o.sun[i].Up)
			o.outside[h] += max(0, o.sun[i].Up) * normal / 60
		}
		o.mean[h] = mean(o.clear[60*h : 60*h+60])
	}
}
