package quantity

import (
	"math"
	"strings"
	"unicode/utf8"
)

// measure is a number and its unit as read.
type measure struct {
	value      number
	unit       unit
	bare       bool // without a unit
	start, end int
}

// delta returns the amount in SI units, of a temperature as a difference.
func (m measure) delta() exact { return m.value.value.mul(m.unit.scale) }

// si returns the amount in SI units, of a temperature in kelvin from absolute zero.
func (m measure) si() exact { return m.unit.si(m.value.value) }

// fine reports whether the number is given so finely, or is so near to 0, that another
// number may stand for the same float64.
func (m measure) fine(value float64) bool {
	const normal = 1e-300
	return m.value.digits > plainDigits || value != 0 && math.Abs(value) < normal
}

func (u unit) si(x exact) exact {
	x = x.mul(u.scale)
	if u.dim.Point {
		x = x.add(zeroCelsius)
	}
	return x
}

// difference returns the unit of differences of what is counted in u.
func (u unit) difference() unit {
	if u.dim.Point {
		return symbols["K"]
	}
	return u
}

// shown returns the unit's text for use in a sentence.
func (u unit) shown() string {
	if u.text == "" {
		return "plain numbers"
	}
	return u.text
}

// plainRatio is the unit of a number without one.
var plainRatio = unit{scale: exact{n: 1, d: 1}}

func (p *parser) spaces() {
	for p.pos < len(p.text) && p.text[p.pos] == ' ' {
		p.pos++
	}
}

// sign reads a plus-minus sign.
func (p *parser) sign() bool {
	for _, s := range [...]string{"±", "+-", "+/-"} {
		if strings.HasPrefix(p.text[p.pos:], s) {
			p.pos += len(s)
			return true
		}
	}
	return false
}

// word reads w if no letter follows it.
func (p *parser) word(w string) bool {
	rest, found := strings.CutPrefix(p.text[p.pos:], w)
	if !found || rest != "" && rest[0] != ' ' && !isDigit(rest[0]) {
		return false
	}
	p.pos += len(w)
	return true
}

// amount reads the measure after mark, which is never negative.
func (p *parser) amount(mark string) (measure, *Error) {
	p.spaces()
	m, err := p.measure()
	if err != nil {
		return m, err
	}
	if c := p.text[m.start]; c == '-' || c == '+' {
		return m, p.refuse(m.start, m.end, " has a sign of its own", "leave it out after "+mark)
	}
	return m, nil
}

// measure reads a number and, if there is one, its unit.
func (p *parser) measure() (measure, *Error) {
	m := measure{start: p.pos}
	value, size, outsized := scanNumber(p.text[p.pos:])
	if size == 0 {
		return m, p.noNumber()
	}
	p.pos += size
	m.value, m.end = value, p.pos
	if outsized {
		return m, p.refuse(m.start, m.end, " is too large or too small", "want an exponent within ±400")
	}
	if err := p.afterNumber(m); err != nil {
		return m, err
	}
	p.spaces()
	token := unitToken(p.text[p.pos:])
	if token == "" || token == "sd" {
		p.pos, m.bare = m.end, true
		return m, nil
	}
	u, fault := parseUnit(token)
	if fault != nil {
		return m, p.badUnit(m, fault)
	}
	p.pos += len(token)
	m.unit, m.end = u, p.pos
	return m, nil
}

// unitToken returns the unit at the start of s, "" if there is none.
func unitToken(s string) string {
	depth := 0
	var before rune
	for i, r := range s {
		switch {
		case r == ' ', r == '±', r == '+', r == ',', r == '-' && before != '^', strings.HasPrefix(s[i:], ".."):
			return s[:i]
		case isDigit(byte(r)) && r < utf8.RuneSelf && i == 0 && !strings.HasPrefix(s, "1/"):
			return ""
		case r == '(' && before != '/':
			return s[:i]
		case r == '(':
			depth++
		case r == ')':
			depth--
			if depth < 0 {
				return s[:i]
			}
		}
		before = r
	}
	return s
}

// needUnit lends a unit to a number that lacks one, where that is allowed.
func (p *parser) needUnit(m *measure) *Error {
	switch {
	case !m.bare:
		return nil
	case p.lent != nil:
		m.unit = *p.lent
	case p.asked && p.want == Ratio:
		m.unit = plainRatio
	default:
		return p.noUnit(*m)
	}
	return nil
}

// round returns the nearest float64 to what m says, which is to be finite and, unless
// it is 0, not to round to 0.
func (p *parser) round(x exact, m measure) (float64, *Error) {
	f := x.float()
	switch {
	case math.IsInf(f, 0):
		return 0, p.refuse(m.start, m.end, " is too large", "want a number below 1e308 in SI units")
	case f == 0 && x.sign() != 0:
		return 0, p.refuse(m.start, m.end, " is too small", "want 0, or a number above 1e-308 in SI units")
	}
	return f, nil
}
