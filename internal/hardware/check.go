package hardware

import (
	"fmt"
	"slices"
	"strings"
)

// A Fault is something that is wrong in a design, or stands in doubt.
type Fault struct {
	At    string // component, node or enclosure
	Text  string // what is wrong
	Want  string // what would mend it
	From  string // file:line
	Fatal bool   // the circuit cannot work, so no operating point exists
}

// Check looks at the netlist and the enclosures: ends without a node, nodes with one connection, terminals that nothing reaches, a
// switch that cannot stop the charge when it should, gates that nothing drives, parts without a way for their heat, cases thinner
// than their wall. None of it looks at names of arrangements: what can conduct follows from the direction of every junction.
func (d *Design) Check() []Fault {
	if len(d.Components) == 0 {
		return nil
	}
	l := d.layout()
	faults := d.checkEnds()
	faults = append(faults, d.checkNodes(l)...)
	faults = append(faults, d.checkGates(l)...)
	faults = append(faults, d.checkTerminals()...)
	faults = append(faults, d.checkIslands(l)...)
	if !slices.ContainsFunc(faults, func(f Fault) bool { return f.Fatal }) {
		faults = append(faults, d.checkSwitches()...)
	}
	faults = append(faults, d.checkPlaces()...)
	return append(append(faults, d.checkShells()...), d.checkValues()...)
}

func (d *Design) checkEnds() (out []Fault) {
	for i := range d.Components {
		c := &d.Components[i]
		if c.Kind == "" {
			out = append(out, Fault{c.Name, "its part " + c.Part + " has no data sheet", "[part." + c.Part + "] in parts.toml", c.At, true})
			continue
		}
		if c.Kind == "panel" || c.Kind == "battery" {
			out = append(out, Fault{c.Name, "a " + c.Kind + " is not part of the controller", "it in installations/NAME.toml; here the terminals stand for it", c.At, false})
		}
		first, second := "from", "to"
		if c.Kind == "mosfet" {
			first, second = "drain", "source"
		}
		for _, end := range []struct{ name, node string }{{first, c.From}, {second, c.To}} {
			if end.node == "" {
				out = append(out, Fault{c.Name, "it has no " + end.name, end.name + " = \"NODE\"", c.At, true})
			}
		}
		if c.From != "" && c.From == c.To {
			out = append(out, Fault{c.Name, "both its ends are at " + c.From, "two nodes", c.At, false})
		}
	}
	return out
}

// checkNodes finds the nodes at which only one part ends. The end that the control drives is none of them.
func (d *Design) checkNodes(l *layout) (out []Fault) {
	driven := map[string]bool{}
	for _, at := range l.drives {
		driven[at.point] = true
	}
	for i := range d.Components {
		for _, node := range d.Components[i].ends() {
			if node == "" || slices.Contains(Terminals, node) || driven[node] || len(l.touching[node]) != 1 || len(l.gates[node]) > 0 {
				continue
			}
			c := &d.Components[i]
			if c.Kind == "regulator" && node == c.To {
				continue // an output that feeds what is not drawn
			}
			out = append(out, Fault{node, "only " + c.Name + " is connected to it", "a second part at " + node + ", or one name for both nodes", c.At, false})
		}
	}
	return out
}

func (d *Design) checkGates(l *layout) (out []Fault) {
	for i := range d.Components {
		c := &d.Components[i]
		switch {
		case c.Kind != "mosfet":
		case !c.turnsOn():
			out = append(out, Fault{c.Name, "its drive does not reach beyond its threshold, so it never conducts", "a higher part." + c.Part + ".drive, or a part with a lower threshold", c.At, true})
		case c.Gate == "" && !c.driven():
			out = append(out, Fault{c.Name, "nothing says when it conducts", "role = \"switch\", \"blocking\" or \"load-switch\", or a gate", c.At, false})
		case c.Gate != "" && !c.driven() && l.signal(d, c.Gate) && len(l.touching[c.Gate]) == 0:
			out = append(out, Fault{c.Name, "nothing drives its gate", "a part at " + c.Gate + ", or a role", c.At, false})
		}
	}
	return out
}

