package diagram

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// device is a part, or what stands at the terminals, with its pins as numbers of nets. Pins 0 and last-but-sides are its main ones.
type device struct {
	name, kind, label, place, mark string
	open                           []string // "gate at drive": side pins whose node leads nowhere else
	first, second                  int      // nets of the main pins
	sides                          []int    // nets of gate or further pins
	current                        float64
	outside                        bool   // at the terminals of panel, battery or load
	shows                          string // of what is outside: what stands there in place of its kind; else ""
	turned                         bool
}

// pins lists the nets of a device: first, second, sides.
func (d *device) pins() []int { return append([]int{d.first, d.second}, d.sides...) }

func (d *device) mosfet() bool { return d.kind == "mosfet" || d.kind == "p-mosfet" }

// netlist is a circuit by numbers.
type netlist struct {
	devices []device
	names   []string // of nets; "" for an end that is joined to nothing
	index   map[string]int
}

// terminals in the order panel, battery, load: plus, minus.
var terminals = [3][2]string{{"pv+", "pv-"}, {"bat+", "bat-"}, {"load+", "load-"}}

var outsideKinds = [3]string{"panel", "battery", "load"}

const givesWay = "gives way" // where a mark has no text

// net returns the number of a node, a new one each time for "".
func (n *netlist) net(name string) int {
	if i, known := n.index[name]; known && name != "" {
		return i
	}
	n.names = append(n.names, name)
	n.index[name] = len(n.names) - 1
	return len(n.names) - 1
}

// newNetlist numbers the circuit's nodes and puts panel, battery and load at those terminals that are used.
func newNetlist(c Circuit) *netlist {
	n := &netlist{index: map[string]int{}}
	used := map[string]bool{}
	for _, p := range c.Parts {
		n.devices = append(n.devices, n.device(p))
		for _, e := range p.Ends {
			used[e.Node] = true
		}
	}
	for _, f := range c.Flows {
		for i := range n.devices {
			if n.devices[i].name == f.Part && math.Abs(f.Current) <= math.MaxFloat64 {
				n.devices[i].current = f.Current
			}
		}
	}
	for i, pair := range terminals {
		if used[pair[0]] || used[pair[1]] {
			d := device{kind: outsideKinds[i], first: n.net(pair[0]), second: n.net(pair[1]), outside: true, turned: c.Outside[i].Turned}
			if kind := c.Outside[i].Kind; kind != d.kind {
				d.shows = kind
			}
			d.name = d.standing()
			n.devices = append(n.devices, d)
		}
	}
	for _, m := range c.Marks {
		for i := range n.devices {
			if d := &n.devices[i]; !d.outside && d.name == m.Part || d.outside && d.drawn() == m.Part {
				d.mark = cmp.Or(m.Text, givesWay)
			}
		}
	}
	for i := range n.devices {
		d := &n.devices[i]
		for _, net := range d.sides {
			if name := n.names[net]; name != "" && n.count(net) == 1 {
				d.open = append(d.open, d.sideName()+" at "+name)
			}
		}
	}
	return n
}

// drawn is the kind whose symbol a device has.
func (d *device) drawn() string { return cmp.Or(d.shows, d.kind) }

// standing names what stands outside: "battery, reversed", "no battery".
func (d *device) standing() string {
	switch {
	case d.shows == Nothing:
		return "no " + d.kind
	case d.turned:
		return d.drawn() + ", reversed"
	}
	return d.drawn()
}

// sideName is what a side pin is called.
func (d *device) sideName() string {
	if d.mosfet() {
		return "gate"
	}
	return "end"
}

// device gives a part its pins: two and a gate for a mosfet, two for all others that have no more ends.
func (n *netlist) device(p Part) device {
	d := device{name: p.Name, kind: strings.ToLower(strings.TrimSpace(p.Kind)), label: p.Label}
	switch p.Place {
	case "lead":
		d.place = "in the lead"
	case "outside":
		d.place = p.Place
	}
	ends := slices.Clone(p.Ends)
	want := 2
	if d.mosfet() {
		want = 3
		order := func(e End) int { return slices.Index([]string{"drain", "source", "gate"}, strings.ToLower(e.Pin)) }
		if !slices.ContainsFunc(ends, func(e End) bool { return order(e) < 0 }) {
			ends = byPin(ends, order)
		}
	}
	for len(ends) < want {
		ends = append(ends, End{})
	}
	if len(ends) > want {
		if d.kind = cmp.Or(d.kind, "part"); symbols[d.kind] != nil {
			d.kind += " " // a word in a box: its symbol has fewer ends
		}
	}
	nets := make([]int, len(ends))
	for i, e := range ends {
		nets[i] = n.net(e.Node)
	}
	last := len(nets) - 1
	if d.mosfet() {
		d.first, d.second, d.sides = nets[0], nets[1], nets[2:]
		return d
	}
	d.first, d.second, d.sides = nets[0], nets[last], nets[1:last]
	return d
}

// byPin puts ends that are named drain, source and gate into this order; what is missing is joined to nothing, what comes twice follows.
func byPin(ends []End, order func(End) int) []End {
	out := make([]End, 3)
	taken := [3]bool{}
	for _, e := range ends {
		if i := order(e); taken[i] {
			out = append(out, e)
		} else {
			out[i], taken[i] = e, true
		}
	}
	return out
}

// other returns the net at the other end of a device's main path.
func (d *device) other(net int) int {
	if d.first == net {
		return d.second
	}
	return d.first
}
