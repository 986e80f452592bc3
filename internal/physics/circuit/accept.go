package circuit

import "math"

// holds reports whether the sums at all nodes are within a part of the largest current and roundings of Σ|G·V|, and
// the tangents on their curves as closely.
func (s *Solver) holds(ofLargest, part, extra float64) bool {
	largest := s.weigh(part, extra)
	allowed := float64(ofLargest*largest) + roundings*epsilon*smallVolts
	for i := 1; i < s.net.Nodes(); i++ {
		if !(math.Abs(s.f[i]) <= allowed+float64(roundings*epsilon*s.weight[i])) {
			return false
		}
	}
	for i := s.net.Nodes(); i < len(s.f); i++ {
		if !(math.Abs(s.f[i]) <= roundings*epsilon*(s.weight[i]+rowVolts)) {
			return false
		}
	}
	for i := range s.bends {
		b := &s.bends[i]
		off := s.x[b.a] - s.x[b.b] - b.u - float64(b.j.rs*b.i)
		g := float64(b.g * b.w)
		rounding := roundings * epsilon * (math.Abs(s.x[b.a]) + math.Abs(s.x[b.b]) + float64(b.j.rs*(math.Abs(b.i)+2*b.j.photo)))
		if !(math.Abs(off*g) <= allowed+float64(rounding*g)) || !(math.Abs(off*b.w) <= tangentReach+rounding) {
			return false
		}
	}
	return true
}

// largestSum is what is left at the worst node.
func (s *Solver) largestSum() (most float64) {
	for i := 1; i < s.net.Nodes(); i++ {
		most = max(most, math.Abs(s.f[i]))
	}
	return most
}

// rounding is what rounding can do to a voltage: the answer of the tangents to currents of ε·Σ|G·V| into every node at once.
func (s *Solver) rounding() (most float64) {
	s.sums(1, 0)
	s.slopes(0)
	s.weigh(1, 0)
	for i := range s.f {
		s.f[i] = epsilon * s.weight[i]
	}
	if !eliminate(s.rows, s.f, s.swaps) {
		return huge
	}
	for i := 1; i < s.net.Nodes(); i++ {
		most = max(most, min(math.Abs(s.f[i]), huge))
	}
	return most
}

// weigh computes Σ|G·V| at each node, the like of arms, and the largest current.
func (s *Solver) weigh(part, extra float64) (largest float64) {
	x, w := s.x, s.weight
	clear(w)
	for i := range s.lines {
		l := &s.lines[i]
		emf := part * l.emf
		c := l.g * (math.Abs(x[l.a]) + math.Abs(x[l.b]) + math.Abs(emf))
		w[l.a] += c
		w[l.b] += c
		largest = max(largest, math.Abs(l.g*(x[l.a]-x[l.b]-emf)))
	}
	for i := range s.arms {
		r := &s.arms[i]
		c := math.Abs(x[r.place])
		w[r.a] += c
		w[r.b] += c
		w[r.place] = math.Abs(x[r.a]) + math.Abs(x[r.b]) + math.Abs(part*r.emf) + float64(r.ohms*c)
		if r.follows {
			w[r.place] += math.Abs(x[r.ref]) + math.Abs(x[r.a])
		}
		largest = max(largest, c)
	}
	for i := range s.pushes {
		c := math.Abs(part * s.pushes[i].amps)
		w[s.pushes[i].a] += c
		w[s.pushes[i].b] += c
		largest = max(largest, c)
	}
	for i := range s.bends {
		b := &s.bends[i]
		c := s.amps(b)
		volts := math.Abs(x[b.a]) + math.Abs(x[b.b])
		more := math.Abs(c)
		largest = max(largest, more)
		if b.at != 0 {
			w[b.at] = volts + math.Abs(b.u) + math.Abs(b.j.rs*b.i) + more/(b.g*b.w)
		} else {
			more += float64(b.g * b.w * volts)
		}
		w[b.a] += more
		w[b.b] += more
	}
	if extra > 0 {
		for i := range s.net.Nodes() {
			w[i] += float64(extra * math.Abs(x[i]))
		}
	}
	return largest
}

// record writes the current of each branch, and returns the largest.
func (s *Solver) record() (largest float64) {
	line, arm, push, bend := 0, 0, 0, 0
	for k := range s.net.branches {
		b := &s.net.branches[k]
		i := 0.0
		switch {
		case b.off:
		case b.way == constant:
			i = s.pushes[push].amps
			push++
		case b.way == curved:
			c := &s.bends[bend]
			i = s.amps(c)
			if c.j.turned {
				i = -i
			}
			bend++
		case s.isArm(b):
			i = s.x[s.arms[arm].place]
			arm++
		default:
			l := &s.lines[line]
			i = l.g * (s.x[l.a] - s.x[l.b] - l.emf)
			line++
		}
		s.flow[k] = i
		largest = max(largest, math.Abs(i))
	}
	return largest
}
