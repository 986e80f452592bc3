package hardware

import (
	"errors"
	"math"
)

// Largest returns the largest held panel current at which every limit holds, and which part stops it; Outside.Panel.Current is
// not looked at. A current of 0 with Bound says that a limit is broken even without any.
//
// At a held current the split of currents hardly depends on temperature: between two solved points every current is taken as a
// straight line over the panel's, so that a search needs only the thermal network; the network of currents is solved again
// where the search ends, until both agree.
//
// Errors: as Operate, but for *Runaway, which is an answer: Of is "runaway".
func (u *Unit) Largest(o Outside, s State, f Find) (Rating, error) {
	if f.Most <= 0 {
		f.Most = 1000
	}
	o.Panel.Photocurrent, o.Panel.Saturation = 0, 0
	search := &search{u: u, o: o, s: s, f: f}
	r, err := search.run()
	if err != nil || !f.Full || r.Current == 0 {
		return r, err
	}
	o.Panel.Current = r.Current
	if f.Load {
		o.Load.Current = r.Current
	}
	r.Point, err = u.Operate(o, s)
	var runaway *Runaway
	if errors.As(err, &runaway) {
		err = nil // on the very edge of it
	}
	return r, err
}

// search looks for a largest current.
type search struct {
	u *Unit
	o Outside
	s State
	f Find
}

// trial is how a current fares.
type trial struct {
	current, excess float64
	part, of        string
}

// within is the share to which a largest current is found.
const within = 1e-6

func (h *search) run() (Rating, error) {
	first := min(h.start(), h.f.Most)
	low, err := h.full(0)
	if err != nil || low.excess >= 0 {
		return Rating{Part: low.part, Of: low.of, Bound: true}, err
	}
	high, err := h.full(first)
	if err != nil {
		return Rating{}, err
	}
	for high.excess < 0 {
		if high.current >= h.f.Most {
			return Rating{Current: h.f.Most, Part: high.part, Of: high.of}, nil
		}
		low = high
		if high, err = h.full(min(h.f.Most, high.current*guess(high.excess))); err != nil {
			return Rating{}, err
		}
	}
	at, err := h.close(low, high)
	return Rating{Current: at.current, Part: at.part, Of: at.of, Bound: true}, err
}

// start is a first guess: what the smallest rated current is.
func (h *search) start() float64 {
	least := math.Inf(1)
	for _, limits := range h.u.limits {
		for _, l := range limits {
			if l.Of == "current" && l.Max > 0 {
				least = min(least, l.Max)
			}
		}
	}
	if math.IsInf(least, 1) {
		return 10
	}
	return least
}

// guess is by how much to raise a current with room to its limits.
func guess(excess float64) float64 {
	if excess > -10 {
		return 1.15
	}
	return 1.5
}

// close narrows a bracket down by regula falsi with the Illinois rule (Dowell and Jarratt, BIT 11 (1971), p. 168), which halves
// the weight of an end that stays; a runaway has no measure and is halved towards.
func (h *search) close(low, high trial) (trial, error) {
	const most = 60
	last := high
	a, b := low.excess, high.excess
	side := 0
	for range most {
		if high.current-low.current <= within*high.current {
			break
		}
		x := (low.current + high.current) / 2
		if !math.IsInf(b, 1) {
			x = (low.current*b - high.current*a) / (b - a)
		}
		t, err := h.full(x)
		if err != nil {
			return low, err
		}
		if !math.IsInf(t.excess, 1) && math.Abs(t.excess) < 1e-4 {
			return t, nil
		}
		if t.excess < 0 {
			low, a = t, t.excess
			if side == -1 && !math.IsInf(b, 1) {
				b /= 2
			}
			side = -1
		} else {
			high, b, last = t, t.excess, t
			if side == 1 {
				a /= 2
			}
			side = 1
		}
	}
	return trial{low.current, low.excess, last.part, last.of}, nil
}

// full solves currents and temperatures at a current.
func (h *search) full(current float64) (trial, error) {
	o := h.o
	o.Panel.Current = current
	if h.f.Load {
		o.Load.Current = current
	}
	u := h.u
	if err := u.begin(o, h.s); err != nil {
		return trial{}, err
	}
	err := u.steady()
	var runaway *Runaway
	if errors.As(err, &runaway) {
		return trial{current, math.Inf(1), runaway.Part, "runaway"}, nil
	}
	if err != nil {
		return trial{}, err
	}
	i, k, excess := u.tightest()
	t := trial{current: current, excess: excess}
	if i >= 0 {
		t.part, t.of = u.d.Components[i].Name, u.limits[i][k].Of
	}
	return t, nil
}

// Critical returns the ambient, K, from which on there is no steady state at these conditions, and the part that runs away;
// ok is false if there is one up to most.
//
// Errors: *InputError, *Unsolved.
func (u *Unit) Critical(o Outside, s State, most float64) (ambient float64, part string, ok bool, err error) {
	runs := func(t float64) (bool, error) {
		o.Ambient = t
		err := u.begin(o, s)
		if err == nil {
			err = u.steady()
		}
		var runaway *Runaway
		if errors.As(err, &runaway) {
			part = runaway.Part
			return true, nil
		}
		return false, err
	}
	low, high := o.Ambient, most
	for _, t := range []float64{high, low} {
		bad, err := runs(t)
		if err != nil {
			return 0, "", false, err
		}
		if t == high && !bad {
			return 0, "", false, nil
		}
		if t == low && bad {
			return low, part, true, nil
		}
	}
	for high-low > 1e-3 {
		middle := (low + high) / 2
		bad, err := runs(middle)
		if err != nil {
			return 0, "", false, err
		}
		if bad {
			high = middle
		} else {
			low = middle
		}
	}
	return low, part, true, nil
}
