package diagram

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/figure"
	"hindwatt/internal/numeric"
)

// groups is a union of things that are joined.
type groups []int

func newGroups(n int) groups {
	g := make(groups, n)
	for i := range g {
		g[i] = i
	}
	return g
}

func (g groups) of(i int) int {
	for g[i] != i {
		i = g[i]
	}
	return i
}

func (g groups) join(i, j int) { g[g.of(i)] = g.of(j) }

func near(a, b figure.Point) bool { return math.Abs(a.X-b.X) < 0.01 && math.Abs(a.Y-b.Y) < 0.01 }

// on reports whether a point is on the stretch from a to b, which is upright or level.
func on(p, a, b figure.Point) bool {
	return p.X > min(a.X, b.X)-0.01 && p.X < max(a.X, b.X)+0.01 && p.Y > min(a.Y, b.Y)-0.01 && p.Y < max(a.Y, b.Y)+0.01
}

// readBack finds from lines and dots alone which pins are joined: ends that meet and dots join, a crossing without a dot does not.
// It fails where one reading is not the only one: wires that lie on each other, three ends or an end on a wire without a dot. A terminal is
// a ring on its wire, not an end.
func readBack(lines []figure.Line, dots []figure.Circle, pins []figure.Point, terminal []bool) (groups, error) {
	g := newGroups(len(lines) + len(pins))
	dotted := func(p figure.Point) bool {
		return slices.ContainsFunc(dots, func(c figure.Circle) bool { return near(c.Centre, p) })
	}
	for i, a := range lines {
		for k := range a.Points[1:] {
			if p, q := a.Points[k], a.Points[k+1]; math.Abs(p.X-q.X) > 0.01 && math.Abs(p.Y-q.Y) > 0.01 || near(p, q) {
				return nil, fmt.Errorf("a stretch from %v to %v is slanted or has no length", p, q)
			}
		}
		for _, end := range []figure.Point{a.Points[0], a.Points[len(a.Points)-1]} {
			ends := 0
			for j, b := range lines {
				if near(end, b.Points[0]) || near(end, b.Points[len(b.Points)-1]) {
					g.join(i, j)
					ends++
					continue
				}
				if i != j && passes(b, end) && !dotted(end) {
					return nil, fmt.Errorf("the wire end at %v touches a wire without a dot", end)
				}
			}
			for j, pin := range pins {
				if near(end, pin) {
					g.join(i, len(lines)+j)
					if !terminal[j] {
						ends++
					}
				}
			}
			if ends > 2 && !dotted(end) {
				return nil, fmt.Errorf("%d ends meet at %v without a dot", ends, end)
			}
		}
		for _, c := range dots {
			for j, b := range lines {
				if passes(a, c.Centre) && passes(b, c.Centre) {
					g.join(i, j)
				}
			}
		}
		for _, b := range lines[i+1:] {
			if err := along(a, b); err != nil {
				return nil, err
			}
		}
	}
	return g, nil
}

func passes(l figure.Line, p figure.Point) bool {
	for k := range l.Points[1:] {
		if on(p, l.Points[k], l.Points[k+1]) {
			return true
		}
	}
	return false
}

// along refuses two wires that lie on each other, or a bend of one on the other.
func along(a, b figure.Line) error {
	for i := range a.Points[1:] {
		for j := range b.Points[1:] {
			p, q, r, s := a.Points[i], a.Points[i+1], b.Points[j], b.Points[j+1]
			overX := min(max(p.X, q.X), max(r.X, s.X)) - max(min(p.X, q.X), min(r.X, s.X))
			overY := min(max(p.Y, q.Y), max(r.Y, s.Y)) - max(min(p.Y, q.Y), min(r.Y, s.Y))
			if overX > -0.01 && overY > -0.01 && max(overX, overY) > 0.01 {
				return fmt.Errorf("wires lie on each other from %v to %v", p, q)
			}
		}
	}
	for _, w := range [2][2]figure.Line{{a, b}, {b, a}} {
		for _, bend := range w[0].Points[1 : len(w[0].Points)-1] {
			if passes(w[1], bend) {
				return fmt.Errorf("a bend at %v lies on another wire", bend)
			}
		}
	}
	return nil
}

func (a room) shrunk(by float64) room {
	return room{a.left + by, a.top + by, a.right - by, a.bottom - by}
}

