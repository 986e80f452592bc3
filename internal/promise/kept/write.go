package kept

import (
	"bytes"
	"encoding"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"sync"
)

// deepest is how far values may contain each other: beyond it something points at itself.
const deepest = 64

// A writer turns a value into bytes: equal bytes of one type are equal values.
type writer struct {
	buf bytes.Buffer
	key bool // for a hash: unexported fields count, and nothing has to be read back
}

var errNaN = errors.New("kept: not a number")

// number writes a count, a length or the bits of a figure.
func (w *writer) number(n uint64) { w.buf.Write(binary.AppendUvarint(w.buf.AvailableBuffer(), n)) }

func (w *writer) text(s string) {
	w.number(uint64(len(s)))
	w.buf.WriteString(s)
}

func (w *writer) some(is bool) {
	w.buf.WriteByte(map[bool]byte{true: 1}[is])
}

func (w *writer) value(v reflect.Value, depth int) error {
	if depth > deepest {
		return fmt.Errorf("kept: %s lies too deep", v.Type())
	}
	switch v.Kind() {
	case reflect.Bool:
		w.some(v.Bool())
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		w.number(uint64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uintptr:
		w.number(v.Uint())
	case reflect.Float32, reflect.Float64:
		if math.IsNaN(v.Float()) && !w.key {
			return errNaN
		}
		w.buf.Write(binary.LittleEndian.AppendUint64(w.buf.AvailableBuffer(), math.Float64bits(v.Float())))
	case reflect.String:
		w.text(v.String())
	case reflect.Slice, reflect.Array:
		return w.list(v, depth)
	case reflect.Map:
		return w.table(v, depth)
	case reflect.Pointer:
		w.some(!v.IsNil())
		if !v.IsNil() {
			return w.value(v.Elem(), depth+1)
		}
	case reflect.Interface:
		return w.anything(v, depth)
	case reflect.Struct:
		return w.record(v, depth)
	default: // functions and channels
		if v.IsNil() {
			w.some(false)
			return nil
		}
		return fmt.Errorf("kept: %s has no content to tell it by", v.Type())
	}
	return nil
}

func (w *writer) list(v reflect.Value, depth int) error {
	if v.Kind() == reflect.Slice {
		w.some(!v.IsNil())
		w.number(uint64(v.Len()))
	}
	for i := range v.Len() {
		if err := w.value(v.Index(i), depth+1); err != nil {
			return err
		}
	}
	return nil
}

// table writes a map in the order of its keys' bytes.
func (w *writer) table(v reflect.Value, depth int) error {
	w.some(!v.IsNil())
	rows := make([]string, 0, v.Len())
	for it := v.MapRange(); it.Next(); {
		row := writer{key: w.key}
		if err := row.value(it.Key(), depth+1); err != nil {
			return err
		}
		if err := row.value(it.Value(), depth+1); err != nil {
			return err
		}
		rows = append(rows, row.buf.String())
	}
	slices.Sort(rows)
	w.number(uint64(len(rows)))
	for _, row := range rows {
		w.buf.WriteString(row)
	}
	return nil
}

// anything writes a value of any type, with the type's name.
func (w *writer) anything(v reflect.Value, depth int) error {
	w.some(!v.IsNil())
	if v.IsNil() {
		return nil
	}
	is := v.Elem()
	if !w.key && known(is.Type().String()) != is.Type() {
		return fmt.Errorf("kept: %s is not registered", is.Type())
	}
	w.text(is.Type().String())
	return w.value(is, depth+1)
}

// record writes a struct: by its own means if it hides its fields and has such, else field by field.
func (w *writer) record(v reflect.Value, depth int) error {
	if hides(v.Type()) {
		if v.CanInterface() {
			if own, ok, err := w.marshalled(v.Interface()); ok || err != nil {
				w.text(string(own))
				return err
			}
		}
		if !w.key {
			return fmt.Errorf("kept: %s hides its fields", v.Type())
		}
	}
	for i := range v.NumField() {
		if err := w.value(v.Field(i), depth+1); err != nil {
			return fmt.Errorf("%w, in %s of %s", err, v.Type().Field(i).Name, v.Type())
		}
	}
	return nil
}

// marshalled writes a value by its own means, if it has such.
func (w *writer) marshalled(value any) (own []byte, ok bool, err error) {
	switch m := value.(type) {
	case encoding.BinaryMarshaler:
		own, err = m.MarshalBinary()
		return own, true, err
	case encoding.TextMarshaler:
		if w.key {
			own, err = m.MarshalText()
			return own, true, err
		}
	}
	return nil, false, nil
}

// hiding holds for each struct that was met whether it hides fields: asking for each field takes longer than writing it.
var hiding sync.Map

// hides reports whether a struct has fields that only its own package sees.
func hides(t reflect.Type) bool {
	if known, ok := hiding.Load(t); ok {
		return known.(bool)
	}
	hides := false
	for i := range t.NumField() {
		hides = hides || !t.Field(i).IsExported()
	}
	hiding.Store(t, hides)
	return hides
}
