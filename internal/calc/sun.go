package calc

import (
	"context"
	"math"
	"time"

	"hindwatt/internal/physics/sun"
	"hindwatt/internal/quantity"
)

const degree = math.Pi / 180

var (
	latitude  = Input{Name: "lat", Dim: quantity.Angle, Valid: upTo(90 * degree), Want: "want -90 deg to 90 deg, north positive, such as 52.0 deg", Help: "latitude, north positive"}
	longitude = Input{Name: "lon", Dim: quantity.Angle, Valid: upTo(180 * degree), Want: "want -180 deg to 180 deg, east positive, such as 5.0 deg", Help: "longitude, east positive"}
	dayOfYear = Input{Name: "day", Whole: true, Valid: func(v float64) bool { return v >= 1 && v <= 366 }, Want: "want a whole number from 1 to 366", Help: "of the year, 1 on January 1st"}
	hourAngle = Input{Name: "hour_angle", Dim: quantity.Angle, Valid: upTo(180 * degree), Want: "want -180 deg to 180 deg, 15 deg an hour, afternoon positive", Help: "of the sun, 15° an hour from solar noon, afternoon positive"}
)

func upTo(most float64) func(float64) bool {
	return func(v float64) bool { return math.Abs(v) <= most*(1+1e-15) }
}

