package heat

import (
	"fmt"
	"math"
)

// closes is the share of the heat by which a balance may be off.
const closes = 2e-10

// rounding is what of each conductance times rise, or of a surface's slope times temperature, may be off beside that, by
// the digits of a number: 8ε. A wall of aluminium carries 3000 W/K.
const rounding = 8 * 2.2e-16

// Solve finds the steady temperature of every node at an ambient, K, on the branch that a unit
// reaches as it warms up from the ambient: the lowest.
//
// The error is a *Runaway where there is no steady state, a *TooHot where it lies above MaxTemperature,
// or names a heat or an ambient that cannot be, or a node without a way to the ambient.
func (n *Network) Solve(ambient float64) error {
	if err := n.prepare(ambient); err != nil {
		return err
	}
	n.start()
	if n.newton(1, 60) == solved {
		return nil
	}
	return n.climb()
}

// Again is Solve from the temperatures of the last one: quicker where little has changed. A
// state that it finds is stable; it is the lowest if the last one was and no other lies between.
func (n *Network) Again(ambient float64) error {
	if !n.shaped || n.ambient == 0 {
		return n.Solve(ambient)
	}
	if err := n.prepare(ambient); err != nil {
		return err
	}
	if n.newton(1, 60) == solved {
		return nil
	}
	n.start()
	return n.climb()
}

// Rises returns how far the nodes lay above the ambient after the last Solve, K.
func (n *Network) Rises() []float64 { return append([]float64(nil), n.rise...) }

// From makes the next Again begin at the rises of a network of the same nodes, as if the last Solve had found them.
func (n *Network) From(rises []float64, ambient float64) error {
	if err := n.prepare(ambient); err != nil {
		return err
	}
	copy(n.rise, rises)
	return nil
}

// prepare checks what is given and makes the plan.
func (n *Network) prepare(ambient float64) error {
	if len(n.names) == 0 {
		return fmt.Errorf("a network without a node; want one or more")
	}
	if err := CheckAmbient(ambient); err != nil {
		return err
	}
	for i, p := range n.heat {
		if !(p >= 0 && p <= math.MaxFloat64) {
			return fmt.Errorf("%s makes %g W; want 0 or more", n.names[i], p)
		}
	}
	if !n.shaped {
		n.plan()
		if i := n.adrift(); i > 0 {
			n.shaped = false
			return fmt.Errorf("%s has no way for its heat to the ambient; want a resistance or a surface", n.names[i])
		}
	}
	n.ambient = ambient
	return nil
}

// adrift returns a node that no way leads from to Outside, or 0.
func (n *Network) adrift() int {
	reached := make([]bool, len(n.names))
	reached[Outside] = true
	for range n.names {
		for _, l := range n.fixed {
			reached[l.a] = reached[l.a] || reached[l.b]
			reached[l.b] = reached[l.b] || reached[l.a]
		}
		for _, j := range n.joined {
			reached[j.a] = reached[j.a] || reached[j.b]
			reached[j.b] = reached[j.b] || reached[j.a]
		}
	}
	for i, ok := range reached {
		if !ok {
			return i
		}
	}
	return 0
}

// start is a first guess: all nodes a little above the ambient, since free convection needs a difference.
func (n *Network) start() {
	const guess = 10 // K
	for i := 1; i < len(n.rise); i++ {
		n.rise[i] = guess
	}
}

type outcome int

const (
	solved outcome = iota
	unstable
	tooHot
	unsettled
)

// newton settles the balance with all heat times scale, from the temperatures at hand. It follows stable states
// only: a pivot that is not above 0 says that heat grows faster than it is carried away.
func (n *Network) newton(scale float64, most int) outcome {
	for range most {
		off, enough := n.assemble(scale)
		if !n.shape.factor() {
			return unstable
		}
		if off <= enough {
			return solved
		}
		n.shape.solve(n.residue)
		for place, step := range n.residue {
			rise := &n.rise[n.shape.order[place]]
			*rise += step
			if !(n.ambient+*rise <= MaxTemperature) {
				return tooHot
			}
			*rise = max(*rise, -n.ambient/2)
		}
	}
	return unsettled
}

