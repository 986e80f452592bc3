package year

import (
	"math"
)

// near is e^d for |d| < small, to 1e-13.
func near(d float64) float64 {
	d2 := float64(d * d)
	return 1 + d + float64(d2*(0.5+float64(d*(1.0/6))+float64(d2*(1.0/24+float64(d*(1.0/120))))))
}

const (
	small = 0.02 // for near

	// wide is the step of Newton's method, V, from which the second order goes the rest of the way: typically to 1e-7 of the panel's current in full sun, at
	// most to 1e-5, at the joints of the path's table.
	wide = 1e-2

	// slight is the most by which the second order may change such a step: what the third would add is its square.
	slight = 0.01
)

// quick is how often Newton's method is tried before a bracket is sought.
const quick = 12

// free finds the panel straight on the battery, by the voltage of the panel's junction at which both have the same current. It returns false if the panel
// gives nothing.
func (s *Sim) free() bool {
	l, t := &s.sun, &s.now
	vj := s.guess()
	e := s.lit(vj)
	var j junction
	lo, hi := 0.0, math.Inf(1)
	for range quick {
		s.junction(&j, vj, e)
		var step, f float64
		if j.i > 0 {
			gas := s.gasAt(j.v)
			g := t.out
			if j.v > t.emf {
				g = t.in
			}
			kg := float64(s.perVolt * gas)
			g0 := g + kg
			f = j.i - float64((j.v-t.emf)*g) - gas - t.ext
			inv := 1 / (j.di - float64(j.dv*g0))
			step = float64(f * inv)
			if step < wide && step > -wide {
				second := j.bend - float64(j.sag*g0) - float64(float64(s.perVolt*kg)*float64(j.dv*j.dv))
				bent := float64(float64(0.5*second) * float64(inv*step))
				d := -float64(step * (1 + bent))
				rise := float64(d * (j.dv + float64(0.5*j.sag*d)))
				if bent < slight && bent > -slight && (j.v+rise > t.emf) == (j.v > t.emf) {
					gain := float64(d * (j.di + float64(0.5*j.bend*d)))
					s.vj, s.iph, s.per = vj+d, l.iph, -float64((1+float64((j.r+s.panel.Series)*g0))*inv)
					s.straight(j.v+rise, j.i+gain, gas*near(float64(s.perVolt*rise)), j.drop+float64(j.r*gain))
					return true
				}
			}
		}
		if j.i <= 0 {
			step = l.above(&j)
		}
		if f > 0 {
			lo = vj
		} else {
			hi = vj
		}
		if step = limited(step); vj-step <= lo || vj-step >= hi { // it jumps to and fro over the kink
			step = vj - float64(0.5*(lo+hi))
		}
		e = l.moved(e, vj, -step)
		vj -= step
	}
	return s.freeSlowly()
}

// straight notes what flows with the panel on the battery.
func (s *Sim) straight(v, i, gas, drop float64) {
	o := &s.flow
	o.v, o.in, o.main, o.gas, o.lost = v, i, i-gas-s.now.ext, gas, float64(i*drop)
	o.more, o.leak, o.idle, o.at, o.dead = 0, 0, 0, false, false
}

// hold finds the battery at the setpoint by pwm; it returns false if the panel gives less than that takes.
func (s *Sim) hold(setpoint float64) bool {
	i, drop := s.current(setpoint)
	gas, main := s.gasAt(setpoint), s.now.mainAt(setpoint)
	need := main + gas + s.now.ext
	if s.reg.Ripple > 0 && need > 0 && need < i {
		gas *= s.rippled(i, need/i)
		need = main + gas + s.now.ext
	}
	if need > i {
		return false
	}
	if need <= 0 {
		s.resting(&Leak{})
		s.flow.idle = i
		return true
	}
	o := &s.flow
	o.v, o.in, o.main, o.gas, o.lost, o.idle, o.at = setpoint, need, main, gas, float64(need*drop), i-need, true
	o.more, o.leak, o.dead = 0, 0, false
	return true
}

// setpoint returns the voltage that is held now.
func (s *Sim) setpoint(temperature float64) float64 {
	switch {
	case s.float:
		return s.compensated(s.reg.Float, temperature)
	case s.equal:
		return s.compensated(s.reg.Equalise, temperature)
	}
	return s.compensated(s.reg.Absorption, temperature)
}

// compensated returns a voltage at 25 °C as it is at another temperature.
func (s *Sim) compensated(at25, temperature float64) float64 {
	if temperature < s.reg.From {
		temperature = s.reg.From
	} else if temperature > s.reg.To {
		temperature = s.reg.To
	}
	return at25 + float64(s.reg.PerKelvin*(temperature-298.15))
}

// solve finds what flows in a step of a length from the present state on; 0 for this very moment. It leaves it in s.flow: a value that is
// returned would be copied at each floor, which costs more than the computing.
func (s *Sim) solve(m *Minute, dt float64) {
	s.terminal(m, 0.5*dt)
	if m.Sun <= 0 {
		s.darkness()
		return
	}
	s.light(m)
	switch {
	case s.sun.iph < s.weak && s.dim():
		s.darkness()
	case s.reg.Method == None:
		if !s.free() {
			s.darkness()
		}
	case s.float && s.reg.Float == 0:
		s.resting(&Leak{})
		s.flow.idle, _ = s.current(s.flow.v)
	default:
		s.charge(s.setpoint(m.Battery))
	}
}

// darkness finds the battery when the panel gives nothing.
func (s *Sim) darkness() {
	s.iph, s.mode = 0, bulk
	s.resting(&s.reg.Night)
}

// rises reports whether the voltage is about to go beyond a setpoint, as far as the step before tells.
func (s *Sim) rises(setpoint float64) bool {
	return s.sun.iph-s.iph > float64((setpoint-s.last.v)*(s.now.in+float64(s.perVolt*s.last.gas)))
}

// charge finds the battery on a panel that is held back at a setpoint, trying first what is likely.
func (s *Sim) charge(setpoint float64) {
	if s.mode == bulk && s.iph > 0 && s.rises(setpoint) {
		s.mode = held
	}
	for range 2 {
		if s.mode == bulk {
			if !s.free() {
				s.darkness()
				return
			}
			if s.flow.v <= setpoint {
				return
			}
		}
		if s.regulated(setpoint) {
			return
		}
		s.mode = bulk
	}
	if !s.free() { // between both by rounding: it just reaches the setpoint
		s.darkness()
	}
}

// regulated finds the battery around its setpoint, or returns false where it does not reach it.
func (s *Sim) regulated(setpoint float64) bool {
	if s.reg.Method == OnOff {
		s.mode = cycling
		return s.cycle(setpoint)
	}
	s.mode = held
	return s.hold(setpoint)
}
