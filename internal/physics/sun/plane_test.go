package sun

import (
	"math"
	"testing"
)

// A level plane without glass gets what falls on the level, whatever the split.
func TestLevelPlane(t *testing.T) {
	level := Plane{Ground: 0.5}.Collector()
	for _, up := range []float64{-0.3, 0, 1e-9, 0.02, 0.3, 1} {
		to := Vector{0, math.Sqrt(1 - up*up), up}
		for _, diffuse := range []float64{0, 100, 400} {
			for _, outside := range []float64{0, 1361} {
				near(t, "level", level.Irradiance(to, 400, diffuse, outside), 400, 1e-9)
			}
		}
	}
}

// [DB] ex. 2.15.1 in W/m²: 40° N, declination -11.6°, hour angle -37.5°, a plane at 60° facing south, ground 0.6;
// anisotropic by eq. 2.16.4 without the horizon's term, computed here from its printed parts.
func TestHayDavies(t *testing.T) {
	to := Direction(40*degree, -11.6*degree, -37.5*degree)
	plane := Plane{Tilt: 60 * degree, Azimuth: math.Pi, Ground: 0.6}
	const global, diffuse, outside = 1.04e6 / 3600, 0.796e6 / 3600, 1400.0
	rb := to.Dot(plane.Normal()) / to.Up
	near(t, "Rb", rb, 1.71, 0.005)
	a := (global - diffuse) / to.Up / outside
	want := (global-diffuse+diffuse*a)*rb + diffuse*(1-a)*0.75 + global*0.6*0.25
	near(t, "anisotropic", plane.Collector().Irradiance(to, global, diffuse, outside), want, 1e-9)
	near(t, "isotropic", plane.Collector().Irradiance(to, global, diffuse, 0)*3600/1e6, 1.17, 0.005) // printed
}

func TestPlaneFacesTheSun(t *testing.T) {
	to := Direction(35*degree, 10*degree, 30*degree) // afternoon, so in the west
	at := func(azimuth float64) float64 {
		return Plane{Tilt: 50 * degree, Azimuth: azimuth * degree}.Collector().Irradiance(to, 600, 100, 1361)
	}
	if !(at(240) > at(180) && at(180) > at(120) && at(120) > at(20)) {
		t.Errorf("240°: %v, 180°: %v, 120°: %v, 20°: %v W/m²", at(240), at(180), at(120), at(20))
	}
	if back := at(60); back > 200 {
		t.Errorf("the back of the plane gets a beam: %v W/m²", back)
	}
}

// ASHRAE 93: 0.95 at 60° for b0 = 0.05 (1 - 0.05·(1/0.5 - 1)); nothing at a grazing angle.
func TestGlass(t *testing.T) {
	c := Plane{Glass: 0.05}.Collector()
	near(t, "at 0°", c.modifier(1), 1, 0)
	near(t, "at 60°", c.modifier(0.5), 0.95, 1e-12)
	near(t, "grazing", c.modifier(0.01), 0, 0)
	near(t, "diffuse", c.Irradiance(Vector{0, 1, 0}, 200, 200, 1361), 190, 1e-9)
}

func TestRefusesPlanesAndPlaces(t *testing.T) {
	for _, c := range []struct {
		err error
		say string
	}{
		{Plane{Tilt: -1}.Check(), "tilt -57.3°: not possible; want 0..180°"},
		{Plane{Azimuth: math.NaN()}.Check(), "azimuth NaN°: not possible; want 0..360°, from north over east"},
		{Plane{Ground: 1.2}.Check(), "ground reflectance 1.2: not possible; want 0..1"},
		{Plane{Glass: -0.1}.Check(), "incidence coefficient -0.1: not possible; want 0..1"},
		{Place{Latitude: 2}.Check(), "latitude 114.6°: beyond the poles; want -90..90°"},
		{Place{Longitude: math.Inf(1)}.Check(), "longitude +Inf°: not on the globe; want -180..180°, east positive"},
		{Place{Elevation: 1e4}.Check(), "elevation 1e+04 m: not on the ground; want -500..9000 m"},
	} {
		if c.err == nil || c.err.Error() != c.say {
			t.Errorf("got  %v\nwant %s", c.err, c.say)
		}
	}
	if (Plane{Tilt: 1, Azimuth: 3, Ground: 0.2, Glass: 0.05}).Check() != nil || (Place{math.Pi / 2, -math.Pi, 0}).Check() != nil {
		t.Error("a usual plane or a pole is refused")
	}
}

// Limits that follow from the geometry.
func TestHandbook(t *testing.T) {
	near(t, "declination at the solstice", Declination(172)/degree, 23.45, 0.01)
	near(t, "sunset at the equator", SunsetAngle(0, 0.3)/degree, 90, 1e-9)
	near(t, "polar day", SunsetAngle(80*degree, 20*degree), math.Pi, 0)
	near(t, "polar night", SunsetAngle(80*degree, -20*degree), 0, 0)
	near(t, "the pole in summer", SunsetAngle(math.Pi/2, 0.1), math.Pi, 0)
	near(t, "no sun, no hour", HourOfDay(0, 0), 0, 0)
	for _, sunset := range []float64{0.3, 1, math.Pi / 2, 2.5, math.Pi} {
		whole := 0.0
		for i := range 10000 {
			whole += DiffuseHourOfDay((float64(i)/5000-1)*sunset, sunset) * sunset / 5000 / (15 * degree)
		}
		near(t, "hours of a day", whole, 1, 1e-4)
	}
}

// Erbs' pieces meet where they join, as printed, to some 0.01.
func TestDiffuseJoins(t *testing.T) {
	for _, at := range []float64{0.22, 0.80} {
		near(t, "hour", DiffuseOfHour(at-1e-9), DiffuseOfHour(at+1e-9), 0.005)
	}
	near(t, "day, winter", DiffuseOfDay(0.715-1e-9, 1), DiffuseOfDay(0.715, 1), 0.01)
	near(t, "day, summer", DiffuseOfDay(0.722-1e-9, 1.6), DiffuseOfDay(0.722, 1.6), 0.016) // as printed it steps by 0.015
	near(t, "no sun", DiffuseOfHour(0), 1, 0)
	for k := 0.0; k < 1.5; k += 0.01 {
		for _, v := range []float64{DiffuseOfHour(k), DiffuseOfDay(k, 1), DiffuseOfDay(k, 2), DiffuseOfMonth(k, 1), DiffuseOfMonth(k, 2)} {
			if !(v > 0 && v <= 1.02) {
				t.Fatalf("share %v at clearness %v", v, k)
			}
		}
	}
}
