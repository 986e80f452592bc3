package hardware

import (
	"errors"
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
	search := &search{u: u, o: o, s: s, f: f, lost: true} // the temperatures at hand are those of another question
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

// Critical returns the ambient, K, from which on there is no steady state at these conditions, and the part that runs away;
// ok is false if there is one up to most.
//
// Errors: *InputError, *Unsolved.
func (u *Unit) Critical(o Outside, s State, most float64) (ambient float64, part string, ok bool, err error) {
	runs := func(t float64) (bool, error) {
		o.Ambient = t
		err := u.begin(o, s)
		if err == nil {
			err = u.steady(false)
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
