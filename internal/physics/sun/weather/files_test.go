package weather

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hindwatt/internal/physics/sun"
)

// typicalYears reads the typical years (TMY3, NREL/TP-581-43156, in the EPW layout) that HINDWATT_WEATHER names.
func typicalYears(t testing.TB) map[string]*Record {
	t.Helper()
	dir := os.Getenv("HINDWATT_WEATHER")
	if dir == "" {
		t.Skip("HINDWATT_WEATHER does not name a folder with typical years")
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.epw"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no .epw in %s: %v", dir, err)
	}
	years := map[string]*Record{}
	for _, file := range files {
		f, err := os.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		r, err := Read(filepath.Base(file), f, Site{})
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		years[strings.Split(r.Title, " ")[0]] = r
	}
	return years
}

func TestLook(t *testing.T) {
	for name, r := range typicalYears(t) {
		t.Log(name, r.Site, r.Notes)
		var d, e, g, a float64
		var clear []float64
		for i, h := range r.Years[0] {
			var v [60]sun.Vector
			r.tracks[i/24].Fill(v[:], float64(i%24*3600)+30, 60)
			out, c := 0.0, 0.0
			for _, x := range v {
				out += max(0, x.Up) * r.tracks[i/24].Outside / 60
				c += sun.ClearSky(x.Up) / 60
			}
			g += h.Global / 365e3
			a += h.Air / 8760
			if out > 0 {
				d += h.Diffuse
				e += h.Global * sun.DiffuseOfHour(h.Global/out)
			}
			if c > 200 {
				clear = append(clear, h.Global/c)
			}
		}
		n := NewMinutes()
		_ = n
		k := 0
		for _, x := range clear {
			if x > 1.15 {
				k++
			}
		}
		t.Logf("GHI %.2f T %.1f  Erbs bias %+.1f %%  above 1.15: %d of %d  %v", g, a-273.15, 100*(e/d-1), k, len(clear), math.Pi)
	}
}
