package formula

import (
	"math"
	"strconv"
	"unicode"
)

// kind says what a token is; an operator is its own kind.
type kind rune

const (
	end    kind = -1 - iota
	number      // value holds it
	name        // text holds it
)

// token is one symbol of a formula, with its place in characters from 0.
type token struct {
	kind         kind
	text         string
	value        float64
	start, width int
}

// scanner cuts a formula into tokens.
type scanner struct {
	text []rune
	pos  int
}

// operators maps every accepted spelling of one character to the operator.
var operators = map[rune]kind{
	'+': '+', '-': '-', '−': '-', '–': '-', '*': '*', '·': '*', '×': '*', '⋅': '*', '/': '/', '÷': '/',
	'^': '^', '²': '²', '³': '³', '(': '(', ')': ')', ',': ',',
}

func (s *scanner) next() (token, *Error) {
	for s.pos < len(s.text) && unicode.IsSpace(s.text[s.pos]) {
		s.pos++
	}
	start := s.pos
	if start == len(s.text) {
		return token{kind: end, start: start, width: 1}, nil
	}
	c := s.text[start]
	switch op, known := operators[c]; {
	case isDigit(c) || c == '.':
		return s.number()
	case unicode.IsLetter(c):
		for s.pos < len(s.text) && isNamePart(s.text[s.pos]) {
			s.pos++
		}
		return s.token(name, start), nil
	case c == '*' && start+1 < len(s.text) && s.text[start+1] == '*':
		s.pos += 2
		return s.token('^', start), nil
	case known:
		s.pos++
		return s.token(op, start), nil
	}
	return token{}, &Error{start + 1, 1, strconv.Quote(string(c)) + " has no meaning in a formula",
		"want names, numbers, + - * / ^, parentheses and functions"}
}

func (s *scanner) token(k kind, start int) token {
	return token{kind: k, text: string(s.text[start:s.pos]), start: start, width: s.pos - start}
}

// number reads digits, a decimal point and an exponent.
func (s *scanner) number() (token, *Error) {
	start := s.pos
	s.digits()
	if s.at('.') {
		s.pos++
		s.digits()
	}
	if mark := s.pos; s.at('e') || s.at('E') {
		s.pos++
		if s.at('+') || s.at('-') {
			s.pos++
		}
		if digits := s.pos; digits == s.digits() {
			s.pos = mark // the e begins a name
		}
	}
	t := s.token(number, start)
	value, err := strconv.ParseFloat(t.text, 64)
	if err != nil || math.IsInf(value, 0) {
		return token{}, &Error{start + 1, t.width, strconv.Quote(t.text) + " is no number", "want a number such as 1.5e-3"}
	}
	t.value = value
	return t, nil
}

// digits steps over digits and returns the position reached.
func (s *scanner) digits() int {
	for s.pos < len(s.text) && isDigit(s.text[s.pos]) {
		s.pos++
	}
	return s.pos
}

func (s *scanner) at(c rune) bool { return s.pos < len(s.text) && s.text[s.pos] == c }

func isDigit(c rune) bool { return '0' <= c && c <= '9' }

func isNamePart(c rune) bool { return c == '_' || unicode.IsLetter(c) || unicode.IsDigit(c) }

// IsName reports whether s can stand as a name in a formula and is no function or constant.
func IsName(s string) bool {
	for i, c := range s {
		if i == 0 && !unicode.IsLetter(c) || !isNamePart(c) {
			return false
		}
	}
	_, taken := functions[s]
	return s != "" && !taken && s != "pi"
}
