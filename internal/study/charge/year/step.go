package year

import (
	"math"

	"hindwatt/internal/numeric"
)

// A terminal is the battery in one step, and what is drawn beside it.
type terminal struct {
	emf, in, out float64 // V, S charging, S discharging
	offset       float64 // exponent of the gas at 0 V
	ext          float64 // A
}

// terminal returns the battery for a step of twice half a time, s, which begins at s.room. The conductances are those of the middle, to which the current of the step
// before leads; that the open-circuit voltage rises until then acts as a resistance.
func (s *Sim) terminal(m *Minute, half float64) terminal {
	c := s.cell
	scale, self := s.scale.at(m.Battery)
	s.self = self
	t := terminal{offset: s.offset + float64(c.GasPerKelvin*m.Battery), ext: s.reg.Standby}
	missing := float64(s.room*s.inverse) - s.over
	fall := float64(s.fall * s.inverse)
	if s.lead {
		t.emf = s.full - float64(s.fall*missing) + float64(s.perKelvin*(m.Battery-298.15))
	} else {
		t.emf, fall = s.battery.Open(float64(missing*s.battery.Capacity), m.Battery)
	}
	left := max(float64((s.room-float64(half*s.last.main))*s.inverse), 1e-12)
	state := c.Cc - left
	stiff := float64(half * fall)
	top := float64(scale * left)
	t.in = top / (float64(c.Charging*(left+float64(c.Mc*max(state, 0)))) + float64(top*stiff)) // [K1]
	left = max(c.Cd-1+state, 1e-12)
	top = float64(scale * left)
	t.out = top / (float64(c.Discharging*(left+float64(c.Md*max(1-state, 0)))) + float64(top*stiff)) // [K2]
	if !s.off {
		t.ext += m.Load
	}
	if s.guarded {
		s.guardedTerminal(&t)
	}
	return t
}

// guardedTerminal lays the protection inside the battery over it.
func (s *Sim) guardedTerminal(t *terminal) {
	if s.guard.NoCharge {
		t.in = 0
	}
	if s.guard.NoDischarge {
		t.out, t.ext = 0, 0
	}
}

// near is e^d for |d| < 0.02, to 1e-13.
func near(d float64) float64 {
	d2 := float64(d * d)
	return 1 + d + float64(d2*(0.5+float64(d*(1.0/6))+float64(d2*(1.0/24+float64(d*(1.0/120))))))
}

const small = 0.02 // for near

// close is the step of Newton's method, V, after which the linear correction leaves an error of 1e-8.
const closed = 2e-4

// resting returns the battery with nothing from the panel.
func (s *Sim) resting(t *terminal, leak Leak) op {
	v, gas, x := s.last.v, s.base, s.x
	for n := 0; ; n++ {
		next := float64(s.perVolt*v) + t.offset
		if d := next - x; d < small && d > -small {
			gas *= near(d)
		} else {
			gas = s.gas * numeric.Exp(next)
		}
		x = next
		g := t.out
		if v > t.emf {
			g = t.in
		}
		slope := g + float64(s.perVolt*gas) + leak.Slope
		current := float64((v-t.emf)*g) + gas + t.ext + leak.At + float64(leak.Slope*(v-leak.Voltage))
		if !(slope > 1e-12) || v < -1e3 {
			return op{v: t.emf} // nothing flows out of it any more
		}
		step := current / slope
		if v -= step; step < closed && step > -closed {
			s.base, s.x = gas, x
			gas *= near(-float64(s.perVolt * step))
			leaks := leak.At + float64(leak.Slope*(v-leak.Voltage))
			ext := t.ext + leaks
			if v < s.dead && s.off {
				return op{v: max(v, 0)}
			}
			return op{v: v, main: -gas - ext, gas: gas, ext: ext}
		}
		if n > 100 {
			s.Totals.Unsolved++
			return op{v: t.emf}
		}
	}
}

// A light is the panel in one step.
type light struct {
	iph, i0 float64 // A
	inva    float64 // 1/V
	gsh     float64 // S
}

func (s *Sim) light(m *Minute) light {
	p := &s.panel
	i0, _ := s.saturation.at(m.Cell)
	sun := float64(m.Sun * 1e-3)
	return light{
		iph: float64(sun * (p.Photocurrent + float64(p.PerKelvin*(m.Cell-298.15)))), i0: i0,
		inva: 298.15 / float64(p.Thermal*m.Cell),
		gsh:  p.Dark + float64(p.Light*sun),
	}
}

