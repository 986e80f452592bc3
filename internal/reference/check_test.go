package reference

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
)

// outcomes runs all checks once for all tests.
var outcomes = sync.OnceValues(func() ([]Outcome, error) { return Run(context.Background(), nil) })

// TestAll runs every check: a miss fails.
func TestAll(t *testing.T) {
	all, err := outcomes()
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range all {
		if !o.Pass() {
			t.Errorf("%s (%s): got %v %v, want %v ± %v %s; %s; %s; %s", o.ID, o.What, o.Got, o.Err, o.Want, o.Tol, o.Unit, o.Source, o.Status, o.Note)
		}
	}
	if Missed(all) != 0 && !t.Failed() {
		t.Error("a miss that no test shows")
	}
}

// want returns a check that computes got.
func want(id string, value, tol float64, run func(context.Context) (float64, error)) Check {
	return Check{ID: id, Topic: "t", What: "w", Source: "s", Status: "computed independently", Want: value, Tol: tol, Run: run}
}

func gives(v float64) func(context.Context) (float64, error) {
	return func(context.Context) (float64, error) { return v, nil }
}

// TestMissesAreReported proves that a wrong value, no value and no number are each a miss.
func TestMissesAreReported(t *testing.T) {
	checks := []Check{
		want("right", 1, 0.5, gives(1.4)),
		want("wrong", 1, 0.5, gives(1.6)),
		want("nan", 1, 0.5, gives(math.NaN())),
		want("infinite", 1, math.MaxFloat64, gives(math.Inf(1))),
		want("fails", 0, 0.5, func(context.Context) (float64, error) { return 0, errors.New("no such thing") }),
	}
	outcomes, err := run(context.Background(), checks, nil)
	if err != nil {
		t.Fatal(err)
	}
	var passed []string
	for _, o := range outcomes {
		if o.Pass() {
			passed = append(passed, o.ID)
		}
	}
	if !slices.Equal(passed, []string{"right"}) || Missed(outcomes) != 4 {
		t.Errorf("passed %v, missed %d", passed, Missed(outcomes))
	}
	var b strings.Builder
	if err := WriteText(&b, outcomes, 80); err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{
		"  pass  right: 1.4, want 1 ± 0.5. s [computed independently]\n", "  MISS  wrong: 1.6, want 1 ± 0.5. s [computed independently]\n        w\n",
		"  MISS  fails: none: no such thing, want 0 ± 0.5.", "\n5 checks: 1 pass, 4 miss\n",
	} {
		if !strings.Contains(b.String(), line) {
			t.Errorf("the listing lacks %q:\n%s", line, b.String())
		}
	}
	object := string(JSON(outcomes))
	for _, part := range []string{`{"id":"right","topic":"t","what":"w","got":1.4,"want":1,"tolerance":0.5,"unit":"","pass":true,`,
		`{"id":"nan","topic":"t","what":"w","got":null,"none":"nan: no finite number",`, `],"pass":1,"miss":4}`} {
		if !strings.Contains(object, part) {
			t.Errorf("the object lacks %s:\n%s", part, object)
		}
	}
	if strings.Contains(b.String(), "NaN") || strings.Contains(b.String(), "Inf") {
		t.Errorf("the listing shows what is no number:\n%s", b.String())
	}
}

// TestAWrongExpectationIsAMiss changes each expected value of the embedded checks beyond its
// tolerance: none may pass then.
func TestAWrongExpectationIsAMiss(t *testing.T) {
	all, err := outcomes()
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range all {
		if o.Want += 2.1*o.Tol + 1e-9*max(1, math.Abs(o.Want)); o.Pass() {
			t.Errorf("%s passes with %v for %v ± %v", o.ID, o.Got, o.Want, o.Tol)
		}
	}
}

func TestEveryCheckNamesItsSource(t *testing.T) {
	ids := map[string]bool{}
	for _, c := range All() {
		if c.ID == "" || c.What == "" || c.Source == "" || c.Topic == "" || !(c.Tol >= 0) {
			t.Errorf("%q lacks something: %+v", c.ID, c)
		}
		if ids[c.ID] {
			t.Errorf("%s stands twice", c.ID)
		}
		ids[c.ID] = true
		if !strings.HasPrefix(c.Status, "published") && !strings.HasPrefix(c.Status, "computed independently") {
			t.Errorf("%s: status %q", c.ID, c.Status)
		}
	}
	if len(ids) < 200 {
		t.Errorf("only %d checks: is a file missing?", len(ids))
	}
}

func TestEverySolverHasAnExample(t *testing.T) {
	for id := range solvers {
		if !slices.ContainsFunc(All(), func(c Check) bool { return strings.HasPrefix(c.ID, id+" ") }) {
			t.Errorf("%s is computed but stands in no file", id)
		}
	}
}

func TestUnknownExampleIsAMiss(t *testing.T) {
	e := example{ID: "X-99", Expected: values{{Key: "a", Value: 1}}}
	if _, err := e.checks()[0].Run(context.Background()); err == nil || err.Error() != "X-99: nothing computes this example" {
		t.Errorf("error %v", err)
	}
}

func TestCancelledRun(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	done := 0
	_, err := Run(ctx, func(n, all int) {
		if done = n; n == 3 {
			cancel()
		}
	})
	if !errors.Is(err, context.Canceled) || done != 3 {
		t.Errorf("error %v after %d", err, done)
	}
}

func TestReadTableRefuses(t *testing.T) {
	for text, say := range map[string]string{
		"a,want\n":                "no rows",
		"a,want\n1,2\n":           "no topic in the heading",
		"# topic: t\na,want\n1\n": "record on line 2: wrong number of fields",
	} {
		if _, err := readTable("x", []byte(text)); err == nil || err.Error() != say {
			t.Errorf("%q: %v, want %s", text, err, say)
		}
	}
}

func TestPrintedTolerance(t *testing.T) {
	for text, half := range map[string]float64{"3.88": 0.005, "100": 0.5, "0.0253": 0.00005, "1.50e-3": 0.000005, "-2": 0.5} {
		if _, got := printed(text); math.Abs(got-half) > 1e-9*(1+half) {
			t.Errorf("%s: ±%v, want ±%v", text, got, half)
		}
	}
}