// turnsOn reports whether the gate's drive exceeds the threshold at its middle.
func (c *Component) turnsOn() bool {
	var x fixed
	for _, f := range c.fields(&x) {
		*f.to = f.standard
		if f.value != nil {
			*f.to = f.value.Value
		}
	}
	return x.drive > x.threshold && x.given > x.threshold
}

func (d *Design) checkTerminals() (out []Fault) {
	touched := map[string]bool{}
	for i := range d.Components {
		touched[d.Components[i].From], touched[d.Components[i].To] = true, true
	}
	load := touched[LoadPlus] || touched[LoadMinus]
	for _, t := range Terminals {
		isLoad := t == LoadPlus || t == LoadMinus
		if !touched[t] && (!isLoad || load) {
			out = append(out, Fault{t, "nothing reaches this terminal", "a part with an end at " + t, d.at(t), !isLoad})
		}
	}
	return out
}

// at is where the first part at a terminal stands, or at its pair's other one, or the first part of all.
func (d *Design) at(terminal string) string {
	other := terminal[:len(terminal)-1] + map[byte]string{'+': "-", '-': "+"}[terminal[len(terminal)-1]]
	for _, t := range []string{terminal, other} {
		for i := range d.Components {
			if c := &d.Components[i]; c.At != "" && (c.From == t || c.To == t) {
				return c.At
			}
		}
	}
	if len(d.Components) > 0 && d.Components[0].At != "" {
		return d.Components[0].At
	}
	return d.From
}

// checkIslands finds parts that no way leads to from any terminal: nothing fixes their voltage.
func (d *Design) checkIslands(l *layout) (out []Fault) {
	w := ways{}
	for i := range d.Components {
		w.both(d.Components[i].From, d.Components[i].To)
	}
	for i, at := range l.drives {
		if at.point != "" {
			w.both(at.point, d.Components[i].To)
		}
	}
	for i := range d.Components {
		c := &d.Components[i]
		reached := func(t string) bool { return w.reach(t, c.From) }
		if c.From != "" && c.To != "" && !slices.ContainsFunc(Terminals, reached) {
			out = append(out, Fault{c.Name, "no way leads to it from any terminal", "one of its nodes, " + c.From + " and " + c.To + ", at another part", c.At, true})
		}
	}
	return out
}

// ways are the ways that a charging current can take.
type ways map[string][]string

func (w ways) way(from, to string)  { w[from] = append(w[from], to) }
func (w ways) both(from, to string) { w.way(from, to); w.way(to, from) }

func (w ways) reach(from, to string) bool {
	seen, next := map[string]bool{from: true}, []string{from}
	for len(next) > 0 {
		at := next[0]
		next = next[1:]
		if at == to {
			return true
		}
		for _, n := range w[at] {
			if !seen[n] {
				seen[n] = true
				next = append(next, n)
			}
		}
	}
	return false
}

// largeResistance is what carries no charging current: at 100 V less than a tenth of an ampere.
const largeResistance = 1000.0

// conduction lists the ways through the circuit with driven mosfets as the state says; what carries milliamperes is left out.
func (d *Design) conduction(charge bool, s State) ways {
	w := ways{}
	for i := range d.Components {
		c := &d.Components[i]
		switch c.Kind {
		case "wire", "track", "contact", "fuse":
			w.both(c.From, c.To)
		case "resistor":
			if r := c.Resistor.Resistance; r != nil && r.Value < largeResistance {
				w.both(c.From, c.To)
			}
		case "diode":
			w.way(c.From, c.To)
		case "mosfet":
			if !c.driven() || d.conducts(c.Role, charge, s) {
				w.both(c.From, c.To)
			} else if c.Mosfet.Channel == "p" {
				w.way(c.From, c.To) // body diode from drain to source
			} else {
				w.way(c.To, c.From)
			}
		}
	}
	return w
}

