package fault

import (
	"math"

	"hindwatt/internal/hardware"
	"hindwatt/internal/numeric"
	"hindwatt/internal/physics/conductor"
	"hindwatt/internal/physics/heat"
)

const (
	forever  = 1e30   // s
	most     = 1000.0 // a margin beyond says nothing
	usualTop = zeroCelsius + 150

	burns            = 15.0 // W in one place from which it may set fire (IEC 62368-1, power source of class 1, from memory)
	burnsFor         = 10.0 // s; estimate
	clampSteady      = 2.0  // W that a suppressor gives off for ever; estimate
	clampEnergy      = 0.6  // J of a small suppressor; estimate
	clampPulse       = 1.4e-3
	reverseCapacitor = 1.5   // V that an electrolytic capacitor stands the wrong way round; common practice
	reverseSilicon   = 0.1   // A backward through an integrated circuit: latch-up tests of JESD78, from memory
	siliconFor       = 10e-3 // s that it stands more; estimate
	bondWire         = 0.01  // A²s of a wire of 25 µm within it, by Onderdonk's equation; estimate
	reverseLoad      = 1.0   // V the wrong way round at a load; common practice
	loadWithin       = 1e-3  // s in which too much voltage harms a load; estimate
	halfWave         = 8.3e-3
	trackMost        = zeroCelsius + 130 // K, laminate (UL 746E, from memory)
	slowBurn         = 60.0              // s that thin copper takes above its steady current; estimate
	fast             = 5.0               // s: a track that burns off within chars nothing; estimate
	repetitive       = 0.1               // of the single-pulse energy at every turning off (MODELS E3)
	joules           = 33 * 3600.0       // J of each kg of a lead battery: 33 Wh; estimate
	heatOfBattery    = 900.0             // J/(kg·K); estimate
	batteryRise      = 40.0              // K within, until it is past saving; estimate
)

// law is how a limit is reached in time.
type law uint8

const (
	atOnce  law = iota // limit/value, passed or not [E2]
	heating            // room/(value·Z(t)) [E3]
	energy             // (limit + floor·t)/(value·t) [E4]
	square             // max(floor, √(limit/t))/value: adiabatic, and steady above [E5]
)

// limit is what kind of limit a part has.
type limit uint8

const (
	ofJunction limit = iota
	ofSurge
	ofReverse
	ofDrain
	ofAvalanche
	ofEnergy
	ofVoltage
	ofPower
	ofSupply
	ofBackward
	ofMelting
	ofBreaking
	ofInsulation
	ofCopper
	ofBoard
	ofContact
	ofCharge
	ofHeat
	ofWater
	ofGas
	limits
)

// limitNames are the words of Way.Of.
var limitNames = [limits]string{"junction", "surge current", "reverse voltage", "drain voltage", "avalanche energy", "energy", "voltage", "power", "supply",
	"backward current", "melting", "breaking capacity", "insulation", "copper", "board", "contact", "charge", "heat", "water", "gas"}

// bearing is one limit of one part in one stage.
type bearing struct {
	who          int
	law          law
	of           limit
	after        float64 // s that it takes at once
	value, limit float64 // what comes, what may come; at heating W and K
	floor        float64
	z            heat.Stages
	time         float64 // s until it is reached if nothing else changes
	fuse         bool    // it is meant to give way
	link         bool    // it is a fuse's: however it ends, its link melts
	become       hardware.Condition
	stays        bool   // past it nothing changes
	end          End    // what passing it means
	kind         string // of a hazard
}

// ratio is the limit over what has come after a time.
func (b *bearing) ratio(t float64) float64 {
	if b.value <= 0 {
		return most
	}
	t = max(t, 1e-9)
	r := 0.0
	switch b.law {
	case atOnce:
		r = b.limit / b.value * max(1, b.after/t)
	case heating:
		r = b.limit / (b.value * b.z.At(t))
	case energy:
		r = (b.limit + b.floor*t) / (b.value * t)
	case square:
		r = max(b.floor, math.Sqrt(b.limit/min(t, conductor.Longest))) / b.value
		if t > conductor.Longest {
			r = b.floor / b.value
		}
	}
	return min(r, most)
}

