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

// terminal finds the battery for a step of twice half a time, s, which begins at s.room. Its conductances are those of the middle, to which the current
// of the step before leads; that the open-circuit voltage rises until then acts as a resistance.
func (s *Sim) terminal(m *Minute, half float64) {
	t := &s.now
	scale, fall := s.scale0, s.fall
	emf := s.full - float64(s.fall*s.room)
	if s.warming {
		scale, s.self = s.scale.at(m.Battery), s.leaks.at(m.Battery)
		emf += float64(s.perKelvin * (m.Battery - 298.15))
	}
	if s.curved {
		emf, fall = s.battery.Open(s.Deficit(), m.Battery)
	}
	stiff := float64(half * fall)
	left := float64((s.room - float64(half*s.last.main)) * s.inverse)
	if left < 1e-12 {
		left = 1e-12
	}
	rest := s.out2 - left
	if rest < 1e-12 {
		rest = 1e-12
	}
	in, out := float64(scale*left), float64(scale*rest)
	t.emf = emf
	t.in = in / (float64(s.in1*left) + s.in0 + float64(in*stiff))      // [K1]
	t.out = out / (float64(s.out1*left) + s.out0 + float64(out*stiff)) // [K2]
	t.offset = s.offset + float64(s.gasWarm*m.Battery)
	t.ext = s.reg.Standby
	if !s.off {
		t.ext += m.Load
	}
	if s.guarded {
		s.protected()
	}
}

// protected lays the protection inside the battery over it.
func (s *Sim) protected() {
	if s.guard.NoCharge {
		s.now.in = 0
	}
	if s.guard.NoDischarge {
		s.now.out, s.now.ext = 0, 0
	}
}

// mainAt returns the current of the main branch at a voltage.
func (t *terminal) mainAt(voltage float64) float64 {
	if voltage > t.emf {
		return float64((voltage - t.emf) * t.in)
	}
	return float64((voltage - t.emf) * t.out)
}

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

// gasAt returns the gas at a voltage.
func (s *Sim) gasAt(voltage float64) float64 {
	next := float64(s.perVolt*voltage) + s.now.offset
	if d := next - s.x; d < small && d > -small {
		s.base *= near(d)
	} else {
		s.base = s.gas * numeric.Exp(next)
	}
	s.x = next
	return s.base
}

// resting finds the battery with nothing from the panel.
func (s *Sim) resting(leak *Leak) {
	t, o := &s.now, &s.flow
	o.in, o.more, o.lost, o.idle, o.at, o.dead = 0, 0, 0, 0, false, false
	v := s.last.v
	for n := 0; n < 100; n++ {
		gas := s.gasAt(v)
		g := t.out
		if v > t.emf {
			g = t.in
		}
		slope := g + float64(s.perVolt*gas) + leak.Slope
		if !(slope > 1e-12) || v < -1e3 {
			break
		}
		step := (float64((v-t.emf)*g) + gas + t.ext + leak.At + float64(leak.Slope*(v-leak.Voltage))) / slope
		if v -= step; step < 2e-4 && step > -2e-4 {
			if v < s.dead && s.off {
				break
			}
			gas *= near(-float64(s.perVolt * step))
			leaks := leak.At + float64(leak.Slope*(v-leak.Voltage))
			o.v, o.main, o.gas, o.leak = v, -gas-t.ext-leaks, gas, leaks
			return
		}
	}
	o.v, o.main, o.gas, o.leak, o.dead = t.emf, 0, 0, 0, true // it gives nothing any more
}

// A light is the panel, and the path behind it, in one step.
type light struct {
	iph, i0 float64 // A
	inva    float64 // 1/V
	gsh     float64 // S
	share   float64 // of the way to the next temperature of the path
	row     []segment
}

func (s *Sim) light(m *Minute) {
	l, p := &s.sun, &s.panel
	sun := float64(m.Sun * 1e-3)
	l.iph = float64(sun * (p.Photocurrent + float64(p.PerKelvin*(m.Cell-298.15))))
	l.i0 = s.saturation.at(m.Cell)
	l.inva = 298.15 / float64(p.Thermal*m.Cell)
	l.gsh = p.Dark + float64(p.Light*sun)
	l.row, l.share = s.path.at(m.Air)
}

