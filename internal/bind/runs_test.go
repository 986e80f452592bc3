package bind

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"hindwatt/internal/numeric"
	"hindwatt/internal/product"
	"hindwatt/internal/study/bench/trace/curve"
	"hindwatt/internal/study/bench/trace/sweep"
)

// The runs and logs of these tests are invented; the folder is the demo's.

const dayRun = `kind = "curve"
serial = "0999"
revision = "C"
shows = ["setpoint.absorption", "setpoint.float"]
meter = "bench-2"
averaging = "400 ms"
[column.Datum]
is = "date"
[column.Zeit]
is = "time"
[column.U]
is = "battery voltage"
[column.I]
is = "charge current"
meter = "pocket"
[column.T]
is = "temperature"
place = "battery"
[span.plug]
from = "0 s"
until = "10 min"
left_out = true
`

// dayLog is a day as a logger writes it: semicolons, decimal commas, a row of units, an over-range mark.
func dayLog() []byte {
	var b bytes.Buffer
	b.WriteString("Datum;Zeit;U;I;T\r\n;;V;A;°C\r\n")
	s := numeric.NewStream(41)
	start := time.Date(2024, 5, 12, 6, 0, 0, 0, time.UTC)
	for i := range 12 * 360 {
		hours := float64(i) / 360
		v, c := 25.0+3.8*min(hours/4, 1), 4.0
		switch {
		case hours > 6:
			v, c = 27.35+1.45*math.Exp(-(hours-6)*15), 0.4
		case hours > 4:
			c = 4 * math.Exp(-(hours - 4))
		}
		cells := fmt.Sprintf("%.3f;%.2f;%.1f", v+0.003*s.Norm(), c, 25+0.05*s.Norm())
		if i == 1000 {
			cells = "OL;" + cells[strings.IndexByte(cells, ';')+1:]
		}
		b.WriteString(start.Add(time.Duration(10*i)*time.Second).Format("02.01.2006;15:04:05;") + strings.ReplaceAll(cells, ".", ",") + "\r\n")
	}
	return b.Bytes()
}

func withRuns(t *testing.T, files map[string]string) *product.Product {
	t.Helper()
	var options []product.Option
	for name, text := range files {
		options = append(options, product.With("bench/"+name, []byte(text)))
	}
	f, err := product.Read("../../demo/osier-24", options...)
	if err != nil {
		t.Fatal(err)
	}
	p, err := f.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestCurve(t *testing.T) {
	p := withRuns(t, map[string]string{"day.toml": dayRun, "day.csv": string(dayLog())})
	in, notes, err := Curve(p, "day")
	if err != nil {
		t.Fatal(err)
	}
	if in.Gauge.Meter == nil || in.Gauge.Meter.Name != "bench-2" || in.Compensation != -0.036 || len(in.Targets) != 2 {
		t.Errorf("input %+v", in.Gauge.Meter)
	}
	if in.Pulse.Low >= 100 || in.Pulse.High <= 100 || in.Pulse.Averaging != 0.4 || math.Abs(in.Pulse.Swing-4*0.045) > 1e-9 {
		t.Errorf("pulse %+v", in.Pulse)
	}
	if in.Time[0] != 600 || in.Temperature == nil || in.Panel != nil {
		t.Errorf("begins at %g s, %d temperatures", in.Time[0], len(in.Temperature))
	}
	if len(notes) != 1 || notes[0].From != "bench/day.csv:1003" || notes[0].Text != `not read: line 1003: U: "OL": beyond the meter's range` {
		t.Errorf("notes %+v", notes)
	}
	r, err := curve.Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]float64{"absorption": 28.8, "float": 27.35} {
		if held := r.Plateau(name); held == nil || math.Abs(held.Level.Best-want) > 0.01 {
			t.Errorf("%s: %+v; want %g", name, held, want)
		}
	}
}