// assemble writes what is left of the balance of each node [H35], and the slopes of it; it returns the
// largest rest and the rest that is none: a share of the heat made, and what rounding leaves.
func (n *Network) assemble(scale float64) (off, enough float64) {
	s := &n.shape
	s.clear()
	heat, slopes := 0.0, 0.0
	for place, i := range s.order {
		p, slope := n.heat[i], 0.0
		if n.losses[i] != nil {
			q, dq := n.losses[i].At(n.Temperature(Node(i)))
			p, slope = p+q, dq
		}
		n.residue[place], s.diag[place] = scale*p, -scale*slope
		heat += scale * p
	}
	for i := range n.fixed {
		l := &n.fixed[i]
		n.pass(l.a, l.b, s.fixed[i], l.g*(n.rise[l.a]-n.rise[l.b]), l.g)
	}
	for i := range n.joined {
		j := &n.joined[i]
		q, slope := j.by.Heat(n.Temperature(j.a), n.Temperature(j.b))
		n.pass(j.a, j.b, s.joined[i], q, slope)
		slopes += slope
	}
	for place, r := range n.residue {
		off = max(off, math.Abs(r)-rounding*s.diag[place]*math.Abs(n.rise[s.order[place]]))
	}
	return off, closes*heat + rounding*slopes*n.ambient
}

// pass books heat q from a to b.
func (n *Network) pass(a, b Node, entry int, q, slope float64) {
	s := &n.shape
	if a != Outside {
		place := s.place[a]
		n.residue[place] -= q
		s.diag[place] += slope
	}
	if b != Outside {
		place := s.place[b]
		n.residue[place] += q
		s.diag[place] += slope
	}
	if entry >= 0 {
		s.value[entry] -= slope
	}
}

// climb turns the heat up from nothing, so that the state stays on the lowest branch, and halves its steps where a
// branch ends: there the heat cannot be carried away.
func (n *Network) climb() error {
	const (
		least = 1e-6
		soon  = 12 // steps within which a state near by is found, or the next is nearer
	)
	n.start()
	copy(n.saved, n.rise)
	scale, step, last := 0.0, 0.25, solved
	for scale < 1 && step >= least {
		next := min(1, scale+step)
		if last = n.newton(next, soon); last == solved {
			scale, step = next, 2*step
			copy(n.saved, n.rise)
		} else {
			step /= 2
			copy(n.rise, n.saved)
		}
	}
	if scale == 1 {
		return nil
	}
	return n.runaway(scale, last)
}

// runaway names the part that ends the branch: where the loss grows most along the direction in which the
// state gives way.
func (n *Network) runaway(scale float64, last outcome) error {
	n.assemble(1)
	if last == tooHot && n.shape.factor() {
		return &TooHot{n.names[n.hottest()], n.ambient}
	}
	at, most := Node(n.hottest()), 0.0
	n.assemble(scale)
	if n.shape.factor() {
		for i := range n.residue {
			n.residue[i] = 1
		}
		n.shape.solve(n.residue)
		for place, i := range n.shape.order {
			if n.losses[i] == nil {
				continue
			}
			if _, slope := n.losses[i].At(n.Temperature(Node(i))); slope*n.residue[place] > most {
				at, most = Node(i), slope*n.residue[place]
			}
		}
	}
	return &Runaway{at, n.names[at], n.ambient}
}

func (n *Network) hottest() int {
	at := 0
	for i := range n.rise {
		if n.rise[i] > n.rise[at] {
			at = i
		}
	}
	return at
}

// TooHot says that a steady state lies above MaxTemperature.
type TooHot struct {
	Name    string
	Ambient float64 // K
}

// Error names the node.
func (e *TooHot) Error() string {
	return fmt.Sprintf("%s would be above %.0f °C at an ambient of %.1f °C; want less heat or a better path for it", e.Name, MaxTemperature-Celsius0, e.Ambient-Celsius0)
}

// LargestAmbient returns the largest ambient between lo and hi, K, at which there is a steady state, to
// 1e-5 K; bounded is false if there still is one at hi, or at MaxAmbient if that is lower. The error is that of Solve at lo.
func (n *Network) LargestAmbient(lo, hi float64) (ambient float64, bounded bool, err error) {
	hi = min(hi, MaxAmbient)
	if err := n.Solve(lo); err != nil {
		return 0, true, err
	}
	if n.Solve(hi) == nil {
		return hi, false, nil
	}
	for hi-lo > 1e-5 {
		middle := (lo + hi) / 2
		if n.Solve(middle) == nil {
			lo = middle
		} else {
			hi = middle
		}
	}
	return lo, true, n.Solve(lo)
}
