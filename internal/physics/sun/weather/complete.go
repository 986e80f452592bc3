package weather

import (
	"fmt"

	"hindwatt/internal/physics/sun"
)

// A light is what an hour of the year has without weather, means over the hour.
type light struct {
	outside float64 // on the level outside the air, W/m²
	clear   float64 // on the level under a clear sky, W/m²
	up      float64 // sine of the sun's height where it is up
	highest float64 // the largest outside of its minutes, W/m²
}

func (s *series) sky(tracks *[Days]sun.Track) []light {
	all := make([]light, 24*Days)
	var v [PerDay]sun.Vector
	for d := range tracks {
		tracks[d].Fill(v[:], 30, 60)
		for i := range v {
			if up := v[i].Up; up > 0 {
				l := &all[24*d+i/60]
				l.outside += up * tracks[d].Outside / 60
				l.clear += sun.ClearSky(up) / 60
				l.up += up / 60
				l.highest = max(l.highest, up*tracks[d].Outside)
			}
		}
	}
	return all
}

func (s *series) at(sky []light, i int) light { return sky[(s.first+i)%len(sky)] }

// complete finds what an hour lacks from what it has, bridges short gaps and tells the others.
func (s *series) complete(r *Record, sky []light) Faults {
	wind := false
	for i := range s.hours {
		h := &s.hours[i]
		wind = wind || !absent(h.wind)
		h.derive(s.at(sky, i))
	}
	var faults Faults
	global := func(h *reading) *float64 { return &h.global }
	faults = append(faults, s.bridge(r, "global", global, func(i int) float64 { return s.at(sky, i).outside })...)
	faults = append(faults, s.bridge(r, "air", func(h *reading) *float64 { return &h.air }, nil)...)
	if wind {
		faults = append(faults, s.bridge(r, "wind", func(h *reading) *float64 { return &h.wind }, nil)...)
	}
	split := 0
	for i := range s.hours {
		h := &s.hours[i]
		if !wind {
			h.wind = 0
		}
		if absent(h.diffuse) && !absent(h.global) {
			h.diffuse = h.global
			if out := s.at(sky, i).outside; out > 0 {
				h.diffuse *= sun.DiffuseOfHour(h.global / out)
			}
			split++
		}
	}
	if split > 0 {
		r.note("%d hours have no diffuse light of their own: it follows from the global (Erbs), off by some -7..6 %% of a year's diffuse", split)
	}
	return faults[:min(len(faults), mostFaults)]
}

// derive finds global or diffuse from the other two.
func (h *reading) derive(l light) {
	if absent(h.global) && !absent(h.beam) && !absent(h.diffuse) {
		h.global = max(h.diffuse, 0) + max(h.beam, 0)*l.up
	}
	if !absent(h.global) {
		h.global = max(h.global, 0)
	}
	if absent(h.diffuse) && !absent(h.beam) && !absent(h.global) {
		h.diffuse = max(0, h.global-max(h.beam, 0)*l.up)
	}
}

// bridge fills gaps of up to longestGap hours by a straight line, of the share of weight if there is one.
func (s *series) bridge(r *Record, key string, of func(*reading) *float64, weight func(i int) float64) (faults Faults) {
	bridged := 0
	for i := 0; i < len(s.hours); i++ {
		if !absent(*of(&s.hours[i])) {
			continue
		}
		end := i
		for end < len(s.hours) && absent(*of(&s.hours[end])) {
			end++
		}
		switch {
		case end-i > longestGap:
			faults = append(faults, &Fault{File: s.name, Line: s.hours[i].line, Key: key,
				Problem: fmt.Sprintf("missing for %d hours", end-i), Want: fmt.Sprintf("want at most %d in a row", longestGap)})
		case i == 0 || end == len(s.hours):
			faults = append(faults, &Fault{File: s.name, Line: s.hours[i].line, Key: key, Problem: "missing at an end of the file", Want: "want the first and the last hour"})
		default:
			s.line(i, end, of, weight)
			bridged += end - i
		}
		i = end
	}
	if bridged > 0 {
		r.note("%s: %d hours were missing and are bridged, from gaps of up to %d hours", key, bridged, longestGap)
	}
	return faults
}

// line fills the hours from..to-1.
func (s *series) line(from, to int, of func(*reading) *float64, weight func(i int) float64) {
	share := func(i int) (float64, bool) {
		v := *of(&s.hours[i])
		if weight == nil {
			return v, true
		}
		if w := weight(i); w > 0 {
			return v / w, true
		}
		return 0, false
	}
	a, left := share(from - 1)
	b, right := share(to)
	if !left {
		a = b
	}
	if !right {
		b = a
	}
	for i := from; i < to; i++ {
		v := a + (b-a)*float64(i-from+1)/float64(to-from+1)
		if weight != nil {
			v *= weight(i)
		}
		*of(&s.hours[i]) = v
	}
}

// doubt notes what an engineer would look at: light that no sky gives, light at night, a clock that is off.
func (s *series) doubt(r *Record, sky []light) {
	bright, night, first := 0, 0, 0
	var light, lightHours, clear, clearHours float64
	for i, h := range s.hours {
		l, hour := s.at(sky, i), float64((s.first+i)%24)
		if h.global > 1.2*l.highest+20 || h.global > 1.25*l.clear+50 {
			if bright++; bright == 1 {
				first = h.line
			}
		}
		if l.highest == 0 && h.global > 5 {
			night++
		}
		light, lightHours = light+h.global, lightHours+h.global*hour
		clear, clearHours = clear+l.clear, clearHours+l.clear*hour
	}
	if bright > 0 {
		r.note("%d hours are brighter than any sky, the first on line %d: check the unit, and that each hour is told by its end", bright, first)
	}
	if night > 0 {
		r.note("%d hours have light with the sun down: check the clock, the longitude's sign and that there is no daylight saving", night)
	}
	if light <= 0 || clear <= 0 {
		return
	}
	if late := lightHours/light - clearHours/clear; late > latest || late < -latest {
		r.note("the light comes %+.1f h from where the sun stands: check the time zone and that each hour is told by its end", late)
	}
}

// latest is by how many hours mornings cloudier than afternoons may move the middle of the light.
const latest = 0.45
