package reference

import (
	"bytes"
	"context"
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

//go:embed testdata
var testdata embed.FS

// example is one entry of testdata/cases.
type example struct {
	ID       string          `json:"id"`
	Topic    string          `json:"topic"`
	Computes string          `json:"computes"`
	Inputs   json.RawMessage `json:"inputs"`
	Expected values          `json:"expected"`
	Source   string          `json:"source"`
	Status   string          `json:"status"`
	Flag     string          `json:"flag"`
	Note     string          `json:"note"`
}

// values keeps the order in which a file lists them.
type values []expected

// expected is one number; true, or a state in words that is to be found, is 1, and false is 0.
type expected struct {
	Key   string
	Value float64
	Tol   float64
	Unit  string
	Says  string // the state in words
}

// UnmarshalJSON reads {"value", "unit", "tol"}; a tolerance such as "r1e-4" is relative.
func (e *expected) UnmarshalJSON(text []byte) error {
	var in struct {
		Value, Tol any
		Unit       string
	}
	if err := json.Unmarshal(text, &in); err != nil {
		return err
	}
	e.Unit = in.Unit
	switch v := in.Value.(type) {
	case float64:
		e.Value = v
	case bool:
		if v {
			e.Value = 1
		}
	case string:
		e.Value, e.Says = 1, v
	default:
		return fmt.Errorf("value is %T; want a number, true or false, or a text", v)
	}
	switch tol := in.Tol.(type) {
	case float64:
		e.Tol = tol
	case string:
		relative, err := strconv.ParseFloat(strings.TrimPrefix(tol, "r"), 64)
		if err != nil {
			return fmt.Errorf("tol: %w", err)
		}
		e.Tol = relative * math.Abs(e.Value)
	}
	return nil
}

// UnmarshalJSON reads {KEY: {"value", "unit", "tol"}, …}.
func (v *values) UnmarshalJSON(text []byte) error {
	d := json.NewDecoder(bytes.NewReader(text))
	if _, err := d.Token(); err != nil {
		return err
	}
	for d.More() {
		key, err := d.Token()
		if err != nil {
			return err
		}
		e := expected{Key: fmt.Sprint(key)}
		if err := d.Decode(&e); err != nil {
			return err
		}
		*v = append(*v, e)
	}
	return nil
}

// answers are computed numbers by their keys, in the units of the example.
type answers map[string]float64

// solver computes an example from its inputs.
type solver func(ctx context.Context, inputs json.RawMessage) (answers, error)

// solvers has what computes each example; the file of each topic adds its own.
var solvers = map[string]solver{}

func solve(s solver, ids ...string) {
	for _, id := range ids {
		if _, twice := solvers[id]; twice {
			panic("reference: two solvers of " + id)
		}
		solvers[id] = s
	}
}

// from makes a solver of a function of an example's inputs.
func from[T any](f func(ctx context.Context, in T) (answers, error)) solver {
	return func(ctx context.Context, inputs json.RawMessage) (answers, error) {
		var in T
		if err := json.Unmarshal(inputs, &in); err != nil {
			return nil, err
		}
		return f(ctx, in)
	}
}

// cases returns the checks of all examples.
func cases() []Check {
	var checks []Check
	files, err := fs.Glob(testdata, "testdata/cases/*.json") // in the order of their names
	if err != nil {
		panic(err)
	}
	for _, file := range files {
		text, err := testdata.ReadFile(file)
		if err != nil {
			panic(err)
		}
		var list []example
		if err := json.Unmarshal(text, &list); err != nil {
			panic("reference: " + file + ": " + err.Error())
		}
		for _, e := range list {
			checks = append(checks, e.checks()...)
		}
	}
	return checks
}

// checks makes one check of each number expected; the example is computed once for all of them.
func (e example) checks() []Check {
	compute := once(func(ctx context.Context) (answers, error) {
		s, ok := solvers[e.ID]
		if !ok {
			return nil, fmt.Errorf("%s: nothing computes this example", e.ID)
		}
		return s(ctx, e.Inputs)
	})
	var checks []Check
	for _, want := range e.Expected {
		c := Check{ID: e.ID + " " + want.Key, Topic: e.Topic, What: e.Computes, Source: e.Source, Status: e.Status,
			Note: e.remarks(), Want: want.Value, Tol: want.Tol, Unit: want.Unit}
		if want.Says != "" {
			c.What += "; 1 is: " + want.Says
		}
		c.Run = pick(c.ID, want.Key, compute)
		checks = append(checks, c)
	}
	return checks
}

// once returns a function that computes at its first call and remembers the answers.
func once(compute func(context.Context) (answers, error)) func(context.Context) (answers, error) {
	var first sync.Once
	var got answers
	var err error
	return func(ctx context.Context) (answers, error) {
		first.Do(func() { got, err = compute(ctx) })
		return got, err
	}
}

// pick returns a function that computes one of several answers.
func pick(id, key string, compute func(context.Context) (answers, error)) func(context.Context) (float64, error) {
	return func(ctx context.Context) (float64, error) {
		got, err := compute(ctx)
		if err != nil {
			return 0, err
		}
		v, ok := got[key]
		if !ok {
			return 0, fmt.Errorf("%s: nothing computes %s", id, key)
		}
		return v, nil
	}
}

func (e example) remarks() string {
	return strings.Join(slices.DeleteFunc([]string{e.Flag, e.Note}, func(s string) bool { return s == "" }), "; ")
}
