package year

import (
	"context"
	"fmt"
	"math"

	"hindwatt/internal/numeric"
)

// Step is the length of a minute, s.
const Step = 60.0

// Run takes the simulation through minutes, one after the other.
func (s *Sim) Run(minutes []Minute) {
	for i := range minutes {
		s.Advance(&minutes[i], Step)
	}
}

// Lanes is how many simulations go side by side in one job of Run.
const Lanes = 8

// Run takes simulations through their minutes, as many for each, side by side on all cores. What each gets does not depend on the others nor on
// the number of cores. An error is that of ctx, or of minutes that do not fit.
func Run(ctx context.Context, sims []*Sim, minutes [][]Minute) error {
	if len(sims) != len(minutes) {
		return fmt.Errorf("%d simulations and %d rows of minutes; want one for each", len(sims), len(minutes))
	}
	for _, row := range minutes {
		if len(row) != len(minutes[0]) {
			return fmt.Errorf("rows of %d and %d minutes; want all of one length", len(minutes[0]), len(row))
		}
	}
	return numeric.Parallel(ctx, (len(sims)+Lanes-1)/Lanes, func(job int) error {
		from, to := job*Lanes, min((job+1)*Lanes, len(sims))
		return together(ctx, sims[from:to], minutes[from:to])
	})
}

// together takes lanes through each minute one after the other: a processor overlaps what does not wait for each other.
func together(ctx context.Context, sims []*Sim, minutes [][]Minute) error {
	const day = 1440
	for i := range minutes[0] {
		if i%day == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		for k, s := range sims {
			s.Advance(&minutes[k][i], Step)
		}
	}
	return nil
}

// Advance takes the simulation through one step of a length in s, at most a minute or so.
func (s *Sim) Advance(m *Minute, dt float64) {
	if s.timed && s.night != (m.Sun <= 0) {
		if s.night = m.Sun <= 0; !s.night {
			s.float, s.timer = false, 0
			s.equal = s.reg.Equalise > 0 && s.sums.time-s.evened >= s.reg.EqualiseEvery
		}
	}
	was := s.last.at
	s.solve(m, dt)
	if s.due(m, was, dt) {
		s.split(m, dt)
		return
	}
	s.book(m, dt)
}

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
)

// split goes through a step in which something may switch: to the first event, then from there on.
func (s *Sim) split(m *Minute, rest float64) {
	const most = 8 // events in a minute
	for range most {
		s.solve(m, 0)
		begin := s.flow
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
		s.apply(e)
		if rest -= part; rest <= 0 {
			return
		}
	}
	s.solve(m, rest)
	s.book(m, rest)
}

// at returns what switches at once.
func (s *Sim) at(m *Minute, o *op) event {
	switch {
	case !s.off && o.v <= s.disconnect:
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
	if !s.off && end.v <= s.disconnect {
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
		s.off = true
		s.sums.disconnects++
	case reconnects:
		s.off = false
	case floats:
		if s.float = true; s.equal {
			s.equal, s.evened = false, s.sums.time
		}
	case rebulks:
		s.float, s.timer = false, 0
	}
	s.look()
}

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
		if o.v > s.gassing {
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
	s.guard = s.battery.Next(s.guard, v, m.Battery)
}
