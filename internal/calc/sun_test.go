package calc

import (
	"context"
	"maps"
	"math"
	"testing"
)

func init() {
	maps.Copy(examples, map[string][]string{
		"sun":              {"lat=52.0 deg", "lon=5.0 deg", "at=2026-06-21T12:00:00Z"},
		"daylight":         {"lat=52.0 deg", "lon=5.0 deg", "date=2026-06-21"},
		"incidence":        {"lat=43 deg", "declination=-14 deg", "hour_angle=-22.5 deg", "tilt=45 deg", "azimuth=195 deg"},
		"extraterrestrial": {"lat=43 deg", "day=105"},
		"hourly":           {"lat=-20 deg", "day=198", "daily=5 kWh/m2", "hour_angle=7.5 deg"},
		"diffuse":          {"clearness=0.445"},
	})
}

func TestSunRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		say  string
	}{
		{"sun", []string{"lat=91 deg", "lon=5 deg", "at=2026-06-21T12:00:00Z"}, `lat: "91 deg": not a possible value; want -90 deg to 90 deg, north positive, such as 52.0 deg`},
		{"sun", []string{"lat=52", "lon=5 deg", "at=2026-06-21T12:00:00Z"}, `lat: "52": no unit; want -90 deg to 90 deg, north positive, such as 52.0 deg
    52
    ^^`},
		{"sun", []string{"lat=52 deg", "lon=181 deg", "at=2026-06-21T12:00:00Z"}, `lon: "181 deg": not a possible value; want -180 deg to 180 deg, east positive, such as 5.0 deg`},
		{"sun", []string{"lat=52 deg", "lon=5 deg", "at=2026-06-21 12:00"}, `at: "2026-06-21 12:00": not a time with its zone; want RFC 3339 such as 2026-06-21T12:00:00Z or 2026-06-21T12:00:00+02:00`},
		{"sun", []string{"lat=52 deg", "lon=5 deg", "at=1799-06-21T12:00:00Z"}, `at: "1799-06-21T12:00:00Z": outside the years that the series serve; want 1900 to 2100`},
		{"daylight", []string{"lat=52 deg", "lon=5 deg", "date=2026-02-30"}, `date: "2026-02-30": not a date; want a date such as 2026-06-21`},
		{"extraterrestrial", []string{"lat=52 deg", "day=0"}, `day: "0": not a possible value; want a whole number from 1 to 366`},
		{"hourly", []string{"lat=52 deg", "day=1", "daily=-1 kWh/m2", "hour_angle=0 deg"}, `daily: "-1 kWh/m2": not a possible value; want a daily irradiation from 0 up such as 4.2 kWh/m2`},
		{"diffuse", []string{"clearness=-0.1"}, `clearness: "-0.1": not a possible value; want a number from 0 to 1.5 such as 0.45`},
	} {
		_, err := Run(context.Background(), c.name, c.args, Options{Seed: 1})
		if err == nil || err.Error() != c.say {
			t.Errorf("%s %q:\n got %v\nwant %s", c.name, c.args, err, c.say)
		}
	}
}

func TestNoSunIsNoNumber(t *testing.T) {
	for _, c := range []struct {
		name, key, why string
		args           []string
	}{
		{"daylight", "rise", "the sun stays above the edge all day", []string{"lat=78.22 deg", "lon=15.65 deg", "date=2026-06-21"}},
		{"daylight", "set", "the sun stays above the edge all day", []string{"lat=90 deg", "lon=0 deg", "date=2026-06-21"}},
		{"daylight", "set", "the sun stays below the edge all day", []string{"lat=78.22 deg", "lon=15.65 deg", "date=2026-12-21"}},
		{"incidence", "ratio", "the sun is not above the horizon", []string{"lat=43 deg", "declination=-14 deg", "hour_angle=120 deg", "tilt=45 deg", "azimuth=180 deg"}},
		{"hourly", "fraction", "the sun does not rise on this day", []string{"lat=80 deg", "day=355", "daily=1 MJ/m2", "hour_angle=0 deg"}},
	} {
		o := run(t, c.name, c.args...)
		if f := figure(t, o, c.key); f.None != c.why || o.Complete() {
			t.Errorf("%s %s: %+v", c.name, c.key, f)
		}
	}
	if o := run(t, "incidence", "lat=43 deg", "declination=-14 deg", "hour_angle=120 deg", "tilt=45 deg", "azimuth=180 deg"); value(t, o, "angle") < 90 {
		t.Error("the angle exists at night too, and is above 90°")
	}
	for date, hours := range map[string]float64{"2026-06-21": 24, "2026-12-21": 0} {
		if got := value(t, run(t, "daylight", "lat=78.22 deg", "lon=15.65 deg", "date="+date), "length"); got != hours {
			t.Errorf("%s is %v h long without rise or set, want %v", date, got, hours)
		}
	}
	night := run(t, "extraterrestrial", "lat=70 deg", "day=355")
	if value(t, night, "daily") != 0 || value(t, night, "sunset_angle") != 0 {
		t.Error("polar night is 0, not none")
	}
}

func TestSunTakesTolerances(t *testing.T) {
	f := figure(t, run(t, "sun", "lat=52 deg ±0.5 deg", "lon=5 deg", "at=2026-06-21T11:41:00Z"), "elevation")
	if !f.Interval || math.Abs(f.High-f.Low-0.95) > 0.01 { // near noon the height follows the latitude; the central 95 % of ±0.5°
		t.Errorf("%+v", f)
	}
}
