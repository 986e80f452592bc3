package logfile

import (
	"regexp"
	"strings"

	"hindwatt/internal/quantity"
)

// A unit turns a number of the log into SI: offset + scale·x.
type unit struct{ scale, offset float64 }

const (
	zeroCelsius    = 273.15       // K
	zeroFahrenheit = 459.67 / 1.8 // K
)

// spelt are how loggers write units that quantities of the folder write otherwise.
var spelt = map[string]string{
	"volt": "V", "volts": "V", "amp": "A", "amps": "A", "ampere": "A", "amperes": "A", "sec": "s", "secs": "s", "second": "s", "seconds": "s",
	"minute": "min", "minutes": "min", "mins": "min", "hour": "h", "hours": "h", "hr": "h", "hrs": "h", "day": "d", "days": "d", "msec": "ms", "celsius": "°C",
	"deg c": "°C", "deg. c": "°C", "kelvin": "K", "w/m^2": "W/m2",
}

var direct = regexp.MustCompile(`(?i)[ _-]?(dc|avg|rms)$`)

// unitOf reads a unit of a dimension, ok is false if the text is none; another is true if it is a unit
// of another dimension.
func unitOf(text string, dim quantity.Dimension) (u unit, ok, another bool) {
	text = strings.TrimSpace(direct.ReplaceAllString(strings.Trim(strings.TrimSpace(text), "[](){}"), ""))
	if word, known := spelt[strings.ToLower(text)]; known {
		text = word
	}
	if dim == quantity.TemperaturePoint {
		switch text {
		case "°C", "ºC", "˚C", "degC", "C", "℃":
			return unit{1, zeroCelsius}, true, false
		case "°F", "ºF", "degF", "F", "℉":
			return unit{1 / 1.8, zeroFahrenheit}, true, false
		case "K":
			return unit{1, 0}, true, false
		}
	}
	got, scale, known := quantity.UnitDimension(text)
	if !known || text == "" {
		return unit{}, false, false
	}
	return unit{scale, 0}, got == dim, got != dim
}

// headed are the ways in which a heading holds its unit: "U [V]", "U (V)", "U / V", "U in V", "U_V", "U V", "U, V".
var headed = []*regexp.Regexp{
	regexp.MustCompile(`^(.*?)[ _]*[\[({]([^\[({\])}]+)[\])}]$`),
	regexp.MustCompile(`^(.*?) */ *(\S+)$`),
	regexp.MustCompile(`^(.*?) +in +(\S+)$`),
	regexp.MustCompile(`^(.*?)[ _,;:]+(\S+)$`),
}

// unitInHeading returns the unit that a heading names, and the heading without it.
func unitInHeading(heading string, dim quantity.Dimension) (name, text string, u unit, ok, another bool) {
	for _, form := range headed {
		m := form.FindStringSubmatch(heading)
		if m == nil {
			continue
		}
		if u, ok, wrong := unitOf(m[2], dim); ok {
			return m[1], m[2], u, true, false
		} else if wrong && text == "" && form == headed[0] {
			name, text, another = m[1], m[2], true
		}
	}
	return name, text, unit{}, false, another
}

// plain is a heading for comparison.
func plain(heading string) string { return strings.ToLower(strings.Join(strings.Fields(heading), " ")) }

// heads reports whether a heading is the one that is wanted, with or without its unit.
func heads(heading, wanted string) bool {
	if plain(heading) == plain(wanted) {
		return true
	}
	for _, form := range headed {
		if m := form.FindStringSubmatch(heading); m != nil && plain(m[1]) == plain(wanted) {
			return true
		}
	}
	return false
}
