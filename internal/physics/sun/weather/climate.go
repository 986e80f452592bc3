package weather

import (
	"fmt"
	"math"
	"strings"
	"time"

	"hindwatt/internal/numeric"
	"hindwatt/internal/physics/sun"
)

// A Month is what is known of one month of the year.
type Month struct {
	Global float64 // mean daily irradiation on the level, J/m², ≥ 0
	Air    float64 // mean air temperature, K
	Swing  float64 // mean of the day's highest less its lowest air temperature, K; 0 = from the clearness, [SN23]

	// How means of this month spread from year to year, standard deviations; 0 = the default.
	GlobalSpread float64 // as a share of Global, 0..0.5
	AirSpread    float64 // K, 0..10
}

// Defaults of the air, from memory of mid-latitude stations: estimates.
const (
	DefaultAirSpread = 1.5  // K, of a month's mean from year to year
	airDaySpread     = 3.0  // K, of a day's mean about the month's course
	airPersistence   = 0.75 // from one day to the next
)

// A Climate draws years from monthly means. It may be used by several goroutines.
type Climate struct {
	Site   Site
	Months [12]Month // as given, defaults filled in

	// Exact gives every year the monthly means exactly: days still differ, years hardly.
	Exact bool

	// Notes say what of the input is doubtful, each with its remedy.
	Notes []string

	tracks    *[Days]sun.Track
	outside   [Days]float64 // daily irradiation outside the air, J/m²
	clearness [12]float64   // mean of the month; 0 in polar night
	days      [12]spread
	course    [Days + 1]float64 // smooth air temperature at each midnight, K
	shape     [25]float64       // the day's course of the air, peak to peak 1
}

// A MonthFault is what is wrong with a month 0..11, and with which of its means: sun, air or swing.
type MonthFault struct {
	Month int
	Of    string
	Text  string // what is wrong, without the month
}

func (f *MonthFault) Error() string { return fmt.Sprintf("%s: %s", time.Month(f.Month+1), f.Text) }

// MonthFaults are those of a year, in the order of its months.
type MonthFaults []MonthFault

func (f MonthFaults) Error() string {
	var lines []string
	for i := range f {
		lines = append(lines, f[i].Error())
	}
	return strings.Join(lines, "\n")
}

// NewClimate prepares the monthly means of a place. The error is MonthFaults, or that of the site.
func NewClimate(site Site, months [12]Month) (*Climate, error) {
	if err := site.Check(); err != nil {
		return nil, err
	}
	c := &Climate{Site: site, Months: months, tracks: site.tracks()}
	c.measureOutside()
	var faults MonthFaults
	for m := range 12 {
		if f := c.month(m); f != nil {
			faults = append(faults, *f)
		}
	}
	if len(faults) > 0 {
		return nil, faults
	}
	c.smoothAir()
	for h := range c.shape {
		c.shape[h] = dayCourse(float64(h) + (SolarZone(site.Longitude)-site.Zone)/3600)
	}
	return c, nil
}

func (c *Climate) measureOutside() {
	var v [PerDay]sun.Vector
	for d := range c.outside {
		c.tracks[d].Fill(v[:], 30, 60)
		up := 0.0
		for i := range v {
			up += max(0, v[i].Up)
		}
		c.outside[d] = up * 60 * c.tracks[d].Outside
	}
}

// Outside returns the mean daily irradiation of month 0..11 on the level outside the air, J/m².
func (c *Climate) Outside(m int) float64 {
	return mean(c.outside[monthStart[m]:monthStart[m+1]])
}

// Clearness returns the mean clearness of month 0..11; 0 in polar night.
func (c *Climate) Clearness(m int) float64 { return c.clearness[m] }

// dusk is the daily irradiation outside the air, J/m², below which the clearness says nothing: the
// sun is near the horizon all day, and light comes from below it.
const dusk = 2e6

