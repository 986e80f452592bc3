package year

import (
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

// gasAt returns the gas at a voltage.
func (s *Sim) gasAt(voltage float64) float64 {
	next := float64(s.perVolt*voltage) + s.now.offset
	d := next - s.x
	if s.x = next; d < small && d > -small {
		s.base *= near(d)
		return s.base
	}
	s.base = s.gas * numeric.Exp(next)
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

// rippled is by how much more gas pulses of a current at a duty make than their mean: the voltage is above the mean while they last and below it between.
func (s *Sim) rippled(current, duty float64) float64 {
	x := float64(s.perVolt * float64(current*s.reg.Ripple))
	return float64(duty*numeric.Exp(float64(x*(1-duty)))) + float64((1-duty)*numeric.Exp(-float64(x*duty))) // [K5]
}