// when works out the time to the limit.
func (b *bearing) when() {
	b.time = forever
	switch b.law {
	case atOnce:
		if b.value > b.limit {
			b.time = b.after
		}
	case heating:
		b.time = b.heats()
	case energy:
		if b.value > b.floor {
			b.time = b.limit / (b.value - b.floor)
		}
	case square:
		if b.value <= b.floor {
			return
		}
		if t := b.limit / (b.value * b.value); t <= conductor.Longest {
			b.time = t
		} else {
			b.time = slowBurn
		}
	}
}

// heats is when a junction has warmed by what it may.
func (b *bearing) heats() float64 {
	if b.value*b.z.Steady() <= b.limit || b.limit <= 0 && b.value <= 0 {
		return forever
	}
	low, high := math.Log(1e-7), math.Log(1e5)
	for high-low > 1e-4 {
		mid := (low + high) / 2
		if b.value*b.z.At(numeric.Exp(mid)) > b.limit {
			high = mid
		} else {
			low = mid
		}
	}
	return numeric.Exp(high)
}

// impedance is a part's way to the air in time, with what its neighbours warm it. Where the sheet has no stages: from junction to case
// within 10 ms. The rest goes to the board within a minute and to the enclosure within a quarter of an hour, half each. Estimates. [E3]
func (e *engine) impedance(i int) heat.Stages {
	air := e.rise[i] / max(1e-6, e.flows[i].power)
	if air <= 0 {
		return nil
	}
	_, inner := e.r.Way(i)
	var z heat.Stages
	m := e.d.Components[i].Mosfet
	switch {
	case m != nil && len(m.Stages) > 0:
		for _, s := range m.Stages {
			z = append(z, heat.Stage{Resistance: s.Resistance, Time: s.Time})
		}
	case m != nil || e.d.Components[i].Diode != nil || e.d.Components[i].Regulator != nil:
		if inner <= 0 || inner >= air {
			inner = min(2, 0.1*air)
		}
		z = append(z, heat.Stage{Resistance: inner, Time: 10e-3})
	}
	if rest := air - z.Steady(); rest > 0 {
		z = append(z, heat.Stage{Resistance: rest / 2, Time: onBoard}, heat.Stage{Resistance: rest / 2, Time: inCase})
	}
	return z
}

const (
	onBoard = 60.0  // s; estimate
	inCase  = 900.0 // s; estimate
)

// judge lists what every part bears in this stage.
func (e *engine) judge() []bearing {
	e.judged = e.judged[:0]
	for i := range e.d.Components {
		switch e.r.Condition(i) {
		case hardware.Interrupted:
		case hardware.Bridged:
			e.bear(bearing{who: i, law: atOnce, of: ofPower, value: e.flows[i].power, limit: burns, stays: true, end: Hazard, kind: "heat"}, burnsFor)
		default:
			e.component(i)
		}
	}
	e.outside()
	return e.judged
}

// bear takes a limit, its time lessened by what is used up already [E6].
func (e *engine) bear(b bearing, after float64) {
	b.after = after
	b.when()
	if e.past[b.who][b.of] || b.time < forever && e.asUsual(&b, e.horizon(&b)) {
		b.time = forever
	} else if b.time < forever {
		b.time *= 1 - e.used[b.who][b.spends()].share
	}
	e.judged = append(e.judged, b)
}

// spends is the limit whose share a stage takes.
func (b *bearing) spends() limit {
	if b.link {
		return ofMelting
	}
	return b.of
}

// spent is what earlier stages took of a limit.
type spent struct {
	share float64
	most  float64 // of what came in them
}

// asUsual reports whether a case comes no nearer to a limit within a time than the circuit does when nothing is wrong.
func (e *engine) asUsual(b *bearing, t float64) bool {
	if e.usual == nil {
		return false
	}
	u, r := e.usual[e.at].ratios[b.who][b.of], b.ratio(t)
	if u >= 1 && r < 1 { // a limit that is passed only now is told, however near it was
		return r > noOther*u
	}
	return u > 0 && r > noNearer*u
}

const (
	noNearer = 0.90 // both are as warm as 5 K either way, and a mosfet's resistance grows by some 0.7 % each kelvin: nearer by less says nothing
	noOther  = 0.99
)

// horizon is when a limit is compared with what is usual: junctions when the circuit as it should be was looked at, since they still warm then.
func (e *engine) horizon(b *bearing) float64 {
	switch {
	case b.law != heating:
		return forever
	case e.state.lasts > 0:
		return min(hour, e.state.lasts)
	}
	return hour
}

