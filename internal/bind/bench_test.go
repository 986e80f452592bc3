package bind

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hindwatt/demo"
	"hindwatt/internal/numeric"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench/iv"
	"hindwatt/internal/study/bench/pair"
	"hindwatt/internal/study/bench/soak"
)

// The demo's soak: what its generator put in comes out: 9.8 A, 0.76 V across the controller, 7.4 W.
func TestSoak(t *testing.T) {
	in, notes, err := Soaks(exampleProduct(t), "warm-hour")
	if err != nil || len(notes) > 0 {
		t.Fatal(err, notes)
	}
	if len(in.Places) != 2 || !in.Places[0].Is("d1") || in.Places[0].Is("case") || !in.Places[1].Is("case") || len(in.Drops) != 1 || !in.Drops[0].Is("controller") {
		t.Fatalf("%d places, %d drops", len(in.Places), len(in.Drops))
	}
	if math.Abs(*in.Current-9.8) > 0.005*9.8+0.005 || in.Load != nil {
		t.Errorf("%v A", *in.Current)
	}
	if p := in.Places[1].Power; p == nil || math.Abs(p.Value-mean(in.Drops[0].Late)**in.Current) > 1e-9 || !(p.SD > 0) || in.Places[0].Power != nil {
		t.Errorf("power %+v of the case, %+v of d1", p, in.Places[0].Power)
	}
	if m := in.Places[0].Meter; m == nil || m.Name != "logger" || in.Places[0].AmbientMeter.Name != "logger" {
		t.Errorf("meter %+v", m)
	}
	r, err := soak.Run(in.Places[1].Input)
	if err != nil || !r.Rise.Holds(10.4*1.03) {
		t.Errorf("rise %+v, %v", r.Rise, err)
	}
}

// An ambient that was noted counts with the limits as they are written.
func TestSoakWithoutAir(t *testing.T) {
	var b bytes.Buffer
	b.WriteString("s,T (°C)\n")
	for n := range 200 {
		fmt.Fprintf(&b, "%d,%.1f\n", 10*n, 20+30*(1-math.Exp(-float64(n)/30)))
	}
	run := "kind = \"soak\"\nmeter = \"bench-2\"\ncolumn.s = { is = \"time\", unit = \"s\" }\ncolumn.T = { is = \"temperature\", place = \"d1\" }\n"
	files := map[string]string{"a.toml": run + "[conditions]\nambient = \"20 °C ±0.5 K\"\ncharge_current = \"5 A\"\npower = \"2 W ±5 %\"\n", "a.csv": b.String(), "b.toml": run, "b.csv": b.String()}
	p := withRuns(t, files)
	in, _, err := Soaks(p, "a")
	if err != nil {
		t.Fatal(err)
	}
	place := in.Places[0]
	if len(place.Ambient) != 1 || math.Abs(place.AmbientMeter.Accuracy.Limit(20, 0)-0.5) > 1e-9 || place.Power.Value != 2 || *in.Current != 5 {
		t.Errorf("%+v, power %v", place.AmbientMeter, place.Power)
	}
	if _, _, err = Soaks(p, "b"); err == nil || !strings.Contains(err.Error(), "has no ambient, above which the temperatures rise") {
		t.Error(err)
	}
}

