package weather

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"hindwatt/internal/physics/sun"
)

const (
	firstLook = 64 << 10 // bytes from which the layout is told
	mostLines = 100*366*24 + 8
)

// Read reads a file of hourly weather, line by line, in one of three layouts, told by its first line:
//
//	EPW   a line LOCATION,…, seven more of heading, then hours in 35 columns
//	TMY3  a line with station, name, state, time zone, latitude, longitude, elevation; a line of column
//	      names; then hours
//	CSV   a line of column names with units, then hours; lines that begin with # are skipped
//
// In all of them an hour is told by its end, in local standard time. CSV has these columns, in any order:
//
//	time              end of the hour, "2024-07-01 13:00" or RFC 3339; or "start", its beginning
//	global [W/m2]     on the level, mean over the hour; or its sum in [Wh/m2]
//	beam [W/m2]       on a plane facing the sun, optional
//	diffuse [W/m2]    on the level, optional; global may be left out where beam and diffuse are given
//	air [degC]        air temperature
//	wind [m/s]        optional
//
// Empty cells and the codes for missing values (9999, -9900, 99.9 °C in EPW, …) are missing.
// Up to three hours in a row are bridged, which Notes tells; longer gaps are refused. A file has one
// whole year or several; hours of a 29th of February are left out.
//
//	name  of the file, for messages
//	site  of a CSV file; the other layouts say their own
//
// The error is Faults, or what r returned.
func Read(name string, r io.Reader, site Site) (*Record, error) {
	b := bufio.NewReaderSize(r, firstLook)
	if mark, err := b.Peek(3); err == nil && string(mark) == "\ufeff" {
		b.Discard(3)
	}
	head, err := b.Peek(firstLook)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, bufio.ErrBufferFull) {
		return nil, err
	}
	t := newTable(name, b)
	s := &series{name: name, site: site}
	switch first, _, _ := strings.Cut(string(head), "\n"); {
	case len(head) == 0:
		return nil, Faults{{File: name, Problem: "empty", Want: "want hours of weather in the EPW, TMY3 or CSV layout"}}
	case strings.HasPrefix(first, "LOCATION,"):
		s.layout = "EPW"
		t.readEPW(s)
	case isStation(strings.Split(first, ",")):
		s.layout = "TMY3"
		t.readTMY3(s)
	default:
		s.layout = "CSV"
		if err := site.Check(); err != nil {
			return nil, err
		}
		t.readCSV(s)
	}
	if t.err != nil {
		return nil, t.err
	}
	if len(t.faults) > 0 {
		return nil, t.faults
	}
	return s.record()
}

// A table reads the cells of a file, one line at a time.
type table struct {
	name   string
	csv    *csv.Reader
	cells  []string
	line   int
	faults Faults
	stop   bool  // nothing behind this line can be told
	err    error // of reading
}

func newTable(name string, r io.Reader) *table {
	c := csv.NewReader(r)
	c.FieldsPerRecord, c.LazyQuotes, c.ReuseRecord, c.TrimLeadingSpace = -1, true, true, true
	return &table{name: name, csv: c}
}

// next goes to the next line that is not empty; false at the end, or when nothing more need be read.
func (t *table) next() bool {
	if t.stop || t.err != nil || len(t.faults) >= mostFaults {
		return false
	}
	cells, err := t.csv.Read()
	var parse *csv.ParseError
	switch {
	case errors.Is(err, io.EOF):
		return false
	case errors.As(err, &parse):
		t.line = parse.StartLine
		t.fault(-1, "", parse.Err.Error(), "want cells apart by commas")
		return false
	case err != nil:
		t.err = err
		return false
	}
	t.cells = cells
	t.line, _ = t.csv.FieldPos(0)
	if t.line > mostLines {
		t.fault(-1, "", "more than 100 years of hours", "want fewer")
		return false
	}
	return true
}

// fault notes what is wrong with a cell of this line; cell -1 is the line.
func (t *table) fault(cell int, key, problem, want string) {
	column := 0
	if cell >= 0 && cell < len(t.cells) {
		column = 1
		for _, c := range t.cells[:cell] {
			column += utf8.RuneCountInString(c) + 1
		}
	}
	t.faults = append(t.faults, &Fault{t.name, t.line, column, key, problem, want})
}

// number returns the value of a cell; NaN if it is empty or one of the codes for missing values.
func (t *table) number(cell int, key, unit string, low, high float64, missing ...float64) float64 {
	if cell < 0 || cell >= len(t.cells) {
		return math.NaN()
	}
	text := strings.TrimSpace(t.cells[cell])
	if text == "" {
		return math.NaN()
	}
	v, err := strconv.ParseFloat(text, 64)
	if math.IsNaN(v) {
		return v
	}
	for _, code := range missing {
		if v == code {
			return math.NaN()
		}
	}
	if err != nil {
		t.fault(cell, key, strconv.Quote(shorten(text))+" is not a number", "want a number, or an empty cell where it is missing")
		return math.NaN()
	}
	if !(v >= low && v <= high) {
		t.fault(cell, key, fmt.Sprintf("%s %s is not possible", shorten(text), unit), fmt.Sprintf("want %g..%g %s", low, high, unit))
		return math.NaN()
	}
	return v
}

func shorten(s string) string {
	if len(s) > 40 {
		return strings.ToValidUTF8(s[:40], "") + "…"
	}
	return s
}

// heading reads the place of EPW and TMY3 from four cells: latitude, longitude, zone, elevation.
func (t *table) heading(s *series, lat, lon, zone, elevation int) {
	all := [4]float64{}
	for i, c := range []struct {
		cell      int
		key, unit string
		low, high float64
	}{{lat, "latitude", "°", -90, 90}, {lon, "longitude", "°", -180, 180}, {zone, "time zone", "h", -12, 14}, {elevation, "elevation", "m", -500, 9000}} {
		v := t.number(c.cell, c.key, c.unit, c.low, c.high)
		if math.IsNaN(v) && len(t.faults) == 0 {
			t.fault(c.cell, c.key, "missing", fmt.Sprintf("want a number of %s in column %d", c.unit, c.cell+1))
		}
		all[i] = v
	}
	s.site = Site{sun.Place{Latitude: all[0] * math.Pi / 180, Longitude: all[1] * math.Pi / 180, Elevation: all[3]}, all[2] * 3600}
}

// hourOf returns the hour of the year that an hour's end stands for; leap is true in a 29th of February.
func hourOf(month, day, end int) (slot int, leap, ok bool) {
	if month == 2 && day == 29 {
		return 0, true, end >= 1 && end <= 24
	}
	if month < 1 || month > 12 || day < 1 || day > monthDays[month-1] || end < 1 || end > 24 {
		return 0, false, false
	}
	return (monthStart[month-1]+day-1)*24 + end - 1, false, true
}
