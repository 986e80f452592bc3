package circuit

import "fmt"

// An impossible value is remembered, and Solve refuses until it is replaced.

// judge keeps the fault of a part, "" if its values are possible.
func (n *Network) judge(e *element, fault string) bool {
	if (e.fault == "") != (fault == "") {
		if fault == "" {
			n.bad--
		} else {
			n.bad++
		}
	}
	e.fault = fault
	return fault == ""
}

// SetResistance changes a Resistor, or the internal resistance of a Source or Battery.
func (n *Network) SetResistance(id ID, ohms float64) {
	e := &n.elements[id]
	if e.kind > source {
		panic("circuit: SetResistance of " + e.name + ", which has none")
	}
	if !(ohms >= 0 && ohms <= MostResistance) {
		n.judge(e, ask("resistance", ohms, "ohm", 0, MostResistance))
		return
	}
	n.judge(e, "")
	b := &n.branches[e.branch]
	n.setOhms(b, ohms)
}

// setOhms changes a resistance, and the shape where that changes.
func (n *Network) setOhms(b *branch, ohms float64) {
	if (ohms < BranchBelow) != (b.ohms < BranchBelow) || (ohms == 0) != (b.ohms == 0) {
		n.shape++
	}
	b.ohms = ohms
}

// SetVoltage changes a Source or Battery; a negative one is reversed.
func (n *Network) SetVoltage(id ID, volts float64) {
	e := &n.elements[id]
	if e.kind != source {
		panic("circuit: SetVoltage of " + e.name + ", which is no source")
	}
	if !(volts >= -mostVolts && volts <= mostVolts) {
		n.judge(e, ask("voltage", volts, "V", -mostVolts, mostVolts))
		return
	}
	n.judge(e, "")
	b := &n.branches[e.branch]
	b.emf, b.follows = volts, false
}

// Follow makes a Source the pass element of a regulator, until SetVoltage: between its terminals lies what keeps the second
// at volts above a reference, and nothing where the first does not lie as high.
//
//	v = max(0, v(first) − v(reference) − volts)   [C10]
func (n *Network) Follow(id ID, reference Node, volts float64) {
	n.SetVoltage(id, volts)
	e := &n.elements[id]
	if (reference < 0 || int(reference) >= len(n.names)) && n.fault == "" {
		n.fault = fmt.Sprintf("%s: no node %d; want one that Node returned", e.name, reference)
		return
	}
	b := &n.branches[e.branch]
	b.follows, b.ref = true, reference
}

// SetCurrent changes a Current.
func (n *Network) SetCurrent(id ID, amps float64) {
	e := &n.elements[id]
	if e.kind != current {
		panic("circuit: SetCurrent of " + e.name + ", which is no current source")
	}
	if !(amps >= -mostAmps && amps <= mostAmps) {
		n.judge(e, ask("current", amps, "A", -mostAmps, mostAmps))
		return
	}
	n.judge(e, "")
	n.branches[e.branch].amps = amps
}

// curve replaces the junction of a branch of a part.
func (n *Network) curve(e *element, number int, j junction, turned bool) {
	j.turned = turned
	n.curves[n.branches[e.branch+number].curve] = j
}

// SetDiode changes a Diode.
func (n *Network) SetDiode(id ID, d Diode) {
	e := n.of(id, diode, "SetDiode")
	if n.judge(e, d.check()) {
		n.curve(e, 0, d.junction(), false)
	}
}

// SetPanel changes a Panel.
func (n *Network) SetPanel(id ID, p Panel) {
	e := n.of(id, panel, "SetPanel")
	if !n.judge(e, p.check()) {
		return
	}
	n.curve(e, 0, p.junction(), false)
	if e.hasBypass = p.Bypass != nil; e.hasBypass {
		n.curve(e, 1, p.bypass(), true)
	}
	n.show(e)
}

// SetLight changes the photocurrent of a Panel.
func (n *Network) SetLight(id ID, amps float64) {
	e := n.of(id, panel, "SetLight")
	if n.judge(e, ask("photocurrent", amps, "A", 0, 1e4)) {
		n.curves[n.branches[e.branch].curve].photo = amps
	}
}

// SetMosfet changes a Mosfet and leaves it on or off as it was.
func (n *Network) SetMosfet(id ID, m Mosfet) {
	e := n.of(id, mosfet, "SetMosfet")
	if n.judge(e, first(m.Body.check(), ask("on-resistance", m.OnResistance, "ohm", 0, MostResistance))) {
		n.curve(e, 0, m.Body.junction(), !m.PChannel)
		n.setOhms(&n.branches[e.branch+1], m.OnResistance)
	}
}

// SetOnResistance changes the resistance that a Mosfet has when on.
func (n *Network) SetOnResistance(id ID, ohms float64) {
	e := n.of(id, mosfet, "SetOnResistance")
	if n.judge(e, ask("on-resistance", ohms, "ohm", 0, MostResistance)) {
		n.setOhms(&n.branches[e.branch+1], ohms)
	}
}

// Switch turns a Mosfet on or off.
func (n *Network) Switch(id ID, on bool) {
	e := n.of(id, mosfet, "Switch")
	e.on = on
	n.show(e)
}

// SetClamp changes a Clamp.
func (n *Network) SetClamp(id ID, c Clamp) {
	e := n.of(id, clamp, "SetClamp")
	if n.judge(e, c.check()) {
		n.curve(e, 0, c.junction(), true)
	}
}

// SetLoad changes a Load.
func (n *Network) SetLoad(id ID, l Load) {
	e := n.of(id, load, "SetLoad")
	if n.judge(e, l.check()) {
		n.curve(e, 0, l.junction(), false)
	}
}

// Open takes a part out of the circuit, or with false puts it back.
func (n *Network) Open(id ID, open bool) {
	e := &n.elements[id]
	e.opened = open
	n.show(e)
}

// Connect moves the terminals of a part to other nodes: reversed, or a short laid elsewhere.
func (n *Network) Connect(id ID, first, second Node) {
	e := &n.elements[id]
	e.first, e.second = first, second
	for i := range e.count {
		b := &n.branches[e.branch+i]
		b.a, b.b = first, second
	}
	n.shape++
}

// Reverse swaps the terminals of a part.
func (n *Network) Reverse(id ID) {
	first, second := n.Terminals(id)
	n.Connect(id, second, first)
}

// show puts the branches of a part in or out.
func (n *Network) show(e *element) {
	for i := range e.count {
		b := &n.branches[e.branch+i]
		off := e.opened || i == 1 && (e.kind == panel && !e.hasBypass || e.kind == mosfet && !e.on)
		if off != b.off {
			b.off = off
			n.shape++
		}
	}
}

// of returns the part of an ID, which is to be of a kind: another is a fault of the program.
func (n *Network) of(id ID, k kind, what string) *element {
	e := &n.elements[id]
	if e.kind != k {
		panic("circuit: " + what + " of " + e.name + ", which is another kind of part")
	}
	return e
}
