package survival

import (
	"cmp"
	"errors"
	"slices"
)

// event is units of a group that enter, fail or leave at an age.
type event struct {
	age                  float64
	enter, failed, leave float64
	group                int
}

// risk visits the ages at which units failed, in order, with the units of each group that were at risk then
// and that failed. A unit is at risk after its entry and up to its last age, both counting to the failure
// (Kaplan and Meier 1958: losses at the age of a failure come after it).
//
// The slices are reused from visit to visit.
func risk(groups [][]Life, visit func(age float64, atRisk, failed []float64)) error {
	atRisk, failed := make([]float64, len(groups)), make([]float64, len(groups))
	var events []event
	for g, lives := range groups {
		if _, err := checkAll(lives); err != nil {
			return err
		}
		for _, l := range lives {
			if !l.failed() && !l.good() {
				return errors.New("failed between two inspections; want each age at failure")
			}
			n := float64(l.Count)
			last := event{age: l.From, leave: n, group: g}
			if l.failed() {
				last.failed = n
			}
			if events = append(events, last); l.Entry > 0 {
				events = append(events, event{age: l.Entry, enter: n, group: g})
			} else {
				atRisk[g] += n
			}
		}
	}
	slices.SortFunc(events, func(a, b event) int { return cmp.Compare(a.age, b.age) })
	for len(events) > 0 {
		same := 0
		clear(failed)
		any := false
		for ; same < len(events) && events[same].age == events[0].age; same++ {
			failed[events[same].group] += events[same].failed
			any = any || events[same].failed > 0
		}
		if any {
			visit(events[0].age, atRisk, failed)
		}
		for _, e := range events[:same] {
			atRisk[e.group] += e.enter - e.leave
		}
		events = events[same:]
	}
	return nil
}
