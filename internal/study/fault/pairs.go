package fault

import (
	"context"
	"fmt"
	"slices"

	"hindwatt/internal/page"
)

// pairs follows every mistake after every other mistake and every failure, the first left as it is, in the states that the second can
// tell apart, and keeps those that end worse than either by itself. [E19]
func (r *Result) pairs(ctx context.Context) error {
	if r.Input.Depth < 2 {
		return nil
	}
	alone, trails := map[[2]string]End{}, map[[2]string]*trail{}
	for _, o := range r.Outcomes {
		for k := range r.States {
			if o.covers(r.States[k].Name) {
				key := [2]string{o.Case.Name, r.States[k].Name}
				alone[key], trails[key] = o.End, o.trail
			}
		}
	}
	var jobs []job
	for i := range r.Cases {
		for k := range r.Cases {
			first, second := &r.Cases[i], &r.Cases[k]
			if second.Family != Mistake || i == k {
				continue
			}
			for n := range r.States {
				if s := &r.States[n]; r.paired(first, second, s) && max(alone[[2]string{first.Name, s.Name}], alone[[2]string{second.Name, s.Name}]) < Hazard {
					jobs = append(jobs, job{first, second, s, trails[[2]string{first.Name, s.Name}]})
				}
			}
		}
	}
	out := make([]*Outcome, len(jobs))
	if err := r.follow(ctx, jobs, out); err != nil {
		return err
	}
	r.Paired = len(jobs)
	for _, o := range out {
		if o.End > max(alone[[2]string{o.Case.Name, o.State.Name}], alone[[2]string{o.Second.Name, o.State.Name}]) {
			r.Pairs = append(r.Pairs, o)
		}
	}
	slices.SortStableFunc(r.Pairs, func(a, b *Outcome) int {
		switch {
		case a.worse(b):
			return -1
		case b.worse(a):
			return 1
		}
		return 0
	})
	return nil
}

// shownPairs is how many pairs a page names; see AllPairs.
const shownPairs = 20

// worstPairs are the pairs, each in the state in which it ends worst, the worst first.
func (r *Result) worstPairs() (out []*Outcome) {
	seen := map[[2]string]bool{}
	for _, o := range r.Pairs {
		if key := [2]string{o.Case.Name, o.Second.Name}; !seen[key] {
			seen[key], out = true, append(out, o)
		}
	}
	return out
}

// pairSentence counts them; "" where none were followed.
func (r *Result) pairSentence() string {
	if r.Paired == 0 {
		return ""
	}
	worst := r.worstPairs()
	if len(worst) == 0 {
		return fmt.Sprintf("Of %d times that one was followed after another, none ends worse than either alone.", r.Paired)
	}
	hazards := 0
	for _, o := range worst {
		if o.End == Hazard {
			hazards++
		}
	}
	return fmt.Sprintf("Of %d times that one was followed after another, %d in %d pairs end worse than either alone; %d pairs are a hazard.", r.Paired, len(r.Pairs), len(worst), hazards)
}

// AllPairs is the table of every pair in every state that ends worse than either alone; without rows where none were followed.
func (r *Result) AllPairs() page.Table {
	return pairTable("Two in order that end worse than either alone, all of them", r.Pairs)
}

func pairTable(title string, pairs []*Outcome) page.Table {
	t := page.Table{Title: title, Head: []string{"first", "then", "state", "end", "what happens"}, Align: "lllll"}
	for _, o := range pairs {
		t.Rows = append(t.Rows, []string{o.Case.Name, o.Second.Name, o.State.Name, o.End.String(), o.brief()})
	}
	return t
}

// shownTable has the worst of them, each in its worst state.
func (r *Result) shownTable() page.Table {
	worst := r.worstPairs()
	shown := worst[:min(len(worst), shownPairs)]
	t := pairTable("Two in order that end worse than either alone", shown)
	if n := len(worst); n > len(shown) {
		t.Title += fmt.Sprintf(": the worst %d of %d", len(shown), n)
		t.Note = "hindwatt study fault --depth 2 --json lists them all, in every state."
	}
	return t
}

// paired reports whether a state is one that the second mistake can tell apart, the sun at its usual strength: a peak of a minute and
// too large a panel are followed by themselves.
func (r *Result) paired(first, second *Case, s *State) bool {
	if s.lasts > 0 || s.sun > 1 || s.sun > 0 && s.sun < 1 {
		return false
	}
	for _, o := range r.Outcomes {
		if o.Case == second && o.State == s {
			return true
		}
	}
	return false
}
