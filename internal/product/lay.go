package product

import (
	"reflect"
	"strings"

	"hindwatt/internal/product/tree"
)

// act is what a variant does at a path.
type act int

const (
	remove act = iota // what must be there
	set               // what is there, or a key of the schema that has no value yet
	add               // what must not be there
)

// above is the schema above the files: what a path begins with.
type above struct {
	Product       Main              `key:"product"`
	Parts         partsDocument     `key:"parts"`
	Promises      promisesDocument  `key:"promises"`
	Production    Production        `key:"production"`
	Installations Map[Installation] `key:"installations"`
}

// change returns top with a node put at a path; a nil node takes it away.
func change(top *tree.Node, path string, node *tree.Node, do act) (*tree.Node, *Error) {
	parts := strings.Split(path, ".")
	if fault := addressable(top, parts); fault != nil {
		return nil, fault
	}
	changed, fault := changeIn(top, reflect.TypeFor[above](), parts, node, do)
	if fault != nil && fault.Problem == "" {
		fault.Problem = path + " is not there"
		switch {
		case do == add:
			fault.Problem, fault.Want = path+" is there already", "put it under [set]"
		case fault.Want != "":
		case do == set:
			fault.Want = "put it under [add]"
		default:
			fault.Want = "leave it out of remove"
		}
	}
	return changed, fault
}

// addressable checks that a path begins with a file and goes into it.
func addressable(top *tree.Node, parts []string) *Error {
	least := 2
	if parts[0] == "installations" {
		least = 3
	}
	first := top.Child(parts[0])
	if first == nil || len(parts) < least {
		files := childKeys(top)
		want := "want a path such as product.sense.bits, which begins with " + listed(files)
		if near := tree.Nearest(parts[0], files); first == nil && near != "" {
			want = "did you mean " + near + "; a path begins with its file"
		}
		return &Error{Problem: strings.Join(parts, ".") + " leads nowhere", Want: want}
	}
	return nil
}

// changeIn changes a table that is of a type of the schema; nil if it is not known.
func changeIn(n *tree.Node, of reflect.Type, parts []string, node *tree.Node, do act) (*tree.Node, *Error) {
	child := n.Child(parts[0])
	inner, fixed := within(of, parts[0])
	if child == nil && (do == remove || do == set && !fixed) {
		return nil, &Error{Want: nearby(n, of, parts[0])}
	}
	if len(parts) == 1 {
		if child != nil && do == add {
			return nil, &Error{}
		}
		if node == nil {
			return n.With(parts[0], nil), nil
		}
		return n.With(parts[0], node.Named(parts[0])), nil
	}
	switch {
	case child == nil:
		child = tree.NewTable(parts[0], n.File)
	case child.Kind != tree.Table:
		return nil, &Error{Problem: "the path goes on behind " + parts[0] + ", which is no table", Want: "want a path to a value, or to a table as a whole"}
	}
	changed, fault := changeIn(child, inner, parts[1:], node, do)
	if fault != nil {
		return nil, fault
	}
	return n.With(parts[0], changed), nil
}

// within returns the type behind a key of a table, and whether the schema has the key;
// it does not have the names of entries, which are free.
func within(of reflect.Type, key string) (inner reflect.Type, fixed bool) {
	if of == nil {
		return nil, false
	}
	if named, ok := reflect.New(of).Interface().(interface{ entry() reflect.Type }); ok {
		return named.entry(), false
	}
	if of.Kind() != reflect.Struct {
		return nil, false
	}
	p := planOf(of)
	if i, ok := p.byKey[key]; ok {
		return of.Field(p.fields[i].index).Type, true
	}
	for _, i := range p.kinds {
		if contains(keysOf(of.Field(i).Type.Elem()), key) {
			return nil, true // whether its kind has it is seen when the part is decoded
		}
	}
	return nil, false
}

// nearby offers a key that is there, or that the schema has.
func nearby(n *tree.Node, of reflect.Type, key string) string {
	known := childKeys(n)
	if of != nil && of.Kind() == reflect.Struct {
		known = append(known, keysOf(of)...)
	}
	if near := tree.Nearest(key, known); near != "" && near != key {
		return "did you mean " + near
	}
	return ""
}

// A Put is a value in the place of the one at a path.
type Put struct {
	Path   string // as [set] of a variant takes it: "product.sense.top"
	Source string // in TOML: `"10 kΩ"`, `12`
	At     *tree.Node
}

// tried is the name of the file that values stand in which no file holds.
const tried = "tried"

// node is the value as if it stood in a file.
func (p Put) node() (*tree.Node, error) {
	if p.At != nil {
		return p.At, nil
	}
	var faults tree.Faults
	n := tree.ReadTOML(tree.NewFile(tried, []byte("value = "+p.Source)), &faults).Child("value")
	if len(faults.List) > 0 || n == nil {
		return nil, &Error{File: tried, Key: p.Path, Value: p.Source, Problem: "is no value of TOML", Want: `want one such as "27.3 V" or 12`}
	}
	return n, nil
}

// Lay returns the product under a variant, "" for none, with some values put in the place of those that it has, as [set] of a
// further variant would, checked likewise; nothing is read from the disk. The errors are Errors or an *Error; a value that stands in
// a file (Put.At) is told of there. The records and all else of the folder are shared.
func (f *Folder) Lay(variant string, puts ...Put) (*Product, error) {
	p, err := f.Resolve(variant)
	if err != nil || len(puts) == 0 {
		return p, err
	}
	faults := &tree.Faults{}
	top, _ := f.laid(p.Variant, faults)
	for _, put := range puts {
		n, err := put.node()
		if err != nil {
			return nil, err
		}
		next, fault := change(top, put.Path, n.Laid("", put.Path), set)
		if fault != nil {
			at := n.Fault(put.Path, fault.Problem, fault.Want)
			return nil, at
		}
		top = next
	}
	laid := f.decode(top, faults, nil)
	if len(faults.List) > 0 {
		return nil, faults.List.Sorted()
	}
	laid.Variant, laid.Revision, laid.MadeFrom, laid.FromSerial = p.Variant, p.Revision, p.MadeFrom, p.FromSerial
	return laid, nil
}
