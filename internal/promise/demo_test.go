package promise

import (
	"bytes"
	"context"
	"os"
	"runtime"
	"slices"
	"strings"
	"testing"

	"hindwatt/demo"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
)

// What keeps the promises on a year from being computed: those on posts besides the first, and that on the first. Years take longest.
var (
	otherPosts = [][3]string{{"promises.toml", "promise.hot-water.study", ""}, {"promises.toml", "promise.bridge-reserve.study", ""}, {"promises.toml", "promise.bridge-full.study", ""}}
	firstPost  = [3]string{"promises.toml", "promise.winter.study", ""}
)

// shared keeps what one test has computed for those that ask the same; each change asks something else.
var shared *kept.Store

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "kept")
	if err != nil {
		panic(err)
	}
	shared = kept.Open(dir)
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

// example writes the example product without the promises on other posts than the first, changes it, and returns it read. A change to
// nothing takes the key out.
func example(t testing.TB, changes ...[3]string) *product.Folder {
	t.Helper()
	return wholeExample(t, slices.Concat(otherPosts, changes)...)
}

// wholeExample is example with every promise.
func wholeExample(t testing.TB, changes ...[3]string) *product.Folder {
	t.Helper()
	dir := t.TempDir()
	if err := demo.Write(dir); err != nil {
		t.Fatal(err)
	}
	for _, c := range changes {
		if c[2] == "" {
			if _, err := product.Unset(dir, c[0], c[1]); err != nil {
				t.Fatalf("%v: %v", c, err)
			}
		} else if _, err := product.Set(dir, c[0], c[1], c[2]); err != nil {
			t.Fatalf("%v: %v", c, err)
		}
	}
	folder, err := product.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	return folder
}

func verdicts(t *testing.T, folder *product.Folder, variant string) *Report {
	t.Helper()
	p, err := folder.Resolve(variant)
	if err != nil {
		t.Fatal(err)
	}
	report, err := Check(context.Background(), p, Options{Seed: 1, VerdictsOnly: true, Kept: shared})
	if err != nil {
		t.Fatal(err)
	}
	return report
}

func (r *Report) named(t *testing.T, name string) Judged {
	t.Helper()
	for _, p := range r.Promises {
		if p.Name == name {
			return p
		}
	}
	t.Fatalf("no promise %s", name)
	return Judged{}
}

func (j Judged) of(t *testing.T, kind Kind) Evidence {
	t.Helper()
	for _, e := range j.Evidence {
		if e.Kind == kind {
			return e
		}
	}
	t.Fatalf("%s has no %s evidence", j.Name, kind)
	return Evidence{}
}

func width(e Evidence) float64 { return e.High - e.Low }

func TestExampleHasEveryVerdict(t *testing.T) {
	report := verdicts(t, example(t), "")
	if len(report.Promises) < 10 {
		t.Errorf("%d promises, want 10 or more", len(report.Promises))
	}
	for _, v := range []Verdict{Met, Unproven, NotMet, NoEvidence} {
		if report.Count()[v] == 0 {
			t.Errorf("no promise is %s", v)
		}
	}
	if err := report.Failed(); err != nil {
		t.Error(err)
	}
	for _, p := range report.Promises {
		if p.Verdict == NoEvidence && len(p.Lacks) == 0 && len(p.Says) == 0 {
			t.Errorf("%s has no evidence and does not say why", p.Name)
		}
	}
}

func TestEveryVariantOfTheExampleIsJudged(t *testing.T) {
	folder := example(t)
	if len(folder.Variants) == 0 {
		t.Fatal("no variant")
	}
	for _, v := range folder.Variants {
		if err := verdicts(t, folder, v.Name).Failed(); err != nil {
			t.Errorf("%s: %v", v.Name, err)
		}
	}
}