// dim reports whether the panel gives nothing at the battery's voltage.
func (s *Sim) dim() bool {
	l := &s.sun
	if l.iph > float64(0.05*s.panel.Photocurrent) {
		return false
	}
	v := s.last.v
	return l.iph-float64(l.i0*numeric.Exp(float64(v*l.inva)))-float64(v*l.gsh) <= 1e-6
}

// guess says where the panel's junction is about to be, V.
func (s *Sim) guess() float64 {
	l := &s.sun
	if s.iph > 0 {
		return s.vj + float64(s.per*(l.iph-s.iph))
	}
	return s.last.v + float64(l.iph*s.panel.Series) + 0.3
}

// A junction is panel and path at a voltage of the panel's junction: current and battery voltage with their first and second derivatives, drop and
// resistance of the path.
type junction struct{ i, di, bend, v, dv, sag, drop, r float64 }

// junction takes e, the current of the diode.
func (s *Sim) junction(j *junction, vj, e float64) {
	l := &s.sun
	i := l.iph - (e - l.i0) - float64(vj*l.gsh)
	di := -float64(l.inva*e) - l.gsh
	bend := -float64(float64(l.inva*l.inva) * e)
	if s.panel.Recombination > 0 {
		i, di, bend = s.recombined(vj, i, di, bend)
	}
	drop, r, curve := s.path.drop(l.row, l.share, i)
	all := r + s.panel.Series
	j.i, j.di, j.bend, j.drop, j.r = i, di, bend, drop, r
	j.v = vj - float64(i*s.panel.Series) - drop
	j.dv = 1 - float64(di*all)
	j.sag = -float64(bend*all) - float64(curve*float64(di*di))
}

// recombined takes from a current and its derivatives what recombines in the i-layer of amorphous silicon. Where the built-in voltage is all but used up it
// stays, as in package panel: the formula has a pole there.
func (s *Sim) recombined(vj, i, di, bend float64) (float64, float64, float64) {
	p := &s.panel
	const least = 0.05
	lost := float64(s.sun.iph * p.Recombination)
	field := p.BuiltIn - vj
	if edge := float64(least * p.BuiltIn); field < edge {
		return i - lost/edge, di, bend
	}
	share := lost / field
	return i - share, di - share/field, bend - float64(2*share)/float64(field*field)
}

// moved returns e at another voltage of the junction.
func (l *light) moved(e, vj, by float64) float64 {
	if d := float64(by * l.inva); d < small && d > -small {
		return float64(e * near(d))
	}
	return float64(l.i0 * numeric.Exp(float64((vj+by)*l.inva)))
}

// quick is how often Newton's method is tried before a bracket is sought.
const quick = 12

