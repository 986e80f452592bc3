package fault

import (
	"context"
	"testing"
)

func run(t testing.TB, in Input) *Result {
	t.Helper()
	in.Units, in.NoRescues = -1, in.Depth < 9
	r, err := Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Lacks) > 0 {
		t.Fatal(r.Lacks)
	}
	return r
}

func TestLook(t *testing.T) {
	for _, in := range []Input{osier(t)} {
		r := run(t, in)
		t.Log(len(r.Cases), len(r.Outcomes))
		for _, o := range r.Outcomes {
			t.Logf("%-45s %-22s %-12s %.3g %s %s", o.Case.Name, o.State.Name, o.End, o.Margin.Ratio, o.Margin.Part, o.Margin.Of)
			for _, s := range o.Stages {
				if o.End > Unharmed {
					t.Log("      ", s.Text)
				}
			}
			t.Log("   ", o.Text)
		}
	}
}

func BenchmarkTable(b *testing.B) {
	in := osier(b)
	for b.Loop() {
		run(b, in)
	}
}

// BenchmarkMargins is the table with the interval of every margin: 200 units.
func BenchmarkMargins(b *testing.B) {
	in := osier(b)
	in.NoRescues = true
	for b.Loop() {
		if _, err := Run(context.Background(), in); err != nil {
			b.Fatal(err)
		}
	}
}

func TestRescuesLook(t *testing.T) {
	in := osier(t)
	in.Units = -1
	r, err := Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range r.Rescues {
		t.Logf("%-40s %s -> %s by %s (%.2f W, %.3f V) worse %v", f.Case.Name, f.Worst, f.Then, f.Change, f.Loss, f.Drop, f.Worse)
	}
	for _, k := range r.Order[:20] {
		t.Log(k.Case.Name, k.Severity, k.Share)
	}
}

func TestPairsLook(t *testing.T) {
	in := osier(t)
	in.Depth = 2
	r := run(t, in)
	t.Log(r.Paired, len(r.Pairs))
	for _, o := range r.Pairs[:min(20, len(r.Pairs))] {
		t.Log(o.name(), o.State.Name, o.End)
	}
}
