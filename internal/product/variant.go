package product

import (
	"reflect"
	"slices"
	"strings"

	"hindwatt/internal/product/tree"
)

// variantDocument is variants/NAME.toml without its layers.
type variantDocument struct {
	Leaf
	Why        Text       `key:"why"`
	On         Name       `key:"on" to:"variant"`
	MadeFrom   Date       `key:"made_from"`
	MadeUntil  Date       `key:"made_until"`
	FromSerial Text       `key:"from_serial"`
	Revision   Text       `key:"revision"`
	Effect     Effect     `key:"effect"`
	Remove     List[Text] `key:"remove"`
	Set        Layer      `key:"set"`
	Add        Layer      `key:"add"`
}

// Variant is variants/NAME.toml: changes laid over the product. One with MadeFrom is
// a revision that was really made.
type Variant struct {
	Name string
	variantDocument
}

// Layer is [set] or [add] of a variant.
type Layer struct {
	Leaf
	Changes []Laid // in the file's order
}

// Laid is one entry of a layer: a dotted path, and what stands there.
type Laid struct {
	Path string
	Leaf
	node *tree.Node
}

func (l *Layer) decode(d *decoder, n *tree.Node, at place) {
	if n.Kind != tree.Table {
		d.faults.Add(n.Fault(at.key, "is "+n.Kind.String(), `want a table such as "product.sense.bits" = 12`))
		return
	}
	l.walk(d, n, "", at)
}

// walk takes "product.sense.bits" = 12 and product.sense.bits = 12 alike.
func (l *Layer) walk(d *decoder, n *tree.Node, path string, at place) {
	for _, c := range n.Children {
		to, inner := join(path, c.Key), at
		inner.key = join(at.key, tree.KeyPart(c.Key))
		if c.Dotted() {
			l.walk(d, c, to, inner)
			continue
		}
		laid := Laid{Path: to, node: c}
		laid.mark(c, at.file, inner.key)
		l.Changes = append(l.Changes, laid)
	}
}

// variants reads the heads of all variants and checks what they are laid on.
func (r *folderReader) variants() {
	next, leaves := map[string][]string{}, map[string]Leaf{}
	d := &decoder{faults: r.faults}
	for _, file := range r.list("variants", ".toml") {
		n := r.tree(file)
		v := &Variant{Name: r.name(file, ".toml")}
		d.table(n, reflect.ValueOf(&v.variantDocument).Elem(), place{file: file})
		r.folder.Variants = append(r.folder.Variants, v)
		if v.On.Set() {
			next[v.Name] = []string{v.On.Text}
		}
		leaves[v.Name] = v.On.Leaf
		if v.MadeFrom.Set() && v.MadeUntil.Set() && v.MadeUntil.Day.Before(v.MadeFrom.Day) {
			d.faults.Add(v.MadeUntil.Fault("is before made_from", "want "+v.MadeFrom.Text+" or later"))
		}
	}
	for _, name := range d.names {
		d.known(name, &Product{Folder: r.folder}, nil)
	}
	d.circle(next, leaves, "variants are laid on each other in a circle", "want one without on")
}

// changes reads changes.toml. A change is a variant that is no file of its own, and is laid over product.toml.
func (r *folderReader) changes() {
	n := r.tree(changesFile)
	all := &changesDocument{}
	d := &decoder{faults: r.faults}
	d.table(n, reflect.ValueOf(all).Elem(), place{file: changesFile})
	for name, c := range all.Changes.All() {
		if r.folder.variant(name) != nil {
			r.faults.Add(c.Fault("a variant is called so too", "want another name"))
			continue
		}
		if !c.Remove.Set() && !c.Set.Set() && !c.Add.Set() && !c.Effect.Set() {
			r.faults.Add(c.Fault("changes nothing", "want set, add, remove or effect"))
			continue
		}
		v := &Variant{Name: name}
		v.Leaf, v.Why, v.Effect, v.Remove, v.Set, v.Add = c.Leaf, c.Why, c.Effect, c.Remove, c.Set, c.Add
		r.folder.Changes = append(r.folder.Changes, v)
	}
}

