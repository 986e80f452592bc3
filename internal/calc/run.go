package calc

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"strings"
)

// Options are what holds for every calculator.
type Options struct {
	Seed  uint64 // of random draws; the same seed gives the same output
	Files fs.FS  // in which files are named; nil = those of the machine, by their paths
}

// Run makes one calculation.
//
//	name  of the calculator
//	args  its inputs, each "key=value"
//
// The error is an Errors with all faults if what was typed is at fault, or that of ctx.
// A result that does not exist is no error: see Output.Complete.
func Run(ctx context.Context, name string, args []string, opts Options) (Output, error) {
	c, err := Find(name)
	if err != nil {
		return Output{}, err
	}
	in, faults := c.values(args)
	if len(faults) > 0 {
		return Output{}, faults
	}
	in.Seed, in.files = opts.Seed, opts.Files
	answers, err := c.Compute(ctx, in)
	if err != nil {
		return Output{}, c.explain(ctx, in, err)
	}
	if len(c.Free) == 0 {
		if err := c.spread(ctx, in, &answers); err != nil {
			return Output{}, err
		}
	}
	return c.output(in, answers)
}

// Find returns the calculator of a name; the error of an unknown one names the nearest.
func Find(name string) (Calculator, error) {
	var known []string
	for _, c := range List() {
		if c.Name == name {
			return c, nil
		}
		known = append(known, c.Name)
	}
	return Calculator{}, Errors{{Value: name, Problem: "no such calculator", Want: "want " + strings.Join(known, ", "),
		Hint: nearest(name, known)}}
}

// explain puts the typed value into an error that names a key.
func (c Calculator) explain(ctx context.Context, in Values, err error) error {
	var list Errors
	var one *Error
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case errors.As(err, &list):
		return list
	case !errors.As(err, &one):
		return Errors{{Problem: c.Name + ": " + err.Error()}}
	}
	fault := *one
	for i, input := range in.inputs {
		if input.Name == fault.Key && fault.Value == "" {
			fault.Value = in.typed[i]
		}
	}
	return Errors{&fault}
}

// output gathers what is shown, and makes sure that each number is finite.
func (c Calculator) output(in Values, a Answers) (Output, error) {
	o := Output{Calc: c.Name, Question: c.Question, Formula: c.Formula, Source: c.Source, Note: a.Note, Warnings: a.Warnings, Table: a.Table}
	for i, input := range c.Inputs {
		if in.typed[i] != "" {
			o.Inputs = append(o.Inputs, Pair{input.Name, in.shown(i)})
		}
	}
	for _, pair := range in.Free {
		o.Inputs = append(o.Inputs, Pair{pair.Key, shownFree(pair)})
	}
	for i, answer := range a.List {
		r := Result{Key: answer.Key}
		if !c.Many {
			r = c.Results[i]
		}
		if answer.Unit == "" {
			answer.Unit = r.Unit
		}
		if !finite(answer.Value) || !finite(answer.Low) || !finite(answer.High) {
			return Output{}, Errors{{Problem: fmt.Sprintf("%s: %s has no finite value for these inputs", c.Name, r.Key), Want: "want inputs of a usual size"}}
		}
		o.Results = append(o.Results, Figure{r.Key, answer})
	}
	return o, nil
}

// shown returns an input as it was understood.
func (v Values) shown(i int) string {
	if v.inputs[i].Text {
		return v.typed[i]
	}
	return v.parsed[i].String()
}

// shownFree returns a free key as it was understood, or as typed if it is no quantity.
func shownFree(p Pair) string {
	if q, err := anyQuantity(p.Value); err == nil {
		return q.String()
	}
	return p.Value
}

func finite(x float64) bool { return math.Abs(x) <= math.MaxFloat64 }
