package promise

import (
	"context"
	"math"
	"strings"
	"testing"

	"hindwatt/demo"
	"hindwatt/internal/product"
)

// rated is the demo's promise of the current, with changes.
func rated(t *testing.T, changes ...[3]string) *Report {
	t.Helper()
	p, err := example(t, changes...).Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range p.Promises.Names() { // the others are judged elsewhere
		if p.Promises.Get(name).Study.Text != "rating" {
			p.Promises.Get(name).Study.Text = "none"
		}
	}
	report, err := Check(context.Background(), p, Options{Seed: 1, VerdictsOnly: true, Kept: shared})
	if err != nil {
		t.Fatal(err)
	}
	return report
}

func TestRatingIsJudgedByCalculationAndBench(t *testing.T) {
	report := rated(t)
	current := report.named(t, "current")
	if current.Verdict != Met || len(current.Evidence) != 2 || len(current.Disagree) > 0 {
		t.Errorf("%s on %v, %v", current.Verdict, current.Evidence, current.Disagree)
	}
	if e := current.of(t, Measured); !e.Carried || e.Units != 4 || !(e.Best > current.of(t, Calculated).Best) {
		t.Errorf("measured %+v: d1 allows more than the fuse does", e)
	}
	if touch := report.named(t, "touch"); touch.Verdict != Met || touch.of(t, Measured).Units != 4 {
		t.Errorf("touch %+v", touch)
	}
	if standby := report.named(t, "standby"); standby.Verdict != Met || math.Abs(standby.of(t, Calculated).Best-4.4e-3) > 1e-9 {
		t.Errorf("standby %+v", standby)
	}
}

func TestRatingIsNotMetWhereTooMuchIsPromised(t *testing.T) {
	report := rated(t,
		[3]string{"promises.toml", "promise.current.min", `"12 A"`},
		[3]string{"promises.toml", "promise.touch.max", `"43 °C"`},
		[3]string{"promises.toml", "promise.standby.max", `"4 mA"`})
	for _, name := range []string{"current", "touch", "standby"} {
		if j := report.named(t, name); j.Verdict != NotMet {
			t.Errorf("%s is %s: %+v", name, j.Verdict, j.Evidence)
		}
	}
}

// A model that the bench contradicts is news: a diode of twice the drop would have been far hotter than what was read.
func TestRatingDisagrees(t *testing.T) {
	report := rated(t, [3]string{"parts.toml", "part.sb20.drops", `["1 A 0.66 V 25 °C", "3 A 0.78 V 25 °C", "10 A 0.98 V 25 °C", "10 A 0.85 V 100 °C"]`})
	current := report.named(t, "current")
	if len(current.Disagree) == 0 || current.Disagree[0].Unit != "K" || !strings.Contains(current.Disagree[0].of(), "d1") {
		t.Errorf("%+v", current.Disagree)
	}
}

func TestRatingRefusesWhatItCannotJudge(t *testing.T) {
	for _, c := range []struct{ key, value, want string }{
		{"promise.current.min", `"10 V"`, "current"},
		{"promise.current.quantity", `"curent"`, "did you mean current"},
		{"promise.current.conditions", `{ age = "2 years" }`, "no rating depends on that"},
		{"promise.touch.max", `"70 K"`, ""},
	} {
		report := rated(t, [3]string{"promises.toml", c.key, c.value})
		name := strings.Split(c.key, ".")[1]
		if j := report.named(t, name); c.want != "" && (j.Failed == nil || !strings.Contains(j.Failed.Error(), c.want)) {
			t.Errorf("%s = %s: %v", c.key, c.value, j.Failed)
		}
	}
}

func TestReadingOfNoPartIsSaid(t *testing.T) {
	dir := t.TempDir()
	if err := demo.Write(dir); err != nil {
		t.Fatal(err)
	}
	for _, fields := range [][2]string{{"rating.temperature.d9", "10 A"}, {"rating.temperature.d1", ""}} {
		if _, err := product.Record(dir, "reading", []product.Field{{Column: "date", Text: "2024-04-11"}, {Column: "what", Text: fields[0]}, {Column: "value", Text: "80 °C"},
			{Column: "revision", Text: "C"}, {Column: "ambient", Text: "20 °C"}, {Column: "charge_current", Text: fields[1]}}); err != nil {
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
	report, err := Check(context.Background(), p, Options{Seed: 1, VerdictsOnly: true, Kept: shared})
	if err != nil {
		t.Fatal(err)
	}
	said := ""
	for _, n := range report.Advice {
		said += n.Text + "\n"
	}
	for _, want := range []string{"no part of [circuit] is called d9", "the current that was held was not noted"} {
		if !strings.Contains(said, want) {
			t.Errorf("not said: %s\n%s", want, said)
		}
	}
}

func TestReadableRatings(t *testing.T) {
	for _, what := range []string{"rating.current", "rating.temperature.d1", "rating.touch-temperature", "rating.touch_temperature", "rating.standby", "rating.drop"} {
		if _, err := Readable(what); err != nil {
			t.Error(err)
		}
	}
	for what, want := range map[string]string{"rating.d1": "temperature.NAME", "rating.curent": "did you mean current", "rating": "want one of", "rating.temperature.": ""} {
		if _, err := Readable(what); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", what, err)
		}
	}
}
