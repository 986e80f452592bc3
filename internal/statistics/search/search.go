package search

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"hindwatt/internal/statistics"
	"hindwatt/internal/statistics/survival"
)

// A Unit is one unit of a group, or several alike.
type Unit struct {
	survival.Life        // at an exact age, or still good
	Reason        string // of the failure; "" if it is not known
}

// Options say how to search.
type Options struct {
	Permutations int     // most draws of a search, 0: 1999
	Confidence   float64 // of the limits of a ratio, 0: 0.95
	Seed         uint64
}

// A Finding is a run of consecutive groups that failed more than the others.
type Finding struct {
	First, Last int    // groups of the run, counted from 0
	Reason      string // of the failures it is about; All if of any reason
	All         bool
	Observed    int     // failures in the run
	Expected    float64 // if all groups were alike
	Failures    int     // in all groups

	// Ratio is how many times as often the run failed as the other groups, between limits as of a run that was
	// chosen beforehand: the worst of many looks worse than it is.
	Ratio, Low, High survival.Maybe

	Reasons      []ByReason // of the run, the largest excess first
	P            float64    // probability that a search among groups all alike finds this much anywhere
	Permutations int        // made for P; fewer than asked where P is clearly large
}

// ByReason is what failed in a run for one reason.
type ByReason struct {
	Reason   string
	Observed int
	Expected float64
}

// A Result holds the best finding of a search, and those that are left when it is set aside.
type Result struct {
	Best    *Finding  // nil where no run had more failures than expected
	Further []Finding // with a P below 0.05 each, in groups apart from those before
	Merged  int       // groups that were searched as one, 1: each by itself
}

// What a search takes.
const (
	mostGroups     = 120 // searched one by one
	mostReasons    = 30  // likewise, beside all reasons together
	fewestFailures = 2   // of a reason to be searched by itself
	furtherLevel   = 0.05
	mostFindings   = 5
	permutations   = 1999
	certainAlways  = 20 // draws that reach the score before it is let go
)

// Find searches ordered groups, such as batches in the order in which they were made, for a run that fails more than the others, of all
// reasons together and of each of the 30 commonest by itself. Of more than 120 groups, neighbours are searched as one. After a finding its
// groups are set aside and the rest is searched again, as long as that finds something with P below 0.05.
//
// A NoFit says that there is nothing to compare: fewer than two groups with units, or no failure.
func Find(ctx context.Context, groups [][]Unit, o Options) (Result, error) {
	if o.Permutations == 0 {
		o.Permutations = permutations
	}
	if o.Confidence == 0 {
		o.Confidence = 0.95
	}
	switch {
	case o.Permutations < 1 || o.Permutations > 1_000_000:
		return Result{}, fmt.Errorf("permutations are %d; want 1 to 1000000", o.Permutations)
	case !(o.Confidence > 0 && o.Confidence < 1):
		return Result{}, fmt.Errorf("confidence is %v; want more than 0 and less than 1", o.Confidence)
	}
	merged := (len(groups) + mostGroups - 1) / mostGroups
	found := Result{Merged: max(merged, 1)}
	aside := make([]bool, len(groups))
	for round := range uint64(mostFindings) {
		f, err := once(ctx, groups, aside, found.Merged, o, round)
		var nothing *survival.NoFit
		switch {
		case round > 0 && errors.As(err, &nothing):
			return found, nil
		case err != nil:
			return Result{}, err
		case f == nil || round > 0 && f.P >= furtherLevel:
			return found, nil
		case round == 0:
			found.Best = f
		default:
			found.Further = append(found.Further, *f)
		}
		if f.P >= furtherLevel {
			return found, nil
		}
		for g := f.First; g <= f.Last; g++ {
			aside[g] = true
		}
	}
	return found, nil
}

// once makes one search of the groups that are not aside; nil where no run had more failures than expected.
func once(ctx context.Context, groups [][]Unit, aside []bool, merged int, o Options, round uint64) (*Finding, error) {
	t, err := newTable(groups, aside, merged)
	if err != nil {
		return nil, err
	}
	runs := newRuns(t)
	best := runs.best()
	if best == nil {
		return nil, nil
	}
	f, err := t.finding(runs, best, o.Confidence)
	if err != nil {
		return nil, err
	}
	f.P, f.Permutations, err = runs.probability(ctx, best.score, o, round)
	return f, err
}

// finding tells a run in the words of the caller's groups.
func (t *table) finding(r *runs, b *scored, confidence float64) (*Finding, error) {
	f := &Finding{First: t.first[b.from], Last: t.last[b.to], All: b.reason == 0,
		Observed: int(b.observed), Expected: b.expected, Failures: int(r.total(b.reason))}
	if !f.All {
		f.Reason = t.reasons[b.reason-1]
	}
	for reason := 1; reason <= len(t.reasons); reason++ {
		observed, expected, _ := r.of(reason, b.from, b.to)
		if observed > 0 || expected > 0 {
			f.Reasons = append(f.Reasons, ByReason{t.reasons[reason-1], int(observed), expected})
		}
	}
	slices.SortStableFunc(f.Reasons, func(a, b ByReason) int {
		if x, y := float64(a.Observed)-a.Expected, float64(b.Observed)-b.Expected; x != y {
			if x > y {
				return -1
			}
			return 1
		}
		return 0
	})
	return f, f.compare(confidence)
}

// compare sets the ratio of the run to the other groups: observed to expected of the one by that of the others.
func (f *Finding) compare(confidence float64) error {
	others := float64(f.Failures) - f.Expected
	if !(f.Expected > 0 && others > 0) {
		no := survival.Maybe{None: "no other group had units at risk at the ages at failure"}
		f.Ratio, f.Low, f.High = no, no, no
		return nil
	}
	r, err := statistics.PoissonRatio(f.Observed, f.Expected, f.Failures-f.Observed, others, confidence)
	if err != nil {
		return err
	}
	f.Ratio, f.Low, f.High = survival.Maybe{Value: r.Ratio}, survival.Maybe{Value: r.Low}, survival.Maybe{Value: r.High}
	if f.Observed == f.Failures {
		no := survival.Maybe{None: "no other group failed"}
		f.Ratio, f.High = no, no
	}
	return nil
}
