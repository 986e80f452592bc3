package promise

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"hindwatt/demo"
	"hindwatt/internal/bind"
	"hindwatt/internal/numeric"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
)

// The runs and logs of these tests are simulated; the units in them are invented.

// floatLog is an afternoon on which a battery is filled and held, the logged meter off by gain.
func floatLog(held, gain float64) string {
	var b bytes.Buffer
	b.WriteString("Time,U (V),I (A),T (°C)\n")
	s := numeric.NewStream(51)
	start := time.Date(2024, 5, 12, 8, 0, 0, 0, time.UTC)
	for i := range 3600 {
		hours := float64(i) / 360
		kelvin := 21 + 0.05*s.Norm()
		v, c := 25+3.94*min(hours/3, 1), 3.0
		switch {
		case hours > 5:
			v, c = held-0.036*(kelvin-25)+1.5*math.Exp(-(hours-5)*15), 0.3
		case hours > 3:
			c = 3 * math.Exp(-(hours - 3))
		}
		fmt.Fprintf(&b, "%s,%.3f,%.2f,%.1f\n", start.Add(time.Duration(10*i)*time.Second).Format(time.DateTime), (v+0.002*s.Norm())*(1+gain), c, kelvin)
	}
	return b.String()
}

const floatRun = `kind = "curve"
date = 2024-05-12
serial = "0999"
revision = "C"
shows = "setpoint.float"
meter = "bench-1"
averaging = "400 ms"
column.Time.is = "time"
column.U.is = "battery voltage"
column.I = { is = "charge current", meter = "pocket" }
column.T = { is = "temperature", place = "battery" }
`

// withBench writes the example product with runs.
func withBench(t *testing.T, files map[string]string) *product.Folder {
	t.Helper()
	dir := t.TempDir()
	if err := demo.Write(dir); err != nil {
		t.Fatal(err)
	}
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, "bench", name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	folder, err := product.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	return folder
}

// judgedFloat judges the promise on the float alone.
func judgedFloat(t *testing.T, folder *product.Folder) Judged {
	t.Helper()
	p, err := folder.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	asked := p.Promises.Get("float")
	j := newJudged("float", asked)
	if err := newSession(p, Options{Seed: 1, VerdictsOnly: true}).judge(context.Background(), asked, &j); err != nil {
		t.Fatal(err)
	}
	return j
}

// A level in a log is a reading like one by hand: it joins those of the same revision, with the meter's accuracy.
func TestRunIsEvidence(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the setpoint study")
	}
	j := judgedFloat(t, withBench(t, map[string]string{"day.toml": floatRun, "day.csv": floatLog(27.32, 0)}))
	found := false
	for _, e := range j.Evidence {
		if strings.Contains(fmt.Sprint(e.From), "bench/day.toml:5") {
			found = e.Kind == Measured && !e.OpenLow && !e.OpenHigh
		}
	}
	if !found {
		t.Errorf("no evidence with limits comes from the log: %+v", j.Evidence)
	}
}

// readingsOf are the readings that the runs of a folder show, by the place that they come from.
func readingsOf(t *testing.T, files map[string]string) (froms []string, s *session) {
	t.Helper()
	p, err := withBench(t, files).Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	s = newSession(p, Options{Seed: 1})
	for _, r := range s.byRuns("setpoint.float") {
		froms = append(froms, r.Origin.String())
	}
	return froms, s
}

// Another controller's log is no evidence for this one, nor is that of another revision.
func TestRunsOfOthers(t *testing.T) {
	files := map[string]string{"mine.toml": floatRun, "mine.csv": floatLog(27.32, 0)}
	for name, revision := range map[string]string{"rival": `"other"`, "older": `"A"`} {
		files[name+".toml"] = strings.Replace(floatRun, `"C"`, revision, 1)
		files[name+".csv"] = files["mine.csv"]
	}
	if got, _ := readingsOf(t, files); fmt.Sprint(got) != "[bench/full-day.toml:9 bench/mine.toml:5]" {
		t.Errorf("readings from %v", got)
	}
}

