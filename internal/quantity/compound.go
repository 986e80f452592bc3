package quantity

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// factor is one symbol of a compound unit with its power, never 0.
type factor struct {
	symbol string
	power  int
}

// UnitDimension returns the dimension of a unit as it may follow a number ("kΩ",
// "mV/K", "W/(m·K)", "EUR/h", ASCII spellings too) and the SI units that one of it
// makes; for "°C" the scale of a difference, 1. ok is false if it is no unit.
func UnitDimension(spelling string) (dim Dimension, scale float64, ok bool) {
	u, err := parseUnit(canonical(spelling))
	if err != nil {
		return Dimension{}, 0, false
	}
	return u.dim, u.scale.float(), true
}

// unitFault says which part of a unit is not understood.
type unitFault struct {
	offset  int    // bytes from the unit's start
	part    string // the part at fault
	problem string
	remedy  string // "" asks for the nearest spelling
}

const maxUnit = 80 // bytes

// parseUnit reads a whole unit in canonical characters.
//
//	unit        = ["1"] ["/" denominator] | product {"/" denominator}
//	product     = power {["·" | "*"] power}      the sign may be left out after an exponent: A²s
//	denominator = "(" product ")" | power        and W/m²K, which is W/(m²·K)
func parseUnit(s string) (unit, *unitFault) {
	if u, ok := symbol(s); ok {
		return u, nil
	}
	if len(s) > maxUnit {
		return unit{}, &unitFault{0, s, "the unit is too long", "at most 80 bytes are accepted"}
	}
	c := compound{text: s}
	if fault := c.read(); fault != nil {
		return unit{}, fault
	}
	if len(c.over)+len(c.under) == 1 && len(c.over) == 1 && c.over[0] == (factor{"°C", 1}) {
		return symbols["°C"], nil
	}
	return c.unit()
}

// compound is a unit being read.
type compound struct {
	text        string
	pos         int
	over, under []factor
}

func (c *compound) read() *unitFault {
	if strings.HasPrefix(c.text, "1/") {
		c.pos = 1
	} else if !strings.HasPrefix(c.text, "/") {
		if fault := c.product(1, true); fault != nil {
			return fault
		}
	}
	for c.pos < len(c.text) {
		if c.text[c.pos] != '/' {
			return c.fault(c.pos, len(c.text), "")
		}
		c.pos++
		group := strings.HasPrefix(c.text[c.pos:], "(")
		if group {
			c.pos++
		}
		start := c.pos
		if fault := c.product(-1, group); fault != nil {
			return fault
		}
		if group {
			if !strings.HasPrefix(c.text[c.pos:], ")") {
				return &unitFault{start - 1, c.text[start-1:], "no closing ) in the unit", "write W/(m·K)"}
			}
			c.pos++
		}
	}
	return nil
}

// product reads factors up to one that no product sign joins. Below a "/" and outside
// brackets a product sign could be read two ways and is refused.
func (c *compound) product(sign int, signs bool) *unitFault {
	for {
		start := c.pos
		f, fault := c.factor(sign)
		if fault != nil {
			return fault
		}
		if f.power > 0 {
			c.over = append(c.over, f)
		} else {
			c.under = append(c.under, factor{f.symbol, -f.power})
		}
		rest := c.text[c.pos:]
		joined := strings.HasPrefix(rest, "·") || strings.HasPrefix(rest, "*")
		switch {
		case joined && !signs:
			problem := "the unit " + quote(c.text) + " can be read in two ways"
			return &unitFault{0, c.text, problem, "put what is below the / in brackets, such as W/(m·K)"}
		case joined:
			_, size := utf8.DecodeRuneInString(rest)
			c.pos += size
		case rest == "" || strings.ContainsRune("/)", rune(rest[0])) || c.pos == start:
			return nil
		case !endsInPower(c.text[:c.pos]):
			return c.fault(start, len(c.text), "")
		}
	}
}

// factor reads one symbol and its power.
func (c *compound) factor(sign int) (factor, *unitFault) {
	start := c.pos
	end := start + strings.IndexFunc(c.text[start:], endsSymbol)
	if end < start {
		end = len(c.text)
	}
	u, ok := symbol(c.text[start:end])
	if !ok || strings.Contains(u.text, "·") {
		return factor{}, c.fault(start, end, "")
	}
	c.pos = end
	power, size := leadingPower(c.text[end:])
	if power == 0 || power > maxPower || power < -maxPower {
		return factor{}, c.fault(start, end+size, "powers up to 12 are accepted")
	}
	c.pos += size
	return factor{u.text, sign * power}, nil
}