// component is what one that is whole bears.
func (e *engine) component(i int) {
	c, l, f := &e.d.Components[i], e.r.Limits(i), &e.flows[i]
	amps := math.Sqrt(f.square)
	lost := func(of limit, law law, value, limit, after float64, become hardware.Condition) {
		e.bear(bearing{who: i, law: law, of: of, value: value, limit: limit, become: become, end: PartLost}, after)
	}
	switch {
	case c.Diode != nil:
		e.junction(i, hardware.Bridged)
		if s := c.Diode.SurgeCurrent; s != nil && amps > s.Value/math.Sqrt2 {
			lost(ofSurge, square, amps, s.Value*s.Value/2*halfWave, 0, hardware.Bridged) // [E7]
		}
		if l.Voltage > 0 {
			lost(ofReverse, atOnce, e.prospective(i, -f.low, l.Voltage), l.Voltage, 1e-6, hardware.Bridged)
		}
	case c.Mosfet != nil:
		e.junction(i, hardware.Bridged)
		e.drain(i, c.Mosfet, l.Voltage)
	case c.Clamp != nil:
		limit := clampEnergy
		if v := c.Clamp.Energy; v != nil {
			limit = v.Value
		} else if v := c.Clamp.Power; v != nil {
			limit = v.Value * clampPulse // 10/1000 µs
		}
		e.bear(bearing{who: i, law: energy, of: ofEnergy, value: f.power, limit: limit, floor: clampSteady, become: hardware.Bridged, end: PartLost}, 0)
	case c.Capacitor != nil:
		if v := c.Capacitor.Voltage; v != nil {
			lost(ofVoltage, atOnce, f.high, v.Value, 1, hardware.Interrupted)
		}
		lost(ofReverse, atOnce, -f.low, reverseCapacitor, 1, hardware.Interrupted)
	case c.Resistor != nil && c.Resistor.Power != nil:
		p := c.Resistor.Power.Value
		lost(ofPower, atOnce, f.power, p, 5*p/max(1e-9, f.power), hardware.Interrupted) // seconds: estimate
	case c.Regulator != nil:
		e.junction(i, hardware.Interrupted)
		if v := c.Regulator.InputMax; v != nil {
			lost(ofSupply, atOnce, f.input, v.Value, 1e-6, hardware.Bridged)
		}
		lost(ofBackward, atOnce, f.backward, reverseSilicon, min(siliconFor, bondWire/max(1e-9, f.backward*f.backward)), hardware.Interrupted)
	case c.Control != nil:
		if v := c.Control.InputMax; v != nil {
			lost(ofSupply, atOnce, f.high, v.Value, 1e-6, hardware.Interrupted)
		}
		lost(ofBackward, atOnce, f.backward, reverseSilicon, min(siliconFor, bondWire/max(1e-9, f.backward*f.backward)), hardware.Interrupted)
	case c.Fuse != nil:
		e.melt(i, c.Fuse, amps, max(f.high, -f.low))
	default:
		e.copper(i, c, l, amps)
	}
}

// junction is the heat of a semiconductor.
func (e *engine) junction(i int, become hardware.Condition) {
	top := e.r.Limits(i).Junction
	if r := e.d.Components[i].Regulator; r != nil && r.MaxJunction != nil {
		top = r.MaxJunction.Value
	}
	if top == 0 {
		top = usualTop
	}
	end := PartLost
	if e.d.Components[i].Regulator != nil {
		end = Recovers // nearly all shut down when hot: common practice
	}
	e.bear(bearing{who: i, law: heating, of: ofJunction, value: max(1e-6, e.flows[i].power), limit: max(0, top-e.w.ambient), z: e.impedance(i), become: become, end: end}, 0)
}

