package weather

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"hindwatt/internal/physics/sun"
)

var field52 = Site{sun.Place{Latitude: 52 * degree, Longitude: 5 * degree}, 3600}

// made is a year of weather that no station has measured: a clear-sky course cut by a slow wave, so
// that readers have something to read everywhere. An hour is [global, beam, diffuse W/m², air °C].
func made() [][4]float64 {
	tracks := field52.tracks()
	all := make([][4]float64, 24*Days)
	var v [60]sun.Vector
	for i := range all {
		tracks[i/24].Fill(v[:], float64(i%24*3600)+30, 60)
		up := 0.0
		for _, x := range v {
			up += max(0, x.Up) / 60
		}
		cloud := 0.55 + 0.4*math.Sin(float64(i)/40)
		global := math.Round(sun.ClearSky(up) * cloud)
		diffuse := math.Round(global * (1.05 - cloud))
		beam := 0.0
		if up > 0.05 {
			beam = math.Round((global - diffuse) / up)
		}
		all[i] = [4]float64{global, beam, diffuse, math.Round(100-80*math.Cos(2*math.Pi*float64(i/24-15)/365)+40*math.Cos(2*math.Pi*float64(i%24-14)/24)) / 10}
	}
	return all
}

// stamps gives month, day and end of each hour of the year.
func stamp(i int) (month, day, end int) {
	d := i / 24
	return MonthOf(d) + 1, d - monthStart[MonthOf(d)] + 1, i%24 + 1
}

func asEPW(hours [][4]float64) string {
	var b strings.Builder
	b.WriteString("LOCATION,Nowhere,-,-,invented,000000,52.0,5.0,1.0,3.0\r\n")
	for _, line := range []string{"DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0", "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0", "COMMENTS 1,invented", "COMMENTS 2,", "DATA PERIODS,1,1,Data,Sunday,1/1,12/31"} {
		b.WriteString(line + "\r\n")
	}
	for i, h := range hours {
		m, d, end := stamp(i)
		fmt.Fprintf(&b, "1999,%d,%d,%d,60,?9,%g,5,80,101300,0,0,300,%g,%g,%g,0,0,0,0,180,3.5,5,5,9,77777,9,999999999,100,0.1,0,88,0.2,0,1\r\n", m, d, end, h[3], h[0], h[1], h[2])
	}
	return b.String()
}

func asTMY3(hours [][4]float64) string {
	var b strings.Builder
	b.WriteString("000000,\"NOWHERE\",XX,1.0,52.000,5.000,3\n")
	b.WriteString("Date (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2),GHI (W/m^2),GHI source,DNI (W/m^2),DHI (W/m^2),Dry-bulb (C),Wspd (m/s)\n")
	for i, h := range hours {
		m, d, end := stamp(i)
		fmt.Fprintf(&b, "%02d/%02d/1999,%02d:00,0,%g,1,%g,%g,%g,3.5\n", m, d, end, h[0], h[1], h[2], h[3])
	}
	return b.String()
}

func asCSV(hours [][4]float64) string {
	var b strings.Builder
	b.WriteString("# invented\nair [degC],time,global [W/m2],diffuse (Wh/m²),wind [km/h]\n")
	at := time.Date(1999, 1, 1, 1, 0, 0, 0, time.UTC)
	for i, h := range hours {
		fmt.Fprintf(&b, "%g,%s,%g,%g,12.6\n", h[3], at.Add(time.Duration(i)*time.Hour).Format("2006-01-02 15:04"), h[0], h[2])
	}
	return b.String()
}

