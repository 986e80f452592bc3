package weather

import (
	"math"
	"runtime"
	"testing"

	"hindwatt/internal/physics/sun"
)

const degree = math.Pi / 180

// berlin is one of the places of the monthly normals, from memory: kWh/m² a day and °C.
func berlin() (Site, [12]Month) {
	return normals(52.5, 13.4, 1,
		[12]float64{0.65, 1.3, 2.5, 3.9, 5.0, 5.4, 5.2, 4.4, 3.0, 1.6, 0.8, 0.5},
		[12]float64{0.6, 1.4, 4.8, 9.5, 14.3, 17.6, 19.6, 19.0, 14.9, 9.8, 5.0, 1.8})
}

func normals(lat, lon, zone float64, global, air [12]float64) (Site, [12]Month) {
	var m [12]Month
	for i := range m {
		m[i] = Month{Global: global[i] * 3.6e6, Air: air[i] + 273.15}
	}
	return Site{sun.Place{Latitude: lat * degree, Longitude: lon * degree}, zone * 3600}, m
}

func climate(t testing.TB, s Site, m [12]Month) *Climate {
	t.Helper()
	c, err := NewClimate(s, m)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// monthsOf returns the means of a year's months: J/m² a day on the level and on the plane, K.
func monthsOf(y *Year) (global, plane, air [12]float64) {
	m := NewMinutes()
	for d := range Days {
		y.Day(d, m)
		k := MonthOf(d)
		n := float64(monthDays[k])
		for i := range PerDay {
			global[k] += m.Global[i] * 60 / n
			plane[k] += m.Plane[i] * 60 / n
			air[k] += m.Air[i] / PerDay / n
		}
	}
	return global, plane, air
}

func TestExactYearMeetsTheMonths(t *testing.T) {
	site, want := berlin()
	c := climate(t, site, want)
	c.Exact = true
	for n := range 3 {
		global, _, air := monthsOf(c.Year(1, n, sun.Plane{}))
		for m := range 12 {
			if math.Abs(global[m]/c.Months[m].Global-1) > 1e-9 || math.Abs(air[m]-c.Months[m].Air) > 1e-6 {
				t.Errorf("year %d month %d: %v J/m² and %v K, want %v and %v", n, m+1, global[m], air[m], c.Months[m].Global, c.Months[m].Air)
			}
		}
	}
}

func TestYearsMeetTheMonthsOnAverage(t *testing.T) {
	site, want := berlin()
	c := climate(t, site, want)
	const years = 400
	var sum, square [12]float64
	for n := range years {
		y := c.Year(7, n, sun.Plane{})
		for d := range Days {
			sum[MonthOf(d)] += y.clearness[d] * c.outside[d] / years
		}
		for m := range 12 {
			h := 0.0
			for d := monthStart[m]; d < monthStart[m+1]; d++ {
				h += y.clearness[d] * c.outside[d]
			}
			x := h/c.Months[m].Global/float64(monthDays[m]) - 1
			square[m] += x * x / years
		}
	}
	for m := range 12 {
		mean := sum[m]/float64(monthDays[m])/c.Months[m].Global - 1
		sd := math.Sqrt(square[m])
		if math.Abs(mean) > 4*sd/math.Sqrt(years) {
			t.Errorf("month %d: mean of %d years is off by %.4f, with a spread of %.4f", m+1, years, mean, sd)
		}
		if s := c.Months[m].GlobalSpread; !(sd > 0.8*s && sd < 1.1*s) {
			t.Errorf("month %d: spread %.4f, stated %.4f", m+1, sd, s)
		}
	}
}

func TestSameBits(t *testing.T) {
	site, want := berlin()
	c := climate(t, site, want)
	a, b, other := NewMinutes(), NewMinutes(), NewMinutes()
	whole := c.Year(3, 5, sun.Plane{Tilt: 1, Azimuth: 3, Glass: 0.05})
	for d := range 200 {
		whole.Day(d, a)
	}
	c.Year(3, 5, sun.Plane{Tilt: 1, Azimuth: 3, Glass: 0.05}).Day(199, b) // without the days before
	c.Year(4, 5, sun.Plane{Tilt: 1, Azimuth: 3, Glass: 0.05}).Day(199, other)
	same := true
	for i := range PerDay {
		if a.Global[i] != b.Global[i] || a.Diffuse[i] != b.Diffuse[i] || a.Plane[i] != b.Plane[i] || a.Air[i] != b.Air[i] {
			t.Fatalf("minute %d differs", i)
		}
		same = same && a.Global[i] == other.Global[i]
	}
	if same {
		t.Error("another seed gives the same day")
	}
	runtime.GC()
	if n := testing.AllocsPerRun(3, func() { whole.Day(17, a) }); n != 0 {
		t.Errorf("a day allocates %v times", n)
	}
}

func BenchmarkYear(b *testing.B) {
	site, want := berlin()
	c := climate(b, site, want)
	m := NewMinutes()
	for n := 0; b.Loop(); n++ {
		y := c.Year(1, n, sun.Plane{Tilt: 1, Azimuth: math.Pi, Ground: 0.2, Glass: 0.05})
		for d := range Days {
			y.Day(d, m)
		}
	}
}

func BenchmarkDraw(b *testing.B) {
	site, want := berlin()
	c := climate(b, site, want)
	for n := 0; b.Loop(); n++ {
		c.Year(1, n, sun.Plane{})
	}
}
