package promise

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/page"
	"hindwatt/internal/product"
)

// warming is a soak of d1 at 5 A, simulated (invented): 30 K above 20 °C, logged until so many minutes have gone.
func warming(minutes int) string {
	var b strings.Builder
	b.WriteString("min,air (°C),d1 (°C)\n")
	for n := range minutes * 6 {
		t := float64(n) / 6
		fmt.Fprintf(&b, "%.3f,%.1f,%.1f\n", t, 20.0, 20+30*(1-math.Exp(-t/10)))
	}
	return b.String()
}

const soakRun = `kind = "soak"
date = 2024-05-12
serial = "0999"
revision = "C"
shows = "rating.temperature.d1"
meter = "bench-2"
conditions = { charge_current = "5 A" }
column.min = { is = "time", unit = "min" }
column.air = { is = "temperature", place = "air" }
column.d1 = { is = "temperature", place = "tab of d1" }
`

// benchFaults are what is said of the runs of a folder: in check, and on the page of the bench.
func benchFaults(t *testing.T, what string, files map[string]string) (from []string, noted, told []page.Note) {
	t.Helper()
	p, err := withBench(t, files).Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	s := newSession(p, Options{Seed: 1})
	for _, r := range s.byRuns(what) {
		from = append(from, r.Origin.String())
	}
	var shown page.Page
	s.tellRuns(&shown, s.newAnswer("bench"))
	return from, s.told.notes, shown.Warnings
}

func says(notes []page.Note, text string) bool {
	return slices.ContainsFunc(notes, func(n page.Note) bool { return strings.Contains(n.Text, text) && n.Remedy != "" })
}

// The last readings of a warm-up, with the current that was held, stand as a reading by hand would.
func TestSoakIsAReading(t *testing.T) {
	p, err := withBench(t, map[string]string{"oven.toml": soakRun, "oven.csv": warming(60)}).Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	s := newSession(p, Options{Seed: 1})
	rows := s.byRuns("rating.temperature.d1")
	i := slices.IndexFunc(rows, func(r product.Reading) bool { return strings.Contains(r.Origin.String(), "oven") })
	if i < 0 {
		t.Fatalf("%d rows", len(rows))
	}
	r := rows[i]
	if math.Abs(r.Value.Value-323.15) > 0.1 || r.ChargeCurrent.Value != 5 || math.Abs(r.Ambient.Value-293.15) > 1e-9 || r.Meter.Text != "bench-2" || !(r.Value.SD > 0 && r.Value.SD < 0.2) {
		t.Errorf("%+v, %v A at %v K by %s", r.Value.Quantity, r.ChargeCurrent.Value, r.Ambient.Value, r.Meter.Text)
	}
	all := s.ratingGatherings("temperature.d1")
	if !slices.ContainsFunc(all, func(g gathering) bool { return g.held("temperature.d1").Current == 5 }) {
		t.Errorf("%d gatherings", len(all))
	}
}

// A bad log of a soak gives a message and no reading; the others count.
func TestSoaksAtFault(t *testing.T) {
	good := warming(60)
	lines := strings.Split(good, "\n")
	alike := lines[0] + "\n"
	for n := range 60 {
		alike += fmt.Sprintf("%d,20.0,20.0\n", n)
	}
	rising := lines[0] + "\n" // as straight as a draught lets it
	for n := range 30 {
		rising += fmt.Sprintf("%.2f,20.0,%.1f\n", float64(n)/6, 20+0.1*float64(n)+0.3*float64(n%2))
	}
	bad := map[string][2]string{
		"backwards": {lines[0] + "\n" + lines[3] + "\n" + lines[1] + "\n" + lines[2] + "\n", "bench/backwards.csv:3:1: "},
		"texts":     {strings.ReplaceAll(strings.Join(lines[:50], "\n"), ",2", ",x2") + "\n", "bench/texts.csv:27:1: "},
		"cut":       {strings.Join(lines[:200], "\n") + "\n33.1,2", "bench/cut.csv:201:1: the last line is cut"},
		"two":       {strings.Join(lines[:3], "\n") + "\n", "soak: tab of d1: 2 readings; want 8 or more"},
		"alike":     {alike, "soak: tab of d1: all 60 temperatures are 20.0 °C; want those of a warm-up"},
		"early":     {rising, "shows nothing yet: the run was stopped before the steady temperature had limits"},
	}
	files := map[string]string{"good.toml": soakRun, "good.csv": good, "none.toml": soakRun,
		"elsewhere.toml": strings.Replace(soakRun, "temperature.d1", "temperature.q1", 1), "elsewhere.csv": good}
	for name, c := range bad {
		files[name+".toml"], files[name+".csv"] = soakRun, c[0]
	}
	bad["none"] = [2]string{"", "bench/none.csv: there is no such file"}
	from, noted, told := benchFaults(t, "rating.temperature.d1", files)
	if fmt.Sprint(from) != "[bench/good.toml:5 bench/warm-hour.toml:10]" {
		t.Errorf("readings from %v", from)
	}
	for name, c := range bad {
		if !says(noted, c[1]) || !says(told, c[1]) {
			t.Errorf("%s: %q is not said in check (%v) or on the page (%v)", name, c[1], says(noted, c[1]), says(told, c[1]))
		}
	}
	if t.Failed() {
		for _, n := range told {
			t.Log(n.Text)
		}
	}
	if !says(told, "bench/elsewhere.toml:5 shows nothing: no probe of the log sat there") {
		t.Error("a probe that sat elsewhere is not said")
	}
}