func read(t *testing.T, text string) *Record {
	t.Helper()
	r, err := Read("w", strings.NewReader(text), field52)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestReadsThreeLayouts(t *testing.T) {
	hours := made()
	for layout, text := range map[string]string{"EPW": asEPW(hours), "TMY3": asTMY3(hours), "CSV": asCSV(hours)} {
		r := read(t, text)
		if r.Layout != layout || len(r.Years) != 1 || len(r.Notes) != 0 {
			t.Errorf("%s: layout %s, %d years, notes %q", layout, r.Layout, len(r.Years), r.Notes)
		}
		near(t, "latitude", r.Site.Latitude, field52.Latitude, 1e-12)
		near(t, "zone", r.Site.Zone, 3600, 0)
		for i, h := range r.Years[0] {
			want := hours[i]
			if h.Global != want[0] || math.Abs(h.Diffuse-want[2]) > 1e-9 || math.Abs(h.Air-273.15-want[3]) > 1e-9 || math.Abs(h.Wind-3.5) > 1e-9 {
				t.Fatalf("%s hour %d: %+v, want %v", layout, i, h, want)
			}
		}
	}
}

func TestBeamAndDiffuseGiveTheRest(t *testing.T) {
	hours := made()
	var text, only strings.Builder
	text.WriteString("start,beam [W/m2],diffuse [W/m2],air [K]\n")
	only.WriteString("time,global [kWh/m2],air [°C]\n")
	at := time.Date(1999, 1, 1, 0, 0, 0, 0, time.UTC)
	for i, h := range hours {
		fmt.Fprintf(&text, "%s,%g,%g,%g\n", at.Add(time.Duration(i)*time.Hour).Format("2006-01-02T15:04"), h[1], h[2], h[3]+273.15)
		fmt.Fprintf(&only, "%s,%g,%g\n", at.Add(time.Duration(i)*time.Hour).Format("2006-01-02T15:04:05Z"), h[0]/1000, h[3])
	}
	off := 0.0
	for i, h := range read(t, text.String()).Years[0] {
		off = max(off, math.Abs(h.Global-hours[i][0]))
	}
	if off > 20 { // beam is 0 in the file with the sun below 3°, and rounded
		t.Errorf("global from beam and diffuse is off by %v W/m²", off)
	}
	r := read(t, only.String()) // the end of an hour in UTC is its beginning an hour further east
	if len(r.Notes) != 1 || !strings.Contains(r.Notes[0], "8760 hours have no diffuse light of their own") {
		t.Errorf("notes %q", r.Notes)
	}
}

// A file from July to June is a year from January to December; a second year follows the first.
func TestYearsBeginInJanuary(t *testing.T) {
	hours := made()
	var text strings.Builder
	text.WriteString("time,global [W/m2],air [degC]\n")
	at := time.Date(2022, 7, 1, 1, 0, 0, 0, time.UTC)
	for k := range 2*24*Days + 24 { // with one 29th of February
		end := at.Add(time.Duration(k) * time.Hour)
		slot, leap, _ := hourOf(int(end.Add(-time.Hour).Month()), end.Add(-time.Hour).Day(), end.Add(-time.Hour).Hour()+1)
		add := 0.0
		if k >= 24*Days {
			add = 1
		}
		if leap {
			slot = 0
		}
		fmt.Fprintf(&text, "%s,%g,%g\n", end.Format("2006-01-02 15:04"), hours[slot][0], hours[slot][3]+add)
	}
	r := read(t, text.String())
	if len(r.Years) != 2 || !strings.Contains(strings.Join(r.Notes, "\n"), "24 hours of 29ths of February are left out") {
		t.Fatalf("%d years, notes %q", len(r.Years), r.Notes)
	}
	for i := range hours {
		if r.Years[0][i].Global != hours[i][0] || math.Abs(r.Years[0][i].Air-273.15-hours[i][3]) > 1e-9 || math.Abs(r.Years[1][i].Air-274.15-hours[i][3]) > 1e-9 {
			t.Fatalf("hour %d: %+v, want %v", i, r.Years[0][i], hours[i])
		}
	}
}

func TestGapsAreBridged(t *testing.T) {
	hours := made()
	noon := 24*180 + 12
	text := asEPW(hours)
	lines := strings.Split(text, "\r\n")
	for k := range 3 {
		cells := strings.Split(lines[8+noon+k], ",")
		cells[6], cells[13], cells[14], cells[15] = "99.9", "9999", "9999", "9999"
		lines[8+noon+k] = strings.Join(cells, ",")
	}
	r := read(t, strings.Join(lines, "\r\n"))
	want := []string{"global: 3 hours were missing and are bridged, from gaps of up to 3 hours", "air: 3 hours were missing and are bridged, from gaps of up to 3 hours",
		"3 hours have no diffuse light of their own: it follows from the global (Erbs), off by some -7..6 % of a year's diffuse"}
	if strings.Join(r.Notes, "|") != strings.Join(want, "|") {
		t.Errorf("notes %q", r.Notes)
	}
	for k := range 3 {
		h := r.Years[0][noon+k]
		near(t, "global", h.Global, hours[noon+k][0], 0.1*hours[noon+k][0])
		near(t, "air", h.Air-273.15, hours[noon+k][3], 1)
	}
	csv := strings.Split(asCSV(hours), "\n") // lines left out count as missing
	if r = read(t, strings.Join(append(csv[:2+noon:2+noon], csv[2+noon+3:]...), "\n")); len(r.Notes) != 4 {
		t.Errorf("notes %q", r.Notes)
	}
}

func TestDoubtfulClocks(t *testing.T) {
	hours := made()
	shifted := append(append([][4]float64(nil), hours[24*Days-2:]...), hours[:24*Days-2]...)
	r := read(t, asEPW(shifted))
	notes := strings.Join(r.Notes, "\n")
	for _, part := range []string{"hours have light with the sun down", "the light comes +2.0 h from where the sun stands"} {
		if !strings.Contains(notes, part) {
			t.Errorf("notes %q lack %q", notes, part)
		}
	}
	for i := range hours {
		hours[i][0] *= 1.4
	}
	if notes := strings.Join(read(t, asEPW(hours)).Notes, "\n"); !strings.Contains(notes, "are brighter than any sky, the first on line") {
		t.Errorf("notes %q", notes)
	}
}

func TestReadRefuses(t *testing.T) {
	hours := made()
	epw, tmy, csv := asEPW(hours), asTMY3(hours), asCSV(hours)
	line := func(text string, n int, change func(string) string) string {
		lines := strings.Split(text, "\n")
		lines[n-1] = change(lines[n-1])
		return strings.Join(lines, "\n")
	}
	cell := func(text string, n, c int, value string) string {
		return line(text, n, func(s string) string {
			cells := strings.Split(s, ",")
			cells[c] = value
			return strings.Join(cells, ",")
		})
	}
	black := append([][4]float64(nil), hours...)
	for i := 31 * 24; i < 59*24; i++ {
		black[i][0], black[i][1], black[i][2] = 0, 0, 0
	}
	dark := asCSV(black)
	gap := csv
	for n := 2000; n < 2004; n++ {
		gap = cell(gap, n, 2, "9999")
	}
	column := func(text string, n, c int) int { // where cell c of line n begins
		cells := strings.Split(strings.Split(text, "\n")[n-1], ",")
		return len([]rune(strings.Join(cells[:c], ","))) + 2
	}
	cut := func(text string, from, to int) string {
		lines := strings.Split(text, "\n")
		return strings.Join(append(lines[:from-1:from-1], lines[to-1:]...), "\n")
	}
	for name, c := range map[string]struct{ text, say string }{
		"empty":        {"", "w: empty; want hours of weather in the EPW, TMY3 or CSV layout"},
		"short epw":    {cut(epw, 5000, 5025), "w:5000:6: time: hour 07-29 01:00, not behind the line before; want 07-27 24:00"},
		"cut epw":      {cut(epw, 8000, 8769), "w:7999: 7991 hours without 29ths of February; want whole years: 8760, 17520, …"},
		"latitude":     {cell(epw, 1, 6, "91"), "w:1:38: latitude: 91 ° is not possible; want -90..90 °"},
		"no latitude":  {cell(epw, 1, 6, ""), "w:1:38: latitude: missing; want a number of ° in column 7"},
		"two an hour":  {cell(epw, 8, 2, "2"), "w:8:16: DATA PERIODS: 2 records an hour; want 1"},
		"month 13":     {cell(epw, 100, 1, "13"), "w:100:6: time: month 13, day 4, hour 20: no such hour; want 1..12, 1..31, 1..24"},
		"text":         {cell(epw, 100, 13, "high"), fmt.Sprintf("w:100:%d", column(epw, 100, 13)) + `: global horizontal: "high" is not a number; want a number, or an empty cell where it is missing`},
		"too bright":   {cell(epw, 100, 13, "2000"), fmt.Sprintf("w:100:%d", column(epw, 100, 13)) + ": global horizontal: 2000 Wh/m² is not possible; want -10..1500 Wh/m²"},
		"few columns":  {line(epw, 100, func(string) string { return "1999,1,4,20,60" }), "w:100: 5 columns; want 35, of which 22 are read"},
		"tmy columns":  {strings.Replace(tmy, "GHI (W/m^2)", "Global", 1), "w:2: GHI (W/m^2): no such column; want Date (MM/DD/YYYY), Time (HH:MM), GHI (W/m^2), DNI (W/m^2), DHI (W/m^2), Dry-bulb (C), Wspd (m/s)"},
		"tmy time":     {cell(tmy, 50, 1, "25:00"), "w:50:1: time: 01/02/1999 25:00: no such hour; want MM/DD/YYYY and 01:00..24:00"},
		"long gap":     {gap, "w:2000: global: missing for 4 hours; want at most 3 in a row"},
		"lines gone":   {cut(csv, 3000, 3010), fmt.Sprintf("w:3000:%d", column(csv, 3010, 1)) + ": time: 10 hours are missing before it; want at most 3 in a row"},
		"order":        {cell(csv, 3000, 1, "1999-01-01 01:00"), fmt.Sprintf("w:3000:%d", column(csv, 3000, 1)) + ": time: -2996h0m0s behind the line before; want whole hours, in order"},
		"half an hour": {cell(csv, 3000, 1, "1999-05-05 21:30"), fmt.Sprintf("w:3000:%d", column(csv, 3000, 1)) + ": time: 30m0s behind the line before; want whole hours, in order"},
		"dark month":   {dark, "w:747: global: 0 W/m² on average for the 672 hours of February, of 158 W/m² outside the air; want the light of the level"},
		"no time":      {strings.Replace(csv, ",time,", ",clock,", 1), "w:2:12: clock: no such column; " + columnsWanted + "\nw:2: time: no such column; " + columnsWanted},
		"no unit":      {strings.Replace(csv, "global [W/m2]", "global", 1), "w:2:17: global: no unit; want a unit in brackets such as global [W/m2]"},
		"wrong unit":   {strings.Replace(csv, "air [degC]", "air [V]", 1), `w:2:1: air: "V" is not a unit of it; want a unit in brackets such as air [degC]`},
		"twice":        {strings.Replace(csv, "wind [km/h]", "air [K]", 1), "w:2:47: air: given twice; want each column once"},
		"bad time":     {cell(csv, 10, 1, "soon"), fmt.Sprintf("w:10:%d", column(csv, 10, 1)) + `: time: "soon" is not a time; want 2024-07-01 13:00 in the place's standard time, or 2024-07-01T13:00:00+01:00`},
		"only a head":  {"time,global [W/m2],air [degC]\n", "w: 0 hours without 29ths of February; want whole years: 8760, 17520, …"},
		"half hours":   {"time,global [W/m2],air [degC]\n2024-01-01 00:30,1,1\n", "w:2:1: time: 23:30:00 is not a full hour of the place's clock; want hours such as 13:00"},
	} {
		_, err := Read("w", strings.NewReader(c.text), field52)
		if err == nil || err.Error() != c.say {
			t.Errorf("%s:\n got %v\nwant %s", name, err, c.say)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add("time,global [W/m2],air [degC]\n2024-01-01 01:00,1,1\n")
	f.Add("LOCATION,a,b,c,d,e,52,5,1,3\n")
	f.Add("1,\"a\",b,1,52,5,3\nDate (MM/DD/YYYY),Time (HH:MM)\n")
	f.Fuzz(func(t *testing.T, text string) {
		r, err := Read("w", strings.NewReader(text), field52)
		if (err == nil) != (r != nil) {
			t.Errorf("%v, %v", r, err)
		}
	})
}

// What a record's minutes have at the ends of hours is what the file has there, over midnight and New Year too.
func TestAirOfARecord(t *testing.T) {
	hours := made()
	r := read(t, asEPW(hours))
	y, m := r.Year(1, 0, sun.Plane{}), NewMinutes()
	for _, d := range []int{0, 1, 200, 364} {
		y.Day(d, m)
		before := hours[(24*d+len(hours)-1)%len(hours)][3]
		near(t, "first minute", m.Air[0]-273.15, before+(hours[24*d][3]-before)*0.5/60, 1e-9)
		near(t, "around 13:00", (m.Air[779]+m.Air[780])/2-273.15, hours[24*d+12][3]+(hours[24*d+13][3]-2*hours[24*d+12][3]+hours[24*d+11][3])*0.25/60, 1e-9)
	}
}

// Three years of hours give the spread of their months: of 0.9, 1 and 1.1 it is 0.1.
func TestMonthsOfSeveralYears(t *testing.T) {
	hours := made()
	var text strings.Builder
	text.WriteString("time,global [W/m2],air [degC]\n")
	at := time.Date(2021, 1, 1, 1, 0, 0, 0, time.UTC)
	for year, f := range []float64{0.9, 1, 1.1} {
		for i, h := range hours {
			fmt.Fprintf(&text, "%s,%g,%g\n", at.Add(time.Duration(year*24*Days+i)*time.Hour).Format("2006-01-02 15:04"), f*h[0], h[3]+float64(2*year))
		}
	}
	r := read(t, text.String())
	one := read(t, asCSV(hours)).Months()
	for m, got := range r.Months() {
		near(t, "sun", got.Global, one[m].Global, 1e-6*one[m].Global)
		near(t, "its spread", got.GlobalSpread, 0.1, 1e-9)
		near(t, "air", got.Air, one[m].Air+2, 1e-9)
		near(t, "its spread", got.AirSpread, 2, 1e-6)
		if one[m].GlobalSpread != 0 || one[m].AirSpread != 0 {
			t.Error("one year has no spread of its own")
		}
	}
	third, m := r.Year(1, 5, sun.Plane{}), NewMinutes()
	third.Day(100, m)
	near(t, "the third year again", mean(m.Global)*24, 1.1*sumOf(hours[2400:2424]), 1e-6)
}

func sumOf(hours [][4]float64) (global float64) {
	for _, h := range hours {
		global += h[0]
	}
	return global
}
