package hardware

import (
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/physics/circuit"
)

// Condition is what has become of a component.
type Condition uint8

// A component is whole, interrupted, or bridged.
const (
	Whole Condition = iota
	Interrupted
	Bridged
)

const (
	// bridgeOhms is the resistance of a junction that has gone short: silicon molten through. Estimate.
	bridgeOhms = 5e-3
	// leakOhms ties every node to bat-: what dirt and a board let through at least. Estimate.
	leakOhms = 1e9
	// bridges is how many wires can be laid between nodes of one's choice.
	bridges = 4
)

// A Rig is a unit on the bench: its network at rest with whatever one connects to its nodes, parts of it failed, each at a
// temperature of its own. It belongs to one goroutine and to its unit, whose Operate and Largest it does not disturb but in their
// temperatures; Unit.Set reaches it too.
type Rig struct {
	u     *Unit
	w     *wiring
	temps []float64 // K, of each component

	condition []Condition
	shorts    []circuit.ID // across each component
	wires     [bridges]circuit.ID
	second    circuit.ID   // another source
	returns   []string     // node at which the junctions of reverse begin
	reverse   []circuit.ID // of each regulator and control the junctions of its silicon, from its return to its supply
	forward   []circuit.ID // of each clamp what it is the wrong way round: a diode
	scale     []float64    // on the resistance of a component, or on its regulated voltage
	limited   []bool       // of a regulator: its output is shorted, and it gives what it can
	stuck     []int8       // of a mosfet: 1 always on, −1 never
	charge    bool
	load      bool
	silent    bool
	powered   bool
	onward    bool // each solution begins at the last one
	from      *RigStart
	faltering bool // the control's supply comes and goes with what it switches
	night     bool
}

// Rig puts the unit on the bench, with nothing connected.
func (u *Unit) Rig() *Rig {
	d, n := u.d, len(u.d.Components)
	r := &Rig{u: u, w: d.wire(u.l), temps: make([]float64, n), condition: make([]Condition, n), shorts: make([]circuit.ID, n), scale: make([]float64, n), stuck: make([]int8, n), limited: make([]bool, n)}
	for _, name := range Terminals {
		r.node(name)
	}
	for i := range d.Components {
		c := &d.Components[i]
		r.shorts[i] = r.w.net.Resistor("across "+c.Name, r.node(c.From), r.node(c.To), bridgeOhms)
	}
	r.silicon()
	r.forwards()
	for k := range r.wires {
		r.wires[k] = r.w.net.Resistor(fmt.Sprintf("wire %d laid", k), r.node(PanelPlus), r.node(PanelMinus), 1)
	}
	r.second = r.w.net.Battery("another source", r.node(BatteryPlus), circuit.Ground, 1, 1)
	for k := 1; k < r.w.net.Nodes(); k++ {
		r.w.net.Resistor(fmt.Sprintf("board at node %d", k), circuit.Node(k), circuit.Ground, leakOhms)
	}
	r.Reset(reference25)
	return r
}

// silicon gives regulators and controls what conducts in them the wrong way round: the junctions between their circuit and their
// substrate, that of a small silicon diode. Common practice.
func (r *Rig) silicon() {
	d := r.u.d
	r.reverse, r.returns = make([]circuit.ID, len(d.Components)), make([]string, len(d.Components))
	for i := range d.Components {
		c := &d.Components[i]
		r.reverse[i] = none
		back := c.To
		if k := r.u.l.returns[i]; k >= 0 {
			back = d.Components[k].other(c.To)
		}
		if c.Regulator != nil && back != c.To || c.Control != nil {
			r.returns[i] = back
			r.reverse[i] = r.w.net.Diode("silicon of "+c.Name, r.node(back), r.node(c.From), circuit.Diode{Saturation: 1e-12, Emission: 0.03, Series: 0.1})
		}
	}
}

// forwardOhms is the resistance of a clamp's junction the wrong way round: 3.5 V at 100 A, as sheets of 1.5 kW give it. Common practice.
const forwardOhms = 25e-3

