package year

import (
	"math"

	"hindwatt/internal/physics/battery"
)

// A Sim is a system on its way through the weather.
type Sim struct {
	Totals Totals

	// Rainflow, if set, is given the state of charge at each turn.
	Rainflow *battery.Rainflow

	// constants
	panel         Panel
	saturation    *warm
	path          *Path
	battery       *battery.Battery
	cell          *battery.Cell
	reg           Regulation
	scale         *warm // capacity over cells and growth in the cold; self-discharge
	inverse, over float64
	full, fall    float64 // V, V for all of the capacity
	gas           float64
	perVolt       float64
	offset        float64
	gassing       float64
	perKelvin     float64
	lead, guarded bool

	disconnect, reconnect, margin, dead float64 // V

	// state
	self  float64 // A, self-discharge
	room  float64 // C, missing until the battery takes nothing more
	last  op      // of the step before
	mode  mode
	vj    float64 // V, at the panel's junction
	iph   float64 // A, photocurrent of that step; 0 in the dark
	per   float64 // V/A, by which vj moved with iph
	x     float64 // an exponent of the gas near that of the last step
	float bool
	timer float64 // s at the setpoint
	off   bool    // the load
	guard battery.Guard
	base  float64 // A, gas at the exponent x
	night bool    // the sun was down
	up    bool    // the main branch was charged
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
	inV  float64 // W from the path
	main float64 // A
	gas  float64 // A
	ext  float64 // A: load, standby and leak
	lost float64 // W in the path
	idle float64 // A that the panel could have given besides, at this voltage
	duty float64
	at   bool // at the setpoint
}

// New makes a simulation at its start.
func New(s System) (*Sim, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	b := s.Battery
	n := float64(b.Cells)
	whole, _ := b.Open(0, battery.Warm)
	sim := &Sim{panel: s.Panel, path: s.Path, battery: b, cell: &b.Cell, reg: s.Regulation,
		saturation: one(s.Panel.Saturation),
		scale:      newWarm(func(t float64) float64 { return b.Scale(t) }, b.SelfDischarge),
		inverse:    1 / b.Capacity, over: b.Cell.Cc - 1,
		full: n * b.Cell.Full, fall: n * b.Cell.Fall,
		gas: b.Cell.Gas * b.Capacity, perVolt: b.Cell.GasPerVolt / n, offset: b.Offset(0),
		perKelvin: n * b.Cell.PerKelvin, gassing: n * 2.35, lead: len(b.Cell.Curve) == 0, guarded: b.Cell.High > 0 || b.Cell.Low > 0 || b.Cell.ColdCharge > 0}
	if s.Gassing > 0 {
		sim.gassing = n * s.Gassing
	}
	if s.Regulation.To == 0 && s.Regulation.From == 0 {
		sim.reg.From, sim.reg.To = math.Inf(-1), math.Inf(1)
	}
	sim.room = b.Deficit(s.State) + sim.over*b.Capacity
	sim.last.v, _ = b.Open(b.Deficit(s.State), battery.Warm)
	sim.x, sim.base = -1e3, 0
	sim.night, sim.Totals.Least = true, s.State
	sim.margin, sim.dead = 0.004*n, 0.5*whole
	if sim.disconnect, sim.reconnect = s.Regulation.Disconnect, s.Regulation.Reconnect; sim.disconnect == 0 {
		sim.disconnect, sim.reconnect = sim.dead, 0.97*whole
	}
	return sim, nil
}

// State returns the state of charge.
func (s *Sim) State() float64 { return min(1, 1-(float64(s.room*s.inverse)-s.over)) }

// Deficit returns the charge that the battery lacks, C. A little below 0 lies the end of charge.
func (s *Sim) Deficit() float64 { return s.room - float64(s.over*s.battery.Capacity) }

// Voltage returns the battery's voltage in the last step.
func (s *Sim) Voltage() float64 { return s.last.v }

// Duty returns the share of the panel's current that was taken in the last step.
func (s *Sim) Duty() float64 { return s.last.duty }
