package kept

import (
	"encoding"
	"encoding/binary"
	"errors"
	"math"
	"reflect"
	"sync"
)

var (
	typesLock sync.RWMutex
	types     = map[string]reflect.Type{}
)

// Register names the types that values of interface type may have where results are kept, such as the plots of a page.
func Register(samples ...any) {
	typesLock.Lock()
	defer typesLock.Unlock()
	for _, s := range samples {
		t := reflect.TypeOf(s)
		types[t.String()] = t
	}
}

func known(name string) reflect.Type {
	typesLock.RLock()
	defer typesLock.RUnlock()
	return types[name]
}

var errTorn = errors.New("kept: torn entry")

// A reader is the inverse of a writer.
type reader struct{ rest []byte }

func (r *reader) number() (uint64, error) {
	n, size := binary.Uvarint(r.rest)
	if size <= 0 {
		return 0, errTorn
	}
	r.rest = r.rest[size:]
	return n, nil
}

// count reads a length, which cannot be more than there are bytes left.
func (r *reader) count() (int, error) {
	n, err := r.number()
	if err != nil || n > uint64(len(r.rest)) {
		return 0, errTorn
	}
	return int(n), nil
}

func (r *reader) bytes(n int) ([]byte, error) {
	if n > len(r.rest) {
		return nil, errTorn
	}
	b := r.rest[:n]
	r.rest = r.rest[n:]
	return b, nil
}

func (r *reader) text() (string, error) {
	n, err := r.count()
	if err != nil {
		return "", err
	}
	b, err := r.bytes(n)
	return string(b), err
}

func (r *reader) some() (bool, error) {
	b, err := r.bytes(1)
	return err == nil && b[0] == 1, err
}

// value fills v, which has its zero value.
func (r *reader) value(v reflect.Value) (err error) {
	switch v.Kind() {
	case reflect.Bool:
		var is bool
		is, err = r.some()
		v.SetBool(is)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		var n uint64
		n, err = r.number()
		v.SetInt(int64(n))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uintptr:
		var n uint64
		n, err = r.number()
		v.SetUint(n)
	case reflect.Float32, reflect.Float64:
		var b []byte
		if b, err = r.bytes(8); err == nil {
			v.SetFloat(math.Float64frombits(binary.LittleEndian.Uint64(b)))
		}
	case reflect.String:
		var s string
		s, err = r.text()
		v.SetString(s)
	case reflect.Slice, reflect.Array:
		return r.list(v)
	case reflect.Map:
		return r.table(v)
	case reflect.Struct:
		return r.record(v)
	default:
		return r.pointed(v)
	}
	return err
}

func (r *reader) list(v reflect.Value) error {
	if v.Kind() == reflect.Slice {
		is, err := r.some()
		if err != nil {
			return err
		}
		n, err := r.count()
		if err != nil {
			return err
		}
		if !is {
			return nil
		}
		v.Set(reflect.MakeSlice(v.Type(), n, n))
	}
	for i := range v.Len() {
		if err := r.value(v.Index(i)); err != nil {
			return err
		}
	}
	return nil
}

func (r *reader) table(v reflect.Value) error {
	is, err := r.some()
	if err != nil {
		return err
	}
	n, err := r.count()
	if err != nil || !is {
		return err
	}
	v.Set(reflect.MakeMapWithSize(v.Type(), n))
	for range n {
		key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		if err := errors.Join(r.value(key), r.value(value)); err != nil {
			return err
		}
		v.SetMapIndex(key, value)
	}
	return nil
}

func (r *reader) record(v reflect.Value) error {
	if hides(v.Type()) {
		own, ok := v.Addr().Interface().(encoding.BinaryUnmarshaler)
		if !ok {
			return errTorn
		}
		b, err := r.text()
		if err != nil {
			return err
		}
		return own.UnmarshalBinary([]byte(b))
	}
	for i := range v.NumField() {
		if err := r.value(v.Field(i)); err != nil {
			return err
		}
	}
	return nil
}

// pointed reads what may be nil.
func (r *reader) pointed(v reflect.Value) error {
	is, err := r.some()
	if err != nil || !is {
		return err
	}
	t := v.Type()
	switch v.Kind() {
	case reflect.Pointer:
		t = t.Elem()
	case reflect.Interface:
		name, err := r.text()
		if err != nil {
			return err
		}
		if t = known(name); t == nil || !t.Implements(v.Type()) {
			return errTorn
		}
	default:
		return errTorn
	}
	to := reflect.New(t)
	if err := r.value(to.Elem()); err != nil {
		return err
	}
	if v.Kind() == reflect.Pointer {
		v.Set(to)
	} else {
		v.Set(to.Elem())
	}
	return nil
}