// forwards lays beside each clamp the diode that it is from its second end to its first. The clamp's own resistance is that of its
// breakdown, ten times as much.
func (r *Rig) forwards() {
	r.forward = make([]circuit.ID, len(r.u.d.Components))
	for i := range r.u.d.Components {
		r.forward[i] = none
		if c := &r.u.d.Components[i]; c.Clamp != nil {
			r.forward[i] = r.w.net.Diode("forward of "+c.Name, r.node(c.To), r.node(c.From), circuit.Diode{Saturation: 1e-9, Emission: 0.03, Series: forwardOhms})
		}
	}
}

// Reverse is the current that a regulator or a control carries the wrong way round, A.
func (r *Rig) Reverse(i int) float64 {
	if r.reverse[i] == none || r.condition[i] == Interrupted {
		return 0
	}
	return r.w.solution.Current(r.reverse[i])
}

// Return is the node from which a regulator or a control carries a current the wrong way round, to its first end; "" for other parts.
func (r *Rig) Return(i int) string { return r.returns[i] }

// Reset makes every component whole and as warm as given (K), and disconnects all that was connected.
func (r *Rig) Reset(kelvin float64) {
	for i := range r.temps {
		r.temps[i], r.condition[i], r.scale[i], r.stuck[i] = kelvin, Whole, 1, 0
	}
	r.charge, r.load, r.silent, r.night = false, false, false, false
	r.Panel("", "", circuit.Panel{})
	r.Battery("", "", 0, 0)
	r.Load("", "", 0, 0)
	r.Source("", "", 0, 0)
	for k := range r.wires {
		r.Wire(k, "", "", 0)
	}
}

func (r *Rig) node(name string) circuit.Node {
	if name == BatteryMinus {
		return circuit.Ground
	}
	return r.w.net.Node(nodeName(name))
}

// join connects what stands outside to two nodes, or to none.
func (r *Rig) join(id circuit.ID, plus, minus string) {
	r.w.net.Open(id, plus == "")
	if plus != "" {
		r.w.net.Connect(id, r.node(plus), r.node(minus))
	}
}

// Panel connects the panel to two nodes of the circuit; "" is to none.
func (r *Rig) Panel(plus, minus string, p circuit.Panel) {
	r.join(r.w.panel, plus, minus)
	r.w.net.SetPanel(r.w.panel, p)
}

// Battery connects the battery to two nodes; its resistance is that with its lead.
func (r *Rig) Battery(plus, minus string, emf, ohms float64) {
	r.join(r.w.battery, plus, minus)
	r.w.net.SetVoltage(r.w.battery, emf)
	r.w.net.SetResistance(r.w.battery, ohms)
}

// Source connects another source to two nodes, such as a second battery or charger; "" is to none.
func (r *Rig) Source(plus, minus string, emf, ohms float64) {
	r.join(r.second, plus, minus)
	if plus != "" {
		r.w.net.SetVoltage(r.second, emf)
		r.w.net.SetResistance(r.second, ohms)
	}
}

// Load connects a load to two nodes: a current that it draws and a resistance beside it, 0 for none.
func (r *Rig) Load(plus, minus string, amperes, ohms float64) {
	r.join(r.w.current, plus, minus)
	r.w.net.SetLoad(r.w.current, circuit.Load{Current: amperes})
	if ohms <= 0 {
		plus = ""
	}
	r.join(r.w.resists, plus, minus)
	if ohms > 0 {
		r.w.net.SetResistance(r.w.resists, ohms)
	}
}

// Wire lays wire k, 0 to 3, between two nodes; "" takes it off.
func (r *Rig) Wire(k int, a, b string, ohms float64) {
	r.join(r.wires[k], a, b)
	if a != "" {
		r.w.net.SetResistance(r.wires[k], ohms)
	}
}

// Set makes a component whole, interrupted or bridged.
func (r *Rig) Set(i int, c Condition) { r.condition[i] = c }

// Condition is what has become of a component.
func (r *Rig) Condition(i int) Condition { return r.condition[i] }

