package hardware

import "hindwatt/internal/physics/circuit"

// Units of one design settle near each other. A unit that is not nominal begins where a nominal one settled under the same
// conditions: so its result depends on its own values alone, whatever it was asked before, and is found in fewer steps.

// A question is what an operation asks; the held current of one that looks for the largest is 0.
type question struct {
	o       Outside
	s       State
	f       Find
	largest bool
}

// start is where a nominal unit settled.
type start struct {
	temps, rises []float64
	wires        [2]wireStart // of both parts of the cycle
	lower        [2]wireStart // likewise, at half of the largest current
	current      float64      // A, largest
}

// wireStart is that of one part of the cycle; nil of a part that is not.
type wireStart struct {
	network *circuit.Start
	on      []bool
}

// start is where a nominal unit settled, nil where it did not.
func (u *Unit) start(q question) *start {
	if u.plain {
		return nil
	}
	if u.nominal == nil {
		n, err := u.d.Unit(nil)
		if err != nil {
			return nil
		}
		n.starts = map[question]*start{}
		u.nominal = n
	}
	n := u.nominal
	st, known := n.starts[q]
	if !known {
		st = n.settles(q)
		n.starts[q] = st
	}
	return st
}

// settles works out where the unit settles.
func (u *Unit) settles(q question) *start {
	st := &start{}
	if q.largest {
		h := &search{u: u, o: q.o, s: q.s, f: q.f, lost: true, start: st}
		if r, err := h.run(); err != nil || !r.Bound || r.Current <= 0 {
			return nil
		}
		return st
	}
	if u.begin(q.o, q.s) != nil || u.steady(false) != nil {
		return nil
	}
	st.temps, st.rises, st.wires = append(st.temps, u.temps...), u.heat.assembly.Rises(), u.wires()
	return st
}

// wires notes where the networks settled.
func (u *Unit) wires() (at [2]wireStart) {
	for k, share := range u.share() {
		if share > 0 {
			w := u.network(k)
			settled := w.solver.Start()
			at[k] = wireStart{&settled, append([]bool(nil), w.on...)}
		}
	}
	return at
}

// from begins at a start; false if there is none.
func (u *Unit) from(st *start) bool {
	if st == nil || u.heat.assembly.From(st.rises, u.outside.Ambient) != nil {
		return false
	}
	copy(u.temps, st.temps)
	u.wired(st.wires)
	return true
}

// wired begins the next solution of the networks where others settled.
func (u *Unit) wired(at [2]wireStart) {
	for k := range at {
		w := u.network(k)
		w.start = at[k].network
		for i, on := range at[k].on {
			if u.parts[i].kind == "mosfet" {
				w.turn(i, on)
			}
		}
	}
}
