package logfile

import (
	"regexp"
	"strings"

	"hindwatt/internal/product/tree"
	"hindwatt/internal/quantity"
)

// A Heading is a column of a log before anybody has said what it is.
type Heading struct {
	Number int    // from 1
	Text   string // "Ubat [V]"; "" if the log has no headings
	Sample string // the first cell below it
	Like   string // "time", "voltage", "current", "temperature", "irradiance"; "" if its unit does not tell
}

var (
	timely  = regexp.MustCompile(`(?i)\b(time|date|zeit|uhrzeit|stamp|timestamp|elapsed)\b`)
	numeral = regexp.MustCompile(`^[+-]?[\d.,]+([eE][+-]?\d+)?$`)
)

// Headings returns the columns of a log; nil if it is no table.
func Headings(data []byte) (all []Heading) {
	text, _, ok := tree.Decode(data)
	if !ok {
		return nil
	}
	sample, _, _ := lines(text, 0, 1, mostSample)
	s := &shape{text: text}
	s.split(sample, "")
	if s.width < 2 {
		return nil
	}
	var rows [][]string
	for _, l := range sample {
		if row := cells(l.text, s.separator); len(row) == s.width {
			rows = append(rows, row)
		}
	}
	headed := true
	for _, cell := range rows[0] {
		headed = headed && !numeral.MatchString(cell)
	}
	below := rows[min(1, len(rows)-1)]
	for i, cell := range rows[0] {
		h := Heading{Number: i + 1, Sample: below[i]}
		if headed {
			h.Text, h.Like = cell, like(cell)
		}
		all = append(all, h)
	}
	return all
}

// like says what a heading's unit, or its word for time, tells of it.
func like(heading string) string {
	for _, d := range []struct {
		name string
		dim  quantity.Dimension
	}{{"voltage", quantity.Voltage}, {"current", quantity.Current}, {"temperature", quantity.TemperaturePoint}, {"irradiance", quantity.Irradiance}} {
		if _, _, _, ok, _ := unitInHeading(strings.TrimSpace(heading), d.dim); ok {
			return d.name
		}
	}
	if timely.MatchString(heading) {
		return "time"
	}
	return ""
}
