package fault

import (
	"cmp"
	"context"
	"math"
	"slices"

	"hindwatt/internal/hardware"
	"hindwatt/internal/numeric"
)

// change is one of the short list of what might save a case.
type change struct {
	text    string
	part    string // of the folder; "" for a usual one
	typical bool
	behind  string // node that leads at bat+ touch now; "" for bat+ itself
	apply   func(*hardware.Design)
}

// rescues looks for what would make the cases that end badly end better: each change of a short list is laid over the circuit and every
// case that ends with more than a fuse is followed again. [E18]
func (r *Result) rescues(ctx context.Context) error {
	var bad []*Outcome
	for i := range r.Cases {
		if o := r.Worst(r.Cases[i].Name); o != nil && o.End >= PartLost {
			bad = append(bad, o)
		}
	}
	changes := r.changes()
	found := make([][]Rescue, len(changes))
	now, err := r.rated(&r.Input.Design)
	if err != nil {
		return nil // the circuit has no operating point at the label's current: the rating says so
	}
	err = numeric.Parallel(ctx, len(changes), func(k int) error {
		found[k] = r.try(&changes[k], bad, now)
		return nil
	})
	for _, o := range bad {
		var list []Rescue
		for k := range found {
			for _, f := range found[k] {
				if f.Case == o.Case {
					list = append(list, f)
				}
			}
		}
		slices.SortStableFunc(list, better)
		r.Rescues = append(r.Rescues, list...)
	}
	return err
}

// better puts the better end first, then the cheaper, then the less loss.
func better(a, b Rescue) int {
	if a.Then != b.Then {
		return cmp.Compare(a.Then, b.Then)
	}
	if a.Cost != nil && b.Cost != nil {
		if c := cmp.Compare(a.Cost.Float64(), b.Cost.Float64()); c != 0 {
			return c
		}
	}
	return cmp.Compare(a.Loss, b.Loss)
}

// burden is what a circuit costs in use: loss and drop while it charges, loss while it feeds a load.
type burden struct{ loss, drop, feeding float64 }

// more is the heat that a circuit makes over another, charging or feeding the load, whichever grows more.
func (b burden) more(now burden) float64 {
	charging, feeding := b.loss-now.loss, b.feeding-now.feeding
	if math.Abs(feeding) > math.Abs(charging) {
		return feeding
	}
	return charging
}

// rated is the burden at the label's current.
func (r *Result) rated(d *hardware.Design) (burden, error) {
	u, err := d.Unit(nil)
	if err != nil {
		return burden{}, err
	}
	p, err := u.Operate(hardware.Outside{Ambient: r.world.ambient, Panel: hardware.Panel{Current: r.world.label},
		Battery: hardware.Battery{EMF: r.world.full, Resistance: r.world.ohms}}, hardware.State{Duty: 1})
	if err != nil {
		return burden{}, err
	}
	out := burden{loss: p.Loss, drop: p.PanelDrop}
	if uses(d, hardware.LoadPlus) && uses(d, hardware.LoadMinus) {
		p, err := u.Operate(hardware.Outside{Ambient: r.world.ambient, Battery: hardware.Battery{EMF: r.world.full, Resistance: r.world.ohms}, Load: hardware.Load{Current: r.world.label}},
			hardware.State{LoadOn: true})
		if err != nil {
			return burden{}, err
		}
		out.feeding = p.Loss
	}
	return out, nil
}

// try follows every case in every state with one change.
func (r *Result) try(c *change, bad []*Outcome, now burden) (list []Rescue) {
	in := r.Input
	in.Design.Components = slices.Clone(in.Design.Components)
	c.apply(&in.Design)
	then, err := r.rated(&in.Design)
	if err != nil {
		return nil
	}
	e, err := newEngine(&in, r.world, nil, nil)
	if err != nil {
		return nil
	}
	e.quiet = true
	places := r.placed(&in.Design)
	var worse []string
	after := map[*Case]*Outcome{}
	for _, o := range r.Outcomes {
		moved := *o.Case
		moved.apply = places.carry(o.Case.apply, c.behind)
		got, err := e.follow(o.State, &moved, nil)
		if err != nil {
			return nil
		}
		if w := after[o.Case]; w == nil || got.worse(w) {
			after[o.Case] = got
		}
	}
	var also []string
	for i := range r.Cases {
		was, is := r.Worst(r.Cases[i].Name), after[&r.Cases[i]]
		switch {
		case is == nil:
		case is.End > was.End:
			worse = append(worse, was.Case.Name)
		case was.End >= PartLost && is.End < was.End:
			also = append(also, was.Case.Name)
		}
	}
	for _, o := range bad {
		if got := after[o.Case]; got != nil && got.End < o.End {
			f := Rescue{Case: o.Case, Worst: o.End, Then: got.End, State: got.State, Change: c.text, Part: c.part, Typical: c.typical,
				Loss: then.more(now), Drop: then.drop - now.drop, Worse: worse}
			for _, name := range also {
				if name != o.Case.Name {
					f.Also = append(f.Also, name)
				}
			}
			for k := range r.Input.Prices {
				if p := &r.Input.Prices[k]; p.Part == c.part && c.part != "" {
					f.Cost, f.From = &p.Each, p.From
				}
			}
			list = append(list, f)
		}
	}
	return list
}

// places tells where the components of the circuit stand in a changed one.
type places []int

func (r *Result) placed(d *hardware.Design) places {
	p := make(places, len(r.Input.Design.Components))
	for i := range r.Input.Design.Components {
		p[i] = slices.IndexFunc(d.Components, func(c hardware.Component) bool { return c.Name == r.Input.Design.Components[i].Name })
	}
	return p
}

// carry lets a case that names components by their place be laid over the changed circuit.
func (p places) carry(apply func(*setup, *world), behind string) func(*setup, *world) {
	return func(s *setup, w *world) {
		apply(s, w)
		for k := range s.wires {
			for _, end := range []*string{&s.wires[k].a, &s.wires[k].b} {
				if behind != "" && *end == hardware.BatteryPlus {
					*end = behind
				}
			}
		}
		s.fail, s.stuck, s.drift = carried(p, s.fail), carried(p, s.stuck), carried(p, s.drift)
	}
}

func carried[T any](p places, from map[int]T) map[int]T {
	to := make(map[int]T, len(from))
	for i, v := range from {
		to[p[i]] = v
	}
	return to
}
