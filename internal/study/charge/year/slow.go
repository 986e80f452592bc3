package year

import (
	"math"

	"hindwatt/internal/numeric"
)

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
