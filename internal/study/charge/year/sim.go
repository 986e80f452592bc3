package year

import (
	"math"

	"hindwatt/internal/physics/battery"
)

// A Sim is a system on its way through the weather.
type Sim struct {
	// Rainflow, if set, is given the state of charge at each turn.
	Rainflow *battery.Rainflow

	constants
	sums  sums
	start float64 // C, room at the start

	room    float64 // C, missing until the battery takes nothing more
	self    float64 // A, self-discharge of this step
	now     terminal
	sun     light
	flow    op   // of this step
	last    past // of the step before
	mode    mode
	vj      float64 // V, at the panel's junction
	iph     float64 // A, photocurrent of that step; 0 in the dark
	per     float64 // V/A, by which vj moves with iph
	base, x float64 // A, gas at the exponent x, near that of the step before
	glow, y float64 // A, of the panel's diode at the exponent y, likewise
	float   bool
	equal   bool    // it equalises
	evened  float64 // s, when it last did
	timer   float64 // s at the setpoint
	off     bool    // the load
	low     bool    // the voltage is below that of disconnection
	sag     float64 // s, for how long
	sagged  float64 // s, when that was last so
	watch   struct{ low, high float64 }
	guard   battery.Guard
	night   bool    // the sun was down
	up      bool    // the main branch was charged
	turned  float64 // C, stored until it last turned
}

// constants are what a Sim takes from its System.
type constants struct {
	panel                    Panel
	saturation, lnSaturation *warm // A, and its logarithm
	path                     *Path
	battery                  *battery.Battery
	reg                      Regulation

	scale, leaks                    *warm // C, see battery.Scale; A, self-discharge
	scale0                          float64
	full, fall, perKelvin           float64 // V, V/C, V/K: open circuit of a straight battery over room
	inverse, cc                     float64 // 1/C, –
	in1, in0, out1, out0, out2      float64 // Ω·C: resistances, see terminal
	gas, perVolt, offset, gasWarm   float64
	gassing, gassingSlope           float64 // V at 0 K, V/K
	disconnect, reconnect           float64 // V
	margin, dead                    float64 // V
	weak, most                      float64 // A, below which light is weak; of gas, beyond which no more recombines
	curved, warming, guarded, timed bool
}

type mode uint8

const (
	bulk    mode = iota
	held         // at the setpoint by pwm
	cycling      // on and off around it
)

// op is what flows in one step; all of it is the mean of the step.
type op struct {
	v    float64 // V at the battery
	in   float64 // A from the path
	more float64 // W from the path beyond in·v
	main float64 // A
	gas  float64 // A
	leak float64 // A
	lost float64 // W in the path
	idle float64 // A that the panel could have given besides, at this voltage
	at   bool    // at the setpoint
	dead bool    // the battery gives nothing
}

// past is what a step leaves to the next.
type past struct {
	v, main, gas, in, idle float64
	at                     bool
}

// New makes a simulation at its start.
func New(s System) (*Sim, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	sim := &Sim{constants: s.constants()}
	b := s.Battery
	sim.room = b.Deficit(s.State) + float64((sim.cc-1)*b.Capacity)
	sim.start = sim.room
	sim.last.v, _ = b.Open(b.Deficit(s.State), battery.Warm)
	sim.x, sim.base = -1e3, 0
	sim.y = math.Inf(-1)
	sim.night, sim.sums.least = true, s.State
	sim.look()
	return sim, nil
}

