package promise

import (
	"context"
	"strings"
	"testing"
)

// judgedOf judges promises of a changed example, and no others.
func judgedOf(t *testing.T, names []string, changes ...[3]string) (out []Judged) {
	t.Helper()
	p, err := wholeExample(t, changes...).Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	s := newSession(p, Options{Seed: 1})
	for _, name := range names {
		asked := p.Promises.Get(name)
		j := newJudged(name, asked)
		if err := s.judge(context.Background(), asked, &j); err != nil {
			j.Failed = err
		}
		out = append(out, j)
	}
	return out
}

// A bound that the next year's interval is inside is met, one that it crosses is unproven, one that it is beyond is not met.
func TestYearIsJudged(t *testing.T) {
	names, want := []string{"hot-water", "winter", "bridge-full"}, []Verdict{Met, Unproven, NotMet}
	var changes [][3]string
	for i, most := range []string{`"1 g"`, `"0.4 g"`, `"0.05 g"`} {
		for key, value := range map[string]string{"quantity": `"water"`, "conditions": `{ installation = "hot-ford" }`, "max": most} {
			changes = append(changes, [3]string{"promises.toml", "promise." + names[i] + "." + key, value})
		}
	}
	for i, j := range judgedOf(t, names, changes...) {
		if j.Failed != nil || j.Verdict != want[i] {
			t.Errorf("%s: %s, %v; want %s", j.BoundText, j.Verdict, j.Failed, want[i])
			continue
		}
		e := j.of(t, Calculated)
		if !(e.Low < e.Best && e.Best < e.High) || e.Conditions != "hot-ford" {
			t.Errorf("evidence %+v", e)
		}
		if said := strings.Join(j.Says, " "); !strings.Contains(said, "40 years, each with a unit of its own") {
			t.Errorf("says %q", said)
		}
	}
}

// For each unit the share of years and units is judged, of 80 of them: all inside then prove 95 % at 95 % (0.05^(1/80) = 0.963, Clopper and Pearson).
func TestYearsOfEachUnit(t *testing.T) {
	j := judgedOf(t, []string{"hot-water"}, [3]string{"promises.toml", "promise.hot-water.for", `"each unit"`}, [3]string{"promises.toml", "promise.hot-water.max", `"2 g"`})[0]
	e := j.of(t, Calculated)
	if j.Verdict != Met || e.Inside == nil || e.Inside.Best != 1 || e.Inside.Low < 0.95 || e.Inside.Low > 0.964 {
		t.Errorf("%s, %+v", j.Verdict, e.Inside)
	}
}

func TestYearRefuses(t *testing.T) {
	const at = "promise.hot-water."
	for _, c := range []struct{ key, value, want string }{
		{"quantity", `"watre"`, "did you mean water"},
		{"max", `"1 V"`, "is a voltage; want a mass in g"},
		{"conditions", `{ ambient = "25 °C" }`, "want installation, which tells place, panel, battery and loads"},
	} {
		if j := judgedOf(t, []string{"hot-water"}, [3]string{"promises.toml", at + c.key, c.value})[0]; j.Failed == nil || !strings.Contains(j.Failed.Error(), c.want) {
			t.Errorf("%s = %s: %v, want %s", c.key, c.value, j.Failed, c.want)
		}
	}
	j := judgedOf(t, []string{"hot-water"}, [3]string{"installations/hot-ford.toml", "sun", ""})[0]
	if j.Verdict != NoEvidence || len(j.Lacks) != 1 || j.Lacks[0].Key != "sun" {
		t.Errorf("without sun: %s, %+v", j.Verdict, j.Lacks)
	}
}