// free finds the panel straight on the battery, by the voltage of the panel's junction at which both have the same current. It returns false if the panel
// gives nothing.
func (s *Sim) free() bool {
	l, t := &s.sun, &s.now
	vj := s.guess()
	e := float64(l.i0 * numeric.Exp(float64(vj*l.inva)))
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

// above is the step to where the panel gives something, from where it takes.
func (l *light) above(j *junction) float64 { return (j.i - float64(0.2*l.iph)) / j.di }

func limited(step float64) float64 {
	const most = 2 // V
	if step > most {
		return most
	}
	if step < -most {
		return -most
	}
	return step
}

// straight notes what flows with the panel on the battery.
func (s *Sim) straight(v, i, gas, drop float64) {
	o := &s.flow
	o.v, o.in, o.main, o.gas, o.lost = v, i, i-gas-s.now.ext, gas, float64(i*drop)
	o.more, o.leak, o.idle, o.at, o.dead = 0, 0, 0, false, false
}

// current returns what the panel gives through the path at a voltage of the battery, and the drop of the path. It is 0 if the panel does not reach it.
func (s *Sim) current(voltage float64) (i, drop float64) {
	l := &s.sun
	vj := s.guess()
	e := float64(l.i0 * numeric.Exp(float64(vj*l.inva)))
	var j junction
	for range quick {
		s.junction(&j, vj, e)
		var step float64
		if j.i > 0 {
			inv := 1 / j.dv
			step = float64((j.v - voltage) * inv)
			bent := float64(float64(0.5*j.sag) * float64(inv*step))
			if step < wide && step > -wide && bent < slight && bent > -slight {
				d := -float64(step * (1 + bent))
				gain := float64(d * (j.di + float64(0.5*j.bend*d)))
				s.vj, s.iph, s.per = vj+d, l.iph, float64((j.r+s.panel.Series)*inv)
				return j.i + gain, j.drop + float64(j.r*gain)
			}
		}
		if j.i <= 0 {
			step = l.above(&j)
		}
		step = limited(step)
		e = l.moved(e, vj, -step)
		vj -= step
	}
	return s.currentSlowly(voltage)
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

// rippled is by how much more gas pulses of a current at a duty make than their mean: the voltage is above the mean while they last and below it between.
func (s *Sim) rippled(current, duty float64) float64 {
	x := float64(s.perVolt * float64(current*s.reg.Ripple))
	return float64(duty*numeric.Exp(float64(x*(1-duty)))) + float64((1-duty)*numeric.Exp(-float64(x*duty))) // [K5]
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
	case s.dim():
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

// mostJunction is a voltage above that of any panel, V.
const mostJunction = 1e4

// open returns the voltage of the junction at which the panel gives nothing: a bracket's upper end.
func (s *Sim) open() float64 {
	l := &s.sun
	give := func(vj float64) float64 {
		x := float64(vj * l.inva)
		if x > 700 {
			return math.Inf(-1)
		}
		i := l.iph - float64(l.i0*(numeric.Exp(x)-1)) - float64(vj*l.gsh)
		if s.panel.Recombination > 0 {
			i, _, _ = s.recombined(vj, i, 0, 0)
		}
		return i
	}
	vj, err := numeric.FindRoot(give, 0, mostJunction, 1e-12)
	if err != nil {
		return 0
	}
	return vj
}

// slowly finds the voltage of the junction, between 0 and that of the open panel, at which balance changes its sign.
func (s *Sim) slowly(balance func(j *junction) float64) (vj float64, found junction, ok bool) {
	at := func(vj float64) (j junction) {
		s.junction(&j, vj, float64(s.sun.i0*numeric.Exp(float64(vj*s.sun.inva))))
		if j.i < 0 {
			j.i = 0 // at the open end, by rounding
		}
		return j
	}
	vj, err := numeric.FindRoot(func(vj float64) float64 { j := at(vj); return balance(&j) }, 0, s.open(), 1e-12)
	if err != nil {
		return 0, found, false
	}
	return vj, at(vj), true
}

// freeSlowly is free in a bracket.
func (s *Sim) freeSlowly() bool {
	t := &s.now
	vj, j, ok := s.slowly(func(j *junction) float64 {
		return j.i - t.mainAt(j.v) - float64(s.gas*numeric.Exp(min(float64(s.perVolt*j.v)+t.offset, 300))) - t.ext
	})
	if !ok || j.i < 1e-9 {
		return false
	}
	gas := s.gasAt(j.v)
	g0 := t.out + float64(s.perVolt*gas)
	if j.v > t.emf {
		g0 = t.in + float64(s.perVolt*gas)
	}
	s.vj, s.iph, s.per = vj, s.sun.iph, -(1+float64((j.r+s.panel.Series)*g0))/(j.di-float64(j.dv*g0))
	s.straight(j.v, j.i, gas, j.drop)
	return true
}

// currentSlowly is current in a bracket.
func (s *Sim) currentSlowly(voltage float64) (i, drop float64) {
	vj, j, ok := s.slowly(func(j *junction) float64 { return voltage - j.v })
	if !ok {
		return 0, 0
	}
	s.vj, s.iph, s.per = vj, s.sun.iph, (j.r+s.panel.Series)/j.dv
	return j.i, j.drop
}
