package sun

import (
	"math"
	"testing"
	"time"

	"hindwatt/internal/numeric"
)

func place(lat, lon float64) Place { return Place{Latitude: lat * degree, Longitude: lon * degree} }

func utc(t testing.TB, s string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, s)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.6f, want %.6f ± %g", what, got, want, tol)
	}
}

// Computed independently with the IAU 2006 routines of ERFA (astropy 5.2.1), without refraction, at sea
// level.
func TestPositionAgainstERFA(t *testing.T) {
	for _, c := range []struct {
		at                 string
		lat, lon           float64
		elevation, azimuth float64
	}{
		{"2026-12-21T11:00:00Z", 78.22, 15.65, -11.66134, 181.06699},
		{"2026-06-21T09:00:00Z", 0, 0, 40.06473, 58.68517},
		{"2030-06-21T05:00:00Z", -33.87, 151.21, 18.04416, 316.25805},
		{"2026-06-15T05:00:00Z", 14.6, 101, 80.46514, 23.41826},
		{"2028-02-29T20:00:00Z", 35, -106.6, 46.36663, 194.9097},
		{"2026-07-01T05:00:00Z", 40, -105, -20.61069, 329.63451},
	} {
		p := place(c.lat, c.lon).At(utc(t, c.at))
		near(t, c.at+" elevation", p.Elevation/degree, c.elevation, 0.0002)
		near(t, c.at+" azimuth", p.Azimuth/degree, c.azimuth, 0.0002/math.Cos(p.Elevation))
	}
}

// [SPA] table A5.1: the zenith includes refraction.
func TestPositionExampleOfSPA(t *testing.T) {
	at := utc(t, "2003-10-17T12:30:30-07:00")
	p := Place{39.742476 * degree, -105.1786 * degree, 1830.14}
	a, s := ApparentAt(at), p.At(at)
	near(t, "right ascension", a.RightAscension/degree, 202.22741, 0.0005)
	near(t, "declination", a.Declination/degree, -9.31434, 0.0005)
	near(t, "elevation", s.Elevation/degree, 39.872046, 0.0005)
	near(t, "azimuth", s.Azimuth/degree, 194.34024, 0.001)
	refracted := s.Zenith() - Refraction(s.Elevation, 82000, 284.15)
	near(t, "zenith", refracted/degree, 50.11162, 0.0005)
	plane := Plane{Tilt: 30 * degree, Azimuth: 170 * degree} // 10° east of south
	to := Vector{math.Sin(refracted) * math.Sin(s.Azimuth), math.Sin(refracted) * math.Cos(s.Azimuth), math.Cos(refracted)}
	cos := to.Dot(plane.Normal()) // [SPA] eq. 47 takes the refracted zenith
	near(t, "incidence", math.Acos(cos)/degree, 25.187, 0.002)
}

// Instants of equinoxes and solstices, UTC, from almanacs, from memory; the sun's longitude moves
// 0.0007° a minute.
func TestSeasons(t *testing.T) {
	for at, want := range map[string]float64{
		"1960-06-21T09:43:00Z": 90, "2000-03-20T07:35:00Z": 0, "2000-12-21T13:37:00Z": 270,
		"2026-06-21T08:25:00Z": 90, "2024-09-22T12:44:00Z": 180,
	} {
		got := ApparentAt(utc(t, at)).Longitude / degree
		near(t, at, math.Mod(got-want+540, 360)-180, 0, 0.0012)
	}
}

// [ME] examples 12.a and 25.b: 1987-04-10 0h UT sidereal time 13h10m46.1351s apparent; 1992-10-13 0h TD
// longitude 199°54'21.82", R 0.99760775, right ascension 198.378178°, declination -7.783871°.
func TestMeeus(t *testing.T) {
	near(t, "sidereal", ApparentAt(utc(t, "1987-04-10T00:00:00Z")).Sidereal/degree, (13+10.0/60+46.1351/3600)*15, 0.0002)
	n := days(utc(t, "1992-10-13T00:00:00Z"))
	a := apparent(n - deltaT(n)/86400)
	near(t, "longitude", a.Longitude/degree, 199+54/60.0+21.82/3600, 0.0005)
	near(t, "distance", a.Distance, 0.99760775, 1e-5)
	near(t, "right ascension", a.RightAscension/degree, 198.378178, 0.0005)
	near(t, "declination", a.Declination/degree, -7.783871, 0.0003)
}

func TestTrackIsThePosition(t *testing.T) {
	for _, p := range []Place{place(52, 5), place(78, 15), place(-33.9, 151.2), place(0, -90), place(90, 0), place(-90, 0)} {
		for _, date := range []string{"2026-03-20T23:00:00Z", "2026-06-21T05:00:00Z", "1999-11-30T12:00:00Z"} {
			start := utc(t, date)
			v := make([]Vector, 1440)
			p.Track(start).Fill(v, 30, 60)
			for i, got := range v {
				s := p.At(start.Add(time.Duration(i)*time.Minute + 30*time.Second))
				want := Direction(p.Latitude, s.Declination, s.HourAngle)
				if off := math.Acos(math.Min(1, got.Dot(want))) / degree; !(off < 0.001) {
					t.Fatalf("%v %s minute %d: %.5f° off", p, date, i, off)
				}
			}
		}
	}
}

