package formula

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
)

// A Formula is a formula that was read and not yet checked for dimensions.
type Formula struct {
	root  *node
	names []string
}

// node is an operation, with its place in the text in characters from 0. A number or name has
// no arguments.
type node struct {
	op           op
	args         []*node
	fixed        bool    // holds no name, so that value is its value
	value        float64 // if fixed
	name         int     // of opName: index into Formula.names
	label        string  // as written
	start, width int
}

// Names returns the names that the formula uses, in the order of their first use.
func (f *Formula) Names() []string { return slices.Clone(f.names) }

const (
	maxText  = 4000 // characters
	maxDepth = 100  // of parentheses, signs and powers
)

// Parse reads a formula. Every error is an *Error.
func Parse(text string) (*Formula, error) {
	p := &parser{scan: scanner{text: []rune(text)}, formula: &Formula{}}
	if len(p.scan.text) > maxText {
		return nil, &Error{1, 1, "the formula is too long", fmt.Sprintf("at most %d characters are accepted", maxText)}
	}
	root, err := p.whole()
	if err != nil {
		return nil, err
	}
	root.fold()
	p.formula.root = root
	return p.formula, nil
}

// parser reads by recursive descent, one function for each binding strength.
type parser struct {
	scan    scanner
	tok     token
	depth   int
	formula *Formula
}

func (p *parser) whole() (*node, *Error) {
	if err := p.advance(); err != nil {
		return nil, err
	}
	root, err := p.sum()
	if err != nil {
		return nil, err
	}
	if p.tok.kind != end {
		return nil, p.unexpected("want an operator before it, or nothing")
	}
	return root, nil
}

func (p *parser) advance() (err *Error) {
	p.tok, err = p.scan.next()
	return err
}

func (p *parser) unexpected(want string) *Error {
	problem := strconv.Quote(p.tok.text) + " is not expected here"
	if p.tok.kind == end {
		problem = "the formula ends too early"
	}
	return &Error{p.tok.start + 1, p.tok.width, problem, want}
}

// deeper guards the stack against endless nesting.
func (p *parser) deeper() *Error {
	if p.depth++; p.depth > maxDepth {
		return &Error{p.tok.start + 1, p.tok.width, "the formula is nested too deeply", fmt.Sprintf("at most %d levels are accepted", maxDepth)}
	}
	return nil
}

var (
	sums     = map[kind]op{'+': opAdd, '-': opSub}
	products = map[kind]op{'*': opMul, '/': opDiv}
)

// sum = product {("+" | "-") product}
func (p *parser) sum() (*node, *Error) { return p.chain((*parser).product, sums) }

// product = signed {("*" | "/") signed}
func (p *parser) product() (*node, *Error) { return p.chain((*parser).signed, products) }

func (p *parser) chain(part func(*parser) (*node, *Error), ops map[kind]op) (*node, *Error) {
	left, err := part(p)
	for err == nil {
		op, known := ops[p.tok.kind]
		if !known {
			return left, nil
		}
		sign := p.tok
		if err = p.advance(); err != nil {
			break
		}
		var right *node
		if right, err = part(p); err == nil {
			left = &node{op: op, args: []*node{left, right}, label: sign.text, start: sign.start, width: sign.width}
		}
	}
	return nil, err
}

// signed = ("+" | "-") signed | power
func (p *parser) signed() (*node, *Error) {
	if p.tok.kind != '+' && p.tok.kind != '-' {
		return p.power()
	}
	if err := p.deeper(); err != nil {
		return nil, err
	}
	defer func() { p.depth-- }()
	sign := p.tok
	if err := p.advance(); err != nil {
		return nil, err
	}
	arg, err := p.signed()
	if err != nil || sign.kind == '+' {
		return arg, err
	}
	return &node{op: opNeg, args: []*node{arg}, label: sign.text, start: sign.start, width: sign.width}, nil
}

// power = value ["²" | "³" | "^" signed]
func (p *parser) power() (*node, *Error) {
	base, err := p.primary()
	if err != nil {
		return nil, err
	}
	sign := p.tok
	exponent := &node{op: opNumber, start: sign.start, width: sign.width, label: sign.text}
	switch sign.kind {
	case '²':
		exponent.value, err = 2, p.advance()
	case '³':
		exponent.value, err = 3, p.advance()
	case '^':
		if err = p.deeper(); err == nil {
			err = p.advance()
		}
		if err == nil {
			exponent, err = p.signed()
		}
		p.depth--
	default:
		return base, nil
	}
	if err != nil {
		return nil, err
	}
	return &node{op: opPow, args: []*node{base, exponent}, label: sign.text, start: sign.start, width: sign.width}, nil
}

const wantValue = "want a number, a name, a function or ("

// primary = number | name | function "(" sum {"," sum} ")" | "(" sum ")"
func (p *parser) primary() (*node, *Error) {
	t := p.tok
	switch t.kind {
	case number:
		return &node{op: opNumber, value: t.value, label: t.text, start: t.start, width: t.width}, p.advance()
	case name:
		if err := p.advance(); err != nil {
			return nil, err
		}
		return p.named(t)
	case '(':
		inside, err := p.list()
		if err != nil {
			return nil, err
		}
		if len(inside) != 1 {
			return nil, &Error{t.start + 1, 1, "a list of values where one is wanted", "want a function's name before the ("}
		}
		return inside[0], nil
	}
	return nil, p.unexpected(wantValue)
}

// named reads on after a name: a function's arguments, or nothing.
func (p *parser) named(t token) (*node, *Error) {
	n := &node{label: t.text, start: t.start, width: t.width}
	function, known := functions[t.text]
	switch {
	case known && p.tok.kind != '(':
		return nil, &Error{t.start + 1, t.width, strconv.Quote(t.text) + " is a function", "want its arguments in parentheses after it"}
	case known:
		args, err := p.list()
		if err != nil {
			return nil, err
		}
		if len(args) < function.least || len(args) > function.most {
			return nil, &Error{t.start + 1, t.width, fmt.Sprintf("%s has %d arguments", t.text, len(args)), "want " + function.wants()}
		}
		n.op, n.args = function.op, args
	case p.tok.kind == '(':
		return nil, &Error{t.start + 1, t.width, strconv.Quote(t.text) + " is no known function",
			"want one of " + strings.Join(slices.Sorted(maps.Keys(functions)), ", ") + ", or * before the ("}
	case t.text == "pi":
		n.op, n.value = opNumber, math.Pi
	default:
		n.op, n.name = opName, p.index(t.text)
	}
	return n, nil
}

// list reads "(" sum {"," sum} ")".
func (p *parser) list() ([]*node, *Error) {
	open := p.tok
	if err := p.deeper(); err != nil {
		return nil, err
	}
	defer func() { p.depth-- }()
	var list []*node
	for p.tok.kind == open.kind && list == nil || p.tok.kind == ',' {
		if err := p.advance(); err != nil {
			return nil, err
		}
		n, err := p.sum()
		if err != nil {
			return nil, err
		}
		list = append(list, n)
	}
	switch p.tok.kind {
	case ')':
		return list, p.advance()
	case end:
		return nil, &Error{open.start + 1, 1, "this ( is never closed", "want a )"}
	}
	return nil, p.unexpected("want an operator or )")
}

func (p *parser) index(name string) int {
	i := slices.Index(p.formula.names, name)
	if i < 0 {
		i = len(p.formula.names)
		p.formula.names = append(p.formula.names, name)
	}
	return i
}
