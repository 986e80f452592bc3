package charge

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hindwatt/internal/physics/sun/weather"
	"hindwatt/internal/study/charge/year"
)

// monthly is what the panel could charge at the battery's voltage in each month, C, mean over years.
func monthly(t *testing.T, in Input, years int) (sums [12]float64) {
	t.Helper()
	m := modelOf(t, &in)
	var tasks []task
	for n := range years {
		tasks = append(tasks, task{year: n, unit: in.nominal(), keep: true})
	}
	list, err := m.run(context.Background(), tasks)
	if err != nil {
		t.Fatal(err)
	}
	for i := range list {
		for d, day := range list[i].Days {
			var x year.Totals = day.Totals
			sums[weather.MonthOf(d)] += (x.Charged + x.Spilled) / float64(years)
		}
	}
	return sums
}

// TestTypicalYears: the charge of the synthetic year's months, made from nothing but a typical year's monthly means, against that of the typical year
// itself (TMY3, NREL/TP-581-43156; named by HINDWATT_WEATHER). Months are to agree within 5 %; those that do not are explained in docs/models.md: their beam is
// another than the Erbs split and the days' usual spread give.
func TestTypicalYears(t *testing.T) {
	dir := os.Getenv("HINDWATT_WEATHER")
	if dir == "" {
		t.Skip("HINDWATT_WEATHER does not name a folder with typical years")
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.epw"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no *.epw in %s: %v", dir, err)
	}
	square, beyond, all := 0.0, 0, 0.0
	for _, file := range files {
		f, err := os.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		record, err := weather.Read(filepath.Base(file), f, weather.Site{})
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		in := held()
		in.Latitude, in.Longitude, in.Elevation = of(record.Site.Latitude), of(record.Site.Longitude), of(record.Site.Elevation)
		in.Panel.Tilt = of(record.Site.Latitude)
		made := in
		made.MeanYear, made.Sun, made.Air = true, nil, nil
		swing := 0.0
		for _, m := range record.Months() {
			made.Sun, made.Air, swing = append(made.Sun, *of(m.Global)), append(made.Air, *of(m.Air)), swing+m.Swing/12
		}
		made.Swing = of(swing)
		in.Weather, in.WeatherFrom = record, filepath.Base(file)
		got, want := monthly(t, made, 8), monthly(t, in, 1)
		sumGot, sumWant, name := 0.0, 0.0, strings.Split(record.Title, " ")[0]
		for m := range got {
			off := got[m]/want[m] - 1
			sumGot, sumWant = sumGot+got[m], sumWant+want[m]
			square, all = square+off*off, all+1
			if math.Abs(off) > 0.05 {
				beyond++
				t.Logf("%s month %d: off by %+.1f %%", name, m+1, 100*off)
			}
			if math.Abs(off) > 0.15 {
				t.Errorf("%s month %d: off by %+.1f %%", name, m+1, 100*off)
			}
		}
		t.Logf("%s: the year is off by %+.2f %%", name, 100*(sumGot/sumWant-1))
		if math.Abs(sumGot/sumWant-1) > 0.05 {
			t.Errorf("%s: the year is off by %+.2f %%", name, 100*(sumGot/sumWant-1))
		}
	}
	t.Logf("%d of %.0f months beyond 5 %%, root mean square %.2f %%", beyond, all, 100*math.Sqrt(square/all))
	if math.Sqrt(square/all) > 0.05 {
		t.Error("the root mean square of the months is beyond 5 %")
	}
}