func init() {
	register(
		Calculator{
			Name:     "sun",
			Question: "Where does the sun stand?",
			Inputs: []Input{latitude, longitude,
				{Name: "at", Text: true, Help: "date and time with its zone, RFC 3339, such as 2026-06-21T12:00:00+02:00"},
				{Name: "elevation", Dim: quantity.Length, Default: "0 m", Valid: func(v float64) bool { return v >= -500 && v <= 9000 }, Want: "want -500 m to 9000 m", Help: "of the place above sea level"},
				{Name: "pressure", Dim: quantity.Pressure, Optional: true, Valid: func(v float64) bool { return v >= 0 && v <= 120000 }, Want: "want 0 hPa to 1200 hPa such as 1013 hPa", Help: "of the air at the place; without it that of the standard atmosphere at the elevation"},
				{Name: "temperature", Dim: quantity.TemperaturePoint, Default: "10 °C", Valid: func(v float64) bool { return v >= 150 && v <= 350 }, Want: "want -120 °C to 75 °C", Help: "of the air at the place"},
			},
			Results: []Result{{"elevation", "deg", "of the sun's centre above the horizon, without the air"}, {"zenith", "deg", "from straight up, without the air"},
				{"azimuth", "deg", "from north over east"}, {"refracted_zenith", "deg", "as the air bends the light"}},
			Formula: "geocentric place from VSOP87, nutation, aberration; parallax −8.794″·cos(elevation)/distance; refraction 1.02′·p/1010 hPa·283 K/T / tan(e + 10.3/(e + 5.11)), e in °",
			Source: "Reda and Andreas, NREL/TP-560-34302 (2008), without its smallest terms; Meeus, Astronomical Algorithms (1998). " +
				"0.001° from 1950 to 2050, but for the horizon's refraction and for UTC, at most 0.9 s from UT1: 0.004° of hour angle",
			Compute: sunPosition,
			Samples: 20000,
		},
		Calculator{
			Name:     "daylight",
			Question: "When does the sun rise and set, and how long is the day?",
			Inputs: []Input{latitude, longitude,
				{Name: "date", Text: true, Help: "such as 2026-06-21; the solar day of the place's longitude"},
				{Name: "edge", Dim: quantity.Angle, Default: "-0.833 deg", Valid: upTo(60 * degree), Want: "want -60 deg to 60 deg; 0 deg is the geometric horizon", Help: "elevation of the sun's centre that counts: -0.833 deg with usual refraction and the upper limb, 0 deg geometric, -6 deg civil twilight"},
			},
			Results: []Result{{"rise", "h", "after 00:00 UTC of the date; may be negative"}, {"set", "h", "after 00:00 UTC of the date; may be above 24"}, {"length", "h", "from rise to set; 0 where the sun stays below the edge all day, 24 where it stays above"}},
			Formula: "roots of elevation(t) = edge between the midnights of the sun before and after noon",
			Source:  "position as in the calculator sun; −0.833° is 34′ of refraction and 16′ of radius (Nautical Almanac Office, usual convention)",
			Compute: daylight,
			Samples: 5000,
		},
		Calculator{
			Name:     "incidence",
			Question: "At what angle does the sun meet a tilted plane?",
			Inputs: []Input{latitude,
				{Name: "declination", Dim: quantity.Angle, Valid: upTo(90 * degree), Want: "want -90 deg to 90 deg; the sun's is -23.45 deg to 23.45 deg", Help: "of the sun, north positive"},
				hourAngle,
				{Name: "tilt", Dim: quantity.Angle, Valid: func(v float64) bool { return v >= 0 && v <= math.Pi }, Want: "want 0 deg (level) to 180 deg", Help: "of the plane from level"},
				{Name: "azimuth", Dim: quantity.Angle, Valid: upTo(360 * degree), Want: "want 0 deg to 360 deg from north over east: 180 deg faces south", Help: "that the plane faces, from north over east"},
			},
			Results: []Result{{"angle", "deg", "between the sun and the plane's normal"}, {"ratio", "-", "of beam on the plane to beam on the level; 0 behind the plane"}},
			Formula: "cos(angle) = s·n, s = (−cos δ·sin ω, sin δ·cos φ − cos δ·sin φ·cos ω, sin δ·sin φ + cos δ·cos φ·cos ω), n = (sin β·sin γ, sin β·cos γ, cos β), east, north, up; ratio = max(0, cos(angle))/s_up",
			Source:  "Duffie and Beckman, Solar Engineering of Thermal Processes, 4th ed., eq. 1.6.2, 1.6.5, 1.8.1",
			Compute: incidence,
		},
		Calculator{
			Name:     "extraterrestrial",
			Question: "How much sun falls on level ground in a day without the air?",
			Inputs: []Input{latitude, dayOfYear,
				{Name: "solar_constant", Dim: quantity.Irradiance, Default: "1367 W/m2", Valid: func(v float64) bool { return v > 0 && v < 1e6 }, Want: "want an irradiance above 0 such as 1367 W/m2", Help: "1367 W/m² in the handbooks, 1361 W/m² as measured since"},
			},
			Results: []Result{{"daily", "MJ/m²", "on the level"}, {"sunset_angle", "deg", "hour angle of sunset: 0 in polar night, 180 in polar day"}},
			Formula: "H0 = 86400 s/π·G·(1 + 0.033·cos(360°·n/365))·(cos φ·cos δ·sin ωs + ωs·sin φ·sin δ); cos ωs = −tan φ·tan δ; δ = 23.45°·sin(360°·(284 + n)/365)",
			Source:  "Duffie and Beckman, Solar Engineering of Thermal Processes, 4th ed., eq. 1.10.3, 1.6.10, 1.6.1a, 1.4.1a",
			Compute: extraterrestrial,
		},
		Calculator{
			Name:     "hourly",
			Question: "What part of a day's sun falls in one hour?",
			Inputs: []Input{latitude, dayOfYear,
				{Name: "daily", Dim: quantity.Irradiation, Valid: notNegative, Want: "want a daily irradiation from 0 up such as 4.2 kWh/m2", Help: "global, on the level"},
				hourAngle,
			},
			Results: []Result{{"fraction", "-", "of the day's sun in the hour around the hour angle"}, {"hourly", "MJ/m²", "global, on the level"}},
			Formula: "fraction = π/24·(a + b·cos ω)·(cos ω − cos ωs)/(sin ωs − ωs·cos ωs); a = 0.409 + 0.5016·sin(ωs − 60°); b = 0.6609 − 0.4767·sin(ωs − 60°)",
			Source: "Collares-Pereira and Rabl, Solar Energy 22 (1979), p. 155; Duffie and Beckman, 4th ed., eq. 2.13.1. As printed: " +
				"the fractions of a day's hours add up to 1 only within some 2 %, so a series is scaled to its day",
			Compute: hourly,
		},
		Calculator{
			Name:     "diffuse",
			Question: "What part of an hour's sun is diffuse?",
			Inputs: []Input{
				{Name: "clearness", Valid: func(v float64) bool { return v >= 0 && v <= 1.5 }, Want: "want a number from 0 to 1.5 such as 0.45", Help: "global irradiation of the hour over that outside the air"},
			},
			Results: []Result{{"fraction", "-", "diffuse over global"}},
			Formula: "k ≤ 0.22: 1 − 0.09·k; k ≤ 0.80: 0.9511 − 0.1604·k + 4.388·k² − 16.638·k³ + 12.336·k⁴; above: 0.165",
			Source:  "Erbs, Klein and Duffie, Solar Energy 28 (1982), p. 293; Duffie and Beckman, 4th ed., eq. 2.10.1. Fitted between 31° and 42° of latitude",
			Compute: func(_ context.Context, in Values) (Answers, error) {
				return is(sun.DiffuseOfHour(in.Number("clearness"))), nil
			},
		},
	)
}

