package calc

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2/unstable"

	"hindwatt/internal/quantity"
)

// networkKey is a value that a kind of part has.
type networkKey struct {
	name     string
	dim      quantity.Dimension
	optional bool
	low      float64 // least value
	above    bool    // low itself is refused
	want     string
}

// networkKinds has the keys of each kind, beside kind, from and to.
var networkKinds = []struct {
	name string
	keys []networkKey
}{
	{"resistor", []networkKey{{"value", quantity.Resistance, false, 0, false, "want a resistance of 0 or more such as 10 ohm"}}},
	{"source", []networkKey{{"value", quantity.Voltage, false, -1e9, false, "want a voltage such as 12 V"}}},
	{"battery", []networkKey{
		{"value", quantity.Voltage, false, -1e9, false, "want a voltage such as 12.6 V"},
		{"resistance", quantity.Resistance, false, 0, false, "want a resistance of 0 or more such as 20 mohm"},
	}},
	{"current", []networkKey{{"value", quantity.Current, false, -1e9, false, "want a current such as 3 A"}}},
	{"diode", []networkKey{
		{"saturation", quantity.Current, false, 0, true, "want a current above 0 such as 1 nA"},
		{"emission", quantity.Voltage, false, 1e-3, false, "want n·kT/q, a voltage such as 46 mV"},
		{"series", quantity.Resistance, true, 0, false, "want a resistance of 0 or more such as 10 mohm"},
		{"breakdown", quantity.Voltage, true, 0, true, "want a voltage above 0 such as 45 V"},
	}},
	{"panel", []networkKey{
		{"photocurrent", quantity.Current, false, 0, false, "want a current of 0 or more such as 5 A"},
		{"saturation", quantity.Current, false, 0, true, "want a current above 0 such as 1 nA"},
		{"emission", quantity.Voltage, false, 1e-3, false, "want n·Ns·kT/q, a voltage such as 0.97 V"},
		{"series", quantity.Resistance, true, 0, false, "want a resistance of 0 or more such as 0.2 ohm"},
		{"shunt", quantity.Resistance, true, 0, true, "want a resistance above 0 such as 180 ohm"},
	}},
}

// networkPart is one table of the file.
type networkPart struct {
	name, place string // place is FILE:LINE:COLUMN of its heading
	kind        int    // of networkKinds
	from, to    string
	values      []quantity.Quantity // in the order of the kind's keys; zero where absent
	given       []bool

	entries []networkEntry
}

// networkEntry is one line of a table.
type networkEntry struct {
	key, text, place string
	quoted           bool
}

// networkReader reads a file of parts.
type networkReader struct {
	name   string
	data   []byte
	parts  []*networkPart
	faults Errors
}

// readNetwork returns the parts of a file, or all its faults, each as FILE:LINE:COLUMN: part.key.
func readNetwork(name string, data []byte) ([]*networkPart, error) {
	r := &networkReader{name: name, data: data}
	if !utf8.Valid(data) {
		return nil, Errors{{Key: name, Problem: "not UTF-8 text", Want: "want a TOML file"}}
	}
	r.scan()
	for _, p := range r.parts {
		r.understand(p)
	}
	switch {
	case len(r.faults) > maxFaults:
		return nil, r.faults[:maxFaults]
	case len(r.faults) > 0:
		return nil, r.faults
	case len(r.parts) == 0:
		return nil, Errors{{Key: name + ":1:1", Problem: "no parts", Want: wantPart}}
	}
	return r.parts, nil
}

const wantPart = `want parts such as [r1] kind="resistor" value="10 ohm" from="a" to="gnd"`

// scan cuts the file into parts and entries.
func (r *networkReader) scan() {
	var parser unstable.Parser
	data := r.data[:len(r.data):len(r.data)]
	parser.Reset(data)
	for parser.NextExpression() {
		switch e := parser.Expression(); e.Kind {
		case unstable.Table, unstable.ArrayTable:
			r.heading(e)
		case unstable.KeyValue:
			r.entry(e)
		}
	}
	var syntax *unstable.ParserError
	if errors.As(parser.Error(), &syntax) {
		at := min(len(data), max(0, cap(data)-cap(syntax.Highlight)))
		r.fault(r.position(at), "", "", "not TOML: "+syntax.Message, wantPart)
	}
}

func (r *networkReader) heading(e *unstable.Node) {
	name, at := dottedKey(e)
	p := &networkPart{name: name, place: r.position(at), kind: -1}
	switch {
	case e.Kind == unstable.ArrayTable || strings.Contains(name, "."):
		r.fault(p.place, name, "", "a table within another, or a list", wantPart)
	case slices.ContainsFunc(r.parts, func(o *networkPart) bool { return o.name == name }):
		r.fault(p.place, name, "", "a second part of this name", "want each once")
	}
	r.parts = append(r.parts, p)
}

