package fault

import (
	"context"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// run follows the table alone: no intervals, no rescues.
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

// all are the example product and the five ready circuits.
func all(t testing.TB) map[string]Input {
	list := map[string]Input{"osier-24": osier(t)}
	for _, name := range firstFive {
		list[name] = ready(t, name)
	}
	return list
}

// TestEveryCaseSolves: no case of any circuit is left unsolved, every number is one, and every outcome is told.
func TestEveryCaseSolves(t *testing.T) {
	for name, in := range all(t) {
		r := run(t, in) // an unsolved case is an error
		if len(r.Cases) < 50 || len(r.Outcomes) < 4*len(r.Cases) {
			t.Errorf("%s: %d cases, %d outcomes", name, len(r.Cases), len(r.Outcomes))
		}
		for _, o := range r.Outcomes {
			if !finite(o.Margin.Ratio) || o.Margin.Ratio < 0 || o.Text == "" || len(o.Stages) == 0 {
				t.Errorf("%s: %s, %s: margin %g, %d stages, %q", name, o.Case.Name, o.State.Name, o.Margin.Ratio, len(o.Stages), o.Text)
			}
			for _, s := range o.Stages {
				for _, x := range append(slices.Clone(s.Flows), s.From, s.Until, s.Panel, s.Battery, s.Load) {
					if !finite(x) {
						t.Fatalf("%s: %s, %s: %g in a stage", name, o.Case.Name, o.State.Name, x)
					}
				}
				if s.Text == "" || strings.Contains(s.Text, "%!") || s.Until < s.From {
					t.Errorf("%s: %s, %s: stage %q", name, o.Case.Name, o.State.Name, s.Text)
				}
			}
			if bad := o.End >= PartLost; bad && o.Margin.Ratio >= 1 {
				t.Errorf("%s: %s, %s: %s with a margin of %g", name, o.Case.Name, o.State.Name, o.End, o.Margin.Ratio)
			}
		}
	}
}

// TestCasesNamed: names are stable keys, each once, and every terminal is in some mistake.
func TestCasesNamed(t *testing.T) {
	r := run(t, osier(t))
	seen := map[string]bool{}
	for _, c := range r.Cases {
		if seen[c.Name] || c.Text == "" || !strings.HasSuffix(c.Text, ".") || len(c.Parts)+len(c.Terminals) == 0 {
			t.Errorf("%q: twice, or without words: %q", c.Name, c.Text)
		}
		seen[c.Name] = true
	}
	for _, name := range []string{"panel leads touched", "battery reversed", "battery reversed, panel off", "panel reversed", "load shorted", "panel and battery exchanged",
		"battery taken off, load on", "battery taken off, no load", "record cold", "d1 short", "q1 stuck on", "u2 silent", "th1 open"} {
		if !seen[name] {
			t.Errorf("no case %q", name)
		}
	}
}

// TestKirchhoff: in every stage of a steady case what flows out of panel and battery flows through the rest: at each inner node the
// currents of a stage sum to nothing.
func TestKirchhoff(t *testing.T) {
	in := ready(t, "series-negative")
	r := run(t, in)
	for _, o := range r.Outcomes {
		if o.Case.Name != "panel leads touched" && o.Case.Name != "load shorted" {
			continue
		}
		for _, s := range o.Stages {
			sum, most := 0.0, 0.0 // at bat+: the battery, the fuse and what is laid
			for i, c := range in.Design.Components {
				for _, end := range []struct {
					node string
					sign float64
				}{{c.From, 1}, {c.To, -1}} {
					if end.node == "bat+" {
						sum += end.sign * s.Flows[i]
					}
				}
			}
			sum += s.Battery
			most = math.Abs(s.Battery)
			if math.Abs(sum) > 1e-6*(1+most) {
				t.Errorf("%s, %s: %g A left at bat+ of %g A", o.Case.Name, o.State.Name, sum, most)
			}
		}
	}
}

// TestSameOnAnyCores: the same bits on one core and on several.
func TestSameOnAnyCores(t *testing.T) {
	in := ready(t, "series-negative")
	in.Units, in.Only = 24, []string{"panel leads touched", "load shorted", "battery reversed", "panel reversed", "switch short"}
	var got [][]Outcome
	for _, cores := range []int{1, 2, 5} {
		before := runtime.GOMAXPROCS(cores)
		r, err := Run(context.Background(), in)
		runtime.GOMAXPROCS(before)
		if err != nil {
			t.Fatal(err)
		}
		var list []Outcome
		for _, o := range r.Outcomes {
			x := *o
			x.Case, x.State = nil, nil
			list = append(list, x)
		}
		got = append(got, list)
	}
	if !reflect.DeepEqual(got[0], got[1]) || !reflect.DeepEqual(got[0], got[2]) {
		t.Error("other results on other cores")
	}
}

// TestIntervals: the interval holds 95 of 100 units about the nominal margin, and the shares are of all units.
func TestIntervals(t *testing.T) {
	in := ready(t, "series-negative")
	in.Units, in.NoRescues, in.Only = 60, true, []string{"load shorted", "panel reversed", "lamps switched on cold"}
	r, err := Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	wide := 0
	for _, o := range r.Outcomes {
		sum := 0.0
		for _, s := range o.Shares {
			sum += s
		}
		if math.Abs(sum-1) > 1e-9 || o.Reach < o.End {
			t.Errorf("%s, %s: shares %v, reach %s of %s", o.Case.Name, o.State.Name, o.Shares, o.Reach, o.End)
		}
		if m := o.Margin; !m.None() && m.Low > m.High {
			t.Errorf("%s, %s: interval %g..%g", o.Case.Name, o.State.Name, m.Low, m.High)
		}
		if o.Margin.High > 1.01*o.Margin.Low {
			wide++
		}
	}
	if wide == 0 {
		t.Error("no margin spreads though fuses and drops do")
	}
}

// TestRefuses: what cannot be is an error that says what is wanted.
func TestRefuses(t *testing.T) {
	for _, c := range []struct {
		want string
		spil func(*Input)
	}{
		{"want more than 0", func(in *Input) { in.Label = given("0 A") }},
		{"want flooded, agm, gel or lithium-iron-phosphate", func(in *Input) { in.Battery.Chemistry = "tea" }},
		{"is no case of this circuit; want one such as \"battery reversed", func(in *Input) { in.Only = []string{"battery inverted, reversed"} }},
		{"want more than 0", func(in *Input) { in.Battery.Resistance = given("0 Ω") }},
	} {
		in := ready(t, "shunt")
		c.spil(&in)
		if _, err := Run(context.Background(), in); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v; want %q", err, c.want)
		}
	}
	r, err := Run(context.Background(), Input{})
	if err != nil || len(r.Lacks) < 3 || len(r.Outcomes) > 0 {
		t.Errorf("of nothing: %v, lacks %v", err, r.Lacks)
	}
}