// drain is the voltage of a mosfet, or the energy of its avalanche, and that of the panel's lead at turning off.
func (e *engine) drain(i int, m *hardware.Mosfet, limit float64) {
	f := &e.flows[i]
	if limit <= 0 {
		return
	}
	peak := max(f.high, -f.low)
	after := 1e-6
	if m.AvalancheEnergy != nil && peak > 0.999*limit && f.peak > 0 {
		after = m.AvalancheEnergy.Value / (peak * f.peak) // [E8]
	}
	e.bear(bearing{who: i, law: atOnce, of: ofDrain, value: e.prospective(i, peak, limit), limit: limit, become: hardware.Bridged, end: PartLost}, after)
	if e.turned() && m.AvalancheEnergy != nil && (f.current > 0) == (m.Channel != "p") { // its body diode is against the current
		e.bear(bearing{who: i, law: atOnce, of: ofAvalanche, value: e.field(f.peak), limit: m.AvalancheEnergy.Value, become: hardware.Bridged, end: PartLost}, e.w.reverseOff) // [E21]
	}
	if e.s.surge > 0 && e.breaks(i) && m.AvalancheEnergy != nil {
		amps := e.out[panelLead].peak
		bears := m.AvalancheEnergy.Value
		if e.d.Method != "on-off" {
			bears *= repetitive
		}
		e.bear(bearing{who: i, law: atOnce, of: ofAvalanche, value: pairHenry * e.s.surge * amps * amps / 2, limit: bears, become: hardware.Bridged, end: PartLost}, 1) // [E8]
	}
}

// field is the energy of the battery's lead, in J, when a current that grows towards some A through it is broken off as soon as the
// control does so. [E21]
func (e *engine) field(amps float64) float64 {
	henry := pairHenry * e.w.length[0]
	amps *= 1 - numeric.Exp(-e.w.reverseOff*(e.w.ohms*e.s.batteries+e.w.lead[0])/henry)
	return henry * amps * amps / 2
}

// breaks reports whether a mosfet breaks the panel's current off in its cycle: nothing else takes it over.
func (e *engine) breaks(i int) bool {
	return e.d.Components[i].Role == "switch" && e.d.Switch != "shunt" && !e.state.night
}

// prospective is the voltage that would stand across a part that breaks down: what is left when it is taken out.
func (e *engine) prospective(i int, volts, limit float64) float64 {
	if volts < 0.998*limit || e.flows[i].peak < 1e-6 {
		return volts
	}
	return max(volts, e.without(i))
}

// without is the largest voltage that stands across a component which is taken out.
func (e *engine) without(i int) (volts float64) {
	e.r.Set(i, hardware.Interrupted)
	defer e.r.Set(i, hardware.Whole)
	for k, charge := range e.phases() {
		e.r.Control(charge, !e.cut, e.state.silent || e.s.silent, e.state.night)
		if e.solution(place{phase: k, without: i + 1}) == nil {
			volts = max(volts, math.Abs(e.r.Across(i)))
		}
	}
	return volts
}

// outside is what battery, leads, terminals and load bear.
func (e *engine) outside() {
	n := len(e.flows)
	load, bat := &e.out[theLoad], &e.out[theBattery]
	if e.s.at.Load[0] != "" {
		e.bear(bearing{who: n + theLoad, law: atOnce, of: ofVoltage, value: load.high, limit: e.w.loadStands, stays: true, end: Harmed}, loadWithin)
		e.bear(bearing{who: n + theLoad, law: atOnce, of: ofReverse, value: -load.low, limit: reverseLoad, stays: true, end: Harmed}, loadWithin)
	}
	for k := range 2 {
		amps := math.Sqrt(e.out[batteryLead+k].square)
		e.insulation(n+batteryLead+k, amps, e.w.area[k], conductor.PVC)
		e.melting(n+batteryLead+k, amps, e.w.area[k], Hazard)
		if e.s.terminal[k] > 0 {
			e.bear(bearing{who: n + batteryTerminal + k, law: atOnce, of: ofPower, value: e.out[batteryTerminal+k].power, limit: burns, stays: true, end: Hazard, kind: "heat"}, burnsFor)
		}
	}
	if bat.current >= 0 {
		return
	}
	end := Harmed
	if e.w.protected() {
		end = Recovers
	}
	e.bear(bearing{who: n + theBattery, law: energy, of: ofCharge, value: -bat.current, limit: e.charge(), stays: true, end: end}, 0) // [E10]
	mass := e.w.capacity * e.w.nominal / joules
	e.bear(bearing{who: n + theBattery, law: energy, of: ofHeat, value: bat.square * e.w.ohms, limit: batteryRise * mass * heatOfBattery, stays: true, end: Hazard, kind: "gas"}, 0) // [E11]
}