// bodyBox is the room of all that is drawn but text and the rings at open ends.
func bodyBox(ops []figure.Op) room {
	b := room{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	add := func(p figure.Point, r float64) {
		b = room{min(b.left, p.X-r), min(b.top, p.Y-r), max(b.right, p.X+r), max(b.bottom, p.Y+r)}
	}
	for _, op := range ops {
		switch op := op.(type) {
		case figure.Line:
			for _, p := range op.Points {
				add(p, 0)
			}
		case figure.Area:
			for _, p := range op.Points {
				add(p, 0)
			}
		case figure.Circle:
			if op.R != ringRadius {
				add(op.Centre, op.R)
			}
		}
	}
	return b
}

// check holds a circuit's drawing against its netlist: all connections and no other, nothing over anything else.
func check(t *testing.T, c Circuit) {
	t.Helper()
	l := newLayout(c)
	if len(l.loose) > 0 {
		t.Errorf("no way was found for nets %v", l.loose)
	}
	var wires figure.Drawing
	l.drawWires(&wires, l.flows())
	whole := l.draw()
	if len(whole.Ops) < len(wires.Ops) || fmt.Sprint(whole.Ops[:len(wires.Ops)]) != fmt.Sprint(wires.Ops) {
		t.Fatal("the drawing does not begin with its wires")
	}
	var lines []figure.Line
	var dots []figure.Circle
	for _, op := range wires.Ops {
		switch op := op.(type) {
		case figure.Line:
			lines = append(lines, op)
		case figure.Circle:
			dots = append(dots, op)
		}
	}
	checkConnections(t, c, l, lines, dots)
	checkRoom(t, l, lines, dots)
	checkWords(t, l, whole)
}

// checkWords wants each part's name, value and kind's word in the drawing, and the name of each node that leads nowhere.
func checkWords(t *testing.T, l *layout, whole figure.Drawing) {
	t.Helper()
	has := func(part string) bool {
		return slices.ContainsFunc(whole.Ops, func(op figure.Op) bool {
			text, ok := op.(figure.Text)
			return ok && strings.Contains(text.Text, part)
		})
	}
	for _, d := range l.devices {
		for _, w := range d.words() {
			if !has(w.Text) {
				t.Errorf("%q of %s is not written", w.Text, d.name)
			}
		}
		if symbols[d.kind] == nil && !has(d.boxWord()) {
			t.Errorf("%s does not say that it is a %q", d.name, d.kind)
		}
	}
	for net, name := range l.names {
		if l.count(net) == 1 && !has(name) {
			t.Errorf("the open end at %q is not named", name)
		}
	}
}

// checkConnections compares what the lines join with the netlist as it was given.
func checkConnections(t *testing.T, c Circuit, l *layout, lines []figure.Line, dots []figure.Circle) {
	t.Helper()
	var pins []figure.Point
	var nodes []string // by pin
	var terminal []bool
	placed := map[int]int{}
	for _, cell := range l.cells {
		var ops figure.Drawing
		l.drawCell(&ops, cell, &flows{})
		if cell.device >= 0 {
			placed[cell.device]++
		}
		for _, p := range l.places(l.netlist, cell) {
			at := l.point(p.node)
			pins = append(pins, at)
			node := l.names[p.net]
			if node == "" {
				node = fmt.Sprint("nothing ", p.net)
			}
			nodes, terminal = append(nodes, node), append(terminal, cell.device < 0)
			if !drawn(ops.Ops, at) {
				t.Errorf("the symbol in column %d, place %d does not reach its pin at %v (%s)", cell.col, cell.slot, at, node)
			}
		}
	}
	for i, d := range l.devices {
		if placed[i] != 1 {
			t.Errorf("%s is placed %d times", d.name, placed[i])
		}
	}
	for i, p := range c.Parts { // the netlist as given, not as numbered
		d := l.devices[i]
		var want, got []string
		for _, e := range p.Ends {
			if e.Node != "" {
				want = append(want, e.Node)
			}
		}
		for _, net := range d.pins() {
			if l.names[net] != "" {
				got = append(got, l.names[net])
			}
		}
		slices.Sort(want)
		slices.Sort(got)
		if !slices.Equal(want, got) {
			t.Errorf("%s has ends at %v, want %v", p.Name, got, want)
		}
	}
	g, err := readBack(lines, dots, pins, terminal)
	if err != nil {
		t.Fatal(err)
	}
	for i := range pins {
		for j := range pins[:i] {
			if joined, want := g.of(len(lines)+i) == g.of(len(lines)+j), nodes[i] == nodes[j]; joined != want {
				t.Fatalf("pins of %s and %s: joined %v, want %v", nodes[i], nodes[j], joined, want)
			}
		}
	}
}

// drawn reports whether a line or ring of a symbol reaches a point.
func drawn(ops []figure.Op, at figure.Point) bool {
	for _, op := range ops {
		switch op := op.(type) {
		case figure.Line:
			if near(op.Points[0], at) || near(op.Points[len(op.Points)-1], at) {
				return true
			}
		case figure.Circle:
			if math.Hypot(op.Centre.X-at.X, op.Centre.Y-at.Y) < op.R+0.01 {
				return true
			}
		}
	}
	return false
}

// checkRoom refuses symbols, words and wires that overlap or leave the drawing.
func checkRoom(t *testing.T, l *layout, lines []figure.Line, dots []figure.Circle) {
	t.Helper()
	type owned struct {
		room
		cell int
		what string
	}
	var bodies, words []owned
	for i, cell := range l.cells {
		var d figure.Drawing
		l.drawCell(&d, cell, &flows{})
		body := bodyBox(d.Ops)
		if cell.device >= 0 {
			bodies = append(bodies, owned{body.shrunk(1), i, l.devices[cell.device].name})
		} else {
			bodies = append(bodies, owned{body, i, "terminal"})
		}
		for _, op := range d.Ops {
			if text, ok := op.(figure.Text); ok {
				words = append(words, owned{ofText(text), i, text.Text})
			}
		}
	}
	whole := l.draw()
	for _, op := range whole.Ops {
		t, ok := op.(figure.Text)
		if ok && !slices.ContainsFunc(words, func(w owned) bool { return w.room == ofText(t) }) {
			words = append(words, owned{ofText(t), -1, t.Text}) // a node's name
		}
	}
	page := room{0, 0, l.natural.X, l.natural.Y}
	for i, w := range words {
		if w.left < page.left || w.right > page.right || w.top < page.top || w.bottom > page.bottom {
			t.Errorf("%q leaves the drawing: %v of %v", w.what, w.room, page)
		}
		for _, v := range words[i+1:] {
			if w.meets(v.room) {
				t.Errorf("%q and %q overlap: %v, %v", w.what, v.what, w.room, v.room)
			}
		}
		for _, b := range bodies {
			if w.cell != b.cell && w.meets(b.room) {
				t.Errorf("%q lies on %s: %v, %v", w.what, b.what, w.room, b.room)
			}
		}
	}
	for i, a := range bodies {
		if a.left < page.left || a.right > page.right || a.top < page.top || a.bottom > page.bottom {
			t.Errorf("%s leaves the drawing: %v of %v", a.what, a.room, page)
		}
		for _, b := range bodies[i+1:] {
			if a.meets(b.room) {
				t.Errorf("%s and %s overlap: %v, %v", a.what, b.what, a.room, b.room)
			}
		}
	}
	for _, w := range lines {
		for k := range w.Points[1:] {
			p, q := w.Points[k], w.Points[k+1]
			stretch := room{min(p.X, q.X) - 0.5, min(p.Y, q.Y) - 0.5, max(p.X, q.X) + 0.5, max(p.Y, q.Y) + 0.5}
			for _, v := range append(slices.Clone(words), bodies...) {
				if v.what != "terminal" && stretch.meets(v.room) {
					t.Errorf("the wire from %v to %v runs through %q at %v", p, q, v.what, v.room)
				}
			}
		}
	}
	for _, c := range dots {
		dot := room{c.Centre.X - c.R, c.Centre.Y - c.R, c.Centre.X + c.R, c.Centre.Y + c.R}
		for _, v := range words {
			if dot.meets(v.room) {
				t.Errorf("the dot at %v lies on %q", c.Centre, v.what)
			}
		}
	}
}

func TestReadyCircuits(t *testing.T) {
	for _, name := range circuits {
		t.Run(name, func(t *testing.T) { check(t, read(t, name)) })
	}
}

// What a practitioner looks for first: panel left, battery right, plus on top, rails straight, and nothing that crosses without need.
func TestReadsAtAGlance(t *testing.T) {
	for _, name := range circuits {
		c := read(t, name)
		l := newLayout(c)
		at := map[string]figure.Point{}
		for _, cell := range l.cells {
			p := l.point(l.places(l.netlist, cell)[0].node)
			if cell.device < 0 {
				at[l.names[cell.net]] = p
			} else {
				at[l.devices[cell.device].name] = p
			}
		}
		if at["pv+"].Y != at["bat+"].Y || at["pv-"].Y != at["bat-"].Y || at["pv+"].Y >= at["pv-"].Y {
			t.Errorf("%s: the rails are not level, or plus is not on top: %v", name, at)
		}
		for part, p := range at {
			if p.X < at["panel"].X || p.X > at["battery"].X || part != "battery" && part != "panel" && (p.X < at["pv+"].X || p.X > at["bat+"].X) {
				t.Errorf("%s: %s is not between panel and battery", name, part)
			}
		}
		for _, steps := range [][]step{l.plus, l.minus} {
			for k, s := range steps[1:] {
				if a, b := at[l.devices[steps[k].device].name], at[l.devices[s.device].name]; a.X >= b.X || a.Y != b.Y {
					t.Errorf("%s: %v and %v are not one after the other on their rail", name, a, b)
				}
			}
		}
		if n, most := l.crossings(), map[string]int{"odd": 2}[name]; n > most {
			t.Errorf("%s: %d crossings, want at most %d", name, n, most)
		}
	}
}

// crossings counts nodes where two nets cross.
func (l *layout) crossings() int {
	sum := 0
	for node := range l.h {
		nets := map[int]bool{}
		for dir := range 4 {
			if owner, _ := l.edge(node, dir); owner != nil && *owner >= 0 {
				nets[*owner] = true
			}
		}
		sum += b2i(len(nets) > 1)
	}
	return sum
}

// The test of the test: a drawing that is wrong is seen to be wrong.
func TestReadBackSees(t *testing.T) {
	at := func(x, y float64) figure.Point { return figure.Point{X: x, Y: y} }
	line := func(p ...figure.Point) figure.Line { return figure.Line{Points: p} }
	cross := []figure.Line{line(at(0, 5), at(10, 5)), line(at(5, 0), at(5, 10))}
	pins, bare := []figure.Point{at(0, 5), at(5, 0)}, make([]bool, 2)
	if g, err := readBack(cross, nil, pins, bare); err != nil || g.of(2) == g.of(3) {
		t.Errorf("a crossing joins: %v", err)
	}
	if g, err := readBack(cross, []figure.Circle{{Centre: at(5, 5), R: 2}}, pins, bare); err != nil || g.of(2) != g.of(3) {
		t.Errorf("a dot does not join: %v", err)
	}
	for name, lines := range map[string][]figure.Line{
		"on each other":  {line(at(0, 0), at(10, 0)), line(at(5, 0), at(20, 0))},
		"no dot":         {line(at(0, 0), at(10, 0)), line(at(5, 0), at(5, 9))},
		"bend on a wire": {line(at(0, 0), at(10, 0)), line(at(5, 9), at(5, 0), at(5, -9), at(7, -9)), line(at(2, 3), at(5, 3), at(5, 12))},
		"three ends":     {line(at(0, 0), at(5, 0)), line(at(5, 0), at(5, 5)), line(at(5, 0), at(9, 0))},
		"slanted":        {line(at(0, 0), at(3, 4))},
	} {
		if _, err := readBack(lines, nil, nil, nil); err == nil {
			t.Errorf("%s: passed", name)
		}
	}
}

var anyKinds = []string{"resistor", "wire", "track", "contact", "diode", "schottky", "mosfet", "p-mosfet", "fuse", "clamp", "capacitor", "thermistor",
	"reference", "regulator", "control", "lamp", "panel", "battery", "relay", "transformer of unusual make", ""}

// anyCircuit is a random netlist: terminals may be missing, nodes lead nowhere, parts stand alone or have both ends on one node.
func anyCircuit(s *numeric.Stream, parts int) Circuit {
	nodes := []string{"pv+", "pv-", "bat+", "bat-", "load+", "load-"}[:s.Intn(7)]
	for i := range 1 + s.Intn(2+parts) {
		nodes = append(nodes, fmt.Sprint("n", i))
	}
	var c Circuit
	for i := range parts {
		p := Part{Name: fmt.Sprint("x", i), Kind: anyKinds[s.Intn(len(anyKinds))], Label: []string{"", "10 kΩ", "a long value of 3.3 kΩ ±1 %"}[s.Intn(3)], Place: []string{"case", "lead", "outside", ""}[s.Intn(4)]}
		ends := 2
		if p.Kind == "mosfet" || p.Kind == "p-mosfet" {
			ends = 3
		} else if s.Intn(12) == 0 {
			ends = s.Intn(7)
		}
		for range ends {
			node := nodes[s.Intn(len(nodes))]
			if s.Intn(40) == 0 {
				node = ""
			}
			p.Ends = append(p.Ends, End{Node: node})
		}
		c.Parts = append(c.Parts, p)
		if s.Intn(10) == 0 {
			c.Marks = append(c.Marks, Mark{Part: p.Name, Text: "1.8 times its limit"})
		}
	}
	return c
}

func TestAnyCircuit(t *testing.T) {
	for i := range 300 {
		s := numeric.NewStream(11, uint64(i))
		c := anyCircuit(&s, 1+i%40)
		t.Run(fmt.Sprint(i), func(t *testing.T) { check(t, c) })
	}
}
