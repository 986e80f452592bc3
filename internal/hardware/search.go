package hardware

import (
	"errors"
	"math"

	"hindwatt/internal/numeric"
)

// search looks for a largest current.
type search struct {
	u *Unit
	o Outside
	s State
	f Find

	at    [2]float64   // A, of the two points at which the networks were solved
	flows [2][2][]flow // at each, in both parts of the cycle
	cool  []float64    // K, of each component at the last current that its limits bear
	edge  float64      // A, where a state ran away in the round before; 0: none did
	lost  bool         // the last temperatures are those of a runaway
	start *start       // to be filled in; nil: not wanted
}

// trial is how a current fares.
type trial struct {
	current, excess float64
	part, of        string
	reach           float64 // by which factor on the current the nearest limit is reached, roughly
}

const (
	within    = 1e-6 // share to which a largest current is found
	near      = 1e-5 // K, or percent of a limit, at which a limit counts as reached
	firstTry  = 10.0 // A
	runaways  = 1e-3 // share to which the end of the steady states is found: there is no measure to go by, and data tell it no closer
	following = 1e-3 // K, below which the losses of a trial are not worked out again
)

func (h *search) run() (Rating, error) {
	u := h.u
	if err := u.begin(h.o, h.s); err != nil {
		return Rating{}, err
	}
	h.cool = append([]float64(nil), u.temps...)
	for k := range h.flows {
		for phase := range h.flows[k] {
			h.flows[k][phase] = make([]flow, len(u.state[phase]))
		}
	}
	x, st := min(firstTry, h.f.Most), u.start(h.question())
	begun := u.from(st)
	if begun {
		x, h.lost = st.current, false
		copy(h.cool, st.temps)
		u.wired(st.lower)
	}
	if err := h.networks(0, x/2, false); err != nil {
		return Rating{}, err
	}
	if begun {
		u.wired(st.wires)
	}
	const rounds = 10
	var best trial
	for range rounds {
		if err := h.networks(1, x, true); err != nil {
			return Rating{}, err
		}
		t, bound, err := h.root(x)
		if err != nil || !bound || t.current == 0 {
			return Rating{Current: t.current, Part: t.part, Of: t.of, Bound: bound}, err
		}
		close := within
		h.edge = 0
		if t.of == "runaway" {
			close, h.edge = runaways, t.current
		}
		settled := math.Abs(t.current-x) <= close*t.current
		best, x = t, t.current
		if settled {
			break
		}
		if math.Abs(h.at[0]-x) < 0.2*x {
			if err := h.networks(0, x/2, true); err != nil {
				return Rating{}, err
			}
		}
	}
	if st := h.start; st != nil {
		st.current, st.temps, st.rises = best.current, h.cool, u.heat.assembly.Rises()
	}
	return Rating{Current: best.current, Part: best.part, Of: best.of, Bound: true}, nil
}

// question is what is asked, whatever the held current was before.
func (h *search) question() question {
	q := question{o: h.o, s: h.s, f: Find{Most: h.f.Most, Load: h.f.Load}, largest: true}
	q.o.Panel.Current = 0
	if h.f.Load {
		q.o.Load.Current = 0
	}
	return q
}

// networks solves the currents at a held current, at the temperatures at hand.
func (h *search) networks(k int, current float64, warm bool) error {
	u := h.u
	copy(u.temps, h.cool)
	u.outside.Panel.Current = current
	if h.f.Load {
		u.outside.Load.Current = current
	}
	if err := u.solve(warm); err != nil {
		return err
	}
	h.at[k] = current
	for phase := range u.state {
		copy(h.flows[k][phase], u.state[phase])
	}
	if st := h.start; st != nil {
		*[]*[2]wireStart{&st.lower, &st.wires}[k] = u.wires()
	}
	return nil
}

// lay takes every current at a held current as on a straight line through the two that were solved.
func (h *search) lay(current float64) {
	u := h.u
	x := (current - h.at[0]) / (h.at[1] - h.at[0])
	for phase, share := range u.share() {
		if share == 0 {
			continue
		}
		for i := range u.state[phase] {
			a, b := &h.flows[0][phase][i], &h.flows[1][phase][i]
			f := &u.state[phase][i]
			from := a.current
			if a.way == blocked && b.way == blocked {
				from *= u.parts[i].leaks(a.at, b.at)
			}
			f.way, f.at = b.way, b.at
			f.current = from + x*(b.current-from) // [U15]
			f.across = a.across + x*(b.across-a.across)
		}
	}
}

