package promise

import (
	"context"
	"math"
	"reflect"
	"slices"
	"sync"
	"testing"

	"hindwatt/internal/promise/kept"
)

// sketchOf judges a folder with a sketch and returns all that was told of each promise, in order.
func sketchOf(t *testing.T, store *kept.Store, changes ...[3]string) (*Report, map[string][]Judged, int) {
	t.Helper()
	p, err := example(t, changes...).Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	var mutex sync.Mutex
	told, left := map[string][]Judged{}, -1
	report, err := Check(context.Background(), p, Options{Seed: 1, VerdictsOnly: true, Kept: store, Sketch: true,
		Sifted: func(n int) { left = n },
		Seen: func(j Judged) {
			mutex.Lock()
			defer mutex.Unlock()
			told[j.Name] = append(told[j.Name], j)
		}})
	if err != nil {
		t.Fatal(err)
	}
	return report, told, left
}

// A sketch changes nothing of what is found in the end; its figures lie inside what the study in full says, and nearly as far apart.
func TestASketchComesFirst(t *testing.T) {
	store := kept.Open(t.TempDir())
	report, told, left := sketchOf(t, store)
	p, err := example(t).Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	want, err := Check(context.Background(), p, Options{Seed: 1, VerdictsOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(report.Promises, want.Promises) || left != len(want.Promises) {
		t.Errorf("a sketch changes what is found; %d of %d left", left, len(want.Promises))
	}
	for _, j := range want.Promises {
		all := told[j.Name]
		if n := len(all); n != stages(j.Study)+1 && !(n == 1 && len(j.Evidence) == 0) || all[n-1].Coarse != "" || !reflect.DeepEqual(all[n-1], j) {
			t.Errorf("%s is told of %d times", j.Name, n)
		}
		for _, coarse := range all[:len(all)-1] {
			if coarse.Coarse == "" || len(coarse.Evidence) != len(j.Evidence) {
				t.Errorf("%s: coarse %q, %d kinds of evidence of %d", j.Name, coarse.Coarse, len(coarse.Evidence), len(j.Evidence))
				continue
			}
			for i, e := range coarse.Evidence {
				full := j.Evidence[i]
				if e.End != nil && e.End.Worst != full.End.Worst {
					t.Errorf("%s: ends %v in the sketch, %v in full", j.Name, e.End.Worst, full.End.Worst)
				}
				if off := 0.25*width(full) + 0.02*math.Abs(full.Best); j.Study != "charge" && (math.Abs(e.Low-full.Low) > off || math.Abs(e.High-full.High) > off) {
					t.Errorf("%s: %v..%v in the sketch, %v..%v in full", j.Name, e.Low, e.High, full.Low, full.High)
				}
			}
		}
	}
	// What is kept is told once, and what a change touches again: first coarsely.
	_, told, left = sketchOf(t, store, [3]string{"product.toml", "regulation.float", "27.4 V"})
	touched := 0
	for _, j := range want.Promises {
		coarse := slices.ContainsFunc(told[j.Name], func(j Judged) bool { return j.Coarse != "" })
		if coarse {
			touched++
		}
		if study := j.Study; len(told[j.Name]) == 0 || coarse && study != "setpoint" && study != "charge" {
			t.Errorf("%s of the %s study: told %d times after a change of the float voltage", j.Name, study, len(told[j.Name]))
		}
	}
	if touched == 0 || touched > left || left == len(want.Promises) {
		t.Errorf("%d of %d left were sketched", touched, left)
	}
}

// What shares a run is judged in one go, no study waits for the second run of another, and what is slow comes last.
func TestASketchBeginsWithEachStudy(t *testing.T) {
	p, err := example(t).Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	s := newSession(p, Options{Seed: 1})
	var turns []turn
	for name, asked := range p.Promises.All() {
		turns = append(turns, turn{len(turns), name, asked})
	}
	seen, late, studies := 0, 0, map[string]int{}
	for _, group := range s.groups(turns) {
		study := group[0].asked.Study.Text
		for _, one := range group {
			if one.asked.Study.Text != study || s.sharing(one) != s.sharing(group[0]) {
				t.Errorf("%s stands with %s", one.name, group[0].name)
			}
			seen++
		}
		now := lateness(group[0])
		if now < late {
			t.Errorf("%s comes after what is slower", group[0].name)
		}
		late = now
		if studies[study]++; study != "" && now == 0 && studies[study] == 2 {
			for _, other := range []string{"setpoint", "rating", "fault", "production"} {
				if studies[other] == 0 {
					t.Errorf("%s: the second of %s comes before the first of %s", group[0].name, study, other)
				}
			}
		}
	}
	if seen != len(turns) || studies["fault"] != 1 {
		t.Errorf("%d of %d promises, wiring mistakes in %d runs", seen, len(turns), studies["fault"])
	}
}
