package fault

import (
	"math"

	"hindwatt/internal/physics/battery"
)

const (
	day        = 86400.0
	week       = 7 * day
	sunADay    = 5 * 3600.0  // s of full sun that a summer day comes to; estimate
	nightADay  = 14 * 3600.0 // s of the dark; estimate
	drained    = 0.8         // of the capacity: a lead battery drained further does not come back to what it was; common practice
	waterMost  = 0.05        // of it, that a battery loses without harm; estimate
	overheated = 20.0        // K of a battery above its air, from which a sealed one runs away; common practice
	little     = 1e-3        // of the label's current, that no battery minds
	underMost  = 0.97        // of it, below which a battery is not filled; estimate
	overMost   = 1.005       // of the absorption voltage that is no overcharge
)

// later follows the battery for seven days where the control cannot stop what flows: the end of "goes on charging" and of "goes on
// discharging". [E13]
func (e *engine) later() error {
	if e.s.at.Battery != usually.Battery {
		return nil
	}
	if e.state.night {
		return e.drain7()
	}
	if !e.state.holding {
		return nil
	}
	volts, most, hours, err := e.overcharge()
	if err != nil || volts == 0 {
		return err
	}
	if e.w.lithium { // full, it gasses nothing: its voltage rises until something opens
		return e.protected(volts)
	}
	branch := e.w.cell.At(0, e.w.ambient)
	if reached, ok := branch.Voltage(most); ok {
		volts = min(volts, reached)
	}
	if volts <= overMost*e.w.absorb*e.s.batteries || math.IsInf(volts, 0) {
		return nil
	}
	gas := min(most, branch.Gassing(volts))
	e.goes = volts
	e.gassing(gas, volts, hours)
	return e.heldAt(volts)
}

// overcharge is the voltage that the charge goes on to, +Inf where nothing stops it, with how much current and for how long a day; 0 V
// where the control holds the battery as it should.
func (e *engine) overcharge() (volts, amps, aDay float64, err error) {
	if e.s.source[0] != "" {
		return e.s.volts, math.Inf(1), day, nil
	}
	if err := e.solve(always, laterRound); err != nil {
		return 0, 0, 0, err
	}
	full, gain := e.out[theBattery].current, e.seen/max(1e-3, e.bus)
	stops := e.awake()
	if stops {
		if err := e.solve(never, laterRound+1); err != nil {
			return 0, 0, 0, err
		}
	} else if err := e.solve(e.phases(), laterRound+2); err != nil {
		return 0, 0, 0, err
	}
	on := e.out[theBattery].current
	switch {
	case on > little*e.w.label:
		return math.Inf(1), on, sunADay, nil
	case stops && e.wants()/max(1e-6, gain) > overMost*e.w.absorb:
		return e.wants() / max(1e-6, gain), full, sunADay, e.solve(always, laterRound+3)
	case stops && gain > 0 && e.wants()/gain-full*e.s.terminal[0] < underMost*e.w.absorb: // [E22]
		e.o.Harm = append(e.o.Harm, Harm{End: Recovers, What: e.o.Case.Name, Text: "it stops the charge too early, with the battery at " + digits(e.wants()/gain-full*e.s.terminal[0]) + " V"})
	}
	return 0, 0, 0, nil
}

// gassing judges water, gas and heat of an overcharge. [E14] [E15] [E16]
func (e *engine) gassing(gas, volts, aDay float64) {
	b := e.w.cell
	lost := gas - b.Recombined(gas)
	water := battery.Water(lost*aDay*week/day, 1, 0)
	ways := e.slowly(ofWater, water, waterMost*battery.WaterHeld*b.Capacity, Harmed, "")
	perHour := lost * 1e3 / (b.Capacity / 3600)
	ways = append(ways, e.slowly(ofGas, perHour, b.Cell.Vent.Boost, Hazard, "gas")...)
	// what recombines, and what is put in beyond the thermoneutral voltage of water, is heat
	heat := battery.OverchargeHeat(gas*volts, lost, b.Cells)
	capacity := e.w.capacity * e.w.nominal / joules * heatOfBattery
	constant := battery.TimeConstant(b.Capacity, e.w.nominal)
	ways = append(ways, e.slowly(ofHeat, heat*constant/capacity*(1-math.Exp(-aDay/constant)), overheated, Hazard, "heat")...)
	e.overDays(ways)
}

// slowly is a limit that days reach; it returns how it gives way, if it does.
func (e *engine) slowly(of limit, comes, may float64, end End, kind string) []Way {
	b := bearing{who: len(e.flows) + theBattery, law: atOnce, of: of, value: comes, limit: may, stays: true, end: end, kind: kind}
	e.margin(&b, forever, false)
	if comes <= may {
		return nil
	}
	return []Way{e.gives(&b, forever, week)}
}

// overDays records the seven days, if anything gives way in them.
func (e *engine) overDays(ways []Way) {
	if len(ways) == 0 {
		return
	}
	stage := e.stage(hour, week)
	stage.Gives = ways
	e.record(stage)
}

// heldAt sees what else such a battery's voltage reaches.
func (e *engine) heldAt(volts float64) error {
	e.held = volts
	e.join()
	return e.run(hour, hour+60)
}

// protected is a battery whose own protection opens, and what then comes.
func (e *engine) protected(volts float64) error {
	high := e.w.cell.Cell.High * float64(e.w.cells)
	if high <= 0 || volts < high {
		return nil
	}
	e.harm(Harm{End: Recovers, What: "battery"}, nil)
	e.s.at.Battery = [2]string{}
	e.join()
	return e.run(hour, 2*hour)
}

// drain7 is what flows out though the control has cut the load off. [E13]
func (e *engine) drain7() error {
	e.cut = true
	if err := e.settle(); err != nil {
		return err
	}
	drain := -e.out[theBattery].current
	if drain <= 0 {
		return nil
	}
	time := nightADay * week / day
	if e.days && e.s.at.Load[0] != "" && e.out[theLoad].peak > 1e-3 {
		time = week // the load goes on by day
	}
	if e.w.protected() {
		e.overDays(e.slowly(ofCharge, drain*time, e.w.capacity, Recovers, ""))
	} else {
		e.overDays(e.slowly(ofCharge, drain*time, drained*e.w.capacity, Harmed, ""))
	}
	return nil
}
