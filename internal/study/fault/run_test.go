package fault

import (
	"context"
	"testing"
)

func run(t testing.TB, in Input) *Result {
	t.Helper()
	in.Units, in.NoRescues = -1, true
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
