package product

import (
	"reflect"
	"slices"
	"strings"

	"hindwatt/internal/product/tree"
	"hindwatt/internal/quantity"
)

// An Input is one number of a product that studies may rest on, by the path that [set] of a variant takes.
type Input struct {
	Path string // "product.sense.top", "parts.part.sb20.tempco", "installations.cabin.panel.tilt"
	Leaf Leaf
	quantity.Quantity
	Whole    bool // a count
	Min, Max End  // what the folder accepts

	after string // what stands behind the number: "28.8 V for 2 h"
}

// An End is where a range ends, in SI units.
type End struct {
	At     float64
	Open   bool // there is none; At is 0
	Beyond bool // it is not accepted itself
}

// Written is the number as [set] would have it, in TOML: without a spread, but with its drift, in the unit of the file.
func (in *Input) Written(v float64) string {
	q := in.Quantity
	q.Value, q.Low, q.High, q.SD, q.Spread, q.Percent = v, v, v, 0, quantity.Exact, false
	if in.Whole {
		return q.String()
	}
	return tree.Quote(q.String() + in.after)
}

// Inputs lists the numbers that are set, in the order of the files and of the schema: of product.toml, parts.toml, production.toml and
// the installations. What stands in lists is not among them, since no path leads there, nor what is meant as a range.
func (p *Product) Inputs() []Input {
	var all []Input
	gather(&all, reflect.ValueOf(&p.Main), nil, "product")
	gather(&all, reflect.ValueOf(&p.Parts), &spec{}, "parts.part")
	gather(&all, reflect.ValueOf(&p.Production), nil, "production")
	gather(&all, reflect.ValueOf(&p.Installations), &spec{}, "installations")
	return all
}

// gather adds what is set at a place of the product, v being a pointer to it.
func gather(all *[]Input, v reflect.Value, s *spec, path string) {
	switch is := v.Interface().(type) {
	case *Quantity:
		addInput(all, s, Input{Path: path, Leaf: is.Leaf, Quantity: is.Quantity})
	case *Reference:
		if !is.Supply {
			addInput(all, s, Input{Path: path, Leaf: is.Leaf, Quantity: is.Quantity})
		}
	case *Level:
		in := Input{Path: path, Leaf: is.Leaf, Quantity: is.Level}
		if is.Time.Value != 0 {
			in.after = " for " + is.Time.String()
		}
		addInput(all, s, in)
	case *Count:
		n := float64(is.N)
		addInput(all, s, Input{Path: path, Leaf: is.Leaf, Whole: true, Quantity: quantity.Quantity{Value: n, Low: n, High: n}})
	case interface {
		each(func(name string, entry reflect.Value))
	}:
		is.each(func(name string, entry reflect.Value) { gather(all, entry, s, join(path, name)) })
	case value:
		if t, ok := is.(*Trim); ok && t.Set() && !t.None {
			gatherTable(all, v, path)
		}
	default:
		gatherTable(all, v, path)
	}
}

// gatherTable adds what is set in a table, its schema's keys before those of its kind.
func gatherTable(all *[]Input, v reflect.Value, path string) {
	table := v.Elem()
	p := planOf(table.Type())
	for i := range p.fields {
		s := &p.fields[i]
		gather(all, table.Field(s.index).Addr(), s, join(path, s.key))
	}
	for i := range table.NumField() {
		if slices.Contains(kindFields(p), i) && !table.Field(i).IsNil() {
			gatherTable(all, table.Field(i), path)
		}
	}
}

func kindFields(p *plan) (fields []int) {
	for _, i := range p.kinds {
		fields = append(fields, i)
	}
	return fields
}

// each goes through the entries in the file's order.
func (m *Map[T]) each(do func(name string, entry reflect.Value)) {
	for name, entry := range m.All() {
		do(name, reflect.ValueOf(entry))
	}
}

func addInput(all *[]Input, s *spec, in Input) {
	if !in.Leaf.Set() || s.span {
		return
	}
	in.Min, in.Max = End{Open: true}, End{Open: true}
	for _, b := range s.bounds {
		end := End{At: b.limit, Beyond: len(b.operator) == 1}
		if strings.HasPrefix(b.operator, ">") {
			in.Min = end
		} else {
			in.Max = end
		}
	}
	*all = append(*all, in)
}

// Only is the product with one promise alone, for whoever asks only that.
func (p *Product) Only(promise string) *Product {
	one := *p
	one.Promises = Map[Promise]{Leaf: p.Promises.Leaf, names: []string{promise}, items: p.Promises.items}
	return &one
}

// Shifted is the number as [set] would have it, in TOML, moved to v with its spread: in proportion where that is in percent or the ends
// of a range of one sign, else as wide as it is.
func (in *Input) Shifted(v float64) string {
	q := in.Quantity
	scale := in.scales()
	q.Value = v
	switch {
	case q.Spread == quantity.Exact || in.Whole:
		return in.Written(v)
	case scale:
		q.Low, q.High, q.SD = q.Low*(v/in.Value), q.High*(v/in.Value), q.SD*(v/in.Value)
	default:
		q.Low, q.High = v-(in.Value-q.Low), v+(q.High-in.Value)
	}
	if q.Spread == quantity.Normal {
		q.Low, q.High = v, v
	}
	return tree.Quote(q.String() + in.after)
}

// Widened is the number as [set] would have it, in TOML, with its spread and its drift as many times as wide; 0 for none.
func (in *Input) Widened(spread, drift float64) string {
	q := in.Quantity
	q.Low, q.High, q.SD, q.Drift = q.Value-spread*(q.Value-q.Low), q.Value+spread*(q.High-q.Value), spread*q.SD, drift*q.Drift
	if spread == 0 {
		q.Spread = quantity.Exact
	}
	return tree.Quote(q.String() + in.after)
}

// scales reports whether the spread is a share of the value.
func (in *Input) scales() bool {
	return !in.Dim.Point && in.Value > 0 && in.Low > 0 && (in.Percent || in.Spread == quantity.Range)
}

// inward is how far off an end that is not accepted itself a reach stays, as a part of the way there.
const inward = 1e-6

// Reach is between which values the number can be moved so that the folder accepts it with its spread; it is cut to between a tenth and
// ten times what it is, of a temperature to 100 K either way, of one that is 0 to ten times its spread. ok is false where nothing says
// how far it could be moved.
func (in *Input) Reach() (low, high float64, ok bool) {
	half := max(in.High-in.Value, in.Value-in.Low, in.SD)
	switch {
	case in.Whole:
		return 0, 0, false
	case in.Dim.Point:
		low, high = in.Value-100, in.Value+100
	case in.Value > 0:
		low, high = in.Value/10, in.Value*10
	case in.Value < 0:
		low, high = in.Value*10, in.Value/10
	case half > 0:
		low, high = -10*half, 10*half
	default:
		return 0, 0, false
	}
	below, above := in.Value-in.Low, in.High-in.Value // how much room the spread takes
	if !in.Min.Open {
		least := in.Min.At + below
		if in.scales() {
			least = in.Min.At * in.Value / in.Low
		}
		if low = max(low, least); in.Min.Beyond && low == least {
			low += inward * (in.Value - low)
		}
	}
	if !in.Max.Open {
		most := in.Max.At - above
		if in.scales() {
			most = in.Max.At * in.Value / in.High
		}
		if high = min(high, most); in.Max.Beyond && high == most {
			high -= inward * (high - in.Value)
		}
	}
	return min(low, in.Value), max(high, in.Value), true
}
