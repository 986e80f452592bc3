package starter

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
)

// readyCircuits are the blocks of docs/folder.md, "Ready circuits", by name.
func readyCircuits(t *testing.T) (names []string, texts map[string]string) {
	t.Helper()
	doc, err := os.ReadFile("../../docs/folder.md")
	must(t, err)
	_, section, found := strings.Cut(string(doc), "\n## Ready circuits\n")
	if !found {
		t.Fatal("docs/folder.md has no section Ready circuits")
	}
	section, _, _ = strings.Cut(section, "\n## ")
	texts = map[string]string{}
	for _, part := range strings.Split(section, "\n### ")[1:] {
		name, rest, _ := strings.Cut(part, "\n")
		var block strings.Builder
		for line := range strings.Lines(rest) {
			if code, indented := strings.CutPrefix(line, "    "); indented {
				block.WriteString(code)
			}
		}
		names, texts[name] = append(names, name), block.String()
	}
	return names, texts
}

// TestCircuitsInDoc holds the first of the ready circuits of docs/folder.md to those that Write copies, and each to a row of its table.
func TestCircuitsInDoc(t *testing.T) {
	names, texts := readyCircuits(t)
	if len(names) != 9 {
		t.Errorf("docs/folder.md shows %d circuits, want 9", len(names))
	}
	for i, c := range Circuits() {
		if names[i] != c.Name {
			t.Errorf("docs/folder.md has no circuit %s", c.Name)
		}
		if want, err := circuitText(c.Name); err != nil || strings.TrimSpace(texts[c.Name]) != strings.TrimSpace(want) {
			t.Errorf("docs/folder.md: %s differs from what Write copies (%v):\n%s", c.Name, err, texts[c.Name])
		}
	}
	doc, err := os.ReadFile("../../docs/folder.md")
	must(t, err)
	for _, name := range names {
		if !strings.Contains(string(doc), "\n| `"+name+"` |") {
			t.Errorf("docs/folder.md: the table of circuits has no row of %s", name)
		}
	}
}

// component is one entry of a ready circuit.
type component struct {
	Part, Role, From, To, Drain, Source, Gate, In string
}

func circuitOf(t *testing.T, name string) map[string]component {
	t.Helper()
	text, err := circuitText(name)
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Circuit map[string]component }
	decoder := toml.NewDecoder(strings.NewReader(text)).DisallowUnknownFields()
	if err := decoder.Decode(&file); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return file.Circuit
}

// paths are the ways that a large current can take: node to nodes.
type paths map[string][]string

func (p paths) way(from, to string)  { p[from] = append(p[from], to) }
func (p paths) both(from, to string) { p.way(from, to); p.way(to, from) }

// reach tells whether a current can flow from one node to another.
func (p paths) reach(from, to string) bool {
	seen, next := map[string]bool{from: true}, []string{from}
	for len(next) > 0 {
		at := next[0]
		next = next[1:]
		if at == to {
			return true
		}
		for _, n := range p[at] {
			if !seen[n] {
				seen[n] = true
				next = append(next, n)
			}
		}
	}
	return false
}

// conduction lists the ways through a circuit with its charging switches on or off and the load
// cut off. Resistors, regulator and control carry milliamperes and are left out.
func conduction(circuit map[string]component, on bool) paths {
	p := paths{}
	for _, c := range circuit {
		switch c.Part {
		case "fuse", "track":
			p.both(c.From, c.To)
		case "schottky":
			p.way(c.From, c.To)
		case "n-mosfet": // its body diode conducts from source to drain
			p.way(c.Source, c.Drain)
			if on && c.Role != "load-switch" {
				p.way(c.Drain, c.Source)
			}
		case "p-mosfet": // from drain to source
			p.way(c.Drain, c.Source)
			if on && c.Role != "load-switch" {
				p.way(c.Source, c.Drain)
			}
		}
	}
	return p
}

// TestCircuitsStop derives from the body diodes alone what each circuit does.
//
// The table was worked out by hand from the direction of each junction, as any textbook on power
// switches gives it: the body diode of an n-channel mosfet conducts from source to drain.
func TestCircuitsStop(t *testing.T) {
	type ends struct {
		charges           [2]bool // charging current can flow: switches off, on
		panelShort        [2]bool // the battery feeds a shorted panel
		batteryReversed   bool    // a reversed battery is shorted, switches off
		panelReversed     bool    // a reversed panel drives current, battery connected, switches off
		switchShortsPanel bool    // switches on
	}
	want := map[string]ends{
		"series-negative":      {charges: [2]bool{false, true}},
		"series-negative-lead": {charges: [2]bool{false, true}},
		"series-positive":      {charges: [2]bool{false, true}},
		"shunt":                {charges: [2]bool{true, true}, batteryReversed: true, panelReversed: true, switchShortsPanel: true},
		"back-to-back":         {charges: [2]bool{false, true}, panelShort: [2]bool{false, true}},
	}
	for name, w := range want {
		circuit := circuitOf(t, name)
		var got ends
		for i, on := range []bool{false, true} {
			p := conduction(circuit, on)
			got.charges[i] = p.reach("pv+", "bat+") && p.reach("bat-", "pv-")
			if p.reach("bat+", "load+") && p.reach("load-", "bat-") {
				t.Errorf("%s: the load can't be cut off", name)
			}
			p.both("pv+", "pv-")
			got.panelShort[i] = p.reach("bat+", "bat-")
		}
		off := conduction(circuit, false)
		got.batteryReversed = off.reach("bat-", "bat+")
		off.both("bat+", "bat-")
		got.panelReversed = off.reach("pv-", "pv+")
		on := conduction(circuit, true)
		got.switchShortsPanel = on.reach("pv+", "pv-")
		if on.reach("bat+", "bat-") {
			t.Errorf("%s: the switch shorts the battery", name)
		}
		if got != w {
			t.Errorf("%s:\n got %+v\nwant %+v", name, got, w)
		}
	}
	if len(want) != len(Circuits()) {
		t.Errorf("%d circuits looked at, want %d", len(want), len(Circuits()))
	}
}

// TestCircuitsWhole sees that no node hangs loose and that all six terminals are used.
func TestCircuitsWhole(t *testing.T) {
	for _, c := range Circuits() {
		uses := map[string]int{}
		for name, x := range circuitOf(t, c.Name) {
			nodes := []string{x.From, x.To}
			if strings.HasSuffix(x.Part, "mosfet") {
				nodes = []string{x.Drain, x.Source, x.Gate}
			}
			for _, node := range nodes {
				if node == "" {
					t.Errorf("%s: %s has an end without a node", c.Name, name)
				}
				uses[node]++
			}
			if !slices.Contains([]string{"case", "lead"}, x.In) {
				t.Errorf("%s: %s is in %q", c.Name, name, x.In)
			}
		}
		for _, terminal := range []string{"pv+", "pv-", "bat+", "bat-", "load+", "load-"} {
			if uses[terminal] == 0 {
				t.Errorf("%s: nothing reaches %s", c.Name, terminal)
			}
			delete(uses, terminal)
		}
		for node, n := range uses {
			if n < 2 {
				t.Errorf("%s: node %s has one connection", c.Name, node)
			}
		}
	}
}