func (r *networkReader) entry(e *unstable.Node) {
	key, at := dottedKey(e)
	if len(r.parts) == 0 {
		r.fault(r.position(at), key, "", "stands in no part", wantPart)
		return
	}
	p := r.parts[len(r.parts)-1]
	start := at + bytes.IndexByte(r.data[at:], '=') + 1
	for start < len(r.data) && (r.data[start] == ' ' || r.data[start] == '\t') {
		start++
	}
	v := e.Value()
	entry := networkEntry{key, string(v.Data), r.position(start), v.Kind == unstable.String}
	if slices.ContainsFunc(p.entries, func(o networkEntry) bool { return o.key == key }) {
		r.fault(r.position(at), p.name+"."+key, "", "given twice", "want each key once")
		return
	}
	p.entries = append(p.entries, entry)
}

// dottedKey returns a key and where it begins.
func dottedKey(e *unstable.Node) (name string, at int) {
	at = -1
	var parts []string
	for it := e.Key(); it.Next(); {
		if at < 0 {
			at = int(it.Node().Raw.Offset)
		}
		parts = append(parts, string(it.Node().Data))
	}
	return strings.Join(parts, "."), max(at, 0)
}

// understand reads the entries of a part.
func (r *networkReader) understand(p *networkPart) {
	kind, ok := p.entry("kind")
	var names []string
	for i, k := range networkKinds {
		names = append(names, k.name)
		if ok && kind.text == k.name {
			p.kind = i
		}
	}
	want := "want " + strings.Join(names, ", ")
	switch {
	case !ok:
		r.fault(p.place, p.name+".kind", "", "missing", want)
		return
	case p.kind < 0:
		r.faultHint(kind.place, p.name+".kind", kind.text, "no kind of part", want, nearest(kind.text, names))
		return
	}
	keys := networkKinds[p.kind].keys
	p.values, p.given = make([]quantity.Quantity, len(keys)), make([]bool, len(keys))
	known := []string{"kind", "from", "to"}
	for i, k := range keys {
		known = append(known, k.name)
		r.value(p, i, k)
	}
	p.from, p.to = r.node(p, "from"), r.node(p, "to")
	for _, e := range p.entries {
		if !slices.Contains(known, e.key) {
			r.faultHint(e.place, p.name+"."+e.key, e.text, "no key of a "+kind.text, "want "+strings.Join(known, ", "), nearest(e.key, known))
		}
	}
}

func (p *networkPart) entry(key string) (networkEntry, bool) {
	i := slices.IndexFunc(p.entries, func(e networkEntry) bool { return e.key == key })
	if i < 0 {
		return networkEntry{}, false
	}
	return p.entries[i], true
}

const gnd = "gnd" // the node of 0 V

// node reads the name of a node.
func (r *networkReader) node(p *networkPart, key string) string {
	e, ok := p.entry(key)
	switch {
	case !ok:
		r.fault(p.place, p.name+"."+key, "", "missing", `want the node of that terminal, such as "a" or "gnd"`)
	case !e.quoted || strings.TrimSpace(e.text) == "":
		r.fault(e.place, p.name+"."+key, e.text, "no name of a node", `want a text such as "a" or "gnd"`)
	case strings.EqualFold(strings.TrimSpace(e.text), gnd) && e.text != gnd:
		r.fault(e.place, p.name+"."+key, e.text, "another node than gnd by its case or a blank", `want "gnd"`)
	}
	return e.text
}

// value reads value i of a part.
func (r *networkReader) value(p *networkPart, i int, k networkKey) {
	e, ok := p.entry(k.name)
	switch {
	case !ok && !k.optional:
		r.fault(p.place, p.name+"."+k.name, "", "missing", k.want)
		return
	case !ok:
		return
	case !e.quoted:
		r.fault(e.place, p.name+"."+k.name, e.text, "no text in quotes", k.want)
		return
	}
	q, err := quantity.ParseAs(e.text, k.dim)
	if err != nil {
		fault := inKey(e.place+": "+p.name+"."+k.name, e.text, err)
		fault.Want = k.want
		r.faults = append(r.faults, fault)
		return
	}
	if q.Low < k.low || k.above && q.Low <= k.low || q.Value < k.low {
		r.fault(e.place, p.name+"."+k.name, e.text, "not a possible value", k.want)
		return
	}
	p.values[i], p.given[i] = q, true
}

func (r *networkReader) fault(place, key, value, problem, want string) {
	r.faultHint(place, key, value, problem, want, "")
}

func (r *networkReader) faultHint(place, key, value, problem, want, hint string) {
	if key != "" {
		place += ": " + key
	}
	r.faults = append(r.faults, &Error{Key: place, Value: value, Problem: problem, Want: want, Hint: hint})
}

// position writes FILE:LINE:COLUMN of an offset, the column in characters.
func (r *networkReader) position(at int) string {
	before := r.data[:min(at, len(r.data))]
	line := bytes.Count(before, []byte("\n")) + 1
	column := utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:]) + 1
	return fmt.Sprintf("%s:%d:%d", r.name, line, column)
}
