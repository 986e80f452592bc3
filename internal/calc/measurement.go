package calc

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hindwatt/internal/calc/formula"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
)

// measurement is a formula with all that is known of its names.
type measurement struct {
	program    *formula.Program
	names      []string // in the order of the formula, as are quantities and inputs
	quantities []quantity.Quantity
	inputs     []statistics.Input
	corr       statistics.Correlation
	fewest     float64 // degrees of freedom of any t distribution, +Inf without one
	dim        quantity.Dimension
	currency   string
	warnings   []string
}

// uncertain reports whether any input has a spread.
func (m *measurement) uncertain() bool {
	return slices.ContainsFunc(m.quantities, func(q quantity.Quantity) bool { return q.Spread != quantity.Exact })
}

func (m *measurement) estimates() []float64 {
	x := make([]float64, len(m.inputs))
	for i, in := range m.inputs {
		x[i] = in.Value
	}
	return x
}

// measurement reads the formula y and the free keys.
func (v Values) measurement() (*measurement, Errors) {
	f, err := formula.Parse(v.Text("y"))
	if err != nil {
		return nil, Errors{inFormula(v.Text("y"), err)}
	}
	m := &measurement{names: f.Names(), fewest: math.Inf(1)}
	m.quantities = make([]quantity.Quantity, len(m.names))
	m.inputs = make([]statistics.Input, len(m.names))
	faults := m.readNames(v)
	if len(faults) > 0 {
		return nil, faults
	}
	for _, pair := range v.Free {
		if fault := m.readDetail(pair); fault != nil {
			faults = append(faults, fault)
		}
	}
	if fault := m.checkDimensions(f, v.Text("y")); fault != nil {
		faults = append(faults, fault)
	}
	m.program = f.Program()
	return m, faults
}

func inFormula(text string, err error) *Error {
	f := err.(*formula.Error)
	return &Error{Key: "y", Value: text, Column: f.Column, Width: f.Width, Problem: f.Problem, Want: f.Want}
}

// readNames takes each name's value from the free keys.
func (m *measurement) readNames(v Values) (faults Errors) {
	given := map[string]bool{}
	for _, pair := range v.Free {
		if _, detail := detailOf(pair.Key); detail {
			continue
		}
		i := slices.Index(m.names, pair.Key)
		if i < 0 {
			known := append(slices.Clone(m.names), v.names()...)
			faults = append(faults, &Error{Key: pair.Key, Value: pair.Value, Problem: "not in the formula",
				Want: "want " + strings.Join(known, ", ") + ", corr.NAME.NAME or dof.NAME", Hint: nearest(pair.Key, known)})
			continue
		}
		given[pair.Key] = true
		q, err := anyQuantity(pair.Value)
		if err != nil {
			faults = append(faults, inKey(pair.Key, pair.Value, err))
			continue
		}
		m.quantities[i], m.inputs[i] = q, scatter(pair.Key, q)
		if q.Spread == quantity.Exact { // drawn faster than a normal number
			m.inputs[i].Dist, m.inputs[i].Low, m.inputs[i].High = statistics.Rectangular, q.Value, q.Value
		}
		if q.Drift != 0 {
			m.warnings = append(m.warnings, pair.Key+": its drift is not counted, since no temperature goes with it")
		}
	}
	var missing []string
	for _, name := range m.names {
		if slices.Contains(v.names(), name) {
			faults = append(faults, &Error{Key: "y", Value: v.Text("y"), Problem: "the name " + name + " is an input of the calculator itself", Want: "want another name in the formula"})
		} else if !given[name] {
			missing = append(missing, name)
		}
	}
	if len(missing) > 0 {
		faults = append(faults, &Error{Key: "y", Value: v.Text("y"), Problem: "no value given for " + strings.Join(missing, ", "),
			Want: fmt.Sprintf(`want each as a key, such as %s="1.2 V ±1 %%"`, missing[0])})
	}
	return faults
}

func (v Values) names() []string { return Calculator{Inputs: v.inputs}.names() }

// detailOf cuts corr.a.b and dof.a into their parts.
func detailOf(key string) (parts []string, ok bool) {
	parts = strings.Split(key, ".")
	return parts, len(parts) > 1 && (parts[0] == "corr" || parts[0] == "dof")
}

// readDetail reads a correlation or degrees of freedom.
func (m *measurement) readDetail(pair Pair) *Error {
	parts, detail := detailOf(pair.Key)
	if !detail {
		return nil
	}
	fault := func(problem, want string) *Error {
		return &Error{Key: pair.Key, Value: pair.Value, Problem: problem, Want: want}
	}
	want := map[string]int{"corr": 3, "dof": 2}[parts[0]]
	if len(parts) != want {
		return fault("not a correlation or degrees of freedom", "want corr.NAME.NAME or dof.NAME")
	}
	var at []int
	for _, name := range parts[1:] {
		i := slices.Index(m.names, name)
		if i < 0 {
			e := fault(name+" is not in the formula", "want "+strings.Join(m.names, ", "))
			e.Hint = nearest(name, m.names)
			return e
		}
		if m.quantities[i].Spread == quantity.Exact {
			return fault(name+" has no spread", "want a tolerance or sd in "+name)
		}
		at = append(at, i)
	}
	if parts[0] == "dof" && slices.Contains([]string{"inf", "infinity", "∞"}, strings.ToLower(pair.Value)) {
		return nil
	}
	q, err := quantity.ParseAs(pair.Value, quantity.Ratio)
	if err != nil {
		return inKey(pair.Key, pair.Value, err)
	}
	if q.Spread != quantity.Exact {
		return fault("takes no tolerance", "want a plain number")
	}
	if parts[0] == "dof" {
		return m.setDOF(at[0], q.Value, fault)
	}
	if !(math.Abs(q.Value) <= 1) || at[0] == at[1] {
		return fault("not a possible correlation", "want -1 to 1, of two different names")
	}
	m.corr = append(m.corr, statistics.Pair{A: parts[1], B: parts[2], R: q.Value})
	return nil
}

func (m *measurement) setDOF(i int, dof float64, fault func(problem, want string) *Error) *Error {
	if !(dof > 0) {
		return fault("not possible", "want a number above 0, or inf")
	}
	m.inputs[i].DOF = dof
	if m.quantities[i].Spread == quantity.Normal {
		m.inputs[i].Dist = statistics.StudentT // JCGM 101:2008, 6.4.9
		m.fewest = min(m.fewest, dof)
	} else {
		m.warnings = append(m.warnings, m.names[i]+": its degrees of freedom count in dof, low and high; the random draws take its limits as exact")
	}
	return nil
}

// checkDimensions fills the dimension and the currency of y.
func (m *measurement) checkDimensions(f *formula.Formula, text string) *Error {
	dims := make([]quantity.Dimension, len(m.names))
	for i, q := range m.quantities {
		dims[i] = q.Dim
		switch {
		case q.Currency == "" || m.currency == q.Currency:
		case m.currency == "":
			m.currency = q.Currency
		default:
			return &Error{Key: m.names[i], Value: q.String(), Problem: "a second currency beside " + m.currency, Want: "want one currency"}
		}
	}
	dim, warnings, err := f.Dimension(dims)
	if err != nil {
		return inFormula(text, err)
	}
	m.dim = dim
	m.warnings = append(m.warnings, warnings...)
	return nil
}