// heat finds how a current fares with the currents on their lines.
func (h *search) heat(current float64) (trial, error) {
	u := h.u
	h.lay(current)
	const rounds = 12
	for range rounds {
		u.drops()
		u.edgeLosses()
		u.feed()
		moved, err := u.warm(!h.lost)
		var runaway *Runaway
		if errors.As(err, &runaway) {
			h.lost = true
			copy(u.temps, h.cool)
			return trial{current: current, excess: math.Inf(1), part: runaway.Part, of: "runaway", reach: 0.7}, nil
		}
		if err != nil {
			return trial{}, err
		}
		h.lost = false
		if moved < following {
			break
		}
	}
	t := h.judge(current)
	if t.excess < 0 {
		copy(h.cool, u.temps)
	}
	return t, nil
}

// judge finds the nearest limit.
func (h *search) judge(current float64) trial {
	u := h.u
	i, k, excess := u.tightest()
	t := trial{current: current, excess: excess, reach: 3}
	if i < 0 {
		return t
	}
	l := &u.limits[i][k]
	t.part, t.of = u.d.Components[i].Name, l.Of
	switch have, may := l.Value, l.Max; {
	case l.Of == "current":
		t.reach = may / max(have, 1e-9)
	case l.Of == "power":
		t.reach = math.Sqrt(max(may, 0) / max(have, 1e-12))
	case may <= u.outside.Ambient:
		t.reach = 0.1
	default: // a rise grows as I^1.6, between that of a drop and that of a resistance
		t.reach = numeric.Pow((may-u.outside.Ambient)/max(have-u.outside.Ambient, 0.01), 1/1.6)
	}
	t.reach = min(max(t.reach, 0.05), 5)
	return t
}

// root finds the current that the limits just bear, beginning at one.
func (h *search) root(x float64) (t trial, bound bool, err error) {
	const most = 60
	if t, err = h.heat(x); err != nil {
		return t, true, err
	}
	low, high := trial{current: -1}, trial{current: math.Inf(1)}
	for range most {
		switch {
		case math.Abs(t.excess) < near:
			return t, true, nil
		case t.excess < 0:
			low = t
		default:
			high = t
		}
		if low.current >= 0 && !math.IsInf(high.current, 1) {
			return h.between(low, high)
		}
		if low.current >= h.f.Most {
			return low, false, nil
		}
		if t, err = h.heat(h.next(t)); err != nil {
			return t, true, err
		}
		if t.current == 0 && t.excess >= 0 {
			return t, true, nil
		}
	}
	return low, true, nil
}

// next is a current beyond the limit as it looks from a trial.
func (h *search) next(t trial) float64 {
	switch {
	case t.excess < 0 && t.current <= h.edge:
		return min(h.edge*(1+2*runaways), h.f.Most)
	case t.excess < 0:
		return min(t.current*max(t.reach*1.01, 1.02), h.f.Most)
	case t.of == "runaway" && t.current > h.edge*(1-2*runaways) && t.current <= h.edge:
		return h.edge * (1 - 2*runaways)
	case t.current < 1e-3:
		return 0
	}
	return t.current * min(t.reach*0.99, 0.98)
}

// between narrows a bracket down by regula falsi with the Illinois rule (Dowell and Jarratt, BIT 11 (1971), p. 168), which halves
// the weight of an end that stays. A runaway has no measure: there the bracket is halved.
func (h *search) between(low, high trial) (trial, bool, error) {
	const most = 60
	a, b, side := low.excess, high.excess, 0
	for range most {
		if open := high.current - low.current; open <= within/10*high.current || math.IsInf(b, 1) && open <= runaways*high.current {
			break
		}
		x := (low.current + high.current) / 2
		if !math.IsInf(b, 1) {
			x = (low.current*b - high.current*a) / (b - a)
		}
		t, err := h.heat(x)
		if err != nil {
			return low, true, err
		}
		switch {
		case math.Abs(t.excess) < near:
			return t, true, nil
		case t.excess < 0:
			if low, a = t, t.excess; side < 0 {
				b /= 2
			}
			side = -1
		default:
			if high, b = t, t.excess; side > 0 {
				a /= 2
			}
			side = 1
		}
	}
	return trial{current: low.current, excess: low.excess, part: high.part, of: high.of}, true, nil
}
