package fault

import (
	"math"

	"hindwatt/internal/hardware"
)

// sense is how the control sees the battery, as far as the circuit shows it.
type sense struct {
	node      string  // of the divider's middle; "": it sees the battery's terminals
	part      float64 // of the battery's voltage that stands there
	reference int     // component; −1: within the control
	at        string  // the reference's node
	volts     float64
}

// sensing finds the divider and the reference.
func sensing(d *hardware.Design) sense {
	s := sense{reference: -1}
	var top, bottom *hardware.Component
	for i := range d.Components {
		switch c := &d.Components[i]; {
		case c.Role == "divider-top" && c.Resistor != nil:
			top = c
		case c.Role == "divider-bottom" && c.Resistor != nil:
			bottom = c
		case c.Role == "reference" && c.Reference != nil && c.Reference.Voltage != nil:
			s.reference, s.at, s.volts = i, c.From, c.Reference.Voltage.Value
		}
	}
	if top == nil || bottom == nil || top.Resistor.Resistance == nil || bottom.Resistor.Resistance == nil {
		return s
	}
	for _, n := range []string{top.From, top.To} {
		if n == bottom.From || n == bottom.To {
			a, b := top.Resistor.Resistance.Value, bottom.Resistor.Resistance.Value
			s.node, s.part = n, b/(a+b)
		}
	}
	return s
}

// sees is the battery's voltage as the control judges it: by its divider, against its reference. [E12]
func (e *engine) sees() float64 {
	v := e.r.Level(hardware.BatteryPlus)
	if e.sense.node != "" && e.sense.part > 0 {
		v = e.r.Level(e.sense.node) / e.sense.part
	}
	if e.sense.reference >= 0 {
		v *= e.sense.volts / max(1e-3, e.r.Level(e.sense.at))
	}
	return min(v, 1e6)
}

// wants is the voltage at which the control stops the charge.
func (e *engine) wants() float64 {
	v := e.w.absorb
	if e.s.sensor > 0 {
		v += e.w.perKelvin * (e.s.sensor - usualSensor)
	}
	if e.s.doubled {
		v *= 2
	}
	return v
}

// awake reports whether the control can do anything.
func (e *engine) awake() bool {
	return !e.state.silent && !e.s.silent && e.s.charge == 0 && e.powered
}

// answers is when the control stops the charge or cuts the load off, in s from the stage's begin.
func (e *engine) answers() (stop, cut float64) {
	stop, cut = forever, forever
	if !e.awake() {
		return stop, cut
	}
	if !e.stops && !e.state.night && e.seen > e.above()*e.wants() {
		stop = e.w.react
	}
	if e.turned() {
		stop = min(stop, e.w.reverseOff)
	}
	if !e.cut && e.w.disconnect > 0 && e.s.at.Load[0] != "" {
		cut = cutAfter + e.runsDown(e.seen-e.w.disconnect)
	}
	return stop, cut
}

// runsDown is the time in which the battery's voltage falls by so much as the control sees it, by the current that flows out of it:
// its open-circuit voltage falls and its resistance grows. [E23]
func (e *engine) runsDown(volts float64) float64 {
	amps := -e.out[theBattery].current
	switch {
	case volts <= 0:
		return 0
	case amps <= 0 || e.s.at.Battery[0] == "" || e.flat || e.s.batteries != 1:
		return forever
	}
	volts /= max(1e-3, e.seen/max(1e-3, e.bus))
	if e.state.holding { // what stands above its open-circuit voltage goes first
		volts -= e.w.absorb - e.w.full
	}
	b := e.w.cell
	charge := e.charge()
	taken := charge * e.used[len(e.flows)+theBattery][ofCharge].share
	begin := b.Capacity - charge + taken
	first := b.At(begin, usualSensor)
	if first.Discharge <= 0 || volts <= 0 {
		return 0
	}
	falls := func(deficit float64) float64 {
		now := b.At(deficit, usualSensor)
		if now.Discharge <= 0 {
			return math.Inf(1)
		}
		return first.EMF - now.EMF + amps*(1/now.Discharge-1/first.Discharge)
	}
	low, high := begin, b.Capacity*b.Cell.Cd
	for range 50 {
		if mid := (low + high) / 2; falls(mid) < volts {
			low = mid
		} else {
			high = mid
		}
	}
	return (high - begin) / amps
}

// charge is what is in the battery, C.
func (e *engine) charge() float64 {
	if e.state.full {
		return e.w.capacity
	}
	return lowState * e.w.capacity
}

// above is the voltage at which the control stops the charge over what it wants: +Inf while it pulses as it should, to hold the battery,
// and then what the pulses come to.
func (e *engine) above() float64 {
	switch {
	case !e.state.holding:
	case e.usual == nil:
		return math.Inf(1)
	default:
		return max(stopsOver, pulses*e.usual[e.at].seen/e.w.absorb)
	}
	return stopsOver
}

const (
	stopsOver = 1.01
	pulses    = 1.003 // over those of a cycle as it should be; estimate
)

// turned reports whether the control is about to answer to the current of its charge switch, which has turned back.
func (e *engine) turned() bool {
	if e.w.reverseOff <= 0 || e.usual == nil || e.stops || e.state.night || !e.awake() || e.d.Switch == "shunt" {
		return false
	}
	for i := range e.flows {
		if e.d.Components[i].Role == "switch" && e.flows[i].current*e.usual[fullSun].through[i] < 0 && math.Abs(e.flows[i].current) > little*e.w.label {
			return true
		}
	}
	return false
}

const cutAfter = 10.0 // s that a control waits before it cuts the load off; estimate
