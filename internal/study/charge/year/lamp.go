package year

import (
	"hindwatt/internal/numeric"
)

// A light is the panel, and the path behind it, in one step.
type light struct {
	iph, i0 float64 // A
	lnI0    float64 // of i0 in A
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
	l.lnI0 = s.lnSaturation.at(m.Cell)
	l.inva = 298.15 / float64(p.Thermal*m.Cell)
	l.gsh = p.Dark + float64(p.Light*sun)
	l.row, l.share = s.path.at(m.Air)
}

// dim reports whether the panel, in weak light, gives nothing at the battery's voltage.
func (s *Sim) dim() bool {
	l := &s.sun
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
	c, d := s.path.find(l.row, i)
	c0, c1, c2, c3 := c.between(l.share)
	drop := c0 + float64(d*(c1+float64(d*(c2+float64(d*c3)))))
	r := c1 + float64(d*(float64(2*c2)+float64(float64(3*c3)*d)))
	curve := float64(2*c2) + float64(float64(6*c3)*d)
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

// above is the step to where the panel gives something, from where it takes.
func (l *light) above(j *junction) float64 { return (j.i - float64(0.2*l.iph)) / j.di }

// lit returns the current of the panel's diode at a voltage of its junction, near that at which the step before began.
func (s *Sim) lit(vj float64) float64 {
	next := s.sun.lnI0 + float64(vj*s.sun.inva)
	d := next - s.y
	if s.y = next; d < small && d > -small {
		s.glow *= near(d)
		return s.glow
	}
	s.glow = numeric.Exp(next)
	return s.glow
}

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

// current returns what the panel gives through the path at a voltage of the battery, and the drop of the path. It is 0 if the panel does not reach it.
func (s *Sim) current(voltage float64) (i, drop float64) {
	l := &s.sun
	vj := s.guess()
	e := s.lit(vj)
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
