package calc

import (
	"errors"
	"io/fs"
	"math"
	"slices"
	"strings"

	"hindwatt/internal/quantity"
)

// Values are the inputs of one calculation.
type Values struct {
	Free []Pair // the keys beside the inputs, in the order typed
	Seed uint64

	files  fs.FS // nil = those of the machine
	inputs []Input
	typed  []string // "" if absent
	parsed []quantity.Quantity
	read   []bool    // parsed without fault
	number []float64 // in SI units; what is drawn at random stands here
}

// A Pair is a key and its value as typed.
type Pair struct{ Key, Value string }

// Number returns the value of an input in SI units, 0 if it is absent.
func (v Values) Number(name string) float64 { return v.number[v.index(name)] }

// Whole returns the value of an input that is a whole number.
func (v Values) Whole(name string) int { return int(v.number[v.index(name)]) }

// Has reports whether an input has a value.
func (v Values) Has(name string) bool { return v.typed[v.index(name)] != "" }

// Or returns the value of an input in SI units, or another if it is absent.
func (v Values) Or(name string, other float64) float64 {
	if !v.Has(name) {
		return other
	}
	return v.Number(name)
}

// Text returns an input as typed.
func (v Values) Text(name string) string { return v.typed[v.index(name)] }

// Quantity returns an input with its dimension and unit as typed.
func (v Values) Quantity(name string) quantity.Quantity { return v.parsed[v.index(name)] }

func (v Values) index(name string) int {
	for i := range v.inputs {
		if v.inputs[i].Name == name {
			return i
		}
	}
	panic("calc: no input " + name)
}

// values takes the inputs of c out of the typed pairs.
func (c Calculator) values(args []string) (Values, Errors) {
	pairs, faults := split(args, c.names())
	v := Values{inputs: c.Inputs, typed: make([]string, len(c.Inputs)),
		parsed: make([]quantity.Quantity, len(c.Inputs)), read: make([]bool, len(c.Inputs)), number: make([]float64, len(c.Inputs))}
	for _, pair := range pairs {
		switch i := slices.Index(c.names(), pair.Key); {
		case pair.Value == "":
			want := "want " + pair.Key + "=…"
			if i >= 0 {
				want = v.wanted(c.Inputs[i])
			}
			faults = append(faults, &Error{Key: pair.Key, Problem: "no value after the =", Want: want})
		case i >= 0:
			v.typed[i] = pair.Value
		case len(c.Free) > 0:
			v.Free = append(v.Free, pair)
		default:
			faults = append(faults, &Error{Key: pair.Key, Value: pair.Value, Problem: "no input of " + c.Name,
				Want: "want " + strings.Join(c.names(), ", "), Hint: nearest(pair.Key, c.names())})
		}
	}
	for i, in := range c.Inputs {
		if v.typed[i] == "" {
			v.typed[i] = in.Default
		}
		if slices.ContainsFunc(faults, func(f *Error) bool { return f.Key == in.Name }) {
			continue
		}
		if fault := v.parse(i); fault != nil {
			faults = append(faults, fault)
		}
	}
	return v, faults
}

// split cuts key=value at the first equals sign.
func split(args, known []string) (pairs []Pair, faults Errors) {
	seen := map[string]bool{}
	for _, arg := range args {
		key, value, ok := strings.Cut(arg, "=")
		key, value = strings.TrimSpace(key), strings.TrimSpace(value)
		switch {
		case !ok || key == "":
			faults = append(faults, &Error{Value: arg, Problem: "not key=value", Want: "want keys such as " + strings.Join(known, ", ")})
		case seen[key]:
			faults = append(faults, &Error{Key: key, Value: value, Problem: "given twice", Want: "want each key once"})
		default:
			pairs = append(pairs, Pair{key, value})
		}
		seen[key] = true
	}
	return pairs, faults
}

// parse reads input i from what was typed.
func (v Values) parse(i int) *Error {
	in, text := v.inputs[i], v.typed[i]
	if text == "" {
		if in.Optional {
			return nil
		}
		return &Error{Key: in.Name, Problem: "missing: " + in.Help, Want: v.wanted(in)}
	}
	if in.Text {
		return nil
	}
	if in.Spell != nil {
		text = in.Spell(text)
	}
	q, err := v.quantity(in, text)
	if err != nil {
		fault := inKey(in.Name, text, err)
		if in.Want != "" && in.Like == "" && !strings.HasPrefix(fault.Want, "write ") {
			fault.Want = in.Want
		}
		return fault
	}
	if (in.Exact || in.Whole) && (q.Spread != quantity.Exact || q.Drift != 0) {
		return &Error{Key: in.Name, Value: text, Problem: "takes no tolerance", Want: v.wanted(in)}
	}
	bad := in.Whole && (q.Value != math.Trunc(q.Value) || math.Abs(q.Value) > maxWhole)
	if bad || in.Valid != nil && !(in.Valid(q.Value) && in.Valid(q.Low) && in.Valid(q.High)) {
		return &Error{Key: in.Name, Value: text, Problem: "not a possible value", Want: v.wanted(in)}
	}
	v.parsed[i], v.read[i], v.number[i] = q, true, q.Value
	return nil
}

// maxWhole is the largest count accepted.
const maxWhole = 1e9

func (v Values) quantity(in Input, text string) (quantity.Quantity, error) {
	switch {
	case in.Any, in.Like != "" && !v.read[v.index(in.Like)]:
		return anyQuantity(text)
	case in.Like != "":
		return quantity.ParseAs(text, v.like(in))
	}
	return quantity.ParseAs(text, in.Dim)
}

// like returns the dimension of the input that in is to be like.
func (v Values) like(in Input) quantity.Dimension {
	d := v.Quantity(in.Like).Dim
	d.Point = d.Point && !in.Delta
	return d
}

// anyQuantity reads a quantity of any dimension, a plain number among them.
func anyQuantity(text string) (quantity.Quantity, error) {
	if q, err := quantity.ParseAs(text, quantity.Ratio); err == nil {
		return q, nil
	}
	return quantity.Parse(text)
}

// wanted says what an input accepts.
func (v Values) wanted(in Input) string {
	switch {
	case in.Want != "":
		return in.Want
	case in.Text:
		return "want " + in.Name + "=…"
	case in.Whole:
		return "want a whole number"
	case in.Any, in.Like != "" && !v.read[v.index(in.Like)]:
		return "want a quantity such as 27.3 V, or a plain number"
	case in.Like != "":
		d := v.like(in)
		return "want a " + d.Name() + " such as " + d.Example()
	}
	return "want a " + in.Dim.Name() + " such as " + in.Dim.Example()
}

// inKey makes an error of quantity, of formula or of wrong one of a key.
func inKey(key, value string, err error) *Error {
	var q *quantity.Error
	if errors.As(err, &q) {
		return &Error{Key: key, Value: value, Column: q.Column, Width: q.Width, Problem: q.Problem, Want: q.Want}
	}
	return &Error{Key: key, Value: value, Problem: err.Error()}
}