// A reading by a run belongs to the run's revision, and is another controller's where it says so.
func TestRunReading(t *testing.T) {
	p := withRuns(t, map[string]string{"day.toml": dayRun, "day.csv": "", "strange.toml": strings.Replace(dayRun, `"C"`, `"other"`, 1)})
	r := RunReading(p.Folder.Runs.Get("day"), 1, "0999")
	if !Belongs(p, r) || r.What.Text != "setpoint.float" || r.Serial.Text != "0999" || r.Origin.String() != "bench/day.toml:4" {
		t.Errorf("%+v", r)
	}
	if Belongs(p, RunReading(p.Folder.Runs.Get("strange"), 0, "")) {
		t.Error("another controller's level counts for this product")
	}
}

func TestSweep(t *testing.T) {
	var b bytes.Buffer
	b.WriteString("t (s),U (V),A,B\n")
	on, at := [2]bool{true, true}, 0
	for range 3 {
		for _, leg := range [][2]float64{{26.5, 21.5}, {21.5, 26.5}} {
			for i := range 500 {
				v := leg[0] + (leg[1]-leg[0])*float64(i)/500
				for u, off := range [2]float64{22.81, 22.74} {
					on[u] = on[u] && v > off || v > off+2.4
				}
				fmt.Fprintf(&b, "%d,%.3f", at, v)
				for _, closed := range on {
					if closed {
						fmt.Fprintf(&b, ",%.3f", v-0.1)
					} else {
						b.WriteString(",0.000")
					}
				}
				b.WriteString("\n")
				at++
			}
		}
	}
	p := withRuns(t, map[string]string{"sweep.csv": b.String(), "sweep.toml": `kind = "thresholds"
shows = ["setpoint.load-disconnect", "setpoint.load-reconnect"]
meter = "bench-1"
column.t.is = "time"
column.U.is = "supply voltage"
column.A = { is = "output voltage", serial = "0901", unit = "V" }
column.B = { is = "output voltage", serial = "0902", unit = "V" }
`})
	in, _, err := Sweep(p, "sweep")
	if err != nil {
		t.Fatal(err)
	}
	if in.Compensation != 0 || len(in.Units) != 2 || in.Units[1].Serial != "0902" {
		t.Errorf("compensation %g, %d units", in.Compensation, len(in.Units))
	}
	r, err := sweep.Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	for _, th := range r.Thresholds {
		want := map[string]float64{"0901falling": 22.81, "0902falling": 22.74, "0901rising": 25.21, "0902rising": 25.14}[th.Unit+th.Direction]
		if math.Abs(th.Best-want) > 0.011 || len(th.Points) != 3 && th.Direction == sweep.Falling {
			t.Errorf("%s %s: %g from %d points; want %g", th.Unit, th.Direction, th.Best, len(th.Points), want)
		}
	}
}

// What is wrong with one log is an error with its file and line; the folder is read all the same.
func TestRunsAtFault(t *testing.T) {
	p := withRuns(t, map[string]string{"day.toml": dayRun, "none.toml": dayRun, "day.csv": "Datum;Zeit;U;I;T\n;;V;A;°C\n12.05.2024;10:00:00;27,3;1,0;25,0\n12.05.2024;09:00:00;27,3;1,0;25,0\n",
		"bare.toml": "kind = \"curve\"\ninterval = \"1 s\"\ncolumn.T.is = \"temperature\"\n", "bare.csv": "T (°C)\n25.0\n"})
	for name, want := range map[string]string{
		"day":  `bench/day.csv:4:1: "09:00:00": time runs backwards by 60 min; the clock may have been set back to winter time: cut the log there, or let the logger use UTC`,
		"none": "bench/none.csv: there is no such file; want the run's log there, or its name as log = … in the run",
		"bare": `column: has no column of the battery voltage; want a [column.NAME] with is = "battery voltage" in bench/bare.toml`,
		"nil":  "bench: nil: there is no such run; want bare, day, full-day, load-points, none, two-on-a-rig, warm-hour or yard-sweep",
	} {
		_, _, err := Curve(p, name)
		var fault *product.Error
		if err == nil || !errors.As(err, &fault) || !strings.HasSuffix(err.Error(), want) {
			t.Errorf("%s: %v; want %s", name, err, want)
		}
	}
}
