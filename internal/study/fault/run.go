package fault

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"hindwatt/internal/numeric"
)

// Run follows every case. What an input lacks stands in Result.Lacks, and then nothing is computed. The error names what cannot be:
// a circuit that cannot work, a value out of range, a case that has no solution.
func Run(ctx context.Context, in Input) (*Result, error) {
	r := &Result{Input: in, States: States(), Lacks: in.Lacks()}
	if len(r.Lacks) > 0 {
		return r, nil
	}
	w, taken, err := in.world()
	if err != nil {
		return nil, err
	}
	r.world, r.Taken = w, taken
	if err := r.generate(); err != nil {
		return nil, err
	}
	if err := r.table(ctx); err != nil {
		return nil, err
	}
	if err := r.pairs(ctx); err != nil {
		return nil, err
	}
	if err := r.intervals(ctx, r.Outcomes); err != nil {
		return nil, err
	}
	r.order()
	if !in.NoRescues {
		if err := r.rescues(ctx); err != nil {
			return nil, err
		}
	}
	r.caution()
	return r, nil
}

// Names are those of all cases of the circuit, whatever Only says. The error is that of Run; nil, nil where something is lacking.
func (in Input) Names() ([]string, error) {
	if len(in.Lacks()) > 0 {
		return nil, nil
	}
	w, _, err := in.world()
	if err != nil {
		return nil, err
	}
	m := &maker{d: &in.Design, w: w}
	m.mistakes()
	m.failures()
	var names []string
	for i := range m.out {
		names = append(names, m.out[i].Name)
	}
	return names, nil
}

// generate lists the cases that are wanted.
func (r *Result) generate() error {
	m := &maker{d: &r.Input.Design, w: r.world}
	m.mistakes()
	m.failures()
	r.Cases = m.out
	if len(r.Input.Only) == 0 {
		return nil
	}
	for _, name := range r.Input.Only {
		if r.Find(name) == nil {
			return fmt.Errorf("fault: %q is no case of this circuit; want one such as %q", name, r.near(name))
		}
	}
	r.Cases = slices.DeleteFunc(r.Cases, func(c Case) bool { return !slices.Contains(r.Input.Only, c.Name) })
	return nil
}

// near is the case whose name has most words of one that there is not.
func (r *Result) near(name string) string {
	best, most := r.Cases[0].Name, 0
	for i := range r.Cases {
		if n := shared(name, r.Cases[i].Name); n > most {
			best, most = r.Cases[i].Name, n
		}
	}
	return best
}

// Alike reports whether two names share half of the words of the shorter one, or more.
func Alike(a, b string) bool {
	n := shared(a, b)
	return n > 0 && 2*n >= min(len(strings.Fields(a)), len(strings.Fields(b)))
}

// shared counts the words of one name that the other has too.
func shared(a, b string) (n int) {
	words := strings.Fields(b)
	for _, word := range strings.Fields(a) {
		if slices.Contains(words, word) {
			n++
		}
	}
	return n
}

// job is one case in one state.
type job struct {
	first, second *Case
	state         *State
	trail         *trail // as engine.trail
}

// jobs are every case in the states that matter to it.
func (r *Result) jobs() (list []job) {
	for i := range r.Cases {
		c := &r.Cases[i]
		c.same = map[string][]string{}
		kept := map[condition]*State{}
		for k := range r.States {
			s := &r.States[k]
			key := r.world.condition(c, s)
			if other := kept[key]; other != nil {
				c.same[other.Name] = append(c.same[other.Name], s.Name)
				continue
			}
			kept[key] = s
			list = append(list, job{first: c, state: s})
		}
	}
	return list
}

// condition is what of a state a case can tell apart.
type condition struct {
	sun                          float64
	full, holding, silent, night bool
}

func (w *world) condition(c *Case, s *State) condition {
	set := wired(w)
	c.apply(&set, w)
	k := condition{s.sun, s.full, s.holding, s.silent, s.night}
	if set.at.Panel[0] == "" {
		k.sun = 0
	}
	if set.at.Battery[0] == "" && set.source[0] == "" {
		k.full = false
		if k.holding {
			k.holding = false // without a battery there is nothing to hold
		}
	}
	return k
}

// table follows every case once, with nominal values.
func (r *Result) table(ctx context.Context) error {
	jobs := r.jobs()
	r.Outcomes = make([]*Outcome, len(jobs))
	nominal, err := newEngine(&r.Input, r.world, nil, nil)
	if err != nil {
		return fmt.Errorf("fault: %w", err)
	}
	r.normal = nominal.normal
	return r.follow(ctx, jobs, r.Outcomes)
}

// batch is how many jobs one engine does, so that the work is the same on any number of cores.
const batch = 16

func (r *Result) follow(ctx context.Context, jobs []job, out []*Outcome) error {
	return numeric.Parallel(ctx, (len(jobs)+batch-1)/batch, func(n int) error {
		e, err := newEngine(&r.Input, r.world, nil, r.normal)
		if err != nil {
			return fmt.Errorf("fault: %w", err)
		}
		for k := n * batch; k < min(len(jobs), (n+1)*batch); k++ {
			j := &jobs[k]
			if j.second == nil {
				e.note()
			}
			if out[k], err = e.along(j.trail, j.state, j.first, j.second); err != nil {
				return fmt.Errorf("fault: %w", err)
			}
			out[k].trail = e.noted
		}
		return nil
	})
}