// An installation takes the panel that was swept, with its spread; the rest of the part stays.
func TestPanelOfARun(t *testing.T) {
	dir := t.TempDir()
	if err := demo.Write(dir); err != nil {
		t.Fatal(err)
	}
	folder, err := product.Try(dir, product.Setting{File: "installations/hot-ford.toml", Key: "panel.run", Text: `"yard-sweep"`})
	if err != nil {
		t.Fatal(err)
	}
	p, _ := folder.Resolve("")
	in, err := Charge(p, "hot-ford")
	if err != nil {
		t.Fatal(err)
	}
	sweep, _, err := IV(p, "yard-sweep")
	if err != nil {
		t.Fatal(err)
	}
	found, err := iv.Run(sweep)
	if err != nil {
		t.Fatal(err)
	}
	peak := in.Panel.PeakPower
	if peak.Value != found.Reference.PeakPower.Best || peak.Spread != quantity.Normal || !(peak.SD > 0.01*peak.Value) || !strings.HasPrefix(peak.From, "installations/hot-ford.toml:") {
		t.Errorf("peak power %+v, want %v", peak, found.Reference.PeakPower.Best)
	}
	if in.Panel.NOCT == nil || in.Panel.Cells != 36 || in.Panel.CurrentTempco == nil {
		t.Errorf("%+v", in.Panel)
	}
	if f := Fault(p, "hot-ford"); f.Panel.OpenCircuit.Value != found.Reference.OpenCircuit.Best {
		t.Errorf("the mistakes have %v open", f.Panel.OpenCircuit)
	}
	if got := fmt.Sprint(Sweeps(p, "yard-sweep")); got != "[installation hot-ford]" {
		t.Error(got)
	}
	// without an irradiance nothing is carried over to a label
	bare := strings.Replace(read(t, dir, "bench/yard-sweep.toml"), `, irradiance = "870 W/m2 ±3 %"`, "", 1)
	folder, err = product.Read(dir, product.With("bench/yard-sweep.toml", []byte(bare)),
		product.With("installations/hot-ford.toml", []byte(strings.Replace(read(t, dir, "installations/hot-ford.toml"), "[panel]\n", "[panel]\nrun = \"yard-sweep\"\n", 1))))
	if err != nil {
		t.Fatal(err)
	}
	p, _ = folder.Resolve("")
	if in := Fault(p, "hot-ford").Panel; !strings.Contains(in.Instead, "has no irradiance") || in.ShortCircuit == nil || !strings.HasPrefix(in.From, "parts.toml:") {
		t.Errorf("wiring mistakes do not fall back to the label, and say so: %+v", in)
	}
	if _, err := Charge(p, "hot-ford"); err == nil || !strings.Contains(err.Error(), "bench/yard-sweep.toml:8:14: conditions: has no irradiance") {
		t.Error(err)
	}
}