// With lays several variants or changes over product.toml, one after the other. The errors are those of each, and of what cannot stand
// together: a change that takes away what another sets.
func (f *Folder) With(names ...string) (*Product, error) {
	top, faults := f.top, &tree.Faults{}
	for _, name := range names {
		v := f.either(name)
		if v == nil {
			return nil, &Error{File: changesFile, Value: name, Problem: "there is no such variant or change"}
		}
		if v.On.Set() {
			return nil, v.On.Fault("is laid on another, so that it cannot be put together with others", "want changes that are laid over product.toml")
		}
		top = v.lay(top, &decoder{faults: faults})
	}
	if len(faults.List) > 0 {
		return nil, faults.List.Sorted()
	}
	p := f.decode(top, faults, nil)
	if len(faults.List) > 0 {
		return nil, faults.List.Sorted()
	}
	p.Variant = strings.Join(names, "+")
	p.Revision, p.MadeFrom, p.FromSerial = Text{}, Date{}, Text{}
	return p, nil
}

// either returns a variant or a change, or nil.
func (f *Folder) either(name string) *Variant {
	if v := f.variant(name); v != nil {
		return v
	}
	if at := slices.IndexFunc(f.Changes, func(c *Variant) bool { return c.Name == name }); at >= 0 {
		return f.Changes[at]
	}
	return nil
}

// Effect returns what a variant or a change does besides; nil for neither.
func (f *Folder) Effect(name string) *Effect {
	if v := f.either(name); v != nil {
		return &v.Effect
	}
	return nil
}

// variant returns a variant by its name or its revision's, or nil.
func (f *Folder) variant(name string) *Variant {
	for _, v := range f.Variants {
		if v.Name == name {
			return v
		}
	}
	for _, v := range f.Variants {
		if v.Revision.Set() && v.Revision.Text == name {
			return v
		}
	}
	return nil
}

// Resolve lays a variant over the product and returns it decoded.
//
//	variant  the name of a variant or of a revision; "" for product.toml as it is
//
// The variants that it is laid on come first; each one takes away, then sets, then
// adds. Values that a variant laid have their origin in its file. Revision, MadeFrom
// and FromSerial are those of the variant itself. An unknown name gives an *Error.
func (f *Folder) Resolve(variant string) (*Product, error) {
	if variant == "" || f.base.Revision.Set() && f.base.Revision.Text == variant && f.variant(variant) == nil {
		return f.base, nil
	}
	v := f.either(variant)
	if v == nil {
		var names []string
		for _, v := range slices.Concat(f.Variants, f.Changes) {
			names = append(names, v.Name)
		}
		e := &Error{File: "variants", Value: variant, Problem: "there is no such variant", Want: "want " + listed(names)}
		if near := tree.Nearest(variant, names); near != "" {
			e.Want = "did you mean " + near
		} else if len(names) == 0 {
			e.Want = "the folder has none"
		}
		return nil, e
	}
	return f.under[v.Name], nil
}

// laid returns the trees with a variant and all that it is laid on.
func (f *Folder) laid(name string, faults *tree.Faults) (top *tree.Node, ok bool) {
	var chain []*Variant
	for v := f.either(name); v != nil; v = f.variant(v.On.Text) {
		if slices.Contains(chain, v) {
			return f.top, false // a circle, which is reported where variants are read
		}
		chain = append(chain, v)
		if !v.On.Set() {
			break
		}
	}
	top, before := f.top, len(faults.List)
	for _, v := range slices.Backward(chain) {
		top = v.lay(top, &decoder{faults: faults})
	}
	return top, len(faults.List) == before
}

// lay returns the trees with the changes of one variant.
func (v *Variant) lay(top *tree.Node, d *decoder) *tree.Node {
	for _, item := range v.Remove.Items {
		if next, fault := change(top, item.Text, nil, remove); fault != nil {
			d.faults.Add(item.Fault(fault.Problem, fault.Want))
		} else {
			top = next
		}
	}
	for _, layer := range []struct {
		changes []Laid
		act     act
	}{{v.Set.Changes, set}, {v.Add.Changes, add}} {
		for _, laid := range layer.changes {
			next, fault := change(top, laid.Path, laid.node.Laid("", laid.Key()), layer.act)
			if fault != nil {
				d.faults.Add(laid.node.FaultAtKey(laid.Key(), fault.Problem, fault.Want))
				continue
			}
			top = next
		}
	}
	return top
}
