package quantity

import (
	"math"
	"strings"
	"unicode/utf8"
)

// ParseSize reads one to three lengths above 0, "82 mm x 60 mm x 28 mm", with x, × or *
// between them. Those without a unit take the next one's.
func ParseSize(s string) ([]Quantity, error) {
	pieces := strings.Split(strings.Map(times, canonical(s)), "x")
	if len(pieces) > 3 {
		return nil, &Error{1, utf8.RuneCountInString(s), "more than three lengths", "want a size such as 82 mm x 60 mm x 28 mm"}
	}
	sizes := make([]Quantity, len(pieces))
	var lent *unit
	for i := len(pieces) - 1; i >= 0; i-- {
		p := parser{text: pieces[i], asked: true, want: Length, lent: lent}
		q, err := p.whole()
		if err == nil && q.Low <= 0 {
			err = p.refuseAll(" is not above 0", Length.wanted())
		}
		if err != nil {
			return nil, shifted(err, strings.Join(pieces[:i], "x")+"x"[:min(i, 1)])
		}
		sizes[i], lent = q, &p.unit
	}
	return sizes, nil
}

func times(r rune) rune {
	if strings.ContainsRune("×X*", r) {
		return 'x'
	}
	return r
}

// shifted moves an error's column behind the text that stands before what was parsed.
func shifted(err error, before string) error {
	if e, ok := err.(*Error); ok {
		e.Column += utf8.RuneCountInString(before)
	}
	return err
}

// Held is a level kept for a time: "28.8 V for 2 h".
type Held struct {
	Level Quantity
	Time  Quantity // zero if none is given
}

// ParseHeld reads a level of any dimension and, after "for", how long it is kept.
func ParseHeld(s string) (Held, error) {
	return parseHeld(parser{text: canonical(s)})
}

// ParseHeldAs reads as ParseHeld does and refuses a level that is not of dimension d.
func ParseHeldAs(s string, d Dimension) (Held, error) {
	return parseHeld(parser{text: canonical(s), asked: true, want: d})
}

func parseHeld(p parser) (h Held, err error) {
	level, rest, timed := strings.Cut(p.text, " for ")
	p.text = level
	if h.Level, err = p.whole(); err != nil || !timed {
		return h, err
	}
	p = parser{text: rest, asked: true, want: Time}
	h.Time, err = p.whole()
	if err == nil && h.Time.Low < 0 {
		err = p.refuseAll(" is below 0", Time.wanted())
	}
	if err != nil {
		return Held{}, shifted(err, level+" for ")
	}
	return h, nil
}

// String writes the level and its time in canonical form.
func (h Held) String() string {
	if h.Time == (Quantity{}) {
		return h.Level.String()
	}
	return h.Level.String() + " for " + h.Time.String()
}

// Accuracy is a meter's limit of error either way: a part of the reading, a number of its
// last digits, and an amount, added up.
type Accuracy struct {
	Relative float64  // of the reading
	Digits   float64  // steps of the last digit shown
	Absolute Quantity // zero if none is given; of a temperature, a difference
}

// ParseAccuracy reads "±(0.5 % + 2 digits)", "±0.1 %", "±(0.2 % + 3 mV)". Each kind of
// term comes at most once. The ± and the brackets may be left out.
func ParseAccuracy(s string) (Accuracy, error) {
	p := parser{text: canonical(s)}
	if err := p.tooLong(); err != nil {
		return Accuracy{}, err
	}
	p.spaces()
	p.sign()
	p.spaces()
	open := strings.HasPrefix(p.text[p.pos:], "(")
	if open {
		p.pos++
	}
	var a Accuracy
	for seen := map[Dimension]bool{}; ; {
		p.spaces()
		if err := p.term(&a, seen); err != nil {
			return Accuracy{}, err
		}
		p.spaces()
		if !strings.HasPrefix(p.text[p.pos:], "+") {
			break
		}
		p.pos++
	}
	if open && strings.HasPrefix(p.text[p.pos:], ")") {
		p.pos++
		open = false
	}
	p.spaces()
	if p.pos < len(p.text) || open {
		return Accuracy{}, p.fault(p.pos, len(p.text), "the accuracy does not end here", wantAccuracy)
	}
	return a, nil
}

const wantAccuracy = "want an accuracy such as ±(0.5 % + 2 digits)"

// term reads one of an accuracy's terms.
func (p *parser) term(a *Accuracy, seen map[Dimension]bool) *Error {
	m, err := p.amount("±")
	if err != nil {
		return err
	}
	if m.bare {
		return p.fault(m.start, m.end, "no unit", wantAccuracy)
	}
	amount, err := p.round(m.delta(), m)
	if err != nil {
		return err
	}
	kind := m.unit.dim
	if kind != Ratio && kind != Digit {
		kind = Voltage // stands for every amount
	}
	if seen[kind] {
		return p.refuse(m.start, m.end, " is a second term of its kind", wantAccuracy)
	}
	seen[kind] = true
	switch kind {
	case Ratio:
		a.Relative = amount
	case Digit:
		a.Digits = amount
	default:
		u := m.unit.difference()
		a.Absolute = Quantity{Value: amount, Low: amount, High: amount, Dim: u.dim, Unit: u.text, Currency: u.currency}
	}
	return nil
}

// Limit returns the limit of error at a reading, in the reading's units.
//
//	reading  what is read, SI units
//	digit    one step of the last digit shown, SI units, ≥ 0
//
// Absolute is to be of the reading's dimension.
func (a Accuracy) Limit(reading, digit float64) float64 {
	return a.Relative*math.Abs(reading) + a.Digits*digit + a.Absolute.Value
}

// String writes the accuracy in canonical form; ParseAccuracy gives back the same.
func (a Accuracy) String() string {
	var terms []string
	for _, t := range []struct {
		value float64
		unit  string
	}{{a.Relative, "%"}, {a.Digits, "digits"}} {
		if t.value != 0 {
			_, number := symbols[t.unit].write(t.value)
			terms = append(terms, joinUnit(number, t.unit))
		}
	}
	if a.Absolute != (Quantity{}) {
		terms = append(terms, a.Absolute.String())
	}
	switch len(terms) {
	case 0:
		return "±0 %"
	case 1:
		return "±" + terms[0]
	}
	return "±(" + strings.Join(terms, " + ") + ")"
}