// dim reports whether the panel gives nothing at the battery's voltage.
func (s *Sim) dim(l *light) bool {
	if l.iph > float64(0.05*s.panel.Photocurrent) {
		return false
	}
	v := s.last.v
	return l.iph-float64(l.i0*numeric.Exp(float64(v*l.inva)))-float64(v*l.gsh) <= 1e-6
}

// guess says where the panel's junction is about to be.
func (s *Sim) guess(l *light) float64 {
	if s.iph > 0 {
		return s.vj + float64(s.per*(l.iph-s.iph))
	}
	return s.last.v + float64(l.iph*s.panel.Series) + 0.3
}

// free returns the panel straight on the battery: the voltage of the panel's junction at which both currents are the same. Newton's method, in a bracket because
// the battery's conductance jumps where it neither is charged nor discharged. ok is false if the panel gives nothing.
func (s *Sim) free(l *light, t *terminal, p *atTemperature) (o op, ok bool) {
	vj, lo, hi := s.guess(l), 0.0, 1e3
	gas, x := s.base, s.x
	e := float64(l.i0 * numeric.Exp(float64(vj*l.inva)))
	for n := 0; n < 100; n++ {
		i := l.iph - (e - l.i0) - float64(vj*l.gsh)
		if !(i >= 0) {
			if hi = vj; hi-lo < 1e-9 {
				return o, false
			}
			vj = 0.5 * (lo + hi)
			e = float64(l.i0 * numeric.Exp(float64(vj*l.inva)))
			continue
		}
		drop, r := p.drop(i)
		r += s.panel.Series
		di := -(float64(l.inva*e) + l.gsh)
		dv := 1 - float64(di*r)
		v := vj - float64(i*s.panel.Series) - drop
		next := float64(s.perVolt*v) + t.offset
		if d := next - x; d < small && d > -small {
			gas *= near(d)
		} else {
			gas = s.gas * numeric.Exp(next)
		}
		x = next
		g := t.out
		if v > t.emf {
			g = t.in
		}
		g0 := g + float64(s.perVolt*gas)
		f := i - float64((v-t.emf)*g) - gas - t.ext
		slope := di - float64(dv*g0)
		step := f / slope
		if step < closed && step > -closed {
			s.base, s.x = gas, x
			s.vj, s.iph, s.per = vj-step, l.iph, -(1+float64(r*g0))/slope
			i -= float64(di * step)
			v -= float64(dv * step)
			gas *= near(-float64(float64(s.perVolt*dv) * step))
			drop -= float64(float64((r-s.panel.Series)*di) * step)
			return op{v: v, in: i, inV: float64(i * v), main: i - gas - t.ext, gas: gas, ext: t.ext, lost: float64(i * drop), duty: 1}, true
		}
		vj, e, lo, hi = move(l, vj, e, step, f > 0, lo, hi)
		if hi-lo < 1e-12 {
			return o, false
		}
	}
	s.Totals.Unsolved++
	return o, false
}

// move makes a step of Newton's method inside the bracket of the root, which is above vj if up.
func move(l *light, vj, e, step float64, up bool, lo, hi float64) (float64, float64, float64, float64) {
	if up {
		lo = vj
	} else {
		hi = vj
	}
	next := vj - min(max(step, -2), 2)
	if next <= lo || next >= hi {
		next = 0.5 * (lo + hi)
	}
	if d := float64((next - vj) * l.inva); d < small && d > -small {
		return next, float64(e * near(d)), lo, hi
	}
	return next, float64(l.i0 * numeric.Exp(float64(next*l.inva))), lo, hi
}

// current returns what the panel gives through the path at a voltage of the battery, and the drop of the path.
func (s *Sim) current(l *light, p *atTemperature, voltage float64) (i, drop float64, ok bool) {
	vj, lo, hi := s.guess(l), 0.0, 1e3
	e := float64(l.i0 * numeric.Exp(float64(vj*l.inva)))
	for n := 0; n < 100; n++ {
		i = l.iph - (e - l.i0) - float64(vj*l.gsh)
		if !(i >= 0) {
			if hi = vj; hi-lo < 1e-9 {
				return 0, 0, false
			}
			vj = 0.5 * (lo + hi)
			e = float64(l.i0 * numeric.Exp(float64(vj*l.inva)))
			continue
		}
		var r float64
		drop, r = p.drop(i)
		all := r + s.panel.Series
		di := -(float64(l.inva*e) + l.gsh)
		dv := 1 - float64(di*all)
		off := vj - float64(i*s.panel.Series) - drop - voltage
		step := off / dv
		if step < closed && step > -closed {
			s.vj, s.iph, s.per = vj-step, l.iph, all/dv
			i -= float64(di * step)
			return i, drop - float64(float64(r*di)*step), true
		}
		vj, e, lo, hi = move(l, vj, e, step, off < 0, lo, hi)
		if hi-lo < 1e-12 {
			return 0, 0, false
		}
	}
	s.Totals.Unsolved++
	return 0, 0, false
}

