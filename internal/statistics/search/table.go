package search

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/statistics/survival"
)

// A table holds the units at risk and the failures of each group at each age at failure.
//
// A group here is one of the caller's, or several neighbours. Reason 0 is all together, and stands for reasons that are not
// searched by themselves; the others count from 1.
type table struct {
	reasons     []string // that are searched by themselves, in order of name
	first, last []int    // of the caller's groups in each group
	broken      []bool   // a run may not reach from the group before into this one
	ages        []instant
	atRisk      []int32 // of group g at age i: atRisk[i·groups+g]
	groups      int
}

// instant is an age at which units failed.
type instant struct {
	n        float64 // units at risk
	failures []tally // by group and reason
	count    int
}

type tally struct {
	group, reason int
	count         int32
}

// newTable gathers the groups that are not aside, each run of merged neighbours as one.
func newTable(groups [][]Unit, aside []bool, merged int) (*table, error) {
	t := &table{}
	rows := 0
	for g, units := range groups {
		if !aside[g] {
			rows += len(units)
		}
	}
	events, atStart := make([]event, 0, rows), make([]int32, len(groups))
	names := map[string]*cause{}
	gap := false
	for from := 0; from < len(groups); from += merged {
		to := min(from+merged, len(groups)) - 1
		before := len(events)
		for g := from; g <= to; g++ {
			if aside[g] {
				gap = true
				continue
			}
			var err error
			if events, err = gather(events, atStart, groups[g], t.groups, names); err != nil {
				return nil, fmt.Errorf("group %d: %w", g+1, err)
			}
		}
		if len(events) > before {
			t.first, t.last, t.broken = append(t.first, from), append(t.last, to), append(t.broken, gap)
			t.groups++
			gap = false
		}
	}
	if t.groups < 2 {
		return nil, &survival.NoFit{Why: "fewer than two groups hold units"}
	}
	if len(names) == 0 {
		return nil, &survival.NoFit{Why: "no unit failed"}
	}
	t.order(names)
	slices.SortFunc(events, func(a, b event) int { return cmp.Compare(a.age, b.age) })
	return t, t.sweep(events, atStart[:t.groups])
}

// event is units of a group that enter, or that leave and may have failed.
type event struct {
	age          float64
	group        int32
	enter, leave int32
	cause        *cause // of a failure, else nil
}

// cause is a reason, with how many failed for it.
type cause struct {
	place    int // among the reasons of the table, from 1; 0 if it is none of them
	failures int
}

// gather adds the events of a group's units, counts those at risk from the beginning, and failures by reason.
func gather(events []event, atStart []int32, units []Unit, group int, names map[string]*cause) ([]event, error) {
	for i, u := range units {
		if err := u.Check(); err != nil {
			return nil, fmt.Errorf("unit %d: %w", i+1, err)
		}
		good, failed := math.IsInf(u.To, 1), u.From == u.To
		switch {
		case !good && !failed:
			return nil, fmt.Errorf("unit %d: failed between %v and %v; want each age at failure", i+1, u.From, u.To)
		case u.Count > math.MaxInt32/4:
			return nil, errors.New("more units than can be counted; want fewer than 500000000 in a row")
		}
		last := event{age: u.From, group: int32(group), leave: int32(u.Count)}
		if failed {
			if names[u.Reason] == nil {
				names[u.Reason] = &cause{}
			}
			last.cause = names[u.Reason]
			last.cause.failures += u.Count
		}
		if events = append(events, last); u.Entry > 0 {
			events = append(events, event{age: math.Nextafter(u.Entry, math.Inf(1)), group: int32(group), enter: int32(u.Count)})
		} else {
			atStart[group] += int32(u.Count)
		}
	}
	return events, nil
}

// order chooses the reasons that are searched by themselves, the commonest, and gives each its place by name.
func (t *table) order(names map[string]*cause) {
	for name, c := range names {
		if c.failures >= fewestFailures {
			t.reasons = append(t.reasons, name)
		}
	}
	slices.SortFunc(t.reasons, func(a, b string) int {
		return cmp.Or(cmp.Compare(names[b].failures, names[a].failures), cmp.Compare(a, b))
	})
	t.reasons = t.reasons[:min(len(t.reasons), mostReasons)]
	slices.Sort(t.reasons)
	for i, name := range t.reasons {
		names[name].place = i + 1
	}
}

// sweep goes through the ages. A unit is at risk after its entry and up to its last age, both counting to the failure.
func (t *table) sweep(events []event, now []int32) error {
	all := 0.0
	for _, n := range now {
		all += float64(n)
	}
	for len(events) > 0 {
		age, same := events[0].age, 0
		at := instant{}
		for ; same < len(events) && events[same].age == age; same++ {
			e := events[same]
			now[e.group] += e.enter
			all += float64(e.enter)
			if e.cause != nil {
				at.failures = append(at.failures, tally{int(e.group), e.cause.place, e.leave})
				at.count += int(e.leave)
			}
		}
		if at.count > 0 {
			at.n = all
			t.ages = append(t.ages, at)
			t.atRisk = append(t.atRisk, now...)
		}
		for _, e := range events[:same] {
			now[e.group] -= e.leave
			all -= float64(e.leave)
		}
		events = events[same:]
	}
	if all != 0 {
		return fmt.Errorf("units at risk do not close: %v left", all)
	}
	return nil
}
