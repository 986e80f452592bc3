package bind

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"hindwatt/demo"
	"hindwatt/internal/product"
	"hindwatt/internal/study/charge"
)

// hours is a year of weather made for this test in the plain layout, line 0 the names of the columns: the sun up from 6 to 18, 250 W/m²
// a day on average.
func hours() []string {
	lines := []string{"time,global [W/m2],air [degC]"}
	for h := range 8760 {
		at := time.Date(2023, 1, 1, 1, 0, 0, 0, time.UTC).Add(time.Duration(h) * time.Hour)
		sun := max(0, 250*math.Pi*math.Sin(float64(h%24+1)*math.Pi/12-math.Pi/2-math.Pi/24))
		lines = append(lines, fmt.Sprintf("%s,%.1f,%.1f", at.Format("2006-01-02 15:04"), sun, 15+10*math.Sin(float64(h%24)*math.Pi/12)))
	}
	return lines
}

// placed is the example with a file of weather in its hot place, and other changes.
func placed(t *testing.T, file, text string, changes ...[2]string) (charge.Input, error) {
	t.Helper()
	dir := t.TempDir()
	if err := demo.Write(dir); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, file), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range append(changes, [2]string{"weather", `"` + file + `"`}) {
		var err error
		if c[1] == "" {
			_, err = product.Unset(dir, "installations/hot-ford.toml", c[0])
		} else {
			_, err = product.Set(dir, "installations/hot-ford.toml", c[0], c[1])
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	folder, err := product.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	p, err := folder.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	return Charge(p, "hot-ford")
}

func TestWeatherThroughAFolder(t *testing.T) {
	lines := hours()
	lines[13] = lines[13][:strings.Index(lines[13], ",")] + ",," // one hour without figures
	in, err := placed(t, "hours.csv", strings.Join(lines, "\n"), [2]string{"sun", ""}, [2]string{"air", ""}, [2]string{"swing", ""})
	if err != nil {
		t.Fatal(err)
	}
	if in.Weather == nil || len(in.Weather.Years) != 1 || in.WeatherFrom != "hours.csv" {
		t.Fatalf("weather %+v from %q", in.Weather, in.WeatherFrom)
	}
	if notes := strings.Join(in.Weather.Notes, "\n"); !strings.Contains(notes, "1 hours were missing and are bridged") {
		t.Errorf("the gap is not told: %s", notes)
	}
	in.Years = 2
	r, err := charge.Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if lacks := r.Lacks(); len(lacks) > 0 || len(r.Years) != 2 {
		t.Fatalf("%d years, lacks %v", len(r.Years), lacks)
	}
	if r.Years[0].Sun == r.Years[1].Sun || math.Abs(r.Years[0].Sun/r.Years[1].Sun-1) > 0.01 {
		t.Errorf("two years of the same hours: %g and %g J/m²", r.Years[0].Sun, r.Years[1].Sun)
	}
	if said := r.Says("taken", 0.95); !strings.Contains(said, "hours of hours.csv") || !strings.Contains(said, "not good years and bad ones") {
		t.Errorf("what the interval contains is not said: %s", said)
	}
}

func TestWeatherRefused(t *testing.T) {
	whole := hours()
	long := append([]string{}, whole...)
	for i := 100; i < 106; i++ {
		long[i] = long[i][:strings.Index(long[i], ",")] + ",,"
	}
	for name, c := range map[string]struct {
		lines []string
		want  string
	}{
		"a long gap":       {long, "hours.csv:101: global: missing for 6 hours; want at most 3 in a row"},
		"an hour short":    {whole[:len(whole)-1], "hours.csv:8760: 8759 hours without 29ths of February; want whole years"},
		"no such column":   {append([]string{"time,global [W/m2],heat [degC]"}, whole[1:]...), "hours.csv:1:"},
		"not of this unit": {append([]string{"time,global [V],air [degC]"}, whole[1:]...), "hours.csv:1:"},
	} {
		if _, err := placed(t, "hours.csv", strings.Join(c.lines, "\n")); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %s", name, err, c.want)
		}
	}
	in, err := placed(t, "hours.csv", strings.Join(whole, "\n"), [2]string{"latitude", ""})
	if err != nil {
		t.Fatal(err)
	}
	r, err := charge.Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if lacks := r.Lacks(); len(lacks) != 1 || lacks[0].Key != "latitude" {
		t.Errorf("columns without a place lack %v, want latitude", lacks)
	}
}

// A typical year through a folder. What falls on a plane facing south at the latitude's tilt, ground 0.2, is held against 6.44 kWh/m² a
// day, as another program computed it from the same file; the difference is what the panel's glass turns away.
func TestTypicalYearThroughAFolder(t *testing.T) {
	dir := os.Getenv("HINDWATT_WEATHER")
	if dir == "" {
		t.Skip("HINDWATT_WEATHER does not name a folder with typical years")
	}
	files, err := filepath.Glob(filepath.Join(dir, "*Phoenix*.epw"))
	if err != nil || len(files) != 1 {
		t.Fatalf("%v, %v", files, err)
	}
	text, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	in, err := placed(t, "phoenix.epw", string(text), [2]string{"panel.tilt", `"33.45°"`}, [2]string{"panel.azimuth", `"180°"`}, [2]string{"panel.ground", "0.2"}, [2]string{"panel.soiling", `"0 %"`})
	if err != nil {
		t.Fatal(err)
	}
	if at := in.Latitude.Quantity.Value * 180 / math.Pi; math.Abs(at-33.45) > 0.01 || in.Latitude.From != "phoenix.epw" {
		t.Errorf("latitude %.2f° from %s, want the file's", at, in.Latitude.From)
	}
	in.Years = 2
	r, err := charge.Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	daily := r.Years[0].Sun / 365 / 3.6e6
	t.Logf("%.2f kWh/m² a day", daily)
	if daily > 6.44*1.02 || daily < 6.44*0.95 {
		t.Errorf("%.2f kWh/m² a day on the panel, want 6.44 less some 2 %% at the glass", daily)
	}
}
