package product

import (
	"reflect"
	"strings"
	"time"
	"unicode"

	"hindwatt/internal/product/tree"
)

// decoder turns nodes into the schema's types and gathers what is wrong.
type decoder struct {
	faults *tree.Faults
	today  time.Time   // the day that records may not be long after
	names  []reference // to be checked when everything is decoded
	money  []sum
	memory *memory // of cells of records; nil elsewhere
}

// reference is a name that something else in the folder must bear.
type reference struct {
	node *tree.Node
	key  string
	to   string
}

// sum is an amount of money, whose currency must be known.
type sum struct {
	node     *tree.Node
	key      string
	currency string
}

// place is where a value is being decoded: its spec and its dotted key.
type place struct {
	spec *spec
	key  string
	file string
}

// value is what a single value or a list implements; a table is any other struct.
type value interface {
	decode(d *decoder, n *tree.Node, at place)
}

type based interface{ base() *Leaf }

// mark notes where a value stands, or for n == nil where it would.
func (l *Leaf) mark(n *tree.Node, file, key string) {
	if n == nil {
		l.Origin = Origin{at: &where{tree.NewFile(file, nil), key}}
		return
	}
	l.Origin = Origin{at: &where{n.File, key}}
	l.stand(n)
}

// stand is mark for a value whose file and key are noted already.
func (l *Leaf) stand(n *tree.Node) {
	l.Origin.start, l.Origin.end = uint32(n.Span.Start)+1, uint32(n.Span.End)+1
	if n.Kind != tree.Table && n.Kind != tree.Array {
		l.Text = n.Text
	}
}

// table decodes a table into the struct v; for n == nil everything in it is not set.
// outer is the spec of the table's own key, nil at a file's top.
func (d *decoder) table(n *tree.Node, v reflect.Value, at place) {
	if leaf, ok := v.Addr().Interface().(based); ok {
		leaf.base().mark(n, at.file, at.key)
	}
	if n != nil && n.Kind != tree.Table {
		d.faults.Add(n.Fault(at.key, "is "+n.Kind.String(), "want a table with "+listed(keysOf(v.Type()))))
		n = nil
	}
	if n != nil {
		at.file = n.File.Name
	}
	p := planOf(v.Type())
	d.fields(n, v, at)
	known := keysOf(v.Type())
	if len(p.kinds) > 0 && n != nil {
		known = append(known, d.kind(n, v, at)...)
	}
	d.unknown(n, known, at)
}

// fields decodes every key of the schema.
func (d *decoder) fields(n *tree.Node, v reflect.Value, at place) {
	p := planOf(v.Type())
	for i := range p.fields {
		s := &p.fields[i]
		if strings.HasPrefix(s.is, "the gauge's") {
			own := *s
			own.dim = at.spec.dim
			if s.is == "the gauge's step" {
				own.dim.Point = false
			}
			s = &own
		}
		d.any(n.Child(s.key), v.Field(s.index), place{s, join(at.key, s.key), at.file})
	}
}

// any decodes one value, list or table into v.
func (d *decoder) any(n *tree.Node, v reflect.Value, at place) {
	if n != nil && n.Path != "" {
		at.key = n.Path
	}
	into := v.Addr().Interface()
	single, ok := into.(value)
	if !ok {
		d.table(n, v, at)
		return
	}
	into.(based).base().mark(n, at.file, at.key)
	if n != nil || absent(into) {
		single.decode(d, n, at)
	}
}

// absent reports whether a value has something inside that must learn its key even
// when it is not set.
func absent(into any) bool {
	_, ok := into.(*Trim)
	return ok
}

// kind decodes the keys that belong to the kind of a part, and returns them.
func (d *decoder) kind(n *tree.Node, v reflect.Value, at place) (known []string) {
	p := planOf(v.Type())
	kind := n.Child("kind")
	if kind == nil {
		words := p.fields[p.byKey["kind"]].words
		d.faults.Add(n.FaultAtKey(at.key, "has no kind", "want kind = "+listed(words)))
		return childKeys(n) // nothing can be said of the rest
	}
	i, ok := p.kinds[kind.Text]
	if !ok || kind.Kind != tree.String {
		return childKeys(n)
	}
	inner := reflect.New(v.Field(i).Type().Elem())
	v.Field(i).Set(inner)
	d.fields(n, inner.Elem(), at)
	return keysOf(inner.Elem().Type())
}

func childKeys(n *tree.Node) (keys []string) {
	for _, c := range n.Children {
		keys = append(keys, c.Key)
	}
	return keys
}

// unknown reports the keys of a table that the schema does not have.
func (d *decoder) unknown(n *tree.Node, known []string, at place) {
	if n == nil {
		return
	}
	for _, c := range n.Children {
		if contains(known, c.Key) || d.faults.Full(c.File.Name) {
			continue
		}
		want := ""
		switch near := tree.Nearest(c.Key, known); {
		case near != "":
			want = "did you mean " + near
		case otherKind(c.Key) != "" && at.file == partsFile:
			want = "it is a key of a " + otherKind(c.Key)
		case belongs(c.Key, at) != "":
			want = "it belongs in " + belongs(c.Key, at)
		default:
			want = "want " + listed(known)
		}
		d.faults.Add(c.FaultAtKey(join(at.key, c.Key), "unknown key", want))
	}
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

func keysOf(t reflect.Type) (keys []string) {
	for _, s := range planOf(t).fields {
		keys = append(keys, s.key)
	}
	return keys
}

func join(key, part string) string {
	if key == "" {
		return part
	}
	return key + "." + part
}

const maxListed = 24

// listed joins words for a message: "a, b or c".
func listed(words []string) string {
	if len(words) > maxListed {
		return strings.Join(words[:maxListed], ", ") + ", …"
	}
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// plainName reports whether a name is made of letters, digits and "-".
func plainName(name string) bool {
	for _, r := range name {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '-' {
			return false
		}
	}
	return name != ""
}