// Drift multiplies a resistance, or the output of a regulator or a reference.
func (r *Rig) Drift(i int, factor float64) { r.scale[i] = factor }

// Stick holds a mosfet on (1), off (−1) or lets it follow its control (0).
func (r *Rig) Stick(i int, how int8) { r.stuck[i] = how }

// Control says what the control wants: charge the battery, feed the load; silent, it drives nothing; by night it sleeps.
func (r *Rig) Control(charge, load, silent, night bool) {
	r.charge, r.load, r.silent, r.night = charge, load, silent, night
}

// Warm sets the temperature of a component, K.
func (r *Rig) Warm(i int, kelvin float64) { r.temps[i] = kelvin }

// Temperature is that of a component, K.
func (r *Rig) Temperature(i int) float64 { return r.temps[i] }

// Onward lets each solution begin at the last one: quicker along a series of like cases, whose last bits then depend on their order.
func (r *Rig) Onward(on bool) { r.onward = on }

// A RigStart is where a rig settled: its network, what its regulators take, and which mosfets conduct.
type RigStart struct {
	network circuit.Start
	volts   []float64
	on      []bool
	powered bool
}

// Settled is where the last Solve settled.
func (r *Rig) Settled() *RigStart {
	s := &RigStart{network: r.w.solver.Start(), volts: make([]float64, len(r.u.parts)), on: slices.Clone(r.w.on), powered: r.powered}
	for i := range r.u.parts {
		if r.u.parts[i].kind == "regulator" && r.condition[i] == Whole && !r.limited[i] {
			s.volts[i] = r.w.solution.Across(r.w.ids[i])
		}
	}
	return s
}

// From lets the next solution alone begin where a rig of the same design settled under the same conditions, which is quicker; nil
// lets it begin as any other.
func (r *Rig) From(s *RigStart) { r.from = s }

// Solve finds the currents. The control drives its mosfets only while its supply stands at half of what it is made for or more; where
// its own switching takes the supply away, it counts as powered, since its capacitors hold it up for a while: see Falters.
// The error is an *Unsolved.
func (r *Rig) Solve() error {
	u, w := r.u, r.w
	u.s = State{Night: r.night}
	for i := range u.parts {
		u.apply(w, i, min(max(r.temps[i], 200), 550))
		r.fail(i)
		if u.parts[i].kind == "regulator" && !r.onward {
			w.net.SetVoltage(w.ids[i], 0)
		}
	}
	r.powered, r.faltering = !r.silent, false
	clear(r.limited)
	if w.solver == nil {
		var err error
		if w.solver, err = circuit.Compile(w.net); err != nil {
			return &Unsolved{err}
		}
	}
	start := r.from
	if r.from = nil; start != nil {
		r.begin(start)
	}
	return r.settle(start != nil)
}

// begin is where the next solution begins.
func (r *Rig) begin(s *RigStart) {
	w := r.w
	r.powered = r.powered && s.powered
	for i := range r.u.parts {
		switch r.u.parts[i].kind {
		case "regulator":
			w.net.SetVoltage(w.ids[i], s.volts[i])
		case "mosfet":
			w.turn(i, s.on[i])
		}
	}
	r.turn()
	w.solver.From(s.network)
}

// settle switches, regulates and solves until nothing moves; begun says that it begins where another rig settled.
func (r *Rig) settle(begun bool) error {
	w := r.w
	dark := begun && !r.powered // with power it has not been tried yet
	for round := range 60 {
		r.turn()
		w.solver.Warm = round > 0 || r.onward || begun
		solution, err := w.solver.Solve()
		if err != nil {
			return &Unsolved{err}
		}
		w.solution = solution
		moved := r.damped(round)
		if (round > 2 || !moved) && r.limit() {
			moved = true
		}
		if r.u.gate(w) {
			moved = true
		}
		if powered := !r.silent && r.supplied(); powered != r.powered && !r.faltering {
			r.powered, r.faltering, moved = powered, powered && !dark, true
			dark = false
		}
		if !moved {
			return nil
		}
	}
	return &Unsolved{errUnsettled}
}

