package weather

import (
	"encoding/binary"
	"errors"
	"hash/fnv"
	"math"
	"runtime"
	"slices"
	"strings"
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

// The same bits everywhere: a digest of days of two years, taken on amd64; it changes with the model. Run
// it elsewhere with GOOS=js GOARCH=wasm go test -exec="$(go env GOROOT)/lib/wasm/go_js_wasm_exec".
func TestSameBitsEverywhere(t *testing.T) {
	const want = 0xb68d34339348b61f
	h := fnv.New64a()
	add := func(x float64) { binary.Write(h, binary.LittleEndian, x) }
	site, months := berlin()
	c := climate(t, site, months)
	m := NewMinutes()
	for n := range 2 {
		y := c.Year(11, n, sun.Plane{Tilt: 1, Azimuth: 3, Ground: 0.2, Glass: 0.05})
		for d := 3; d < Days; d += 40 {
			y.Day(d, m)
			for i := range PerDay {
				add(m.Global[i])
				add(m.Diffuse[i])
				add(m.Plane[i])
				add(m.Air[i])
			}
		}
	}
	if got := h.Sum64(); got != want {
		t.Errorf("digest is %#x; want %#x", got, uint64(want))
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

// Broken sky crowds at sun and at shade: Suehrcke and McCormick, Solar Energy 40, 1988.
func TestMinutesAreBimodal(t *testing.T) {
	site, want := berlin()
	c := climate(t, site, want)
	y := c.Year(1, 0, sun.Plane{})
	m := NewMinutes()
	var bins [20]int
	top := 0.0
	for d := range Days {
		y.Day(d, m)
		top = max(top, slices.Max(m.Global))
		for h := range 24 {
			sky := mean(y.clear[60*h : 60*h+60])
			index := y.hour.global[h] / sky
			if sky < 200 || index < 0.5 || index > 0.7 {
				continue
			}
			for i := 60 * h; i < 60*h+60; i++ {
				bins[min(int(m.Global[i]/y.clear[i]*10), 19)]++
			}
		}
	}
	shade, between, sunny := bins[2]+bins[3], bins[6]+bins[7], bins[9]+bins[10]
	if between*2 > shade || between*2 > sunny {
		t.Errorf("minutes by tenths of the clear sky: %v", bins)
	}
	bright := 0
	for _, n := range bins[11:] {
		bright += n
	}
	if top > 1600 { // highest minutes measured are near 1600 W/m², from memory
		t.Errorf("brightest minute %.0f W/m²", top)
	}
	if bright == 0 {
		t.Error("no edge of a cloud is brighter than the clear sky")
	}
}

// Any place, any clock, with months that its sun can have: finite, and the exact year meets them.
func TestPolesEquatorAndOddClocks(t *testing.T) {
	for _, p := range []struct{ lat, lon, zone float64 }{{78.22, 15.65, 1}, {90, 0, 0}, {-90, 0, 12}, {0, 179, 12}, {-33.9, 151.2, 10}, {66.56, 25, 2}, {52, 5, -11}} {
		site := Site{sun.Place{Latitude: p.lat * degree, Longitude: p.lon * degree}, p.zone * 3600}
		var want [12]Month
		var probe Climate
		probe.tracks = site.tracks()
		probe.measureOutside()
		for m := range want {
			want[m] = Month{Global: 0.45 * probe.Outside(m), Air: 273.15}
		}
		c := climate(t, site, want)
		c.Exact = true
		plane := sun.Plane{Tilt: 1, Azimuth: math.Pi, Ground: 0.2, Glass: 0.05}
		global, _, _ := monthsOf(c.Year(1, 0, plane))
		for m := range want {
			near(t, "month", global[m], want[m].Global, 1e-6*want[m].Global+1)
		}
		y, mins := c.Year(2, 1, plane), NewMinutes()
		for d := range Days {
			y.Day(d, mins)
			for i := range PerDay {
				for _, v := range []float64{mins.Global[i], mins.Diffuse[i], mins.Plane[i], mins.Air[i]} {
					if !(v >= 0 && v < 2000) {
						t.Fatalf("%v day %d minute %d: %v", p, d, i, v)
					}
				}
				if mins.Global[i] > 0 && !anyUp(y.sun[i/60*60:i/60*60+60]) {
					t.Fatalf("%v day %d minute %d: light in an hour without sun", p, d, i)
				}
			}
		}
	}
}

func anyUp(hour []sun.Vector) bool {
	for _, v := range hour {
		if v.Up > 0 {
			return true
		}
	}
	return false
}

func TestClimateRefuses(t *testing.T) {
	for _, c := range []struct {
		change func(*Site, *[12]Month)
		say    string
	}{
		{func(s *Site, _ *[12]Month) { s.Latitude = 91 * degree }, "latitude 91°: beyond the poles; want -90..90°"},
		{func(s *Site, _ *[12]Month) { s.Longitude = math.NaN() }, "longitude NaN°: not on the globe; want -180..180°, east positive"},
		{func(s *Site, _ *[12]Month) { s.Zone = 15 * 3600 }, "zone 15 h: no clock runs so; want -12..14 h ahead of UTC"},
		{func(_ *Site, m *[12]Month) { m[2].Global = 0 }, "March: no sun on the level; want its daily mean: outside the air it is 6.03 kWh/m²"},
		{func(_ *Site, m *[12]Month) { m[5].Global *= 3.6 }, "June: 19.44 kWh/m² of sun a day, of 11.47 outside the air; want at most 10.32 (1 kWh is 3.6 MJ)"},
		{func(s *Site, _ *[12]Month) { s.Latitude = 85 * degree }, "January: 0.65 kWh/m² of sun a day, where it stays below the horizon all month; want at most 0.50 (1 kWh is 3.6 MJ)"},
		{func(_ *Site, m *[12]Month) { m[0].Global = math.Inf(1) }, "January: sun on the level +Inf: not possible; want 0 or more"},
		{func(_ *Site, m *[12]Month) { m[0].Air = 20 }, "January: air temperature -253.1 °C: not on earth; want -90 to 60 °C"},
		{func(_ *Site, m *[12]Month) { m[0].Swing = -1 }, "January: daily swing -1 K: not possible; want 0..40 K"},
		{func(_ *Site, m *[12]Month) { m[0].GlobalSpread = 1 }, "January: year-to-year spread 1 of the sun: not possible; want 0..0.5"},
		{func(_ *Site, m *[12]Month) { m[0].AirSpread = 11 }, "January: year-to-year spread 11 K of the air: not possible; want 0..10 K"},
	} {
		site, m := berlin()
		c.change(&site, &m)
		if _, err := NewClimate(site, m); err == nil || strings.Split(err.Error(), "\n")[0] != c.say {
			t.Errorf("got  %v\nwant %s", err, c.say)
		}
	}
	site, m := berlin()
	m[2].Global, m[0].Air = 0, 20
	var faults MonthFaults
	if _, err := NewClimate(site, m); !errors.As(err, &faults) || len(faults) != 2 || faults[0].Month != 0 || faults[0].Of != "air" || faults[1].Month != 2 || faults[1].Of != "sun" {
		t.Errorf("two months at fault: %v", err)
	}
	site, m = berlin()
	m[6].Global *= 0.3
	if c := climate(t, site, m); len(c.Notes) != 1 || c.Notes[0] != "July: clearness 0.14 is unusual (0.20..0.78): check the unit and the latitude's sign" {
		t.Errorf("notes %q", c.Notes)
	}
}

func TestNormalAndSpread(t *testing.T) {
	for x := -9.0; x < 9; x += 0.37 {
		near(t, "normal", normal(x), 0.5*math.Erfc(-x/math.Sqrt2), 1e-14)
	}
	for k := 0.01; k < 0.9; k += 0.01 {
		s := newSpread(k)
		sum := 0.0
		const n = 20000
		for i := range n {
			q := s.quantile((float64(i) + 0.5) / n)
			if !(q >= s.low-1e-12 && q <= s.high+1e-12) {
				t.Fatalf("clearness %v: quantile %v outside %v..%v", k, q, s.low, s.high)
			}
			sum += q / n
		}
		near(t, "mean", sum, k, 1e-4)
	}
}

// Erbs, Klein and Beckman's course is lowest before sunrise and highest in mid afternoon, and its mean is 0.
func TestAirOfADay(t *testing.T) {
	low, high, sum := 0.0, 0.0, 0.0
	for i := range 240 {
		h := float64(i) / 10
		v := dayCourse(h)
		sum += v
		if v < dayCourse(low) {
			low = h
		}
		if v > dayCourse(high) {
			high = h
		}
	}
	near(t, "mean", sum/240, 0, 1e-12)
	near(t, "swing", dayCourse(high)-dayCourse(low), 1, 0.05)
	if !(low >= 4 && low <= 6.5 && high >= 13.5 && high <= 16.5) {
		t.Errorf("lowest at %v h, highest at %v h", low, high)
	}
}

// Dull days come together: 0.29 between the normal scores of neighbours (Graham, Hollands and Huget 1988),
// a little less between their clearness, since its distribution is skewed.
func TestDaysPersist(t *testing.T) {
	site, want := berlin()
	c := climate(t, site, want)
	var pairs, one, square float64
	const years = 60
	for n := range years {
		k := c.Year(5, n, sun.Plane{}).clearness
		for d := monthStart[6]; d < monthStart[7]-1; d++ {
			a, b := k[d]-c.clearness[6], k[d+1]-c.clearness[6]
			pairs, one, square = pairs+1, one+a*b, square+a*a
		}
	}
	near(t, "correlation of neighbours", one/square, 0.28, 3/math.Sqrt(pairs))
}
