package quantity

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// fault returns an error about the bytes from start to end, without the spaces at its end.
func (p *parser) fault(start, end int, problem, want string) *Error {
	width := utf8.RuneCountInString(strings.TrimRight(p.text[start:end], " "))
	return &Error{
		Column: utf8.RuneCountInString(p.text[:start]) + 1, Width: max(width, 1),
		Problem: problem, Want: want,
	}
}

// refuse returns an error that begins with the bytes from start to end.
func (p *parser) refuse(start, end int, says, want string) *Error {
	return p.fault(start, end, quote(p.text[start:end])+says, want)
}

// refuseAll returns an error that begins with the whole text.
func (p *parser) refuseAll(says, want string) *Error {
	return p.refuse(len(p.text)-len(strings.TrimLeft(p.text, " ")), len(p.text), says, want)
}

// wanted returns what is wanted here.
func (p *parser) wanted() string {
	if p.asked {
		return p.want.wanted()
	}
	return "want a number with its unit, such as 27.3 V"
}

// mismatch says what was given, and what is wanted instead.
func (p *parser) mismatch(start int, m measure) *Error {
	problem := quote(p.text[start:m.end]) + " is " + an(m.unit.dim.Name())
	if m.unit.dim == Money && len(m.unit.text) == 3 {
		problem += " in " + m.unit.text
	}
	return p.fault(start, m.end, problem, p.wanted())
}

// noNumber says why no number starts here.
func (p *parser) noNumber() *Error {
	rest := p.text[p.pos:]
	if rest == "" {
		return p.fault(p.pos, len(p.text), "nothing where a number belongs", p.wanted())
	}
	if unsigned := strings.TrimLeft(rest, "+-"); len(unsigned) > 1 && unsigned[0] == '.' && isDigit(unsigned[1]) {
		lead := rest[:len(rest)-len(unsigned)]
		return p.fault(p.pos, len(p.text), quote(rest)+" starts with a point", "write "+clip(lead+"0"+unsigned))
	}
	return p.fault(p.pos, len(p.text), quote(rest)+" does not start with a number", p.wanted())
}

// afterNumber refuses commas, grouped digits and points that a number cannot have.
func (p *parser) afterNumber(m measure) *Error {
	rest := p.text[m.end:]
	if rest == "" {
		return nil
	}
	whole, digits := p.text[m.start:], p.text[m.start:m.end]
	switch next := rest[1:]; {
	case rest[0] == ',' && next != "" && isDigit(next[0]):
		return p.comma(m)
	case rest[0] == '.' && !strings.HasPrefix(rest, ".."):
		return p.fault(m.start, len(p.text), quote(whole)+" is not a number", p.wanted())
	case (rest[0] == '_' || rest[0] == '\'' || rest[0] == ' ') && next != "" && isDigit(next[0]) && !strings.HasPrefix(next, "1/"):
		_, size, _ := scanNumber(next)
		joined := digits + next[:size]
		return p.refuse(m.start, m.end+1+size, " has its digits in groups", "write "+clip(joined+next[size:]))
	case (rest[0] == 'x' || rest[0] == 'X') && strings.TrimLeft(digits, "+-") == "0":
		return p.fault(m.start, len(p.text), quote(whole)+" is not a decimal number", p.wanted())
	}
	return nil
}

// comma says how to write a number that has one.
func (p *parser) comma(m measure) *Error {
	rest := p.text[m.end+1:]
	size := 0
	for size < len(rest) && isDigit(rest[size]) {
		size++
	}
	digits := p.text[m.start:m.end]
	tail := strings.TrimLeft(rest[size:], " ")
	point := clip(joinUnit(digits+"."+rest[:size], tail))
	whole := quote(p.text[m.start:])
	if after := rest[size:]; size == 3 && len(after) > 1 && after[0] == '.' && isDigit(after[1]) {
		return p.fault(m.start, len(p.text), whole+": comma in a number", "write "+clip(digits+rest))
	}
	if size == 3 {
		return p.fault(m.start, len(p.text), whole+": comma in a number", "write "+clip(joinUnit(digits+rest[:size], tail))+", or "+point)
	}
	return p.fault(m.start, len(p.text), whole+": decimal comma", "write "+point)
}

// noUnit says that a number has no unit.
func (p *parser) noUnit(m measure) *Error {
	rest := strings.TrimLeft(p.text[m.end:], " ")
	if strings.HasPrefix(rest, "-") {
		return p.fault(m.start, m.end, "no unit", "write a range with two dots, such as 2..3 V")
	}
	if both := p.unitOnBoth(m, rest); both != "" {
		return p.fault(m.start, m.end, "no unit", "write "+clip(both))
	}
	return p.fault(m.start, m.end, "no unit", p.wanted())
}

// unitOnBoth writes "52 ± 1 deg" as "52 deg ± 1 deg", or returns "" if what follows is not a tolerance in a unit that fits.
func (p *parser) unitOnBoth(m measure, rest string) string {
	tolerance, ok := strings.CutPrefix(rest, "±")
	if !ok {
		tolerance, ok = strings.CutPrefix(rest, "+-")
	}
	tolerance = strings.Trim(tolerance, " ")
	_, size, _ := scanNumber(tolerance)
	unit := strings.TrimLeft(tolerance[size:], " ")
	dim, _, known := UnitDimension(unit)
	if !ok || size == 0 || !known || dim == Ratio || p.asked && dim != p.want {
		return ""
	}
	return joinUnit(p.text[m.start:m.end], unit) + " ± " + joinUnit(tolerance[:size], unit)
}

// quote returns a text as it stands in an error, long ones cut.
func quote(s string) string { return strconv.Quote(clip(strings.Trim(s, " "))) }

// clip cuts a text to what an error can hold.
func clip(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "…"
}

// joinUnit writes a number with its unit as the SI Brochure, 5.4.3, sets it: with a space,
// but none before the degree of angle.
func joinUnit(number, unit string) string {
	switch {
	case unit == "" || unit == "°":
		return number + unit
	case unit == "digits" && strings.TrimLeft(number, "±") == "1":
		return number + " digit"
	}
	return number + " " + unit
}
