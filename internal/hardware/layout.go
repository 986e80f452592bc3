package hardware

import "slices"

// Drive says how the gate of a mosfet is held.
type drive struct {
	point  string // node that the control drives, against the mosfet's source; "" if the circuit itself drives the gate
	shared bool   // another mosfet's driver holds the node already
}

// layout is what the netlist says before any number is known.
type layout struct {
	touching map[string][]int // components by node, gates not counted, in order
	gates    map[string][]int // mosfets by gate node
	returns  []int            // of each regulator (by component) the component that its output feeds, −1 for none
	drives   []drive          // of each component
}

// driven reports whether the control drives a mosfet: its role says so.
func (c *Component) driven() bool {
	return c.Mosfet != nil && (c.Role == "switch" || c.Role == "load-switch" || c.Role == "blocking")
}

// ends are the nodes of a component, gate apart.
func (c *Component) ends() [2]string { return [2]string{c.From, c.To} }

// other is the end of a component that is not node.
func (c *Component) other(node string) string {
	if c.From == node {
		return c.To
	}
	return c.From
}

func (d *Design) layout() *layout {
	l := &layout{touching: map[string][]int{}, gates: map[string][]int{}, drives: make([]drive, len(d.Components)), returns: make([]int, len(d.Components))}
	for i := range d.Components {
		c := &d.Components[i]
		for _, node := range c.ends() {
			if node != "" && !slices.Contains(l.touching[node], i) {
				l.touching[node] = append(l.touching[node], i)
			}
		}
		if c.Gate != "" {
			l.gates[c.Gate] = append(l.gates[c.Gate], i)
		}
	}
	taken := map[string]bool{}
	for i := range d.Components {
		if c := &d.Components[i]; c.driven() {
			l.drives[i] = l.driveOf(d, c, taken)
		}
		l.returns[i] = l.fed(d, i)
	}
	return l
}

// signal reports whether a node carries only gates and resistors, so that nothing but a driver or a resistor holds it.
func (l *layout) signal(d *Design, node string) bool {
	for _, i := range l.touching[node] {
		if d.Components[i].Kind != "resistor" {
			return false
		}
	}
	return !slices.Contains(Terminals, node)
}

// driveOf finds the node where the control's driver meets a gate: from the gate through resistors along signal nodes to the one
// at which nothing else ends, or the gate itself.
func (l *layout) driveOf(d *Design, c *Component, taken map[string]bool) drive {
	if c.Gate == "" {
		return drive{}
	}
	if !l.signal(d, c.Gate) {
		return drive{} // the gate hangs on the circuit: its network stands as it is, the state alone says what is on
	}
	seen, next, point := map[string]bool{c.Gate: true}, []string{c.Gate}, c.Gate
	for len(next) > 0 {
		node := next[0]
		next = next[1:]
		if len(l.touching[node])+len(l.gates[node]) == 1 && len(l.gates[node]) == 0 {
			point = node
			break
		}
		for _, i := range l.touching[node] {
			if end := d.Components[i].other(node); !seen[end] && l.signal(d, end) {
				seen[end] = true
				next = append(next, end)
			}
		}
	}
	out := drive{point: point, shared: taken[point]}
	taken[point] = true
	return out
}

// fed finds what a regulator's output feeds: a control first, else anything from the output towards its return.
func (l *layout) fed(d *Design, i int) int {
	if d.Components[i].Regulator == nil {
		return -1
	}
	found := -1
	for _, k := range l.touching[d.Components[i].To] {
		if k == i {
			continue
		}
		if d.Components[k].Control != nil {
			return k
		}
		if found < 0 {
			found = k
		}
	}
	return found
}

// shunt reports whether a reference is fed through resistors and holds its node, rather than standing on a supply.
func (l *layout) shunt(d *Design, i int) bool {
	c := &d.Components[i]
	for _, k := range l.touching[c.From] {
		if kind := d.Components[k].Kind; k != i && kind != "resistor" && kind != "capacitor" && kind != "thermistor" {
			return false
		}
	}
	return !slices.Contains(Terminals, c.From)
}
