package fault

import "context"

// pairs follows every mistake after every other mistake and every failure, the first left as it is, in the states that the second can
// tell apart, and keeps those that end worse than either by itself. [E19]
func (r *Result) pairs(ctx context.Context) error {
	if r.Input.Depth < 2 {
		return nil
	}
	alone := map[[2]string]End{}
	for _, o := range r.Outcomes {
		for k := range r.States {
			if o.covers(r.States[k].Name) {
				alone[[2]string{o.Case.Name, r.States[k].Name}] = o.End
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
					jobs = append(jobs, job{first, second, s})
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
	return nil
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
