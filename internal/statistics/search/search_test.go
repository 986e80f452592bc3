package search

import (
	"context"
	"errors"
	"math"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics/survival"
)

func find(t *testing.T, groups [][]Unit, o Options) Result {
	t.Helper()
	r, err := Find(context.Background(), groups, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Fleets of alike groups, later ones watched for a shorter time, give p ≤ 0.1 in a tenth and p ≤ 0.05 in a twentieth of searches (2,000 fleets:
// 3 standard deviations are 0.020 and 0.015). Once few fail, and once most do, so that ages at failure are drawn from few at risk.
func TestTypeOne(t *testing.T) {
	const fleets = 2000
	for _, c := range []struct {
		name          string
		groups, units int
		rate          float64
	}{{"few fail", 12, 40, 1.5e-4}, {"most fail", 8, 15, 4e-3}} {
		tenth, twentieth := 0, 0
		for seed := range uint64(fleets) {
			r := find(t, fleet(1000+seed, c.groups, c.units, 3, c.rate, 0, -1, 1), Options{Permutations: 199, Seed: seed})
			if r.Best == nil {
				continue
			}
			if r.Best.P <= 0.1 {
				tenth++
			}
			if r.Best.P <= 0.05 {
				twentieth++
			}
		}
		t.Logf("%s: p ≤ 0.1 in %d, p ≤ 0.05 in %d of %d", c.name, tenth, twentieth, fleets)
		if a, b := float64(tenth)/fleets, float64(twentieth)/fleets; math.Abs(a-0.1) > 0.020 || math.Abs(b-0.05) > 0.015 {
			t.Errorf("%s: p ≤ 0.1 in %v, p ≤ 0.05 in %v of searches", c.name, a, b)
		}
	}
}

// A batch planted to fail five times as often is found, and a second one apart from it when the first is set aside; the planted
// reason leads.
func TestFindsPlantedBatches(t *testing.T) {
	groups := fleet(5, 20, 150, 4, 1e-4, 8, 9, 5)
	s := numeric.NewStream(2)
	for i, u := range groups[9] {
		if u.Reason != "" && s.Float64() < 0.8 {
			groups[9][i].Reason = "cracked joint"
		}
	}
	for i, u := range groups[8] {
		if u.Reason != "" && s.Float64() < 0.8 {
			groups[8][i].Reason = "cracked joint"
		}
	}
	for i := range groups[2][:40] {
		groups[2][i] = Unit{survival.Failed(1 + float64(i)), "wet"}
	}
	r := find(t, groups, Options{Seed: 1})
	if b := r.Best; b.First != 2 || b.Last != 2 || b.Reason != "wet" || b.P > 0.001 || b.Observed != 40 {
		t.Errorf("best %+v", b)
	}
	if len(r.Further) == 0 || r.Further[0].First < 8 || r.Further[0].Last > 9 || r.Further[0].P > 0.001 || r.Further[0].Reasons[0].Reason != "cracked joint" {
		t.Fatalf("further %+v", r.Further)
	}
	for _, f := range r.Further {
		if f.First <= 2 && f.Last >= 2 {
			t.Errorf("%+v holds what was set aside", f)
		}
	}
}

// Expected, ratio and limits of a run of one group against plain sums: two groups alike in exposure (by hand).
func TestFindingByHand(t *testing.T) {
	a := []Unit{{survival.Failed(1), "x"}, {survival.Failed(2), "x"}, {survival.Failed(4), "x"}, {survival.Good(9), ""}}
	b := []Unit{{survival.Failed(3), "y"}, {survival.Good(9), ""}, {survival.Good(9), ""}, {survival.Good(9), ""}}
	r := find(t, [][]Unit{a, b}, Options{Permutations: 99})
	e := 4./8 + 3./7 + 2./6 + 2./5 // of the first group, all reasons
	x := 4./8 + 3./7 + 2./5
	f := r.Best
	want := e
	if !f.All {
		want = x
	}
	if f.First != 0 || f.Last != 0 || math.Abs(f.Expected-want) > 1e-12 || f.Observed != 3 {
		t.Errorf("%+v; expected %v or %v", f, e, x)
	}
	if f.Reason != "x" || f.Ratio.None == "" || f.High.None == "" || f.Failures != 3 { // none but the first group has an x
		t.Errorf("%+v", f)
	}
}

// The variance of a run is that of the log-rank test between it and the rest, whose square of (O−E)/√V is chi-squared.
func TestVarianceIsTheLogRank(t *testing.T) {
	groups := fleet(9, 5, 30, 2, 1e-3, 0, -1, 1)
	for g := range groups {
		for i, u := range groups[g] { // ties, and late entry
			groups[g][i].From = math.Ceil(u.From / 50)
			if u.Reason != "" {
				groups[g][i].To = groups[g][i].From
			}
			if i%3 == 0 && groups[g][i].From > 2 {
				groups[g][i].Entry = 1
			}
		}
	}
	table, err := newTable(groups, make([]bool, 5), 1)
	if err != nil {
		t.Fatal(err)
	}
	r := newRuns(table)
	for from := range 5 {
		for to := from; to < 5 && to-from < 4; to++ {
			var in, out []survival.Life
			for g := range groups {
				for _, u := range groups[g] {
					if g >= from && g <= to {
						in = append(in, u.Life)
					} else {
						out = append(out, u.Life)
					}
				}
			}
			want, err := survival.LogRank([][]survival.Life{in, out})
			if err != nil {
				t.Fatal(err)
			}
			o, e, v := r.of(0, from, to)
			if math.Abs(e-want.Expected[0]) > 1e-9 || math.Abs((o-e)*(o-e)/v-want.ChiSquared) > 1e-7*(1+want.ChiSquared) {
				t.Errorf("%d to %d: E %v, χ² %v; want %v, %v", from, to, e, (o-e)*(o-e)/v, want.Expected[0], want.ChiSquared)
			}
		}
	}
}

// least is where the score is first reached, counted up from one; and the score grows with the failures.
func TestLeast(t *testing.T) {
	groups := fleet(9, 6, 40, 2, 1e-3, 0, -1, 1)
	table, err := newTable(groups, make([]bool, 6), 1)
	if err != nil {
		t.Fatal(err)
	}
	r := newRuns(table)
	for _, want := range []float64{0.5, 4, 11} {
		r.each(func(reason, from, to int) {
			_, e, v := r.of(reason, from, to)
			least, last := int32(never), 0.0
			for n := r.total(reason); n >= 0; n-- {
				if s := score(n, e, v); s >= want*(1-1e-9) {
					least = int32(n)
				}
			}
			for n := 0.0; n <= r.total(reason); n++ {
				if s := score(n, e, v); s < last {
					t.Fatalf("score falls at %v of %v", n, e)
				} else {
					last = s
				}
			}
			if got := r.least(reason, from, to, want); got != least {
				t.Errorf("reason %d, %d to %d, score %v: %d; want %d", reason, from, to, want, got, least)
			}
		})
	}
}

// Drawn groups follow the units at risk without any drawn twice: of two groups with 3 and 5 units the first has k of 4 as the
// hypergeometric distribution says.
func TestDrawsAreHypergeometric(t *testing.T) {
	a, b := Unit{survival.Life{From: 5, To: 5, Count: 2}, "x"}, Unit{survival.Life{From: 5, To: 5, Count: 2}, "y"}
	rest := func(n int) Unit { return Unit{survival.Life{From: 9, To: math.Inf(1), Count: n}, ""} }
	table, err := newTable([][]Unit{{a, rest(1)}, {b, rest(3)}}, make([]bool, 2), 1)
	if err != nil {
		t.Fatal(err)
	}
	d := newRuns(table).drawing(1)
	s := numeric.NewStream(4)
	const draws = 40000
	seen := [4]float64{}
	taken := make([]int32, 2)
	for range draws {
		count := make([]int32, 9)
		d.without(&s, d.alias, d.atRisk, d.draws[0].reasons, taken, count)
		seen[count[4]+count[7]]++
	}
	for k, want := range []float64{5. / 70, 30. / 70, 30. / 70, 5. / 70} {
		if math.Abs(seen[k]/draws-want) > 4*math.Sqrt(want/draws) {
			t.Errorf("%d of the first group in %v; want %v", k, seen[k]/draws, want)
		}
	}
}

func TestSameBitsOnAnyNumberOfCores(t *testing.T) {
	groups := fleet(7, 10, 60, 3, 3e-4, 4, 4, 2)
	many := find(t, groups, Options{Seed: 3})
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if one := find(t, groups, Options{Seed: 3}); !reflect.DeepEqual(one, many) {
		t.Errorf("%+v on one core, %+v on many", one.Best, many.Best)
	}
}

// More groups than are searched one by one.
func TestManyGroups(t *testing.T) {
	r := find(t, fleet(7, 250, 20, 2, 1e-4, 100, 111, 12), Options{Seed: 3})
	if r.Merged != 3 || r.Best.P > 0.01 || r.Best.First > 102 || r.Best.Last < 109 || r.Best.Last > 120 {
		t.Errorf("merged %d, %+v", r.Merged, r.Best)
	}
}

func TestFindRefuses(t *testing.T) {
	good := []Unit{{survival.Good(5), ""}}
	for _, c := range []struct {
		groups [][]Unit
		o      Options
		noFit  bool
		says   string
	}{
		{[][]Unit{good}, Options{}, true, "fewer than two groups"},
		{[][]Unit{good, nil}, Options{}, true, "fewer than two groups"},
		{[][]Unit{good, good}, Options{}, true, "no unit failed"},
		{[][]Unit{good, {{survival.Life{From: 1, To: 2, Count: 1}, "x"}}}, Options{}, false, "group 2: unit 1: failed between 1 and 2"},
		{[][]Unit{good, {{survival.Life{From: -1, To: 2, Count: 1}, "x"}}}, Options{}, false, "age is -1"},
		{[][]Unit{good, good}, Options{Permutations: -1}, false, "permutations are -1"},
		{[][]Unit{good, good}, Options{Confidence: 1}, false, "confidence is 1"},
	} {
		_, err := Find(context.Background(), c.groups, c.o)
		var no *survival.NoFit
		if err == nil || !strings.Contains(err.Error(), c.says) || errors.As(err, &no) != c.noFit {
			t.Errorf("error %v; want %q", err, c.says)
		}
	}
}