// A bad log gives a message with its line and no reading; the others count.
func TestRunsAtFault(t *testing.T) {
	good := floatLog(27.32, 0)
	lines := strings.Split(good, "\n")
	alike := lines[0] + "\n"
	for i := range 60 {
		alike += fmt.Sprintf("2024-05-12 10:00:%02d,27.3,0.3,21.0\n", i)
	}
	bad := map[string][2]string{ // log, and what is said of it
		"backwards": {lines[0] + "\n" + lines[2] + "\n" + lines[1] + "\n", "bench/backwards.csv:3:1: "},
		"texts":     {strings.ReplaceAll(strings.Join(lines[:50], "\n"), ",2", ",x2") + "\n", "bench/texts.csv:2:1: "},
		"cut":       {strings.Join(lines[:400], "\n") + "\n2024-05-12 10:00", "bench/cut.csv:401:1: the last line is cut"},
		"two":       {strings.Join(lines[:3], "\n") + "\n", "bench/two.csv: has 2 rows"},
		"alike":     {alike, "bench/alike.csv: all 60 voltages are 27.300 V"},
		"night":     {strings.Join(lines[:800], "\n") + "\n", "bench/night.toml:5 shows nothing"},
	}
	files := map[string]string{"good.toml": floatRun, "good.csv": good, "none.toml": floatRun}
	for name, c := range bad {
		files[name+".toml"], files[name+".csv"] = floatRun, c[0]
	}
	bad["none"] = [2]string{"", "bench/none.csv: there is no such file"}
	got, s := readingsOf(t, files)
	if fmt.Sprint(got) != "[bench/full-day.toml:9 bench/good.toml:5]" {
		t.Errorf("readings from %v", got)
	}
	var shown page.Page
	s.tellRuns(&shown, s.newAnswer("bench"))
	for name, c := range bad {
		noted := slices.ContainsFunc(s.told.notes, func(n page.Note) bool { return strings.Contains(n.Text, c[1]) && n.Remedy != "" })
		told := slices.ContainsFunc(shown.Warnings, func(n page.Note) bool { return strings.Contains(n.Text, c[1]) })
		if !noted || !told {
			t.Errorf("%s: %q is not said in check (%v) or on the page (%v)", name, c[1], noted, told)
		}
	}
}

// A log by a meter that is not known limits nothing.
func TestRunWithoutMeter(t *testing.T) {
	_, s := readingsOf(t, map[string]string{"day.toml": strings.Replace(floatRun, "meter = \"bench-1\"\n", "", 1), "day.csv": floatLog(27.32, 0)})
	r := s.byRuns("setpoint.float")[0]
	if in := bind.Bench(s.product, r); in.Meter != nil || in.Value.SD <= 0 {
		t.Errorf("%+v", in)
	}
}

func TestRunsOnTheBenchPage(t *testing.T) {
	folder := withBench(t, map[string]string{"day.toml": floatRun, "day.csv": floatLog(27.32, 0), "rival.toml": strings.Replace(floatRun, `"C"`, `"other"`, 1), "rival.csv": floatLog(27.9, 0)})
	p, _ := folder.Resolve("")
	told, err := Study(context.Background(), p, "bench", Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	said := strings.Join(told.Pages[0].Answer, "\n")
	for _, want := range []string{"Day: Absorption: held at 28.9", "float: held at 27.4", "Rival: "} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not in %s", want, said)
		}
	}
	names := map[string]float64{}
	for _, f := range told.Figures {
		names[f.Name] = f.Best
	}
	if got := names["day float"]; math.Abs(got-27.464) > 0.005 { // 27.32 V at 25 °C, held at 21 °C
		t.Errorf("day float is %g in %v", got, names)
	}
}