// month prepares a month 0..11, or says what is wrong with it.
func (c *Climate) month(m int) *MonthFault {
	month, out := &c.Months[m], c.Outside(m)
	fault := func(of, text string, a ...any) *MonthFault { return &MonthFault{m, of, fmt.Sprintf(text, a...)} }
	bad := func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }
	switch {
	case bad(month.Global) || month.Global < 0:
		return fault("sun", "sun on the level %v: not possible; want 0 or more", month.Global/3.6e6)
	case month.Global == 0 && out > dusk:
		return fault("sun", "no sun on the level; want its daily mean: outside the air it is %.2f kWh/m²", out/3.6e6)
	case month.Global > 0.9*max(out, dusk):
		outside := fmt.Sprintf("of %.2f outside the air", out/3.6e6)
		if out == 0 {
			outside = "where it stays below the horizon all month"
		}
		return fault("sun", "%.2f kWh/m² of sun a day, %s; want at most %.2f (1 kWh is 3.6 MJ)", month.Global/3.6e6, outside, 0.9*max(out, dusk)/3.6e6)
	case bad(month.Air) || month.Air < 180 || month.Air > 335:
		return fault("air", "air temperature %.1f °C: not on earth; want -90 to 60 °C", month.Air-273.15)
	case bad(month.Swing) || month.Swing < 0 || month.Swing > 40:
		return fault("swing", "daily swing %.4g K: not possible; want 0..40 K", month.Swing)
	case bad(month.GlobalSpread) || month.GlobalSpread < 0 || month.GlobalSpread > 0.5:
		return fault("sun", "year-to-year spread %.4g of the sun: not possible; want 0..0.5", month.GlobalSpread)
	case bad(month.AirSpread) || month.AirSpread < 0 || month.AirSpread > 10:
		return fault("air", "year-to-year spread %.4g K of the air: not possible; want 0..10 K", month.AirSpread)
	}
	k := 0.0
	if out > 0 {
		k = min(month.Global/out, 0.9)
	}
	if month.Global > k*out*1.000001 {
		c.note("%s: %.3f kWh/m² a day counts as %.3f, what the sun above the horizon gives", time.Month(m+1), month.Global/3.6e6, k*out/3.6e6)
	} else if out > dusk && (k < 0.2 || k > 0.78) {
		c.note("%s: clearness %.2f is unusual (0.20..0.78): check the unit and the latitude's sign", time.Month(m+1), k)
	}
	c.clearness[m], c.days[m] = k, newSpread(k)
	if month.GlobalSpread == 0 && k > 0 {
		month.GlobalSpread = defaultSpread(c.days[m], monthDays[m])
	}
	if month.AirSpread == 0 {
		month.AirSpread = DefaultAirSpread
	}
	if month.Swing == 0 {
		month.Swing = max(25.8*k-5.21, 3) // [SN23]
	}
	return nil
}

func (c *Climate) note(format string, args ...any) {
	c.Notes = append(c.Notes, fmt.Sprintf(format, args...))
}

// defaultSpread returns the relative standard deviation of a month's mean that the spread of its days
// and their persistence alone would give, [SN16]: some 4 % in dry months, 15 % in cloudy winters, which is
// what stations show (from memory).
func defaultSpread(s spread, days int) float64 {
	return min(0.5, s.deviation()/s.mean()*math.Sqrt((1+persistence)/(1-persistence)/float64(days)))
}

// Year draws year n of a seed.
func (c *Climate) Year(seed uint64, n int, plane sun.Plane) *Year {
	y := newYear(seed, n, c.tracks, plane)
	y.hourly = c
	r := numeric.NewStream(seed, forMonths, y.number)
	c.drawDays(y, &r)
	c.drawAir(y, &r)
	return y
}

func newYear(seed uint64, n int, tracks *[Days]sun.Track, plane sun.Plane) *Year {
	return &Year{seed: seed, number: uint64(n), tracks: tracks, collector: plane.Collector(), overhead: new(overhead), own: NewMinutes()}
}

// drawDays draws the clearness of each day, [SN13] to [SN16].
func (c *Climate) drawDays(y *Year, r *numeric.Stream) {
	var z [Days]float64
	last := r.Norm()
	for d := range z {
		last = persistence*last + math.Sqrt(1-persistence*persistence)*r.Norm() // [SN15]
		z[d] = last
	}
	for m := range 12 {
		from, to := monthStart[m], monthStart[m+1]
		e := r.Norm()
		c.meet(y.clearness[from:to], z[from:to], c.outside[from:to], m, e)
	}
}

// meet sets k to the clearness of a month's days such that their irradiation is what the month is to have.
//
//	e  by how many standard deviations the month differs from its mean
func (c *Climate) meet(k, z, outside []float64, m int, e float64) {
	s, mean := c.days[m], c.clearness[m]
	all := 0.0
	for _, o := range outside {
		all += o
	}
	if mean <= 0 || all <= 0 {
		zero(k)
		return
	}
	off := 0.0
	if !c.Exact {
		most := min(2.5*c.Months[m].GlobalSpread, 0.8*(s.high-mean)/mean, 0.8*(mean-s.low)/mean)
		off = min(max(e*c.Months[m].GlobalSpread, -most), most) // both sides alike: the mean of many years stays
	}
	target := mean * (1 + off) * all
	total := func(shift float64) float64 {
		sum := -target
		for i, o := range outside {
			k[i] = s.quantile(normal(z[i] + shift))
			sum += o * k[i]
		}
		return sum
	}
	if shift, err := numeric.FindRoot(total, -8, 8, 1e-6); err == nil {
		total(shift)
	}
	got := 0.0
	for i, o := range outside {
		got += o * k[i]
	}
	for i := range k { // what the root's width leaves, some 1e-7
		k[i] *= target / got
	}
}

// hours draws the hours of a day for Year.
func (c *Climate) hours(y *Year, day int, h *hours) {
	y.drawHours(day, y.clearness[day], h)
	for i := range h.air {
		x := float64(i) / 24
		h.air[i] = y.midnight[day] + (y.midnight[day+1]-y.midnight[day])*x + y.swing[day]*c.shape[i]
	}
}