// Common practice, no source: what a practitioner expects of each change.
func TestChangesMoveTheStrip(t *testing.T) {
	const float = "float"
	base := verdicts(t, example(t, firstPost), "").named(t, float)
	untrimmed := [3]string{"product.toml", "sense.trimmed", `"none"`}
	loose := verdicts(t, example(t, firstPost, untrimmed), "").named(t, float)
	for _, c := range []struct {
		name    string
		changes [][3]string
		than    Judged
		wider   bool
	}{
		{"no trim", [][3]string{untrimmed}, base, true},
		{"untrimmed, resistors of 0.1 %", [][3]string{untrimmed,
			{"product.toml", "sense.top", `"120 kΩ ±0.1 % ±100 ppm/K"`}, {"product.toml", "sense.bottom", `"10 kΩ ±0.1 % ±100 ppm/K"`}}, loose, false},
		{"untrimmed, resistors of 5 %", [][3]string{untrimmed,
			{"product.toml", "sense.top", `"120 kΩ ±5 % ±100 ppm/K"`}}, loose, true},
		{"resistors that drift less", [][3]string{
			{"product.toml", "sense.top", `"120 kΩ ±1 % ±10 ppm/K"`}, {"product.toml", "sense.bottom", `"10 kΩ ±1 % ±10 ppm/K"`}}, base, false},
		{"a worse meter for the trim", [][3]string{{"bench/meters.toml", "meter.bench-2.voltage.accuracy", `"±(0.8 % + 5 digits)"`}}, base, true},
		{"a narrower ambient", [][3]string{{"promises.toml", "promise.float.conditions.ambient", `"15..30 °C"`}}, base, false},
		{"a wider ambient", [][3]string{{"promises.toml", "promise.float.conditions.ambient", `"-40..60 °C"`}}, base, true},
	} {
		now := verdicts(t, example(t, append(c.changes, firstPost)...), "").named(t, float)
		a, b := width(c.than.of(t, Calculated)), width(now.of(t, Calculated))
		if c.wider && b < 1.05*a || !c.wider && b > 0.95*a {
			t.Errorf("%s: the strip went from %.3f to %.3f V", c.name, a, b)
		}
		before, after := c.than.of(t, Calculated).Inside.Best, now.of(t, Calculated).Inside.Best
		if c.wider && after > before || !c.wider && after < before {
			t.Errorf("%s: the share inside went from %.4f to %.4f", c.name, before, after)
		}
	}
}

func TestSameDigitsOnOneCore(t *testing.T) {
	folder := example(t)
	many, err := verdicts(t, folder, "").JSON()
	if err != nil {
		t.Fatal(err)
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one, err := verdicts(t, folder, "").JSON()
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(many, one) {
		t.Error("one core gives other digits than many")
	}
	for _, never := range []string{"NaN", "Inf"} {
		if strings.Contains(string(one), never) {
			t.Errorf("the JSON has %q", never)
		}
	}
}

func TestReadingsBelongToTheirRevision(t *testing.T) {
	folder := example(t, firstPost)
	for _, v := range folder.Variants {
		made := v.MadeFrom.Set() || v.FromSerial.Set()
		for _, p := range verdicts(t, folder, v.Name).Promises {
			for _, e := range p.Evidence {
				if e.Kind == Measured && !made {
					t.Errorf("%s was never made, but %s has measured evidence from %v", v.Name, p.Name, e.From)
				}
			}
		}
	}
}

func TestWhatIsNeverReachedIsNotMet(t *testing.T) {
	folder := example(t, firstPost, [3]string{"product.toml", "sense.trimmed", `"none"`}, [3]string{"product.toml", "sense.reference", `"2.0 V ±0.4 %"`})
	absorption := verdicts(t, folder, "").named(t, "absorption")
	if e := absorption.of(t, Calculated); absorption.Verdict != NotMet || !e.NoFigure || e.Inside.High != 0 {
		t.Errorf("absorption above the converter's range: %s, %+v", absorption.Verdict, e)
	}
}

func TestAPromiseThatCannotBeJudgedSaysWhere(t *testing.T) {
	for _, c := range []struct{ key, value, want string }{
		{"promise.float.within", `"-0.2..0.2 A"`, `promises.toml:13:14: promise.float.within: "-0.2..0.2 A": is a current; want a voltage such as 0.2 V`},
		{"promise.float.quantity", `"flaot-error"`, `did you mean float-error`},
		{"promise.float.study", `"setpiont"`, `did you mean setpoint`},
		{"promise.float.conditions", `{ ambient = "-10..45 °C", mounted = "wood" }`, "want ambient, charge_current, load_current, age or installation"},
	} {
		report := verdicts(t, example(t, firstPost, [3]string{"promises.toml", c.key, c.value}), "")
		if err := report.Failed(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %s", c.key, err, c.want)
		}
	}
}

func TestAMissingLevelIsNoMeasurement(t *testing.T) {
	folder := example(t, firstPost, [3]string{"product.toml", "regulation.float", ""})
	float := verdicts(t, folder, "").named(t, "float")
	if float.Verdict != NoEvidence || len(float.Lacks) == 0 {
		t.Errorf("without a float level: %s, %v", float.Verdict, float.Evidence)
	}
}