func (s *System) constants() constants {
	b, k := s.Battery, &s.Battery.Cell
	n := float64(b.Cells)
	whole, _ := b.Open(0, battery.Warm)
	c := constants{panel: s.Panel, saturation: newWarm(s.Panel.Saturation), lnSaturation: newWarm(func(t float64) float64 { return math.Log(s.Panel.Saturation(t)) }), path: s.Path, battery: b, reg: s.Regulation,
		scale: newWarm(b.Scale), leaks: newWarm(b.SelfDischarge), scale0: b.Scale(battery.Warm),
		full: float64(n*k.Full) + float64(float64(n*k.Fall)*(k.Cc-1)), fall: float64(n*k.Fall) / b.Capacity, perKelvin: float64(n * k.PerKelvin),
		inverse: 1 / b.Capacity, cc: k.Cc,
		in1: float64(k.Charging * (1 - k.Mc)), in0: float64(float64(k.Charging*k.Mc) * k.Cc),
		out1: float64(k.Discharging * (k.Md - 1)), out0: float64(k.Discharging * (k.Cd - 1 + k.Cc + float64(k.Md*(1-k.Cc)))), out2: k.Cd - 1 + k.Cc,
		gas: float64(k.Gas * b.Capacity), perVolt: k.GasPerVolt / n, offset: b.Offset(0), gasWarm: k.GasPerKelvin,
		weak: float64(0.05 * s.Panel.Photocurrent), most: b.Overwhelmed(),
		gassing: float64(n * battery.GassingFrom(0)), gassingSlope: float64(n * battery.GassingSlope), margin: float64(0.004 * n), dead: float64(0.5 * whole),
		disconnect: s.Regulation.Disconnect, reconnect: s.Regulation.Reconnect,
		curved: len(k.Curve) > 0, warming: k.Cold > 0 || k.SelfDischarge > 0 || k.PerKelvin != 0,
		guarded: k.High > 0 || k.Low > 0 || k.ColdCharge > 0, timed: s.Regulation.AbsorptionTime > 0 && s.Regulation.Method != None,
	}
	if s.Regulation.To == 0 && s.Regulation.From == 0 {
		c.reg.From, c.reg.To = math.Inf(-1), math.Inf(1)
	}
	if c.disconnect == 0 {
		c.disconnect, c.reconnect = c.dead, float64(0.97*whole)
		c.reg.DisconnectDelay = 0
	}
	return c
}

// look sets between which voltages nothing switches the load.
func (s *Sim) look() {
	if s.off {
		s.watch.low, s.watch.high = math.Inf(-1), s.reconnect-s.margin
	} else {
		s.watch.low, s.watch.high = s.disconnect+s.margin, math.Inf(1)
	}
}

// State returns the state of charge.
func (s *Sim) State() float64 {
	state := s.cc - float64(s.room*s.inverse)
	if state > 1 {
		return 1
	}
	return state
}

// Deficit returns the charge that the battery lacks, C. A little below 0 lies the end of charge.
func (s *Sim) Deficit() float64 { return s.room - float64((s.cc-1)*s.battery.Capacity) }

// Voltage returns the battery's voltage in the last step.
func (s *Sim) Voltage() float64 { return s.last.v }

// Duty returns the share of the panel's current that was taken in the last step, 0 in the dark.
func (s *Sim) Duty() float64 {
	if all := s.last.in + s.last.idle; all > 0 {
		return s.last.in / all
	}
	return 0
}

// Stored returns the current into the main branch in the last step, Gassing that which made gas, A.
func (s *Sim) Stored() float64 { return s.last.main }

// Gassing returns the current that made gas in the last step, A.
func (s *Sim) Gassing() float64 { return s.last.gas }

// Taken and Spilled return the currents that the panel gave in the last step, and could have given besides, A.
func (s *Sim) Taken() float64 { return s.last.in }

// Spilled: see Taken.
func (s *Sim) Spilled() float64 { return s.last.idle }

// Target returns the level at which charging is held back now, at a temperature of the battery; 0: at none.
func (s *Sim) Target(temperature float64) float64 {
	if s.reg.Method == None || s.float && s.reg.Float == 0 {
		return 0
	}
	return s.setpoint(temperature)
}

// Opened reports whether the protection inside the battery keeps it from being charged or discharged.
func (s *Sim) Opened() bool { return s.guard.NoCharge || s.guard.NoDischarge }

// Connected reports whether the load is connected.
func (s *Sim) Connected() bool { return !s.off }