func read(t *testing.T, dir, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// twoLogs are two controllers that held one battery at 27.30 V and 27.38 V, logged by rows a few seconds apart.
func twoLogs(first, second float64, later int) (a, b string) {
	s := numeric.NewStream(7)
	var x, y bytes.Buffer
	x.WriteString("t,U (V)\n")
	y.WriteString("t,U (V)\n")
	for n := range 400 {
		fmt.Fprintf(&x, "2024-05-12 10:%02d:%02d,%.3f\n", n/10, n%10*6, first+0.002*s.Norm())
		m := n*6 + later
		fmt.Fprintf(&y, "2024-05-12 %02d:%02d:%02d,%.3f\n", 10+m/3600, m/60%60, m%60, second+0.002*s.Norm())
	}
	return x.String(), y.String()
}

// The four ways to compare two controllers find the same difference.
func TestPairs(t *testing.T) {
	a, b := twoLogs(27.30, 27.38, 2)
	_, after := twoLogs(27.30, 27.38, 3600)
	one := "kind = \"curve\"\nmeter = \"bench-1\"\ncolumn.t.is = \"time\"\ncolumn.U.is = \"battery voltage\"\n"
	both := "t,A (V),B (V)\n"
	for n, line := range strings.Split(strings.TrimSpace(a), "\n")[1:] {
		both += line + strings.Split(b, "\n")[n+1][19:] + "\n"
	}
	p := withRuns(t, map[string]string{
		"a.toml": "serial = \"0999\"\n" + one, "a.csv": a, "b.toml": "revision = \"other\"\n" + one, "b.csv": b, "after.toml": "revision = \"other\"\n" + one, "after.csv": after,
		"logs.toml":  "kind = \"pair\"\nruns = [\"a\", \"b\"]\n",
		"turns.toml": "kind = \"pair\"\nruns = [\"a\", \"after\"]\n",
		"side.toml":  "kind = \"pair\"\nmeter = \"bench-1\"\ncolumn.t.is = \"time\"\ncolumn.A = { is = \"battery voltage\", serial = \"0999\" }\ncolumn.B = { is = \"battery voltage\", revision = \"other\" }\n",
		"side.csv":   both,
		"hand.toml": "kind = \"pair\"\nmeter = \"bench-1\"\nhand.a = { is = \"battery voltage\", value = \"27.300 V\", serial = \"0999\" }\n" +
			"hand.b = { is = \"battery voltage\", value = \"27.380 V\", revision = \"other\" }\n",
	})
	for _, name := range []string{"logs", "turns", "side", "hand"} {
		list, _, err := Pairs(p, name)
		if err != nil || len(list) != 1 {
			t.Errorf("%s: %d, %v", name, len(list), err)
			continue
		}
		in := list[0]
		if in.Names != [2]string{"unit 0999", "the other controller"} || in.Meters[0] == nil || in.Meters[0].Name != in.Meters[1].Name {
			t.Errorf("%s: %v, %v", name, in.Names, in.Meters)
		}
		r, err := pair.Run(in)
		if err != nil || !r.Difference.Holds(0.08) || !r.Real || r.Difference.High-r.Difference.Low > 0.02 {
			t.Errorf("%s: %+v, %v", name, r, err)
		}
	}
	list, _, err := Pairs(exampleProduct(t), "two-on-a-rig")
	if err != nil || len(list) != 2 || len(list[0].Spans) != 6 || list[0].Spans[0].Sun == nil {
		t.Fatal(len(list), err)
	}
	if r, err := pair.Run(list[0]); err != nil || !r.Difference.Holds(0.11-0.03*0.0188) { // as the demo's generator put in, less the lead
		t.Errorf("%+v, %v", r, err)
	}
}

// What makes no pair is said with its place.
func TestNoPair(t *testing.T) {
	a, b := twoLogs(27.30, 27.38, 2)
	one := "kind = \"curve\"\ncolumn.t.is = \"time\"\ncolumn.U.is = \"battery voltage\"\n"
	hand := func(rest string) string {
		return "kind = \"pair\"\nhand.a = { is = \"battery voltage\", value = \"27.3 V\", serial = \"1\" }\n" + rest
	}
	p := withRuns(t, map[string]string{"a.toml": one, "a.csv": a, "b.toml": one + "serial = \"2\"\n", "b.csv": b,
		"alone.toml": "kind = \"pair\"\nruns = [\"a\"]\n", "twice.toml": "kind = \"pair\"\nruns = [\"b\", \"b\"]\n",
		"none.toml": "kind = \"pair\"\nlog = \"a.csv\"\ncolumn.t.is = \"time\"\ncolumn.U.is = \"battery voltage\"\n",
		"one.toml":  hand(""), "same.toml": hand("hand.b = { is = \"battery voltage\", value = \"27.4 V\", serial = \"1\" }\n"),
		"nobody.toml":  hand("hand.b = { is = \"battery voltage\", value = \"27.4 V\" }\n"),
		"missing.toml": "kind = \"pair\"\ncolumn.t.is = \"time\"\ncolumn.U.is = \"battery voltage\"\n"})
	for name, want := range map[string]string{
		"alone": `bench/alone.toml:2:8: runs: does not name two runs; want those`, "twice": "bench/twice.toml:2:8: runs: both runs are of unit 2; want those of two controllers",
		"none": "names no two controllers", "one": "hand: holds 1 of the battery voltage; want two readings",
		"same": "bench/same.toml:3:10: hand.b: is of the same controller as the other reading", "nobody": "bench/nobody.toml:3:10: hand.b: does not say which controller it is of",
		"missing": "bench/missing.csv: there is no such file",
	} {
		if _, _, err := Pairs(p, name); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v; want %s", name, err, want)
		}
	}
}
