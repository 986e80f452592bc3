package year

// Nodes and weights of Gauss and Legendre on 0..1, five of them (Abramowitz and Stegun, table 25.4).
var gauss = [...]struct{ x, w float64 }{
	{0.046910077030668, 0.118463442528095}, {0.230765344947158, 0.239314335249683}, {0.5, 0.284444444444444},
	{0.769234655052842, 0.239314335249683}, {0.953089922969332, 0.118463442528095},
}

// cycle finds the mean over the on-off cycle between the setpoint and the hysteresis below it. The battery's voltage rises through each part dv of the band in a time
// that is proportional to dv/(panel − battery), and falls through it in dv/battery; what makes it slow, the charge of its electrodes, cancels. It returns false
// if the panel does not reach the setpoint.
func (s *Sim) cycle(setpoint float64) bool {
	low := setpoint - s.reg.Hysteresis
	takes := func(v float64) (all, gas float64) {
		gas = s.gasAt(v)
		return s.now.mainAt(v) + gas + s.now.ext, gas
	}
	most, _ := s.current(setpoint)
	if all, _ := takes(setpoint); most <= all {
		return false
	}
	if all, _ := takes(low); all <= 0 { // it rests within the band
		s.resting(&Leak{})
		s.flow.idle = most
		return true
	}
	var o op
	var time, gave float64
	for _, g := range gauss {
		v := low + float64(g.x*s.reg.Hysteresis)
		i, drop := s.current(v)
		all, gas := takes(v)
		if i <= all {
			return false
		}
		on, off := g.w/(i-all), g.w/all // [K3]
		time += on + off
		gave += float64(on * i)
		o.v += float64((on + off) * v)
		o.gas += float64((on + off) * gas)
		o.more += float64(float64(on*i) * v)
		o.lost += float64(float64(on*i) * drop)
		o.idle += float64(off * i)
	}
	for _, sum := range []*float64{&o.v, &o.gas, &o.more, &o.lost, &o.idle} {
		*sum /= time // [K4]
	}
	o.in, o.at = gave/time, true
	o.more -= float64(o.in * o.v)
	o.main = o.in - o.gas - s.now.ext
	s.flow = o
	return true
}