// regulatorMost is what a small regulator gives into a short, A: 0.1 to 1.5 A, nearly all limit it. Common practice.
const regulatorMost = 1.0

// limit lets regulators that are asked for more than they give draw what they can and hold up nothing.
func (r *Rig) limit() (moved bool) {
	for i := range r.limited {
		if r.u.parts[i].kind != "regulator" || r.limited[i] || r.condition[i] != Whole || r.w.solution.Current(r.w.ids[i]) < regulatorMost {
			continue
		}
		r.w.net.Open(r.w.ids[i], true)
		r.w.net.SetLoad(r.w.quiet[i], circuit.Load{Current: regulatorMost})
		r.limited[i], moved = true, true
	}
	return moved
}

// turn switches the driven mosfets.
func (r *Rig) turn() {
	s := State{LoadOn: r.load, Night: r.night}
	for i := range r.u.d.Components {
		c := &r.u.d.Components[i]
		if c.Mosfet == nil {
			continue
		}
		on := r.w.on[i]
		if c.driven() {
			on = r.powered && r.u.d.conducts(c.Role, r.charge, s)
		}
		if r.stuck[i] != 0 {
			on = r.stuck[i] > 0
		}
		r.w.turn(i, on)
	}
}

// supplied reports whether the control's supply suffices; without a control nothing is known against it.
func (r *Rig) supplied() bool {
	i := r.u.controls()
	if i < 0 {
		return true
	}
	return r.condition[i] == Whole && r.w.solution.Across(r.w.ids[i]) >= fade(r.u.parts[i].voltage)
}

// Powered reports whether the control drove its mosfets.
func (r *Rig) Powered() bool { return r.powered }

// Falters reports whether what the control switches takes away its own supply, so that it wakes and stops by turns.
func (r *Rig) Falters() bool { return r.faltering }

// fail lays what has become of a component over its values.
func (r *Rig) fail(i int) {
	w, id := r.w, r.w.ids[i]
	w.net.Open(r.shorts[i], r.condition[i] != Bridged)
	if id != none {
		w.net.Open(id, r.condition[i] == Interrupted || r.condition[i] == Bridged && r.u.parts[i].kind == "regulator")
	}
	if w.quiet[i] != none {
		w.net.Open(w.quiet[i], r.condition[i] != Whole)
	}
	if r.forward[i] != none {
		w.net.Open(r.forward[i], r.condition[i] != Whole)
	}
	if r.reverse[i] != none {
		w.net.Open(r.reverse[i], r.condition[i] == Interrupted)
	}
	if r.scale[i] == 1 || id == none {
		return
	}
	switch r.u.parts[i].kind {
	case "resistor", "wire", "track", "contact", "fuse", "thermistor":
		w.net.SetResistance(id, r.scale[i]*r.u.parts[i].ohms(r.temps[i]))
	case "reference":
		w.net.SetClamp(id, circuit.Clamp{Breakdown: circuit.Breakdown{Voltage: r.scale[i] * r.u.parts[i].voltage}})
	}
}

// damped is regulate, with half steps where whole ones swing.
func (r *Rig) damped(round int) (moved bool) {
	u, w := r.u, r.w
	for i := range u.parts {
		if u.parts[i].kind != "regulator" || r.condition[i] != Whole || r.limited[i] {
			continue
		}
		back := 0.0
		if k := u.l.returns[i]; k >= 0 {
			back = u.level(w, u.d.Components[k].other(u.d.Components[i].To))
		}
		got := w.solution.Across(w.ids[i])
		want := max(0, u.level(w, u.d.Components[i].From)-back-u.parts[i].voltage)
		if math.Abs(want-got) <= 1e-6 {
			continue
		}
		if round > 8 {
			want = (want + got) / 2
		}
		w.net.SetVoltage(w.ids[i], want)
		moved = true
	}
	return moved
}