// years of which positions are computed; from 1950 to 2050 they are as good as stated.
const firstYear, lastYear = 1900, 2100

func inYears(key, text string, t time.Time) error {
	if y := t.UTC().Year(); y < firstYear || y > lastYear {
		return &Error{Key: key, Value: text, Problem: "outside the years that the series serve", Want: "want 1900 to 2100"}
	}
	return nil
}

func sunPosition(_ context.Context, in Values) (Answers, error) {
	at, err := time.Parse(time.RFC3339, in.Text("at"))
	if err != nil {
		return Answers{}, &Error{Key: "at", Value: in.Text("at"), Problem: "not a time with its zone", Want: "want RFC 3339 such as 2026-06-21T12:00:00Z or 2026-06-21T12:00:00+02:00"}
	}
	if err := inYears("at", in.Text("at"), at); err != nil {
		return Answers{}, err
	}
	p := sun.Place{Latitude: in.Number("lat"), Longitude: in.Number("lon"), Elevation: in.Number("elevation")}
	s := p.At(at)
	pressure := in.Or("pressure", sun.Pressure(p.Elevation))
	bent := s.Zenith() - sun.Refraction(s.Elevation, pressure, in.Number("temperature"))
	return is(s.Elevation/degree, s.Zenith()/degree, s.Azimuth/degree, bent/degree), nil
}

func daylight(_ context.Context, in Values) (Answers, error) {
	date, err := time.Parse(time.DateOnly, in.Text("date"))
	if err != nil {
		return Answers{}, &Error{Key: "date", Value: in.Text("date"), Problem: "not a date", Want: "want a date such as 2026-06-21"}
	}
	if err := inYears("date", in.Text("date"), date); err != nil {
		return Answers{}, err
	}
	d := sun.Place{Latitude: in.Number("lat"), Longitude: in.Number("lon")}.Daylight(date, in.Number("edge"))
	none := Answer{None: "the sun stays below the edge all day"}
	if d.Above {
		none.None = "the sun stays above the edge all day"
	}
	a := Answers{List: []Answer{none, none, none}}
	if !d.Rise.IsZero() {
		a.List[0] = Answer{Value: d.Rise.Sub(date).Hours()}
	}
	if !d.Set.IsZero() {
		a.List[1] = Answer{Value: d.Set.Sub(date).Hours()}
	}
	switch length, ok := d.Length(); {
	case ok:
		a.List[2] = Answer{Value: length.Hours()}
	case d.Rise.IsZero() && d.Set.IsZero() && d.Above:
		a.List[2] = Answer{Value: 24}
	case d.Rise.IsZero() && d.Set.IsZero():
		a.List[2] = Answer{Value: 0}
	}
	return a, nil
}

func incidence(_ context.Context, in Values) (Answers, error) {
	to := sun.Direction(in.Number("lat"), in.Number("declination"), in.Number("hour_angle"))
	plane := sun.Plane{Tilt: in.Number("tilt"), Azimuth: in.Number("azimuth")}
	cos := min(max(to.Dot(plane.Normal()), -1), 1)
	ratio := Answer{None: "the sun is not above the horizon"}
	if to.Up > 1e-12 {
		ratio = Answer{Value: max(0, cos) / to.Up}
	}
	return Answers{List: []Answer{{Value: math.Acos(cos) / degree}, ratio}}, nil
}

func extraterrestrial(_ context.Context, in Values) (Answers, error) {
	lat, day := in.Number("lat"), in.Number("day")
	return is(sun.DailyExtraterrestrial(lat, day, in.Number("solar_constant"))/1e6, sun.SunsetAngle(lat, sun.Declination(day))/degree), nil
}

func hourly(_ context.Context, in Values) (Answers, error) {
	ws := sun.SunsetAngle(in.Number("lat"), sun.Declination(in.Number("day")))
	if ws == 0 {
		no := Answer{None: "the sun does not rise on this day"}
		return Answers{List: []Answer{no, no}}, nil
	}
	f := sun.HourOfDay(in.Number("hour_angle"), ws)
	return is(f, f*in.Number("daily")/1e6), nil
}
