package weather

import (
	"fmt"
	"math"
	"strings"
	"time"

	"hindwatt/internal/quantity"
)

// A field is a column of the plain layout.
type field struct {
	name        string
	dims        []quantity.Dimension
	want        string
	low, high   float64 // in SI units
	place       int     // in the file; -1 if absent
	scale, from float64 // value = from + scale·cell
	unit        string
}

func fields() []field {
	irradiance := []quantity.Dimension{quantity.Irradiance, quantity.Irradiation}
	return []field{
		{name: "global", dims: irradiance, want: "[W/m2]", low: leastSun, high: mostSun},
		{name: "beam", dims: irradiance, want: "[W/m2]", low: leastSun, high: mostSun},
		{name: "diffuse", dims: irradiance, want: "[W/m2]", low: leastSun, high: mostSun},
		{name: "air", dims: []quantity.Dimension{quantity.TemperaturePoint}, want: "[degC]", low: 180, high: 335},
		{name: "wind", dims: []quantity.Dimension{quantity.Speed}, want: "[m/s]", low: 0, high: 90},
	}
}

const columnsWanted = "want time or start, global [W/m2], air [degC]; beam [W/m2], diffuse [W/m2], wind [m/s] at will"

// readCSV reads named columns.
func (t *table) readCSV(s *series) {
	t.csv.Comment = '#'
	if !t.next() {
		t.fault(-1, "", "no line with the names of columns", columnsWanted)
		return
	}
	list := fields()
	clock, ends := t.columns(list)
	if len(t.faults) > 0 {
		return
	}
	var last time.Time
	for t.next() {
		at, ok := t.instant(clock, s.site.Zone)
		if !ok {
			continue
		}
		if ends {
			at = at.Add(-time.Hour)
		}
		gap := t.step(clock, last, at)
		if t.stop {
			return
		}
		for k := range gap {
			s.take(last.Add(time.Duration(k+1)*time.Hour), unread(t.line))
		}
		last = at
		s.take(at, reading{t.line, t.value(list[0]), t.value(list[1]), t.value(list[2]), t.value(list[3]), t.value(list[4])})
	}
}

// step returns how many hours are missing between two lines; what cannot follow stops the reading.
func (t *table) step(clock int, last, at time.Time) (gap int) {
	if last.IsZero() {
		if at.Minute() != 0 || at.Second() != 0 {
			t.fault(clock, "time", at.Format("15:04:05")+" is not a full hour of the place's clock", "want hours such as 13:00")
			t.stop = true
		}
		return 0
	}
	step := at.Sub(last)
	gap = int(step/time.Hour) - 1
	switch {
	case step <= 0 || step%time.Hour != 0:
		t.fault(clock, "time", fmt.Sprintf("%s behind the line before", step), "want whole hours, in order")
		t.stop = true
	case gap > longestGap:
		t.fault(clock, "time", fmt.Sprintf("%d hours are missing before it", gap), fmt.Sprintf("want at most %d in a row", longestGap))
		t.stop = true
	}
	return gap
}

// take appends the hour that begins at a time of the place's clock.
func (s *series) take(start time.Time, h reading) {
	slot, leap, _ := hourOf(int(start.Month()), start.Day(), start.Hour()+1)
	if leap {
		s.leap++
		return
	}
	if len(s.hours) == 0 {
		s.first = slot
	}
	s.hours = append(s.hours, h)
}

// columns finds the columns by their names; ends is true if the time is that of the hour's end.
func (t *table) columns(list []field) (clock int, ends bool) {
	clock = -1
	for i := range list {
		list[i].place = -1
	}
	for k, cell := range t.cells {
		name, unit, _ := strings.Cut(strings.TrimSpace(cell), " ")
		name, unit = strings.ToLower(name), strings.Trim(strings.TrimSpace(unit), "[]() ")
		if name == "time" || name == "start" {
			if clock >= 0 {
				t.fault(k, name, "a second column of the time", "want time or start")
			}
			clock, ends = k, name == "time"
			continue
		}
		known := false
		for i := range list {
			if list[i].name == name {
				known = true
				t.column(&list[i], k, unit)
			}
		}
		if !known {
			t.fault(k, shorten(cell), "no such column", columnsWanted)
		}
	}
	for _, f := range list {
		if f.place < 0 && f.name == "air" || f.name == "global" && f.place < 0 && (list[1].place < 0 || list[2].place < 0) {
			t.fault(-1, f.name, "no such column", columnsWanted)
		}
	}
	if clock < 0 {
		t.fault(-1, "time", "no such column", columnsWanted)
	}
	return clock, ends
}

// column takes note of a column's place and unit.
func (t *table) column(f *field, place int, unit string) {
	if f.place >= 0 {
		t.fault(place, f.name, "given twice", "want each column once")
		return
	}
	f.place, f.unit = place, unit
	for _, dim := range f.dims {
		zero, err := quantity.ParseAs("0 "+unit, dim)
		if err != nil || unit == "" {
			continue
		}
		one, err := quantity.ParseAs("1 "+unit, dim)
		if err != nil {
			continue
		}
		f.scale, f.from = one.Value-zero.Value, zero.Value
		if dim == quantity.Irradiation {
			f.scale /= 3600 // the hour's sum as its mean
		}
		return
	}
	problem := fmt.Sprintf("%q is not a unit of it", shorten(unit))
	if unit == "" {
		problem = "no unit"
	}
	t.fault(place, f.name, problem, "want a unit in brackets such as "+f.name+" "+f.want)
}

func (t *table) value(f field) float64 {
	if f.place < 0 {
		return math.NaN()
	}
	low, high := (f.low-f.from)/f.scale, (f.high-f.from)/f.scale
	return f.from + f.scale*t.number(f.place, f.name, f.unit, low, high, missing...)
}

// instant reads the time of a line as the place's clock shows it.
func (t *table) instant(cell int, zone float64) (time.Time, bool) {
	if cell >= len(t.cells) {
		t.fault(-1, "time", "missing", "want a time such as 2024-07-01 13:00")
		return time.Time{}, false
	}
	text := strings.TrimSpace(t.cells[cell])
	if at, err := time.Parse(time.RFC3339, text); err == nil {
		return at.UTC().Add(time.Duration(zone) * time.Second), true
	}
	date, clock, _ := strings.Cut(strings.Replace(text, "T", " ", 1), " ")
	whole := strings.TrimSpace(clock) == "24:00"
	if whole {
		clock = "00:00"
	}
	for _, layout := range []string{"2006-01-02 15:04", "2006-01-02 15:04:05"} {
		if at, err := time.Parse(layout, date+" "+strings.TrimSpace(clock)); err == nil {
			if whole {
				at = at.AddDate(0, 0, 1)
			}
			return at, true
		}
	}
	t.fault(cell, "time", fmt.Sprintf("%q is not a time", shorten(text)), "want 2024-07-01 13:00 in the place's standard time, or 2024-07-01T13:00:00+01:00")
	return time.Time{}, false
}
