package quantity

import (
	"strings"
	"unicode/utf8"
)

// canonical replaces the many spellings of one character by one, character for
// character, so that columns stay.
func canonical(s string) string {
	for _, r := range s {
		if r == '\t' || r >= utf8.RuneSelf && canonicalRune(r) != r {
			return strings.Map(canonicalRune, s)
		}
	}
	return s
}

func canonicalRune(r rune) rune {
	switch r {
	case '\t', '\u00a0', '\u2002', '\u2003', '\u2007', '\u2009', '\u200a', '\u202f':
		return ' '
	case '\u2010', '\u2011', '\u2012', '\u2013', '\u2212': // hyphens, dashes, minus
		return '-'
	case '\u2126': // ohm sign
		return 'Ω'
	case '\u03bc': // Greek mu
		return 'µ'
	case '\u00ba', '\u02da': // ordinal sign, ring above
		return '°'
	case '\u212a': // kelvin sign
		return 'K'
	case '\u22c5', '\u2219': // dot operator, bullet operator
		return '·'
	case '\u2044', '\u2215': // fraction and division slash
		return '/'
	}
	return r
}

// meant holds what to write for words and units that are not accepted.
var meant = map[string]string{
	"°F": "°C", "degF": "°C", "celsius": "°C", "kelvin": "K", "degrees": "deg",
	"in": "mm", "inch": "mm", "mil": "mm", "mils": "mm", "ft": "m", "oz": "g", "psi": "hPa",
	"volt": "V", "volts": "V", "amp": "A", "amps": "A", "ampere": "A", "watt": "W", "watts": "W", "R": "Ω",
	"hr": "h", "hrs": "h", "sec": "s", "secs": "s", "mins": "min", "yr": "year", "yrs": "year", "mth": "month",
	"€": "EUR", "$": "USD", "£": "GBP", "digit.": "digits", "dgt": "digits", "pct": "%", "percent": "%", "…": "..", "to": "..",
}

// badUnit turns a fault in a unit into an error with its remedy.
func (p *parser) badUnit(m measure, f *unitFault) *Error {
	start, whole := p.pos+f.offset, unitToken(p.text[p.pos:])
	end := start + len(f.part)
	if code := lettered(p.text[m.start:m.end] + whole); code != "" && !strings.Contains(p.text[m.start:p.pos], " ") {
		return p.refuse(m.start, p.pos+len(whole), " has a letter for its point", "write "+code)
	}
	remedy := f.remedy
	if remedy == "" {
		remedy = p.remedyFor(f.part)
	}
	return p.fault(start, end, f.problem, remedy)
}

// remedyFor says what to write in place of an unknown unit.
func (p *parser) remedyFor(part string) string {
	if better, known := meant[part]; known {
		return "write " + better
	}
	if strings.Contains(" p n µ u c k M G ", " "+part+" ") {
		example := part + "Ω"
		if prefixed := part + p.want.Unit(); p.asked && symbols[prefixed].dim == p.want {
			example = prefixed
		}
		return "put a unit after the prefix, such as " + example
	}
	if near := p.nearest(part); near != "" {
		return "did you mean " + near
	}
	if p.asked {
		return p.wanted()
	}
	return "want a unit such as V, mA, kΩ or °C"
}

// lettered returns the value of a resistor code that has a letter for its point:
// "4.7 kΩ" of "4k7"; "" if it is none.
func lettered(code string) string {
	at := strings.IndexAny(code, "RkM")
	if at < 1 || at+1 == len(code) || strings.Trim(code[:at]+code[at+1:], "0123456789") != "" {
		return ""
	}
	return code[:at] + "." + code[at+1:] + " " + strings.TrimPrefix(code[at:at+1], "R") + "Ω"
}

// nearest returns the accepted spelling most like part, of the wanted dimension if one
// is near; "" if none is.
func (p *parser) nearest(part string) string {
	best, least := "", 1<<30
	most := tolerated(part)
	for spelling, u := range symbols {
		if apart := len(part) - len(spelling); 4*max(apart, -apart) > most+4 { // a letter has one byte or two
			continue
		}
		cost := unlike(part, spelling)
		if cost > most {
			continue
		}
		if p.asked && u.dim != p.want {
			cost += 100
		}
		if cost < least || cost == least && spelling < best {
			best, least = spelling, cost
		}
	}
	return best
}

// tolerated returns up to which unlike a spelling is near: a change of case always, one
// letter of three, two of six.
func tolerated(part string) int {
	const letter = 4
	return letter*min(utf8.RuneCountInString(part)/3, 2) + letter - 1
}

// unlike counts 4 for each letter to change, insert or leave out to turn a into b without
// regard to case (Levenshtein's distance), and 1 for each letter of another case, 3 at most.
func unlike(a, b string) int {
	from, to := []rune(a), []rune(b)
	foldedFrom, foldedTo := []rune(strings.ToLower(a)), []rune(strings.ToLower(b))
	if len(foldedFrom) != len(from) || len(foldedTo) != len(to) {
		foldedFrom, foldedTo = from, to
	}
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i := range foldedFrom {
		corner := row[0]
		row[0] = i + 1
		for j := range foldedTo {
			change := corner
			if foldedFrom[i] != foldedTo[j] {
				change++
			}
			corner = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	cases := 0
	for i := range min(len(from), len(to)) {
		if from[i] != to[i] && foldedFrom[i] == foldedTo[i] {
			cases++
		}
	}
	return 4*row[len(to)] + min(cases, 3)
}