// Computed independently: roots of the elevation in astropy 5.2.1, h after 00:00 UTC of the date.
func TestDaylight(t *testing.T) {
	for _, c := range []struct {
		date           string
		lat, lon, edge float64
		rise, set      float64
	}{
		{"2026-06-21T00:00:00Z", 52, 5, 0, 3.4491, 19.9446},
		{"2026-06-21T00:00:00Z", 52, 5, -0.833, 3.3297, 20.0640},
		{"2030-03-20T00:00:00Z", 0, 0, 0, 6.1254, 18.1226},
		{"2030-03-20T00:00:00Z", 0, 0, -0.833, 6.0698, 18.1781},
	} {
		date := utc(t, c.date)
		d := place(c.lat, c.lon).Daylight(date, c.edge*degree)
		near(t, "rise", d.Rise.Sub(date).Hours(), c.rise, 0.0003)
		near(t, "set", d.Set.Sub(date).Hours(), c.set, 0.0003)
	}
}

func TestPolarDayAndNight(t *testing.T) {
	for date, above := range map[string]bool{"2026-06-21T00:00:00Z": true, "2026-12-21T00:00:00Z": false} {
		for _, p := range []Place{place(78.22, 15.65), place(90, 0), place(90, 120)} {
			d := p.Daylight(utc(t, date), -0.833*degree)
			if _, ok := d.Length(); ok || d.Above != above || !d.Rise.IsZero() || !d.Set.IsZero() {
				t.Errorf("%v %s: %+v", p, date, d)
			}
		}
	}
}

// Far east the sun rises on the day before in UTC, far west it sets on the day after.
func TestDaylightIsOfTheLocalDay(t *testing.T) {
	date := utc(t, "2026-03-20T00:00:00Z")
	east, west := place(0, 150).Daylight(date, 0), place(0, -150).Daylight(date, 0)
	near(t, "rise in the east", east.Rise.Sub(date).Hours(), 6.12-10, 0.02)
	near(t, "set in the west", west.Set.Sub(date).Hours(), 18.12+10, 0.02)
}

func TestRefraction(t *testing.T) {
	// Bennett's formula in [ME] chapter 16 for 1010 hPa and 10 °C: 28.75' at true altitude 0 (after Saemundsson), 1.02' at 45°.
	near(t, "at the horizon", Refraction(0, 101000, 283)/second/60, 28.98, 0.03)
	near(t, "at 45°", Refraction(45*degree, 101000, 283)/second/60, 1.02*1/math.Tan((45+10.3/50.11)*degree), 1e-9)
	near(t, "below", Refraction(-1*degree, 101000, 283), 0, 0)
	near(t, "at the zenith", Refraction(math.Pi/2, 101000, 283)/degree, 0, 0.0001)
	near(t, "pressure at 1000 m", Pressure(1000), 89875, 10) // ISO 2533
}

func TestNothingIsNaN(t *testing.T) {
	s := numeric.NewStream(1)
	for range 20000 {
		p := Place{s.Uniform(-math.Pi/2, math.Pi/2), s.Uniform(-math.Pi, math.Pi), 0}
		if s.Float64() < 0.1 {
			p.Latitude = math.Copysign(math.Pi/2, p.Latitude)
		}
		at := time.Unix(int64(s.Uniform(-631152000, 2556144000)), 0)
		x := p.At(at)
		plane := Plane{Tilt: s.Uniform(0, math.Pi), Azimuth: s.Uniform(0, 7), Ground: 0.2, Glass: 0.05}
		to := Direction(p.Latitude, x.Declination, x.HourAngle)
		day := 1 + s.Float64()*365
		ws := SunsetAngle(p.Latitude, Declination(day))
		for i, v := range []float64{x.Elevation, x.Azimuth, Refraction(x.Elevation, 101325, 283), AirMass(x.Zenith(), 0),
			ClearSky(to.Up), DailyExtraterrestrial(p.Latitude, day, 1367), HourOfDay(x.HourAngle, ws),
			plane.Collector().Irradiance(to, 300, 200, 1361), plane.Collector().Irradiance(to, 0, 0, 1361), MeanBeamRatio(p.Latitude, Declination(day), plane.Tilt)} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("value %d at %v, %v: %v", i, p, at, v)
			}
		}
		if g := plane.Collector().Irradiance(to, 300, 200, 1361); g < 0 || g > 3000 {
			t.Fatalf("%v on %v with the sun at %v", g, plane, to)
		}
	}
}
