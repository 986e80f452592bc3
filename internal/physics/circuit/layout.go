package circuit

// prepare lays the network out for its present values.
func (s *Solver) prepare() error {
	n := s.net
	if n.fault != "" {
		return &ValueError{n.fault}
	}
	if n.bad > 0 {
		for i := range n.elements {
			if e := &n.elements[i]; e.fault != "" {
				return &ValueError{e.name + ": " + e.fault}
			}
		}
	}
	if s.shape != n.shape {
		s.shape = -1
		s.parent = grown(s.parent, n.Nodes())
		if err := n.unique(s.parent); err != nil {
			return err
		}
		s.shape = n.shape
		s.warm = false
	}
	s.layOut(false)
	return nil
}

// layOut sorts the branches and stamps the linear ones; all makes every current an unknown.
func (s *Solver) layOut(all bool) {
	n := s.net
	s.all = all
	s.lines, s.arms, s.pushes = s.lines[:0], s.arms[:0], s.pushes[:0]
	s.bends = grown(s.bends, len(n.curves))
	bends := 0
	place := n.Nodes() - 1
	for k := range n.branches {
		b := &n.branches[k]
		if b.off {
			continue
		}
		from, to := int32(b.a), int32(b.b)
		switch {
		case b.way == constant:
			s.pushes = append(s.pushes, push{from, to, b.amps})
		case b.way == curved:
			j := &n.curves[b.curve]
			if j.turned {
				from, to = to, from
			}
			c := &s.bends[bends]
			c.a, c.b, c.at, c.j = from, to, 0, j
			if all {
				place++
				c.at = int32(place)
			}
			bends++
		case s.isArm(b):
			place++
			s.arms = append(s.arms, arm{a: from, b: to, place: int32(place), emf: b.emf, ohms: b.ohms, follows: b.follows, ref: int32(b.ref)})
		default:
			s.lines = append(s.lines, line{from, to, 1 / b.ohms, b.emf})
		}
	}
	s.bends = s.bends[:bends]
	s.size = place
	s.room()
	s.stampLinear()
}

// isArm reports whether the current of a linear branch is an unknown.
func (s *Solver) isArm(b *branch) bool { return s.all || b.ohms < BranchBelow }

// room makes the workspace large enough.
func (s *Solver) room() {
	width := s.size + 1
	s.x = grown(s.x, width)
	s.f = grown(s.f, width)
	s.weight = grown(s.weight, width)
	s.linear = grown(s.linear, width*width)
	s.swaps = grown(s.swaps, width)
	s.flow = grown(s.flow, len(s.net.branches))
	if len(s.rows) != width {
		s.work = grown(s.work, width*width)
		s.rows = s.rows[:0]
		for i := range width {
			s.rows = append(s.rows, s.work[i*width:(i+1)*width])
		}
	}
}

// grown returns a slice of a length with what it held.
func grown[T any](old []T, length int) []T {
	if cap(old) >= length {
		return old[:length]
	}
	return append(make([]T, 0, length+length/2), old...)[:length]
}

// stampLinear writes what lines and arms add to the matrix.
func (s *Solver) stampLinear() {
	clear(s.linear)
	width := s.size + 1
	m := s.linear
	for i := range s.lines {
		l := &s.lines[i]
		a, b, g := int(l.a), int(l.b), l.g
		m[a*width+a] += g
		m[b*width+b] += g
		m[a*width+b] -= g
		m[b*width+a] -= g
	}
	for i := range s.arms {
		r := &s.arms[i]
		a, b, p := int(r.a), int(r.b), int(r.place)
		m[a*width+p]++
		m[b*width+p]--
		m[p*width+a]++
		m[p*width+b]--
		m[p*width+p] -= r.ohms
	}
}
