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
	if s.night != (m.Sun <= 0) {
		if s.night = m.Sun <= 0; !s.night {
			s.float, s.timer = false, 0
		}
	}
	was := s.last.at
	o := s.solve(m, dt)
	if s.due(m, &o, was, dt) {
		s.split(m, dt)
		return
	}
	s.book(m, &o, dt)
}

// due reports whether something may switch within the step.
func (s *Sim) due(m *Minute, o *op, was bool, dt float64) bool {
	if s.off {
		if o.v > s.reconnect-s.margin {
			return true
		}
	} else if o.v < s.disconnect+s.margin {
		return true
	}
	if s.reg.AbsorptionTime == 0 {
		return false
	}
	if s.float {
		return s.reg.Rebulk > 0 && o.v < s.rebulk(m.Battery)+s.margin
	}
	return o.at != was || o.at && s.timer+dt >= s.reg.AbsorptionTime
}

func (s *Sim) rebulk(temperature float64) float64 {
	return s.reg.Rebulk + float64(s.reg.PerKelvin*(min(max(temperature, s.reg.From), s.reg.To)-298.15))
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
		begin := s.solve(m, 0)
		if e := s.now(m, &begin); e != nothing {
			s.apply(e)
			continue
		}
		room, whole := s.room, s.solve(m, rest)
		s.room -= float64((whole.main - s.self) * rest)
		end := s.solve(m, 0)
		s.room = room
		at, e := s.first(m, &begin, &end, rest)
		if e == nothing {
			break
		}
		part := s.solve(m, at)
		part.at = begin.at
		s.book(m, &part, at)
		s.apply(e)
		if rest -= at; rest <= 0 {
			return
		}
	}
	o := s.solve(m, rest)
	s.book(m, &o, rest)
}

// now returns what switches at once.
func (s *Sim) now(m *Minute, o *op) event {
	switch {
	case !s.off && o.v <= s.disconnect:
		return disconnects
	case s.off && o.v >= s.reconnect:
		return reconnects
	case s.reg.AbsorptionTime > 0 && !s.float && s.timer >= s.reg.AbsorptionTime*(1-1e-12):
		return floats
	case s.float && s.reg.Rebulk > 0 && o.v < s.rebulk(m.Battery):
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
	if s.reg.AbsorptionTime > 0 && !s.float {
		if begin.at {
			sooner(s.reg.AbsorptionTime-s.timer, floats)
		}
		if begin.at != end.at {
			sooner(s.reached(m, begin, end, rest), reaches)
		}
	}
	if s.float && s.reg.Rebulk > 0 && end.v < s.rebulk(m.Battery) {
		sooner(cross(s.rebulk(m.Battery)), rebulks)
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
	t, l, p := s.terminal(m, 0), s.light(m), s.path.at(m.Air)
	setpoint := s.setpoint(m.Battery)
	i, _, _ := s.current(&l, &p, setpoint)
	return i - t.mainAt(setpoint) - s.gasAt(&t, setpoint) - t.ext
}

func (s *Sim) apply(e event) {
	switch e {
	case disconnects:
		s.off = true
		s.Totals.Disconnects++
	case reconnects:
		s.off = false
	case floats:
		s.float = true
	case rebulks:
		s.float, s.timer = false, 0
	}
}

// book adds what flowed in a time to the state and the sums.
func (s *Sim) book(m *Minute, o *op, dt float64) {
	t := &s.Totals
	t.Time += dt
	load, standby := 0.0, min(s.reg.Standby, o.ext)
	if !s.off {
		load = min(m.Load, max(0, o.ext-standby))
	}
	leak := o.ext - load - standby
	w := float64(o.v * dt)
	t.Charged += float64(o.in * dt)
	t.ChargedEnergy += float64(o.inV * dt)
	t.Stored += float64(o.main * dt)
	t.StoredEnergy += float64(o.inV*dt) - float64((o.gas+o.ext)*w)
	t.Gas += float64(o.gas * dt)
	t.GasEnergy += float64(o.gas * w)
	t.Load += float64(load * dt)
	t.LoadEnergy += float64(load * w)
	t.Standby += float64(standby * dt)
	t.StandbyEnergy += float64(standby * w)
	t.Leak += float64(leak * dt)
	t.LeakEnergy += float64(leak * w)
	t.PathEnergy += float64(o.lost * dt)
	t.Spilled += float64(o.idle * dt)
	t.SpilledEnergy += float64(o.idle * w)
	t.Unmet += float64((m.Load - load) * dt)
	t.SelfDischarge += float64(s.self * dt)
	t.Through += float64(math.Abs(o.main) * dt)
	if o.at {
		t.AtSetpoint += dt
		s.timer += dt
	}
	if o.v > s.gassing {
		t.AboveGassing += dt
	}
	if up := o.main > 0; up != s.up {
		s.turn(up)
	}
	s.room -= float64((o.main - s.self) * dt)
	state := s.State()
	t.StateTime += float64(state * dt)
	t.Least = min(t.Least, state)
	if s.guarded {
		s.protect(m, o, dt)
	}
	s.last = *o
}

// turn tells the counter of cycles that charging begins or ends.
func (s *Sim) turn(up bool) {
	s.up = up
	if s.Rainflow != nil {
		s.Rainflow.Add(s.State())
	}
}

// protect lets the protection inside the battery see its cells.
func (s *Sim) protect(m *Minute, o *op, dt float64) {
	t := s.terminal(m, 0)
	v := o.v
	if s.guard.NoCharge {
		v = min(v, t.emf)
	}
	if s.guard.NoDischarge {
		v = max(v, t.emf)
	}
	if m.Battery < 273.15 && o.main > 0 {
		s.Totals.FrozenIn += float64(o.main * dt)
	}
	s.guard = s.battery.Next(s.guard, v, m.Battery)
}