// A thermometer that is not known limits nothing.
func TestSoakWithoutMeter(t *testing.T) {
	p, err := withBench(t, map[string]string{"oven.toml": strings.Replace(soakRun, "meter = \"bench-2\"\n", "meter = \"pocket\"\n", 1), "oven.csv": warming(60)}).Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	s := newSession(p, Options{Seed: 1})
	for _, g := range s.ratingGatherings("temperature.d1") {
		if g.held("").Current != 5 {
			continue
		}
		if r := g.readings[0]; r.Meter != nil || r.Unrated != "pocket" {
			t.Errorf("%+v", r)
		}
		return
	}
	t.Error("no reading at 5 A")
}

// panelRun and pairRun are what the demo's logs are read by.
const (
	panelRun = "kind = \"iv\"\nmeter = \"logger\"\nconditions = { cells = \"41 °C\", irradiance = \"870 W/m2\" }\ninterval = \"66 ms\"\n" +
		"column.V = { is = \"panel voltage\", unit = \"V\" }\ncolumn.A = { is = \"panel current\", unit = \"A\" }\n"
	pairRun = "kind = \"pair\"\nmeter = \"logger\"\ncolumn.t = { is = \"time\", unit = \"s\" }\ncolumn.U.is = \"battery voltage\"\n" +
		"span.a = { until = \"5 min\", serial = \"0999\" }\nspan.b = { from = \"5 min\", until = \"10 min\", revision = \"other\" }\nspan.c = { from = \"10 min\", serial = \"0999\" }\n"
)

// Bad logs of panels and of pairs give a message, and the others count.
func TestPanelsAndPairsAtFault(t *testing.T) {
	sweep, pair := "V,A\n", "t,U (V)\n"
	for n := range 60 {
		v := 0.35 * float64(n)
		sweep += fmt.Sprintf("%.3f,%.3f\n", v, max(0, 2.7-2.7*math.Exp((v-20.5)/1.1)))
	}
	for n := range 90 {
		pair += fmt.Sprintf("%d,%.3f\n", 10*n, 27.3+0.001*float64(n%7)+0.1*float64(n/30%2))
	}
	lines := func(s string, n int) string { return strings.Join(strings.Split(s, "\n")[:n], "\n") + "\n" }
	alike := func(head, row string) string { return head + strings.Repeat(row, 60) }
	steady := "t,U (V)\n"
	for n := range 90 {
		steady += fmt.Sprintf("%d,27.300\n", 10*n)
	}
	bad := map[string][3]string{ // run, log, and what is said of it
		"iv-texts":     {panelRun, strings.ReplaceAll(sweep, ",2", ",x2"), "bench/iv-texts.csv:2:1: "},
		"iv-cut":       {panelRun, sweep + "20.1", "bench/iv-cut.csv:62:1: the last line is cut"},
		"iv-two":       {panelRun, lines(sweep, 3), "2 readings; want 8 or more"},
		"iv-alike":     {panelRun, alike("V,A\n", "5.000,2.600\n"), "iv: iv-alike: "},
		"iv-part":      {panelRun, lines(sweep, 20), "iv: iv-part: "},
		"iv-shows":     {panelRun[:12] + "shows = \"rating.current\"\n" + panelRun[12:], sweep, "shows nothing: a sweep of a panel judges no promise"},
		"pair-back":    {pairRun, lines(pair, 40) + lines(pair, 30)[8:], "bench/pair-back.csv:41:1: "},
		"pair-texts":   {pairRun, strings.ReplaceAll(pair, ",2", ",x2"), "bench/pair-texts.csv:2:1: "},
		"pair-cut":     {pairRun, pair + "90", "bench/pair-cut.csv:92:1: the last line is cut"},
		"pair-two":     {pairRun, lines(pair, 3), "pair: battery voltage: "},
		"pair-one":     {strings.ReplaceAll(pairRun, "revision = \"other\"", "serial = \"0999\""), pair, "names no two controllers"},
		"pair-alike":   {pairRun, steady, "all readings of the battery voltage are 27.300 V"},
		"pair-unrated": {strings.Replace(pairRun, "logger", "gauge", 1), pair, "the accuracy of a meter is not known"},
	}
	files := map[string]string{"good.toml": floatRun, "good.csv": floatLog(27.32, 0)}
	for name, c := range bad {
		files[name+".toml"], files[name+".csv"] = strings.Replace(c[0], "gauge", "thermo", 1), c[1]
	}
	files["meters.toml"] = "[meter.bench-1]\nvoltage = { accuracy = \"±(0.05 % + 3 digits)\", digit = \"1 mV\" }\n[meter.bench-2]\nvoltage = { accuracy = \"±(0.1 % + 2 digits)\", digit = \"10 mV\" }\n" +
		"[meter.pocket]\ncurrent = { accuracy = \"±1 %\" }\n[meter.thermo]\ntemperature = { accuracy = \"±1 K\" }\n[meter.logger]\nvoltage = { accuracy = \"±0.1 %\" }\ncurrent = { accuracy = \"±1 %\" }\n"
	from, _, told := benchFaults(t, "setpoint.float", files)
	if !slices.Contains(from, "bench/good.toml:5") {
		t.Errorf("readings from %v", from)
	}
	for name, c := range bad {
		if c[2] != "" && !says(told, c[2]) {
			t.Errorf("%s: %q is not said", name, c[2])
		}
	}
	if t.Failed() {
		for _, n := range told {
			t.Log(n.Text)
		}
	}
}