func (c *compound) fault(start, end int, remedy string) *unitFault {
	part := c.text[start:end]
	if part == "" {
		return &unitFault{0, c.text, "unknown unit " + quote(c.text), remedy}
	}
	return &unitFault{start, part, "unknown unit " + quote(part), remedy}
}

// unit multiplies the factors out.
func (c *compound) unit() (unit, *unitFault) {
	whole := unit{scale: exact{n: 1, d: 1}}
	for _, side := range []struct {
		factors []factor
		sign    int
	}{{c.over, 1}, {c.under, -1}} {
		for i, f := range side.factors {
			u, _ := symbol(f.symbol)
			if u.dim.Point {
				side.factors[i].symbol = "K"
			}
			if u.currency != "" && whole.currency != "" {
				return unit{}, &unitFault{0, c.text, "two sums of money in the unit " + quote(c.text), "name one currency"}
			}
			whole.currency += u.currency
			whole.dim = whole.dim.Mul(u.dim.Pow(f.power * side.sign))
			for range f.power {
				if side.sign > 0 {
					whole.scale = whole.scale.mul(u.scale)
				} else {
					whole.scale = whole.scale.mul(u.scale.inverse())
				}
			}
		}
	}
	whole.text = spell(c.over, c.under)
	return whole, nil
}

// spell writes a compound unit in its canonical form: "A²s", "W/(m²·K)", "1/h".
func spell(over, under []factor) string {
	var b strings.Builder
	for i, f := range over {
		if i > 0 && over[i-1].power == 1 {
			b.WriteString("·")
		}
		f.write(&b)
	}
	if len(under) == 0 {
		return b.String()
	}
	if len(over) == 0 {
		b.WriteByte('1')
	}
	b.WriteByte('/')
	if len(under) > 1 {
		b.WriteByte('(')
	}
	for i, f := range under {
		if i > 0 {
			b.WriteString("·")
		}
		f.write(&b)
	}
	if len(under) > 1 {
		b.WriteByte(')')
	}
	return b.String()
}

// superscripts are the digits of a power, in order; raised minus is U+207B.
const (
	superscripts = "⁰¹²³⁴⁵⁶⁷⁸⁹"
	raisedMinus  = "⁻"
	maxPower     = 12
)

func (f factor) write(b *strings.Builder) {
	b.WriteString(f.symbol)
	if f.power == 1 {
		return
	}
	digits := []rune(superscripts)
	for _, c := range strconv.Itoa(f.power) {
		b.WriteRune(digits[c-'0'])
	}
}

// leadingPower reads "²", "2", "^2", "⁻¹" or "^-1"; without one the power is 1.
func leadingPower(s string) (power, size int) {
	rest, sign := s, 1
	rest, caret := strings.CutPrefix(rest, "^")
	minus := raisedMinus
	if caret {
		minus = "-"
	}
	if after, found := strings.CutPrefix(rest, minus); found {
		rest, sign = after, -1
	}
	digits := 0
	for _, r := range rest {
		value := powerDigit(r)
		if value < 0 {
			break
		}
		power = min(10*power+value, maxPower+1)
		digits += utf8.RuneLen(r)
	}
	if digits == 0 && len(rest) == len(s) {
		return 1, 0
	}
	return sign * power, len(s) - len(rest) + digits
}

// powerDigit returns the digit that r is, raised or not, or -1.
func powerDigit(r rune) int {
	switch {
	case '0' <= r && r <= '9':
		return int(r - '0')
	case r == '¹':
		return 1
	case r == '²', r == '³':
		return int(r-'²') + 2
	case '⁰' <= r && r <= '⁹':
		return int(r - '⁰')
	}
	return -1
}

func endsInPower(s string) bool {
	r, _ := utf8.DecodeLastRuneInString(s)
	return powerDigit(r) >= 0
}

func endsSymbol(r rune) bool {
	switch r {
	case '/', '·', '*', '(', ')', '^', '⁻':
		return true
	}
	return powerDigit(r) >= 0
}
