package hardware

import (
	"errors"

	"hindwatt/internal/physics/circuit"
	"hindwatt/internal/physics/conductor"
)

// flow is what one component does in one part of the cycle.
type flow struct {
	current float64 // A, into its first end
	across  float64 // V, first end against second
	at      float64 // K, of the component when that was so
	way     way
}

// way says what carries the current of a component.
type way uint8

const (
	ohmic   way = iota // a resistance, or the channel of a mosfet that is on
	forward            // a junction, along its arrow
	blocked            // a junction against its arrow: leakage
	steady             // electronics, a reference: what the network says
)

// share returns which part of the cycle each network stands for.
func (u *Unit) share() [2]float64 {
	if u.s.Night {
		return [2]float64{0, 1}
	}
	return [2]float64{u.s.Duty, 1 - u.s.Duty}
}

// solve finds the currents of both parts of the cycle at the temperatures at hand.
//
//	warm  begin at the last solution
func (u *Unit) solve(warm bool) error {
	for k, share := range u.share() {
		if share == 0 {
			continue
		}
		w := u.network(k)
		for i := range u.parts {
			u.apply(w, i, u.temps[i])
		}
		if err := u.settle(w, k == 0, warm); err != nil {
			return err
		}
		for i := range u.parts {
			u.state[k][i] = u.read(w, i)
			u.state[k][i].at = u.temps[i]
		}
		for at, id := range [beyond]circuit.ID{w.panel, w.battery} {
			u.state[k][len(u.parts)+at] = flow{current: w.solution.Current(id), across: w.solution.Across(id), way: steady}
		}
	}
	return nil
}

// network is that of a part of the cycle: 0 while the battery is charged, 1 while it is not.
func (u *Unit) network(k int) *wiring {
	if k == 0 {
		return u.charging
	}
	return u.stopped
}

// apply sets the values of a component at its temperature.
func (u *Unit) apply(w *wiring, i int, t float64) {
	m, id := &u.parts[i], w.ids[i]
	switch m.kind {
	case "resistor", "wire", "track", "contact", "fuse", "thermistor":
		w.net.SetResistance(id, m.ohms(t))
	case "diode":
		w.net.SetDiode(id, m.diode(t))
	case "mosfet":
		w.net.SetMosfet(id, circuit.Mosfet{PChannel: u.d.Components[i].Mosfet.Channel == "p", OnResistance: m.ohms(t), Body: m.diode(t)})
	case "clamp":
		w.net.SetClamp(id, m.clamp())
	case "reference":
		if id != none {
			w.net.SetClamp(id, circuit.Clamp{Breakdown: circuit.Breakdown{Voltage: m.voltage}})
		}
	case "control":
		current := m.current
		if u.s.Night {
			current = m.sleep
		}
		w.net.SetLoad(id, circuit.Load{Current: current, Fade: fade(m.voltage)})
	case "lamp":
		current := m.current
		if u.s.Night {
			current = 0 // dark by night (assumption)
		}
		w.net.SetLoad(id, circuit.Load{Current: current, Fade: fade(m.drop)})
	case "regulator":
		w.net.SetLoad(w.quiet[i], circuit.Load{Current: m.current})
	}
	if at := w.drivers[i]; at != none {
		volts := 0.0
		if w.on[i] {
			volts = m.drive
		}
		if m.kind == "mosfet" && u.d.Components[i].Mosfet.Channel == "p" {
			volts = -volts
		}
		w.net.SetVoltage(at, volts)
	}
}

// fade is the voltage below which electronics stop: half of what they are made for.
func fade(v float64) float64 { return max(0.5*v, 0.1) }

// errUnsettled says that supplies and gates keep changing each other.
var errUnsettled = errors.New("its supplies and gates do not settle; want every gate driven by a role")

// settle solves a network with its regulators at their output and the gates that the circuit itself drives.
func (u *Unit) settle(w *wiring, charge, warm bool) error {
	w.outside(&u.outside, u.leads[0], u.leads[1])
	w.phase(charge, u.s)
	for i := range u.parts {
		if u.parts[i].kind == "regulator" {
			w.net.Follow(w.ids[i], w.returns[i], u.parts[i].voltage)
		}
	}
	if w.solver == nil { // only now has every part values that a network accepts
		var err error
		if w.solver, err = circuit.Compile(w.net); err != nil {
			return &Unsolved{err}
		}
	}
	if w.start != nil {
		w.solver.From(*w.start)
		w.start, warm = nil, true
	}
	for range 30 {
		w.solver.Warm = warm
		solution, err := w.solver.Solve()
		if err != nil {
			return &Unsolved{err}
		}
		w.solution = solution
		if !u.gate(w) {
			return nil
		}
		warm = true
	}
	return &Unsolved{errUnsettled}
}

// gate turns on those mosfets whose gates the circuit itself drives past their threshold; it reports whether one changed.
func (u *Unit) gate(w *wiring) (changed bool) {
	for i := range u.d.Components {
		c := &u.d.Components[i]
		if c.Mosfet == nil || c.driven() || c.Gate == "" || len(u.l.touching[c.Gate]) == 0 {
			continue
		}
		v := u.level(w, c.Gate) - u.level(w, c.To)
		if c.Mosfet.Channel == "p" {
			v = -v
		}
		if on := v > u.parts[i].threshold; on != w.on[i] {
			w.turn(i, on)
			changed = true
		}
	}
	return changed
}

// level is the voltage of a node against bat-.
func (u *Unit) level(w *wiring, name string) float64 {
	if name == BatteryMinus {
		return 0
	}
	node, ok := w.net.Find(nodeName(name))
	if !ok {
		return 0
	}
	return w.solution.Voltage(node)
}

// read takes what a component does from the solution.
func (u *Unit) read(w *wiring, i int) flow {
	id := w.ids[i]
	if id == none {
		return flow{way: steady}
	}
	f := flow{current: w.solution.Current(id), across: w.solution.Across(id)}
	switch u.parts[i].kind {
	case "diode":
		f.way = along(f.current)
	case "mosfet":
		switch {
		case w.on[i]:
			f.way = ohmic
		case u.d.Components[i].Mosfet.Channel == "p":
			f.way = along(f.current)
		default:
			f.way = along(-f.current)
		}
	case "clamp", "reference", "control", "lamp", "regulator":
		f.way = steady
	}
	return f
}

// along tells a junction that conducts from one that blocks: 1 µA is nothing to either.
func along(i float64) way {
	if i > 1e-6 {
		return forward
	}
	return blocked
}

// Ohms is the resistance of both conductors of a lead and its contacts with the copper at a temperature in K; 0 of none.
func (l *Lead) Ohms(temperature float64) float64 {
	if l == nil {
		return 0
	}
	r := 0.0
	if l.Length != nil && l.Area != nil && l.Area.Value > 0 {
		r, _, _ = conductor.Resistance(l.Area.Value, 2*l.Length.Value, conductor.Class5, temperature) // of values in range: the folder's bounds
	}
	if l.Contacts != nil {
		r += l.Contacts.Value
	}
	return r
}
