package year

import "math"

// book adds what flowed in a time to the state and the sums.
func (s *Sim) book(m *Minute, dt float64) {
	o := &s.flow
	if (o.main > 0) != s.up || o.dead || s.guarded {
		s.seldom(m, o, dt)
	}
	x := &s.sums
	w := float64(o.v * dt)
	x.time += dt
	x.volts += w
	x.gas += float64(o.gas * dt)
	x.gasV += float64(o.gas * w)
	if o.gas > s.most {
		x.over += float64((o.gas - s.most) * dt)
	}
	if m.Load > 0 {
		s.feed(m.Load, o, dt, w)
	}
	if o.in > 0 || o.idle > 0 {
		in := float64(o.in * dt)
		x.in += in
		x.inV += float64(in * o.v)
		x.lost += float64(o.lost * dt)
		x.idle += float64(o.idle * dt)
		x.idleV += float64(o.idle * w)
		if s.mode == cycling {
			x.more += float64(o.more * dt)
		}
		if o.at {
			x.at += dt
			s.timer += dt
		}
		if o.v > s.gassing+float64(s.gassingSlope*m.Battery) {
			x.above += dt
		}
	} else if o.leak != 0 {
		x.leak += float64(o.leak * dt)
		x.leakV += float64(o.leak * w)
	}
	main := o.main
	if s.warming {
		x.self += float64(s.self * dt)
		main -= s.self
	}
	s.room -= float64(main * dt)
	x.rooms += float64(s.room * dt)
	s.last.v, s.last.main, s.last.gas, s.last.in, s.last.idle, s.last.at = o.v, o.main, o.gas, o.in, o.idle, o.at
}

// feed books the load.
func (s *Sim) feed(load float64, o *op, dt, w float64) {
	if s.off || o.dead || s.guard.NoDischarge {
		s.sums.unmet += float64(load * dt)
		return
	}
	s.sums.load += float64(load * dt)
	s.sums.loadV += float64(load * w)
}

// seldom books what is not in every step: the turns between charging and discharging, a battery that gives nothing, its protection.
func (s *Sim) seldom(m *Minute, o *op, dt float64) {
	x := &s.sums
	if up := o.main > 0; up != s.up {
		s.up = up
		x.through += s.sinceTurn()
		s.turned = s.stored()
		state := s.State()
		x.least = min(x.least, state)
		if s.Rainflow != nil {
			s.Rainflow.Add(state)
		}
	}
	if o.dead || s.guard.NoDischarge {
		x.dark += float64(s.reg.Standby * dt)
		x.darkV += float64(float64(s.reg.Standby*dt) * o.v)
	}
	if s.guarded {
		s.protect(m, o, dt)
	}
}

// stored is the charge that went into the main branch, less what came out of it.
func (s *Sim) stored() float64 { return s.start - s.room + s.sums.self }

// sinceTurn is the charge that went through the main branch since it last turned.
func (s *Sim) sinceTurn() float64 { return math.Abs(s.stored() - s.turned) }

// protect lets the protection inside the battery see its cells.
func (s *Sim) protect(m *Minute, o *op, dt float64) {
	v := o.v
	if emf, _ := s.battery.Open(s.Deficit(), m.Battery); s.guard.NoCharge && v > emf || s.guard.NoDischarge && v < emf {
		v = emf
	}
	if m.Battery < 273.15 && o.main > 0 {
		s.sums.frozen += float64(o.main * dt)
	}
	was := s.Opened()
	if s.guard = s.battery.Next(s.guard, v, m.Battery); s.Opened() && !was {
		s.sums.opens++
	}
	if was {
		s.sums.opened += dt
	}
}
