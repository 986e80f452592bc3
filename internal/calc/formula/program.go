package formula

import (
	"fmt"
	"math"
)

// A Program computes a formula. It is safe for use by several goroutines.
type Program struct {
	formula *Formula
	code    []instruction
	depth   int // of the stack
}

// instruction acts on a stack: it pushes a number or the value of a name, or replaces the top
// one or two by a result.
type instruction struct {
	op    op
	name  int32
	value float64
}

// Program returns the formula in the form that is computed, constants folded.
func (f *Formula) Program() *Program {
	p := &Program{formula: f}
	p.add(f.root, 1)
	return p
}

// add appends the code of n, which leaves its value at height of the stack.
func (p *Program) add(n *node, height int) {
	p.depth = max(p.depth, height)
	switch {
	case n.fixed:
		p.code = append(p.code, instruction{op: opNumber, value: n.value})
		return
	case n.op == opName:
		p.code = append(p.code, instruction{op: opName, name: int32(n.name)})
		return
	}
	p.add(n.args[0], height)
	switch {
	case n.op == opPow && n.args[1].fixed && n.args[1].value == 2:
		p.code = append(p.code, instruction{op: opSquare})
		return
	case len(n.args) == 1:
		p.code = append(p.code, instruction{op: n.op})
		return
	}
	for _, arg := range n.args[1:] {
		p.add(arg, height+1)
		p.code = append(p.code, instruction{op: n.op})
	}
}

// fold computes every part that holds no name, once.
func (n *node) fold() {
	n.fixed = n.op != opName
	for _, arg := range n.args {
		arg.fold()
		n.fixed = n.fixed && arg.fixed
	}
	if n.fixed && n.op != opNumber {
		n.value = n.compute(nil)
	}
}

// at computes a node from the values of the names.
func (n *node) at(x []float64) float64 {
	switch {
	case n.fixed:
		return n.value
	case n.op == opName:
		return x[n.name]
	}
	return n.compute(x)
}

// compute applies the operation of n to its arguments.
func (n *node) compute(x []float64) float64 {
	if len(n.args) == 1 {
		return of1(n.op, n.args[0].at(x))
	}
	r := n.args[0].at(x)
	for _, arg := range n.args[1:] {
		r = of2(n.op, r, arg.at(x))
	}
	return r
}

// Eval returns the formula's value.
//
//	x  the value of each name in SI units, in the order of Names
//
// Where the formula has no finite value an *Error says at which operation.
func (p *Program) Eval(x []float64) (float64, error) {
	var room [16]float64
	stack := room[:]
	if p.depth > len(room) {
		stack = make([]float64, p.depth)
	}
	top := -1
	for i := range p.code {
		switch in := &p.code[i]; in.op {
		case opNumber:
			top++
			stack[top] = in.value
		case opName:
			top++
			stack[top] = x[in.name]
		case opAdd:
			top--
			stack[top] += stack[top+1]
		case opSub:
			top--
			stack[top] -= stack[top+1]
		case opMul:
			top--
			stack[top] *= stack[top+1]
		case opDiv:
			top--
			stack[top] /= stack[top+1]
		case opSquare:
			stack[top] *= stack[top]
		case opMin, opMax, opPow:
			top--
			stack[top] = of2(in.op, stack[top], stack[top+1])
		default:
			stack[top] = of1(in.op, stack[top])
		}
	}
	if y := stack[0]; !math.IsNaN(y) && !math.IsInf(y, 0) {
		return y, nil
	}
	return 0, p.formula.root.broken(x)
}

// broken returns an error that names the first operation without a finite value.
func (n *node) broken(x []float64) error {
	for _, arg := range n.args {
		if y := arg.at(x); math.IsNaN(y) || math.IsInf(y, 0) {
			return arg.broken(x)
		}
	}
	problem := n.label + " has no finite value"
	if len(n.args) == 1 {
		problem += fmt.Sprintf(" at %.6g", n.args[0].at(x))
	}
	if len(n.args) == 2 {
		problem += fmt.Sprintf(" of %.6g and %.6g", n.args[0].at(x), n.args[1].at(x))
	}
	return n.fault(problem, "want values for which the formula exists")
}
