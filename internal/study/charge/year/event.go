package year

// due reports whether something may switch within the step.
func (s *Sim) due(m *Minute, was bool, dt float64) bool {
	o := &s.flow
	if o.v < s.watch.low || o.v > s.watch.high {
		return true
	}
	if !s.timed {
		return false
	}
	if s.float {
		return s.reg.Rebulk > 0 && o.v < s.compensated(s.reg.Rebulk, m.Battery)+s.margin
	}
	return o.at != was || o.at && s.timer+dt >= s.enough()
}

// enough is how long the setpoint is held, s.
func (s *Sim) enough() float64 {
	if s.equal {
		return s.reg.EqualiseTime
	}
	return s.reg.AbsorptionTime
}

// An event is something that switches.
type event uint8

const (
	nothing event = iota
	disconnects
	reconnects
	floats
	rebulks
	reaches // the setpoint, or leaves it: only the timer minds
	sags    // below where the load is disconnected, after its delay
)

// split goes through a step in which something may switch: to the first event, then from there on.
func (s *Sim) split(m *Minute, rest float64) {
	const most = 8 // events in a minute
	for range most {
		s.solve(m, 0)
		begin := s.flow
		s.watchSag(begin.v)
		if e := s.at(m, &begin); e != nothing {
			s.apply(e)
			continue
		}
		s.solve(m, rest)
		room := s.room
		s.room -= float64((s.flow.main - s.self) * rest)
		s.solve(m, 0)
		end := s.flow
		s.room = room
		part, e := s.first(m, &begin, &end, rest)
		if e == nothing {
			break
		}
		s.solve(m, part)
		s.flow.at = begin.at
		s.book(m, part)
		s.sagging(part)
		s.apply(e)
		if rest -= part; rest <= 0 {
			return
		}
	}
	s.solve(m, rest)
	s.book(m, rest)
	s.sagging(rest)
}

// sagMargin is by how much the voltage has to be above the level of disconnection until the delay begins anew, V.
const sagMargin = 1e-3

// watchSag sees whether the voltage is below the level of disconnection, at the beginning of a part of a step.
func (s *Sim) watchSag(v float64) {
	if s.off || v > s.disconnect+sagMargin || s.low && s.sums.time > s.sagged+1e-6 { // it was above in between
		s.low, s.sag = false, 0
	}
	if !s.off && v <= s.disconnect {
		s.low = true
	}
}

// sagging counts how long it is below.
func (s *Sim) sagging(dt float64) {
	if s.low {
		s.sag, s.sagged = s.sag+dt, s.sums.time
	}
}

// at returns what switches at once.
func (s *Sim) at(m *Minute, o *op) event {
	switch {
	case s.low && s.sag >= s.reg.DisconnectDelay*(1-1e-12):
		return disconnects
	case s.off && o.v >= s.reconnect:
		return reconnects
	case s.timed && !s.float && s.timer >= s.enough()*(1-1e-12):
		return floats
	case s.float && s.reg.Rebulk > 0 && o.v < s.compensated(s.reg.Rebulk, m.Battery):
		return rebulks
	}
	return nothing
}

// first returns the first event between the begin and the end of a step, and when it happens: voltages are straight within a minute.
func (s *Sim) first(m *Minute, begin, end *op, rest float64) (at float64, e event) {
	at = rest
	sooner := func(t float64, what event) {
		if t > 1e-6 && t < at-1e-6 {
			at, e = t, what
		}
	}
	cross := func(level float64) float64 { return rest * (begin.v - level) / (begin.v - end.v) }
	switch wait := s.reg.DisconnectDelay - s.sag; {
	case s.off:
	case s.low && (end.v <= s.disconnect || wait < cross(s.disconnect)):
		sooner(wait, disconnects)
	case !s.low && end.v <= s.disconnect && s.reg.DisconnectDelay > 0:
		sooner(cross(s.disconnect), sags)
	case !s.low && end.v <= s.disconnect:
		sooner(cross(s.disconnect), disconnects)
	}
	if s.off && end.v >= s.reconnect {
		sooner(cross(s.reconnect), reconnects)
	}
	if s.timed && !s.float {
		if begin.at {
			sooner(s.enough()-s.timer, floats)
		}
		if begin.at != end.at {
			sooner(s.reached(m, begin, end, rest), reaches)
		}
	}
	if s.float && s.reg.Rebulk > 0 && end.v < s.compensated(s.reg.Rebulk, m.Battery) {
		sooner(cross(s.compensated(s.reg.Rebulk, m.Battery)), rebulks)
	}
	return at, e
}

// reached returns when the panel begins, or ceases, to give more than the setpoint takes.
func (s *Sim) reached(m *Minute, begin, end *op, rest float64) float64 {
	room := s.room
	x0 := s.excess(m)
	s.room -= float64(0.5 * (begin.main + end.main) * rest)
	x1 := s.excess(m)
	s.room = room
	if t := rest * x0 / (x0 - x1); t > 0 && t < rest {
		return t
	}
	return rest
}

// excess is the current that the panel gives at the setpoint beyond what the battery takes there.
func (s *Sim) excess(m *Minute) float64 {
	s.light(m)
	s.terminal(m, 0)
	setpoint := s.setpoint(m.Battery)
	i, _ := s.current(setpoint)
	return i - s.now.mainAt(setpoint) - s.gasAt(setpoint) - s.now.ext
}

func (s *Sim) apply(e event) {
	switch e {
	case disconnects:
		s.off, s.low, s.sag = true, false, 0
		s.sums.disconnects++
	case reconnects:
		s.off = false
	case sags:
		s.low, s.sag, s.sagged = true, 0, s.sums.time
	case floats:
		if s.float = true; s.equal {
			s.equal, s.evened = false, s.sums.time
		}
	case rebulks:
		s.float, s.timer = false, 0
	}
	s.look()
}
