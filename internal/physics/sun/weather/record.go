package weather

import (
	"fmt"
	"math"
	"time"

	"hindwatt/internal/physics/sun"
)

// An Hour is one hour of a record; sun as means over it, air and wind at its end.
type Hour struct {
	Global, Diffuse float64 // on the level, W/m², 0 ≤ Diffuse ≤ Global
	Air             float64 // K
	Wind            float64 // m/s; 0 where the file has none
}

// A Record is weather of one or more whole years from a file. It may be used by several goroutines.
type Record struct {
	Site   Site
	Title  string   // of the place, as the file has it; may be empty
	Layout string   // "EPW", "TMY3" or "CSV"
	Years  [][]Hour // each of 24·Days hours from January the 1st

	// Notes say what was bridged, left out or is doubtful.
	Notes []string

	tracks *[Days]sun.Track
}

// Year returns a year of the file in minutes: the hours are the file's, what happens within them is
// drawn. n counts through the file's years again and again.
func (r *Record) Year(seed uint64, n int, plane sun.Plane) *Year {
	y := newYear(seed, n, r.tracks, plane)
	y.hourly = recorded(r.Years[n%len(r.Years)])
	return y
}

// recorded is one year of hours.
type recorded []Hour

func (r recorded) hours(_ *Year, day int, h *hours) {
	for i, x := range r[24*day : 24*day+24] {
		h.global[i], h.diffuse[i], h.air[i+1] = x.Global, x.Diffuse, x.Air
	}
	h.air[0] = r[(24*day+len(r)-1)%len(r)].Air
}

// Months returns the monthly means of the record, and from three years on how they spread.
func (r *Record) Months() [12]Month {
	var months [12]Month
	n := float64(len(r.Years))
	for m := range months {
		var global, square, air, airSquare, swing float64
		for _, year := range r.Years {
			g, a, s := monthOfHours(year[24*monthStart[m] : 24*monthStart[m+1]])
			global, square, air, airSquare, swing = global+g/n, square+g*g/n, air+a/n, airSquare+a*a/n, swing+s/n
		}
		months[m] = Month{Global: global, Air: air, Swing: swing}
		if n >= 3 && global > 0 {
			unbiased := n / (n - 1)
			months[m].GlobalSpread = math.Sqrt(max(0, square-global*global)*unbiased) / global
			months[m].AirSpread = math.Sqrt(max(0, airSquare-air*air) * unbiased)
		}
	}
	return months
}

// monthOfHours returns the mean daily irradiation, the mean air temperature and its mean daily range.
func monthOfHours(hours []Hour) (global, air, swing float64) {
	days := float64(len(hours) / 24)
	for d := 0; d < len(hours); d += 24 {
		low, high := math.Inf(1), math.Inf(-1)
		for _, h := range hours[d : d+24] {
			global += h.Global * 3600 / days
			air += h.Air / 24 / days
			low, high = min(low, h.Air), max(high, h.Air)
		}
		swing += (high - low) / days
	}
	return global, air, swing
}

// longestGap is how many hours in a row are bridged.
const longestGap = 3

// A reading is one line of a file in SI units, NaN where it is missing.
type reading struct {
	line                             int
	global, beam, diffuse, air, wind float64
}

// A series is what was read so far.
type series struct {
	name, title, layout string
	site                Site
	hours               []reading
	first               int // hour of the year of the first
	leap                int // hours of 29ths of February left out
}

// record makes years of the hours read.
func (s *series) record() (*Record, error) {
	const year = 24 * Days
	n := len(s.hours)
	if n == 0 || n%year != 0 {
		last := 0
		if n > 0 {
			last = s.hours[n-1].line
		}
		return nil, Faults{{File: s.name, Line: last, Problem: fmt.Sprintf("%d hours without 29ths of February", n), Want: fmt.Sprintf("want whole years: %d, %d, …", year, 2*year)}}
	}
	r := &Record{Site: s.site, Title: s.title, Layout: s.layout, tracks: s.site.tracks()}
	if s.leap > 0 {
		r.note("%d hours of 29ths of February are left out: a year has %d days here", s.leap, Days)
	}
	sky := s.sky(r.tracks)
	if faults := s.complete(r, sky); len(faults) > 0 {
		return nil, faults
	}
	if faults := s.dark(sky); len(faults) > 0 {
		return nil, faults
	}
	r.Years = make([][]Hour, n/year)
	for i := range r.Years {
		r.Years[i] = make([]Hour, year)
	}
	for i, h := range s.hours {
		slot := (s.first + i) % year
		r.Years[i/year][slot] = Hour{h.global, min(max(h.diffuse, 0), h.global), h.air, h.wind}
	}
	s.doubt(r, sky)
	return r, nil
}

// dark finds months with all but no light, though the sun is up: no cloud is so thick (a month's clearness is 0.1 or more; common practice).
func (s *series) dark(sky []light) (faults Faults) {
	const least, day = 0.01, 20 // of what falls outside; W/m², mean of a month, below which it may be the polar night
	for from := 0; from < len(s.hours); {
		month, to := MonthOf((s.first+from)%len(sky)/24), from
		global, outside := 0.0, 0.0
		for ; to < len(s.hours) && MonthOf((s.first+to)%len(sky)/24) == month; to++ {
			global += s.hours[to].global
			outside += s.at(sky, to).outside
		}
		if hours := float64(to - from); outside > day*hours && global < least*outside {
			faults = append(faults, &Fault{File: s.name, Line: s.hours[from].line, Key: "global",
				Problem: fmt.Sprintf("%.2g W/m² on average for the %d hours of %s, of %.0f W/m² outside the air", global/hours, to-from, time.Month(month+1), outside/hours), Want: "want the light of the level"})
		}
		from = to
	}
	return faults
}

func (r *Record) note(format string, args ...any) {
	r.Notes = append(r.Notes, fmt.Sprintf(format, args...))
}
