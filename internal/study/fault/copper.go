package fault

import (
	"math"

	"hindwatt/internal/hardware"
	"hindwatt/internal/physics/conductor"
)

// copper is what contacts, wires and tracks bear.
func (e *engine) copper(i int, c *hardware.Component, l hardware.Limits, amps float64) {
	switch {
	case c.Contact != nil && l.Junction > 0:
		z := e.impedance(i)
		if len(z) == 0 {
			return
		}
		e.bear(bearing{who: i, law: heating, of: ofContact, value: max(1e-6, e.flows[i].power), limit: max(0, l.Junction-e.w.ambient), z: z, stays: true, end: Hazard, kind: "heat"}, 0)
	case c.Wire != nil && l.Area > 0:
		in, err := conductor.InsulationNamed(c.Wire.Insulation)
		if err != nil {
			in = conductor.PVC
		}
		e.insulation(i, amps, l.Area, in)
		e.melting(i, amps, l.Area, Hazard)
	case c.Track != nil && l.Area > 0:
		e.track(i, amps, l.Area)
	}
}

// insulation is what that of a wire bears [E5]: IEC 60364-4-43 up to 5 s, its steady current in air above.
func (e *engine) insulation(who int, amps, area float64, in conductor.Insulation) {
	b := bearing{who: who, law: square, of: ofInsulation, value: amps, stays: true, end: Hazard, kind: "heat"}
	if k, err := conductor.Copper.K(e.w.ambient, in.Short); err == nil {
		b.limit = k * k * area * area
	}
	b.floor = e.ampacity(area, in.Short)
	e.bear(b, 0)
}

// ampacity is the steady current, in A, of a wire in air up to a temperature; +Inf where the formula has none. It is worked out once.
func (e *engine) ampacity(area, until float64) float64 {
	key := [2]float64{area, until}
	steady, known := e.ampacities[key]
	if !known {
		var err error
		if steady, _, err = (conductor.Free{Area: area}).Ampacity(until, e.w.ambient); err != nil {
			steady = math.Inf(1)
		}
		e.ampacities[key] = steady
	}
	return steady
}

// melting is the copper itself.
func (e *engine) melting(who int, amps, area float64, end End) {
	b := bearing{who: who, law: square, of: ofCopper, value: amps, become: hardware.Interrupted, end: end, kind: "heat"}
	if at, err := conductor.FusingCurrent(area, 1, e.w.ambient); err == nil {
		b.limit, b.floor = at*at, at/math.Sqrt(conductor.Longest)
	}
	if steady, err := conductor.SteadyFusing(area); err == nil && end == Hazard { // of a track the board chars first
		b.floor = min(b.floor, steady)
	}
	e.bear(b, 0)
}

// track burns off the board: at once like a fuse, or slowly, charring it.
func (e *engine) track(i int, amps, area float64) {
	e.melting(i, amps, area, PartLost)
	steady, err := conductor.Outer.TrackCurrent(area, trackMost-e.w.ambient)
	if err != nil || steady <= 0 {
		return
	}
	b := bearing{who: i, law: atOnce, of: ofBoard, value: amps, limit: steady, stays: true, end: Hazard, kind: "heat"}
	e.bear(b, slowBurn/2)
}

// melt is a fuse [E9]: it opens by its points and melting integral; what it cannot break burns on.
func (e *engine) melt(i int, f *hardware.Fuse, amps, volts float64) {
	if f.Rating == nil {
		return
	}
	link := conductor.Fuse{Rating: f.Rating.Value}
	if f.MeltingIntegral != nil {
		link.MeltingIntegral = f.MeltingIntegral.Value
	}
	for _, p := range f.Points {
		link.Points = append(link.Points, conductor.Point{Current: p.Current, Time: p.Time})
	}
	if link.MeltingIntegral == 0 && len(link.Points) == 0 {
		_, link = conductor.Blade(f.Rating.Value)
	}
	b := bearing{who: i, law: atOnce, of: ofMelting, value: amps, limit: forever, fuse: true, link: true, become: hardware.Interrupted, end: Recovers}
	after := forever
	if amps > 0 {
		if t, err := link.Time(amps / e.blow); err == nil {
			after, b.limit = t, 0
		}
	}
	b.value = max(b.value, 1e-9)
	if after == forever {
		b.limit = forever
	}
	if v := f.BreakingCapacity; v != nil && after < forever && amps > v.Value {
		b.of, b.limit, b.fuse, b.end, b.kind = ofBreaking, v.Value, false, Hazard, "heat"
	} else if v := f.Voltage; v != nil && after < forever {
		if opens := e.opens(i, volts); opens > v.Value {
			b.of, b.value, b.limit, b.fuse, b.end, b.kind = ofVoltage, opens, v.Value, false, Hazard, "heat"
		}
	}
	e.bear(b, after)
}

// opens is the voltage that a fuse has to break: what stands across it when it is out.
func (e *engine) opens(i int, volts float64) float64 {
	return max(volts, e.without(i))
}
