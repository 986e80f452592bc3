package hardware

import (
	"hindwatt/internal/numeric"
	"hindwatt/internal/physics/circuit"
)

const none circuit.ID = -1

// wiring is a controller's network in one state of its switches.
type wiring struct {
	d        *Design
	net      *circuit.Network
	solver   *circuit.Solver
	solution *circuit.Solution // nil: none yet of the question at hand
	start    *circuit.Start    // where the next solution begins; nil: where the last one ended, or from nothing

	ids                              []circuit.ID   // of each component
	drivers                          []circuit.ID   // of each component, none where nothing drives its gate
	quiet                            []circuit.ID   // of each component, the quiescent draw of a regulator
	returns                          []circuit.Node // of each component, against which a regulator holds its output
	on                               []bool         // of each component, whether a mosfet conducts
	panel, battery, current, resists circuit.ID
}

// wire builds the network of a design. Values are set later.
func (d *Design) wire(l *layout) *wiring {
	n := circuit.New()
	w := &wiring{d: d, net: n, ids: make([]circuit.ID, len(d.Components)), on: make([]bool, len(d.Components))}
	w.returns = make([]circuit.Node, len(d.Components))
	w.drivers, w.quiet = make([]circuit.ID, len(d.Components)), make([]circuit.ID, len(d.Components))
	node := func(name string) circuit.Node {
		if name == BatteryMinus {
			return circuit.Ground
		}
		return n.Node(nodeName(name))
	}
	w.battery = n.Battery("battery", node(BatteryPlus), circuit.Ground, 1, 0)
	w.panel = n.Panel("panel", node(PanelPlus), node(PanelMinus), circuit.Panel{})
	w.current = n.Load("load", node(LoadPlus), node(LoadMinus), circuit.Load{})
	w.resists = n.Resistor("load's resistance", node(LoadPlus), node(LoadMinus), 1)
	for i := range d.Components {
		c := &d.Components[i]
		w.drivers[i], w.quiet[i] = none, none
		w.ids[i] = d.lay(n, l, i, node(c.From), node(c.To))
		if at := l.drives[i]; at.point != "" && !at.shared {
			w.drivers[i] = n.Source("drive of "+c.Name, node(at.point), node(c.To), 0)
		}
		if c.Regulator != nil {
			if k := l.returns[i]; k >= 0 {
				w.returns[i] = node(d.Components[k].other(c.To))
			}
			w.quiet[i] = n.Load(c.Name+" itself", node(c.From), w.returns[i], circuit.Load{})
		}
	}
	return w
}

// lay adds one component; none for those that carry no direct current.
func (d *Design) lay(n *circuit.Network, l *layout, i int, from, to circuit.Node) circuit.ID {
	c := &d.Components[i]
	switch c.Kind {
	case "resistor", "wire", "track", "contact", "fuse", "thermistor":
		return n.Resistor(c.Name, from, to, 1)
	case "diode":
		return n.Diode(c.Name, from, to, circuit.Diode{})
	case "mosfet":
		return n.Mosfet(c.Name, from, to, circuit.Mosfet{PChannel: c.Mosfet.Channel == "p"})
	case "clamp":
		return n.Clamp(c.Name, from, to, circuit.Clamp{})
	case "control", "lamp":
		return n.Load(c.Name, from, to, circuit.Load{})
	case "regulator":
		return n.Source(c.Name, from, to, 0)
	case "reference":
		if l.shunt(d, i) {
			return n.Clamp(c.Name, from, to, circuit.Clamp{})
		}
	}
	return none
}

// outside sets what stands at the terminals.
func (w *wiring) outside(o *Outside, leadOhms, panelOhms float64) {
	w.net.SetVoltage(w.battery, o.Battery.EMF)
	w.net.SetResistance(w.battery, o.Battery.Resistance+leadOhms)
	p := o.Panel.model()
	p.Series += panelOhms
	w.net.SetPanel(w.panel, p)
	w.net.SetLoad(w.current, circuit.Load{Current: o.Load.Current})
	w.net.Open(w.resists, o.Load.Resistance <= 0)
	if o.Load.Resistance > 0 {
		w.net.SetResistance(w.resists, o.Load.Resistance)
	}
}

// model is the panel as the network takes it. A held current is a panel whose curve is all but square: its junction takes
// the current over within Open/200 of its open voltage, and less than 1e-17 of it below 0.8·Open.
func (p Panel) model() circuit.Panel {
	if p.Photocurrent > 0 || p.Saturation > 0 {
		return circuit.Panel{Photocurrent: p.Photocurrent, Saturation: p.Saturation, A: p.A, Series: p.Series, Shunt: p.Shunt}
	}
	if p.Current <= 0 {
		return circuit.Panel{}
	}
	return circuit.Panel{Photocurrent: p.Current, Saturation: p.Current * numeric.Exp(-200), A: p.Open / 200} // [U14]
}

// phase switches the driven mosfets.
//
//	charge  the battery is charged in this part of the cycle
func (w *wiring) phase(charge bool, s State) {
	for i := range w.d.Components {
		c := &w.d.Components[i]
		if c.driven() {
			w.turn(i, w.d.conducts(c.Role, charge, s))
		}
	}
}

// conducts reports whether a driven mosfet is on.
func (d *Design) conducts(role string, charge bool, s State) bool {
	switch role {
	case "load-switch":
		return s.LoadOn
	case "blocking":
		return charge
	}
	if d.Switch == "shunt" {
		return !charge && !s.Night
	}
	return charge
}

func (w *wiring) turn(i int, on bool) {
	w.on[i] = on
	w.net.Switch(w.ids[i], on)
}

// nodeName is the name of a node in the network, where "gnd" is bat-: a maker's own gnd need not be.
func nodeName(name string) string {
	if name == "gnd" {
		return "gnd of the circuit"
	}
	return name
}