// Current is that into a component's first end, A, with that of a bridge across it.
func (r *Rig) Current(i int) float64 {
	amps := 0.0
	if r.limited[i] {
		return r.w.solution.Current(r.w.quiet[i])
	}
	if r.condition[i] == Bridged {
		amps = r.w.solution.Current(r.shorts[i])
	}
	if id := r.w.ids[i]; id != none && r.condition[i] != Interrupted && !(r.condition[i] == Bridged && r.u.parts[i].kind == "regulator") {
		amps += r.w.solution.Current(id)
	}
	if r.forward[i] != none && r.condition[i] == Whole {
		amps -= r.w.solution.Current(r.forward[i])
	}
	return amps
}

// Across is the voltage from a component's first end to its second.
func (r *Rig) Across(i int) float64 {
	c := &r.u.d.Components[i]
	return r.Level(c.From) - r.Level(c.To)
}

// Power is what a component makes of heat, W.
func (r *Rig) Power(i int) float64 { return max(0, r.Current(i)*r.Across(i)) }

// Level is the voltage of a node against bat-; 0 of one that there is not.
func (r *Rig) Level(node string) float64 { return r.u.level(r.w, node) }

// PanelCurrent is that into the panel's plus end, A: negative while it feeds.
func (r *Rig) PanelCurrent() float64 { return r.w.solution.Current(r.w.panel) }

// BatteryCurrent is that into the battery, A.
func (r *Rig) BatteryCurrent() float64 { return r.w.solution.Current(r.w.battery) }

// SourceCurrent is that into the other source, A.
func (r *Rig) SourceCurrent() float64 { return r.w.solution.Current(r.second) }

// LoadCurrent is that through the load, A.
func (r *Rig) LoadCurrent() float64 {
	return r.w.solution.Current(r.w.current) + r.w.solution.Current(r.w.resists)
}

// WireCurrent is that through a wire laid, A.
func (r *Rig) WireCurrent(k int) float64 { return r.w.solution.Current(r.wires[k]) }

// Steady returns the temperatures, K, at which the components end if each goes on making its power, as they sit in their enclosures.
// The error is a *Runaway where none is below 3000 K.
func (r *Rig) Steady(o Outside, power []float64) ([]float64, error) {
	u := r.u
	u.outside = o
	u.heat.surround(&o)
	for i := range u.losses {
		u.losses[i] = loss{t0: o.Ambient, p0: power[i]}
	}
	a := u.heat.assembly
	if err := a.Solve(o.Ambient); err != nil {
		return nil, u.hot(err)
	}
	out := make([]float64, len(u.parts))
	for i, k := range u.heat.part {
		out[i] = o.Ambient
		if k >= 0 {
			out[i] = a.Temperature(a.Junction[k])
		} else if at := u.d.enclosure(u.d.Components[i].In); at >= 0 {
			out[i] = a.Temperature(a.Inner[at])
		}
	}
	return out, nil
}

// Way returns the steady resistance of a component to the air, K/W, and that from its junction to its case, as far as it is known; 0 where it makes no heat.
func (r *Rig) Way(i int) (toAir, toCase float64) {
	x := r.u.parts[i].fixed
	k := r.u.heat.part[i]
	if k < 0 {
		return 0, 0
	}
	if c := &r.u.d.Components[i]; r.u.d.enclosure(c.In) < 0 {
		return c.alone(x), x.toCase
	}
	way := r.u.heat.assembly.Resistance(k)
	if x.toAmbient > 0 {
		way = x.toAmbient
	}
	return way, x.toCase
}

// Limits of a component in this unit, 0 where its sheet gives none.
type Limits struct {
	Voltage  float64 // V: reverse of a diode, drain of a mosfet, breakdown of a clamp
	Junction float64 // K
	Current  float64 // A
	Drive    float64 // V, of its gate
	Area     float64 // m², of a conductor
	Length   float64 // m
}

// Limits returns those of a component.
func (r *Rig) Limits(i int) Limits {
	x := r.u.parts[i].fixed
	l := Limits{Voltage: x.breakdown, Junction: x.most, Current: x.current, Drive: x.drive, Area: x.area, Length: x.length}
	if r.u.parts[i].kind == "track" {
		l.Area = x.width * x.thickness
	}
	return l
}
