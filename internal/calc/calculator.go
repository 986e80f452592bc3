package calc

import (
	"context"
	"slices"

	"hindwatt/internal/quantity"
)

// A Calculator is one entry of the drawer.
type Calculator struct {
	Name     string // as typed: "tolerance-factor"
	Question string // one line, the question that it answers
	Inputs   []Input
	Results  []Result
	Formula  string // plain Unicode text
	Source   string // where the formula stands, and remarks on its use

	// Many says that the inputs decide how many results there are: each Answer has its Key, and Results
	// describe the patterns of these keys.
	Many bool

	// Compute returns one Answer for each of Results, in their order and units. An error
	// made by wrong names the input at fault. It must be safe for use by several goroutines.
	Compute func(ctx context.Context, in Values) (Answers, error)

	// Free describes the keys that are accepted beside Inputs, and that Compute gets as they were
	// typed; without it there are none. Such a calculator finds the intervals of its results itself.
	Free []Pair

	// Samples is the number of random draws behind an interval; 0 means 100,000. Give fewer where
	// Compute takes longer than some 10 µs.
	Samples int
}

// An Input is one key of a calculator.
type Input struct {
	Name     string
	Dim      quantity.Dimension // where neither Any, Like nor Text is set
	Any      bool               // a quantity of any dimension
	Like     string             // of the dimension of this earlier input
	Delta    bool               // with Like: a difference of two such values (matters for temperatures)
	Text     bool               // not a quantity
	Whole    bool               // a whole number, exact
	Exact    bool               // takes no tolerance
	Default  string             // used if the key is absent
	Optional bool               // may be absent without a default
	Valid    func(v float64) bool
	Want     string // what Valid accepts: "want a whole number from 2 up"
	Help     string // what the value is, in a few words

	Spell func(typed string) string // writes a spelling of this input alone, such as ounces of copper, as a quantity; may be nil
}

// A Result is one figure that a calculator returns.
type Result struct {
	Key  string
	Unit string // "-" for a plain number
	Help string
}

// An Answer is the value of one result.
type Answer struct {
	Key       string  // of a calculator with Many results, else ""
	Value     float64 // in the result's unit, finite
	None      string  // why there is no value, else ""
	Open      bool    // the value exists and is larger than any number, as infinitely many degrees of freedom are
	Unit      string  // if it depends on the inputs, else ""
	Interval  bool    // Low and High are given
	Low, High float64 // finite
}

// Answers is what a Calculator computes.
type Answers struct {
	List     []Answer
	Warnings []string
	Note     string     // how the intervals were got, may be empty
	Table    [][]string // shown below the results in text: a heading and rows, may be empty

	// Again computes the same for other numbers of the inputs, for the intervals, quicker than Compute
	// since it keeps what their texts gave. Without it Compute does. Safe for several goroutines.
	Again func(in Values) (Answers, error)
}

// is returns plain values as answers.
func is(values ...float64) Answers {
	var a Answers
	for _, v := range values {
		a.List = append(a.List, Answer{Value: v})
	}
	return a
}

// in returns the answers in a unit that depends on the inputs.
func (a Answers) in(unit string) Answers {
	for i := range a.List {
		a.List[i].Unit = unit
	}
	return a
}

var drawer []Calculator

// register puts calculators into the drawer; each file of entries calls it once.
func register(entries ...Calculator) { drawer = append(drawer, entries...) }

// List returns all calculators in the order of their names.
func List() []Calculator {
	list := slices.Clone(drawer)
	slices.SortFunc(list, func(a, b Calculator) int {
		if a.Name < b.Name {
			return -1
		}
		return 1
	})
	return list
}

// names returns the keys of the inputs.
func (c Calculator) names() []string {
	var names []string
	for _, in := range c.Inputs {
		names = append(names, in.Name)
	}
	return names
}
