package weather

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Codes of the two station layouts for missing values (EnergyPlus, Auxiliary Programs, "EPW data
// dictionary"; S. Wilcox and W. Marion, NREL/TP-581-43156, 2008; from memory).
var missing = []float64{9999, 99990, 999900, 999, -9900, -9999, -999}

const (
	mostSun  = 1500 // W/m², of an hour on the level
	leastSun = -10  // W/m², of a sensor at night
)

// readEPW reads eight lines of heading and the hours.
func (t *table) readEPW(s *series) {
	if !t.next() {
		return
	}
	t.heading(s, 6, 7, 8, 9)
	s.title = strings.TrimSpace(t.cells[1])
	for range 7 {
		if !t.next() {
			t.fault(-1, "", "ends in its heading", "want 8 lines of heading and 8760 hours")
			return
		}
		if t.cells[0] == "DATA PERIODS" && len(t.cells) > 2 && strings.TrimSpace(t.cells[2]) != "1" {
			t.fault(2, "DATA PERIODS", shorten(t.cells[2])+" records an hour", "want 1")
			return
		}
	}
	for t.next() {
		if len(t.cells) < 22 {
			t.fault(-1, "", fmt.Sprintf("%d columns", len(t.cells)), "want 35, of which 22 are read")
			s.skip(t.line)
			continue
		}
		month, _ := strconv.Atoi(strings.TrimSpace(t.cells[1]))
		day, _ := strconv.Atoi(strings.TrimSpace(t.cells[2]))
		end, _ := strconv.Atoi(strings.TrimSpace(t.cells[3]))
		slot, leap, ok := hourOf(month, day, end)
		if !ok {
			t.fault(1, "time", fmt.Sprintf("month %s, day %s, hour %s: no such hour", shorten(t.cells[1]), shorten(t.cells[2]), shorten(t.cells[3])), "want 1..12, 1..31, 1..24")
			s.skip(t.line)
			continue
		}
		h := reading{line: t.line, beam: t.number(14, "direct normal", "Wh/m²", leastSun, mostSun, missing...),
			global: t.number(13, "global horizontal", "Wh/m²", leastSun, mostSun, missing...), diffuse: t.number(15, "diffuse horizontal", "Wh/m²", leastSun, mostSun, missing...),
			air: t.number(6, "dry bulb", "°C", -90, 60, append(missing, 99.9)...) + 273.15, wind: t.number(21, "wind", "m/s", 0, 90, missing...)}
		t.add(s, 1, slot, leap, h)
	}
}

// isStation reports whether a first line is that of a TMY3 file.
func isStation(cells []string) bool {
	if len(cells) != 7 {
		return false
	}
	for _, cell := range append([]string{cells[0]}, cells[3:]...) {
		if _, err := strconv.ParseFloat(strings.TrimSpace(cell), 64); err != nil {
			return false
		}
	}
	return true
}

// readTMY3 reads a line with the station, one with the names of columns, and the hours.
func (t *table) readTMY3(s *series) {
	if !t.next() {
		return
	}
	t.heading(s, 4, 5, 3, 6)
	s.title = strings.TrimSpace(t.cells[1])
	if !t.next() {
		t.fault(-1, "", "ends in its heading", "want a line with the names of columns")
		return
	}
	names := []string{"Date (MM/DD/YYYY)", "Time (HH:MM)", "GHI (W/m^2)", "DNI (W/m^2)", "DHI (W/m^2)", "Dry-bulb (C)", "Wspd (m/s)"}
	place := make([]int, len(names))
	for i, name := range names {
		place[i] = -1
		for k, cell := range t.cells {
			if strings.TrimSpace(cell) == name {
				place[i] = k
			}
		}
		if place[i] < 0 {
			t.fault(-1, name, "no such column", "want "+strings.Join(names, ", "))
		}
	}
	if len(t.faults) > 0 {
		return
	}
	for t.next() {
		if len(t.cells) <= max(place[0], place[1]) {
			t.fault(-1, "", fmt.Sprintf("%d columns", len(t.cells)), "want those of the heading")
			s.skip(t.line)
			continue
		}
		slot, leap, ok := stationHour(t.cells[place[0]], t.cells[place[1]])
		if !ok {
			t.fault(place[0], "time", shorten(t.cells[place[0]])+" "+shorten(t.cells[place[1]])+": no such hour", "want MM/DD/YYYY and 01:00..24:00")
			s.skip(t.line)
			continue
		}
		h := reading{line: t.line, beam: t.number(place[3], names[3], "W/m²", leastSun, mostSun, missing...),
			global: t.number(place[2], names[2], "W/m²", leastSun, mostSun, missing...), diffuse: t.number(place[4], names[4], "W/m²", leastSun, mostSun, missing...),
			air: t.number(place[5], names[5], "°C", -90, 60, missing...) + 273.15, wind: t.number(place[6], names[6], "m/s", 0, 90, missing...)}
		t.add(s, place[0], slot, leap, h)
	}
}

func stationHour(date, clock string) (slot int, leap, ok bool) {
	d, c := strings.Split(date, "/"), strings.Split(clock, ":")
	if len(d) != 3 || len(c) != 2 || strings.Trim(c[1], "0 ") != "" {
		return 0, false, false
	}
	month, err1 := strconv.Atoi(strings.TrimSpace(d[0]))
	day, err2 := strconv.Atoi(strings.TrimSpace(d[1]))
	end, err3 := strconv.Atoi(strings.TrimSpace(c[0]))
	if err1 != nil || err2 != nil || err3 != nil {
		return 0, false, false
	}
	return hourOf(month, day, end)
}

// add appends an hour, which must follow the one before; the year is not looked at, since typical years
// take their months from different ones.
func (t *table) add(s *series, cell, slot int, leap bool, h reading) {
	if leap {
		s.leap++
		return
	}
	if len(s.hours) == 0 {
		s.first = slot
	}
	want := (s.first + len(s.hours)) % (24 * Days)
	if slot != want {
		t.fault(cell, "time", fmt.Sprintf("hour %s, not behind the line before", slotName(slot)), "want "+slotName(want))
		t.stop = true // one break in the order is enough to tell
		return
	}
	s.hours = append(s.hours, h)
}

// skip takes a line that cannot be read for the hour that is due.
func (s *series) skip(line int) { s.hours = append(s.hours, unread(line)) }

func unread(line int) reading {
	no := math.NaN()
	return reading{line, no, no, no, no, no}
}

// slotName writes an hour of the year by its end: "07-01 13:00".
func slotName(slot int) string {
	day := slot / 24
	m := monthOf[day]
	return fmt.Sprintf("%02d-%02d %02d:00", m+1, day-monthStart[m]+1, slot%24+1)
}

func absent(v float64) bool { return math.IsNaN(v) }