// checkSwitches follows the charging current through the junctions.
func (d *Design) checkSwitches() (out []Fault) {
	charges := func(w ways) bool { return w.reach(PanelPlus, BatteryPlus) && w.reach(BatteryMinus, PanelMinus) }
	switches := d.withRole("switch")
	if cut := d.withRole("load-switch"); len(cut) > 0 {
		if w := d.conduction(true, State{}); w.reach(BatteryPlus, LoadPlus) && w.reach(LoadMinus, BatteryMinus) {
			out = append(out, Fault{strings.Join(d.names(cut), " and "), "it cannot cut the load off: a way from the battery through the load is left, through a body diode or past the switch", d.turned(cut[0]), d.Components[cut[0]].At, false})
		}
	}
	if w := d.conduction(true, State{}); !charges(w) {
		out = append(out, Fault{PanelPlus, "no current can flow from the panel to the battery while it is charged", "a way from pv+ to bat+ and from bat- to pv-, diodes and body diodes with it", d.at(PanelPlus), true})
	}
	if len(switches) == 0 {
		return append(out, Fault{"circuit", "no part has the role of the switch, so nothing stops the charge", "role = \"switch\" at the mosfet that the control drives", d.at(PanelPlus), false})
	}
	at := d.Components[switches[0]].At
	name := strings.Join(d.names(switches), " and ")
	stopped := d.conduction(false, State{})
	if d.Switch == "shunt" {
		if !stopped.reach(PanelPlus, PanelMinus) {
			out = append(out, Fault{name, "it does not short the panel when on, so it cannot stop the charge", "the switch from pv+ to pv-, or regulation.switch = \"series\"", at, false})
		}
		if stopped.reach(BatteryPlus, BatteryMinus) {
			out = append(out, Fault{name, "it shorts the battery when on", "a blocking diode between the switch and the battery", at, true})
		}
		return out
	}
	if charges(stopped) {
		out = append(out, Fault{name, "it cannot stop the charge when off: a way from the panel to the battery is left, through a body diode or past the switch",
			d.turned(switches[0]), at, false})
	}
	return out
}

// turned says how to turn a switch so that its body diode stops the charge.
func (d *Design) turned(i int) string {
	c := &d.Components[i]
	return fmt.Sprintf("the other way round (drain = %q, source = %q) if its body diode is what conducts", c.To, c.From)
}

func (d *Design) withRole(role string) (out []int) {
	for i := range d.Components {
		if d.Components[i].Role == role && d.Components[i].Kind == "mosfet" {
			out = append(out, i)
		}
	}
	return out
}

func (d *Design) names(components []int) (out []string) {
	for _, i := range components {
		out = append(out, d.Components[i].Name)
	}
	return out
}

// warms lists the kinds whose heat needs a way out.
var warms = []string{"wire", "track", "contact", "diode", "mosfet", "fuse", "regulator"}

// checkPlaces finds parts whose heat has no way out, or none that is known.
func (d *Design) checkPlaces() (out []Fault) {
	for i := range d.Components {
		c := &d.Components[i]
		if toCase, toAmbient, hot := c.junction(); hot && !d.judged(c, toCase, toAmbient) {
			out = append(out, Fault{c.Name, "how its heat leaves its junction is not known, so that its junction counts in no rating", "part." + c.Part + ".junction_to_ambient, or junction_to_case in an enclosure", c.At, false})
		}
		switch {
		case c.In == "lead" || c.In == "outside" || d.enclosure(c.In) >= 0:
		case c.In == "" && slices.Contains(warms, c.Kind):
			out = append(out, Fault{c.Name, "it is in no place, so that its heat is reckoned to go straight to the open air", "in = \"ENCLOSURE\", \"lead\" or \"outside\"", c.At, false})
		case c.In != "":
			out = append(out, Fault{c.Name, "there is no enclosure " + c.In, "[enclosure." + c.In + "], \"lead\" or \"outside\"", c.At, false})
		}
	}
	return out
}

// junction returns the thermal resistances of a component that has one, as far as its sheet gives them.
func (c *Component) junction() (toCase, toAmbient *Value, hot bool) {
	switch {
	case c.Diode != nil:
		return c.Diode.JunctionToCase, c.Diode.JunctionToAmbient, true
	case c.Mosfet != nil:
		return c.Mosfet.JunctionToCase, c.Mosfet.JunctionToAmbient, true
	case c.Regulator != nil:
		return nil, c.Regulator.JunctionToAmbient, true
	}
	return nil, nil, false
}

func (d *Design) enclosure(name string) int {
	return slices.IndexFunc(d.Enclosures, func(e Enclosure) bool { return e.Name == name && name != "" })
}