// BenchmarkTable is the whole table of the example product with its sequences: 755 outcomes.
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

// BenchmarkPairs is depth 2.
func BenchmarkPairs(b *testing.B) {
	in := osier(b)
	in.Depth = 2
	for b.Loop() {
		run(b, in)
	}
}

// TestPairsTold: what two in order do is counted and named, the worst first, each pair once on the page and all of it in AllPairs.
func TestPairsTold(t *testing.T) {
	in := ready(t, "shunt")
	in.Depth, in.Only = 2, []string{"battery reversed", "panel leads touched", "load shorted", "diode short", "fuse short"}
	r := run(t, in)
	if r.Paired == 0 || len(r.Pairs) == 0 || len(r.AllPairs().Rows) != len(r.Pairs) || len(r.shownTable().Rows) > shownPairs {
		t.Fatalf("%d followed, %d kept, %d told", r.Paired, len(r.Pairs), len(r.AllPairs().Rows))
	}
	for k, o := range r.Pairs {
		alone := max(r.Of(o.Case.Name, o.State.Name).End, r.Of(o.Second.Name, o.State.Name).End)
		if o.End <= alone || k > 0 && o.End > r.Pairs[k-1].End {
			t.Errorf("%s: %s, alone %s", o.name(), o.End, alone)
		}
	}
	// with its blocking diode gone short a shunt unit minds touched panel leads: common practice
	if !slices.ContainsFunc(r.Pairs, func(o *Outcome) bool { return o.Case.Name == "diode short" && o.Second.Name == "panel leads touched" }) {
		t.Errorf("touched panel leads are no worse once the diode is short")
	}
}

// TestReturnedBeside: what came back stands beside the order of failures and does not change it.
func TestReturnedBeside(t *testing.T) {
	in := ready(t, "series-negative")
	in.Only = []string{"switch short", "switch open", "fuse open", "diode short"}
	before := run(t, in).Order
	in.Returned = []Return{{"the switch short again", 3, 1}, {"Switch: burnt", 2, 0}, {"rediode", 7, 7}, {"fuse-holder loose", 1, 1}}
	after := run(t, in).Order
	want := map[string]string{"switch short": "3 (1 of this revision)", "switch open": "2 for switch (0 of this revision)", "fuse open": "", "diode short": ""}
	for k := range after {
		if after[k].Case.Name != before[k].Case.Name {
			t.Errorf("place %d: %s, before %s", k+1, after[k].Case.Name, before[k].Case.Name)
		}
		if got := after[k].back(); got != want[after[k].Case.Name] {
			t.Errorf("%s: %q", after[k].Case.Name, got)
		}
	}
}
