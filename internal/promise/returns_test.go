package promise

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"hindwatt/internal/product"
)

// sold100 is a folder in which batches b1 and b2 of 50 each were sold on one day; of b2 those of some days came back.
func sold100(t *testing.T, promise string, back ...string) *product.Product {
	t.Helper()
	var made, sold, returned strings.Builder
	made.WriteString("date,serial,batch\n")
	sold.WriteString("date,serial\n")
	returned.WriteString("date,serial,reason,found\n")
	for i := 1; i <= 100; i++ {
		fmt.Fprintf(&made, "2022-01-03,S%03d,b%d\n", i, 1+(i-1)/50)
		fmt.Fprintf(&sold, "2022-01-10,S%03d\n", i)
	}
	for i, day := range back {
		fmt.Fprintf(&returned, "%s,S%03d,crack,fault\n", day, 51+i)
	}
	dir := t.TempDir()
	for file, text := range map[string]string{
		"product.toml":     "name = \"x\"\ncurrency = \"EUR\"\n",
		"promises.toml":    "[promise.rarely]\nlabel = \"rarely\"\nstudy = \"returns\"\n" + promise,
		"records/made.csv": made.String(), "records/sold.csv": sold.String(), "records/returned.csv": returned.String(),
	} {
		if err := os.MkdirAll(filepath.Dir(filepath.Join(dir, file)), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, file), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	f, err := product.Read(dir, product.Today(time.Date(2024, 7, 9, 0, 0, 0, 0, time.UTC)))
	if err != nil {
		t.Fatal(err)
	}
	p, err := f.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Limits: by age 98 of 100 with none lost before: Greenwood's variance is S(1−S)/n, and on the scale of log(−log S) the limits
// are 1 − S^exp(∓1.96·√(S(1−S)/n)/(S·log S)) = 0.504 % and 7.760 % (by hand). Of none of 100: 0 and 1 − 0.025^(1/100) = 3.62 %.
// Without an age more may still come back while units are out, so such a share is open above. Of 2 of 50: 0.488 % and 13.71 % (Clopper and Pearson's limits, common tables, from memory).
func TestJudgeReturns(t *testing.T) {
	two := []string{"2022-03-01", "2022-04-10"}
	for name, c := range map[string]struct {
		promise         string
		back            []string
		verdict         Verdict
		best, low, high float64
		carried         bool
		units           int
	}{
		"at an age":     {"quantity = \"came-back\"\nmax = \"8 %\"\nconditions = { age = \"1 year\" }\n", two, Met, 0.02, 0.00504, 0.07760, false, 100},
		"across":        {"quantity = \"came-back\"\nmax = \"7 %\"\nconditions = { age = \"1 year\" }\n", two, Unproven, 0.02, 0.00504, 0.07760, false, 100},
		"none":          {"quantity = \"came-back\"\nmax = \"4 %\"\n", nil, Unproven, 0, 0, 0.03622, false, 100},
		"none, by age":  {"quantity = \"came-back\"\nmax = \"4 %\"\nconditions = { age = \"2 years\" }\n", nil, Met, 0, 0, 0.03622, false, 100},
		"of a batch":    {"quantity = \"came-back-with-fault\"\nmax = \"20 %\"\nconditions = { batch_name = \"b2\" }\n", two, Unproven, 0.04, 0.00488, 0.1371, false, 50},
		"beyond":        {"quantity = \"came-back\"\nmax = \"50 %\"\nconditions = { age = \"5 years\" }\n", two, "", 0, 0, 0, true, 100},
		"another batch": {"quantity = \"came-back\"\nmax = \"8 %\"\nconditions = { batch_name = \"b1\" }\n", two, Unproven, 0, 0, 0.0711, false, 50}, // 1 − 0.025^(1/50)
	} {
		t.Run(name, func(t *testing.T) {
			report, err := Check(context.Background(), sold100(t, c.promise, c.back...), Options{Seed: 1, VerdictsOnly: true})
			if err != nil {
				t.Fatal(err)
			}
			j := report.named(t, "rarely")
			e := j.of(t, Recorded)
			if e.Carried != c.carried || e.Units != c.units || e.Basis != "" || !(e.Low <= e.Best && e.Best <= e.High) {
				t.Errorf("%+v; want carried %v, of %d units", e, c.carried, c.units)
			}
			if c.carried { // two in some 2.4 years a unit: about 4 % in five years, and no less than in the time that was seen
				if !(e.Best > 0.03 && e.Best < 0.06) {
					t.Errorf("in five years %v; want about 4 %%", e.Best)
				}
				return
			}
			for _, v := range [][2]float64{{e.Best, c.best}, {e.Low, c.low}, {e.High, c.high}} {
				if math.Abs(v[0]-v[1]) > 0.00005 {
					t.Errorf("%.5f; want %.5f", v[0], v[1])
				}
			}
			if j.Verdict != c.verdict {
				t.Errorf("verdict %q; want %q", j.Verdict, c.verdict)
			}
		})
	}
}

// A batch that is not there has no evidence; a share of unreported faults that is missing is said to be.
func TestJudgeReturnsLacks(t *testing.T) {
	for promise, key := range map[string]string{
		"quantity = \"came-back\"\nmax = \"8 %\"\nconditions = { batch_name = \"b7\" }\n": "date, count",
		"quantity = \"failed\"\nmax = \"8 %\"\n":                                          "work.fault_unreported",
	} {
		report, err := Check(context.Background(), sold100(t, promise), Options{VerdictsOnly: true})
		if err != nil {
			t.Fatal(err)
		}
		if j := report.named(t, "rarely"); j.Verdict != NoEvidence || len(j.Lacks) != 1 || j.Lacks[0].Key != key {
			t.Errorf("%s: %s, lacks %+v; want no evidence, %s", promise, j.Verdict, j.Lacks, key)
		}
	}
}

// The study runs once for all promises and the page.
func TestReturnsRunOnce(t *testing.T) {
	s := newSession(sold100(t, "quantity = \"came-back\"\nmax = \"8 %\"\n"), Options{})
	a, err := s.runReturns(context.Background())
	b, _ := s.runReturns(context.Background())
	if err != nil || a != b {
		t.Errorf("%p and %p, %v; want one result", a, b, err)
	}
}