// gasAt returns the gas at a voltage.
func (s *Sim) gasAt(t *terminal, voltage float64) float64 {
	next := float64(s.perVolt*voltage) + t.offset
	if d := next - s.x; d < small && d > -small {
		s.base *= near(d)
	} else {
		s.base = s.gas * numeric.Exp(next)
	}
	s.x = next
	return s.base
}

// mainAt returns the current of the main branch at a voltage.
func (t *terminal) mainAt(voltage float64) float64 {
	if voltage > t.emf {
		return float64((voltage - t.emf) * t.in)
	}
	return float64((voltage - t.emf) * t.out)
}

// hold returns the battery at the setpoint by pwm; ok is false if the panel gives less than that takes.
func (s *Sim) hold(l *light, t *terminal, p *atTemperature, setpoint float64) (op, bool) {
	i, drop, ok := s.current(l, p, setpoint)
	if !ok {
		return op{}, false
	}
	gas, main := s.gasAt(t, setpoint), t.mainAt(setpoint)
	need := main + gas + t.ext
	if s.reg.Ripple > 0 && need > 0 && need < i {
		gas *= s.rippled(i, need/i)
		need = main + gas + t.ext
	}
	if need > i {
		return op{}, false
	}
	if need <= 0 {
		o := s.resting(t, Leak{})
		o.idle = i
		return o, true
	}
	duty := need / i
	return op{v: setpoint, in: need, inV: float64(need * setpoint), main: main, gas: gas, ext: t.ext,
		lost: float64(need * drop), idle: i - need, duty: duty, at: true}, true
}

// rippled is by how much more gas pulses of a current at a duty make than their mean: the voltage is above the mean while they last and below it between.
func (s *Sim) rippled(current, duty float64) float64 {
	x := float64(s.perVolt * float64(current*s.reg.Ripple))
	return float64(duty*numeric.Exp(float64(x*(1-duty)))) + float64((1-duty)*numeric.Exp(-float64(x*duty))) // [K5]
}

// setpoint returns the voltage that is held now.
func (s *Sim) setpoint(temperature float64) float64 {
	at := s.reg.Absorption
	if s.float {
		at = s.reg.Float
	}
	return at + float64(s.reg.PerKelvin*(min(max(temperature, s.reg.From), s.reg.To)-298.15))
}

// solve returns what flows in a step of a length from the present state on; 0 for this very moment.
func (s *Sim) solve(m *Minute, dt float64) op {
	t := s.terminal(m, 0.5*dt)
	if m.Sun <= 0 {
		s.iph, s.mode = 0, bulk
		return s.resting(&t, s.reg.Night)
	}
	l := s.light(m)
	if s.dim(&l) {
		s.iph, s.mode = 0, bulk
		return s.resting(&t, s.reg.Night)
	}
	p := s.path.at(m.Air)
	setpoint := math.Inf(1)
	if s.reg.Method != None {
		setpoint = s.setpoint(m.Battery)
		if s.float && s.reg.Float == 0 {
			o := s.resting(&t, Leak{})
			o.idle, _, _ = s.current(&l, &p, o.v)
			return o
		}
	}
	for tries := 0; ; tries++ {
		if s.mode == bulk || tries > 2 {
			o, ok := s.free(&l, &t, &p)
			if !ok {
				s.iph, s.mode = 0, bulk
				return s.resting(&t, s.reg.Night)
			}
			if o.v <= setpoint || tries > 2 {
				return o
			}
			s.mode = held
			if s.reg.Method == OnOff {
				s.mode = cycling
			}
			continue
		}
		o, ok := s.regulated(&l, &t, &p, setpoint)
		if ok {
			return o
		}
		s.mode = bulk
	}
}

// regulated returns the battery around its setpoint, or not ok where it does not reach it.
func (s *Sim) regulated(l *light, t *terminal, p *atTemperature, setpoint float64) (op, bool) {
	if s.mode == held {
		return s.hold(l, t, p, setpoint)
	}
	return s.cycle(l, t, p, setpoint)
}
