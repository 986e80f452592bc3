package circuit

import "math"

const (
	epsilon      = 0x1p-52
	sumPart      = 1e-9 // of the largest current, that a sum at a node may be off
	roundings    = 8    // of Σ|G·V|, that a sum may be off
	smallVolts   = 1e-9 // V, and
	smallPart    = 1e-10
	patience     = 30   // iterations, after which steps need not be small
	rowVolts     = 1e-3 // V, against which the rounding of a source's row is measured at least
	huge         = 1e300
	astray       = 1e30 // V or A, more than any current has across LeastConductance: Newton's method went astray
	tangentReach = 1e-6 // V, on which a tangent departs from an exponential by some 1e-9 of it
)

// newton goes on from x until it settles, or reports false.
//
//	part   of all sources, 0 … 1
//	extra  conductance from each node to Ground, S
func (s *Solver) newton(part, extra float64, most int) bool {
	still, eliminated := false, false
	for turn := range most {
		s.sums(part, extra)
		if (still || turn > patience) && s.holds(sumPart, part, extra) {
			if part == 1 && extra == 0 {
				if s.far = s.outOfReach(); s.far != 0 {
					return false // lost on the way, or there is no other: what comes next tells
				}
			}
			return true
		}
		s.iterations++
		if eliminated && s.alike() {
			again(s.rows, s.f, s.swaps)
		} else {
			s.slopes(extra)
			if eliminated = eliminate(s.rows, s.f, s.swaps); !eliminated {
				return false
			}
		}
		var ok bool
		if still, ok = s.step(); !ok {
			return false
		}
	}
	return false
}

// sums computes the sums f at x.
func (s *Solver) sums(part, extra float64) {
	x, f := s.x, s.f
	clear(f)
	for i := range s.lines {
		l := &s.lines[i]
		c := l.g * (x[l.a] - x[l.b] - float64(part*l.emf))
		f[l.a] += c
		f[l.b] -= c
	}
	for i := range s.arms {
		r := &s.arms[i]
		c := x[r.place]
		f[r.a] += c
		f[r.b] -= c
		emf := float64(part * r.emf)
		if r.follows {
			emf = x[r.a] - x[r.ref] - emf // [C10]
			if r.held = emf > 0; !r.held {
				emf = 0
			}
		}
		f[r.place] = x[r.a] - x[r.b] - float64(r.ohms*c) - emf
	}
	for i := range s.pushes {
		p := &s.pushes[i]
		c := part * p.amps
		f[p.a] += c
		f[p.b] -= c
	}
	if extra > 0 {
		for node := 1; node < s.net.Nodes(); node++ {
			f[node] += float64(extra * x[node])
		}
	}
	for i := range s.bends {
		b := &s.bends[i]
		b.touch(part)
		c := b.current(x[b.a] - x[b.b])
		if b.at != 0 { // the tangent gives the voltage for the current
			c = x[b.at]
			f[b.at] = x[b.a] - x[b.b] - b.u - float64(b.j.rs*b.i) - float64((c-b.i)*b.slope())
		}
		f[b.a] += c
		f[b.b] -= c
	}
}

// slopes writes the derivatives of the sums, the matrix.
func (s *Solver) slopes(extra float64) {
	width := len(s.rows)
	for i, row := range s.rows {
		copy(row, s.linear[i*width:(i+1)*width])
	}
	if extra > 0 {
		for node := 1; node < s.net.Nodes(); node++ {
			s.rows[node][node] += extra
		}
	}
	for i := range s.arms {
		r := &s.arms[i]
		if r.was = r.held; r.held {
			s.rows[r.place][r.a]--
			s.rows[r.place][r.ref]++
		}
	}
	for i := range s.bends {
		b := &s.bends[i]
		b.gw = float64(b.g * b.w)
		if p := b.at; p != 0 {
			s.rows[b.a][p]++
			s.rows[b.b][p]--
			s.rows[p][b.a]++
			s.rows[p][b.b]--
			s.rows[p][p] -= b.slope()
			continue
		}
		ra, rb := s.rows[b.a], s.rows[b.b]
		ra[b.a] += b.gw
		rb[b.b] += b.gw
		ra[b.b] -= b.gw
		rb[b.a] -= b.gw
	}
}

// slope is that of the tangent's voltage over its current.
func (b *bend) slope() float64 { return 1 / float64(b.g*b.w) }

// alike reports whether every tangent still has the slope of the last elimination, to so little that this serves once more: the rest
// of a step shrinks by that share instead of by its square.
func (s *Solver) alike() bool {
	const share = 1e-3
	for i := range s.arms {
		if s.arms[i].held != s.arms[i].was {
			return false
		}
	}
	for i := range s.bends {
		b := &s.bends[i]
		if math.Abs(float64(b.g*b.w)-b.gw) > share*b.gw {
			return false
		}
	}
	return true
}

// touch lays the tangent at u. With the series resistance eliminated it is, against the voltage v of the part,
//
//	current = (i + g·(v − u))/(1 + rs·g)   [C6]
func (b *bend) touch(part float64) {
	b.i, b.g = b.j.at(b.u)
	if part != 1 {
		b.i += float64((1 - part) * b.j.photo)
	}
	b.w = 1
	if b.j.rs != 0 {
		b.w = 1 / (1 + float64(b.j.rs*b.g))
	}
}

// current returns that of the tangent at voltage v of the part.
func (b *bend) current(v float64) float64 {
	return (b.i + float64(b.g*(v-b.u))) * b.w // [C6]
}

// step goes to the zero of the tangents and moves the points of touch.
//
//	still  all steps were so small that another one changes nothing
//	ok     all is finite
func (s *Solver) step() (still, ok bool) {
	still = true
	x := s.x
	nodes := s.net.Nodes()
	for i := 1; i < len(x); i++ {
		d := s.f[i]
		x[i] -= d
		if !(math.Abs(x[i]) < astray) {
			return false, false
		}
		if i < nodes && math.Abs(d) > smallVolts+smallPart*math.Abs(x[i]) {
			still = false
		}
	}
	for i := range s.bends {
		b := &s.bends[i]
		v := x[b.a] - x[b.b]
		u := v
		if b.j.rs != 0 {
			u -= float64(b.j.rs * b.current(v))
		}
		to := b.j.limited(u, b.u)
		if to != u || math.Abs(to-b.u) > 10*smallVolts+float64(roundings*epsilon*(math.Abs(x[b.a])+math.Abs(x[b.b]))) {
			still = false
		}
		b.u = to
	}
	return still, true
}

// amps returns the current of a junction.
func (s *Solver) amps(b *bend) float64 {
	if b.at != 0 {
		return s.x[b.at]
	}
	return b.current(s.x[b.a] - s.x[b.b])
}
