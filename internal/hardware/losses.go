package hardware

import (
	"math"

	"hindwatt/internal/numeric"
)

// loss is the heat of one component over its own temperature, with its currents held: a straight line about the temperature at
// which it was worked out, and what leaks.
//
//	P(T) = P0 + P1·(T − T0) + L·exp(c·(T − T0))   [U5]
type loss struct{ t0, p0, p1, leak, growth float64 }

// At returns P(T) and its slope, as physics/heat asks for.
func (l *loss) At(t float64) (p, slope float64) {
	p, slope = l.p0+l.p1*(t-l.t0), l.p1
	if p < 0 {
		p, slope = 0, 0
	}
	if l.leak > 0 {
		q := l.leak * numeric.Exp(min(l.growth*(t-l.t0), 400))
		p, slope = p+q, slope+l.growth*q
	}
	return p, slope
}

// parted is the loss of a component by cause, at the temperature at hand.
func (u *Unit) parted(i int) Loss {
	var out Loss
	for k, share := range u.share() {
		if share == 0 {
			continue
		}
		f := &u.state[k][i]
		if p := share * f.current * f.across; f.way == blocked {
			out.Leakage += p
		} else {
			out.Conduction += p
		}
	}
	out.Conduction += u.itself(i)
	out.Switching, out.Clamping = u.extra[i].Switching, u.extra[i].Clamping
	return out
}

// feed works out the loss of every component about the temperatures at hand.
func (u *Unit) feed() {
	for i := range u.parts {
		u.losses[i] = loss{t0: u.temps[i], growth: u.parts[i].growth()}
		for k, share := range u.share() {
			if share > 0 {
				u.losses[i].add(&u.parts[i], &u.state[k][i], share)
			}
		}
		u.losses[i].p0 += u.itself(i) + u.extra[i].Switching + u.extra[i].Clamping
	}
}

// add adds what a component makes in one part of the cycle.
func (l *loss) add(m *model, f *flow, share float64) {
	p := share * f.current * f.across
	switch f.way {
	case ohmic:
		l.p0 += p
		l.p1 += share * f.current * f.current * m.slope(l.t0)
	case forward:
		i := math.Abs(f.current)
		const h = 1.0 // K
		l.p0 += p
		l.p1 += share * i * (m.forward(i, l.t0+h) - m.forward(i, l.t0-h)) / (2 * h)
	case blocked:
		l.leak += max(p, 0) * m.leaks(f.at, l.t0)
	default:
		l.p0 += max(p, 0)
	}
}

// itself is what a component makes beside the current through its ends, W: a regulator's quiescent current; of a control less what it
// gives the gates.
func (u *Unit) itself(i int) (p float64) {
	if u.parts[i].kind == "control" && i == u.controls() {
		return -u.given()
	}
	for k, share := range u.share() {
		if w := u.network(k); share > 0 && w.quiet[i] != none {
			p += share * w.solution.Power(w.quiet[i])
		}
	}
	return p
}

// drops works out again what lies across resistances and forward junctions, at the currents and temperatures at hand.
func (u *Unit) drops() {
	for k, share := range u.share() {
		if share == 0 {
			continue
		}
		for i := range u.parts {
			m, f := &u.parts[i], &u.state[k][i]
			switch f.way {
			case ohmic:
				f.across = f.current * m.ohms(u.temps[i])
			case forward:
				f.across = math.Copysign(m.forward(math.Abs(f.current), u.temps[i]), f.current)
			}
		}
	}
}
