package quantity

import "strings"

// scatter reads one of ±, +…-…, sd and (low..high).
func (p *parser) scatter() *Error {
	start := p.pos
	switch {
	case p.sign():
		return p.tolerance(start)
	case p.word("sd"):
		return p.deviation(start)
	case p.text[start] == '(':
		return p.brackets(start)
	case p.text[start] == '+' || p.text[start] == '-':
		return p.apart(start)
	}
	return p.fault(start, len(p.text), "unexpected "+quote(p.text[start:]), "after the unit ±, sd, (low..high) or nothing is accepted")
}

// tolerance reads what follows a ±: limits, or their drift.
func (p *parser) tolerance(start int) *Error {
	m, err := p.amount("±")
	if err != nil {
		return err
	}
	if m.unit.dim == PerKelvin && p.q.Dim != PerKelvin {
		return p.setDrift(start, m)
	}
	if err := p.only(start, m.end); err != nil {
		return err
	}
	half, percent, err := p.half(start, m)
	if err != nil {
		return err
	}
	p.q.Percent = percent && m.value.digits <= plainDigits
	return p.setLimits(half.neg(), half, m)
}

// setDrift takes a ± limit of relative change per kelvin.
func (p *parser) setDrift(start int, m measure) *Error {
	switch {
	case p.drift:
		return p.refuse(start, m.end, " is a second drift", "at most one is accepted")
	case p.q.Dim.Point:
		return p.refuse(start, m.end, " after a temperature", "a temperature has no drift")
	case p.q.Spread != Range && p.q.Value == 0:
		return p.refuse(start, m.end, " of 0 is nothing", "a drift needs a nominal value")
	}
	drift, err := p.round(m.si(), m)
	p.drift, p.q.Drift = true, drift
	return err
}

// apart reads limits that lie apart: +0.2 V -0.1 V, in either order.
func (p *parser) apart(start int) *Error {
	if err := p.only(start, len(p.text)); err != nil {
		return err
	}
	var sides [2]exact // below, above; both from 0 up
	var read [2]bool
	for range 2 {
		p.spaces()
		at := p.pos
		if at == len(p.text) || p.text[at] != '+' && p.text[at] != '-' {
			break
		}
		side := 0
		if p.text[at] == '+' {
			side = 1
		}
		p.pos++
		m, err := p.amount(p.text[at:p.pos])
		if err != nil {
			return err
		}
		half, _, err := p.half(at, m)
		if err != nil {
			return err
		}
		sides[side], read[side] = half, true
	}
	if !read[0] || !read[1] {
		return p.refuse(start, p.pos, " is one limit of two", "write both, such as +0.2 V -0.1 V, or a range such as 2..3 V")
	}
	return p.setLimits(sides[0].neg(), sides[1], measure{start: start, end: p.pos})
}

// setLimits takes limits below and above the nominal value.
func (p *parser) setLimits(below, above exact, m measure) *Error {
	low, err := p.round(p.nominal.add(below), m)
	if err != nil {
		return err
	}
	high, err := p.round(p.nominal.add(above), m)
	p.q.Spread, p.q.Low, p.q.High = Limits, low, high
	return err
}

// brackets reads limits by their ends: (2.8..3.6 V).
func (p *parser) brackets(start int) *Error {
	p.pos++
	p.spaces()
	first, err := p.measure()
	if err != nil {
		return err
	}
	p.spaces()
	if !strings.HasPrefix(p.text[p.pos:], "..") {
		return p.fault(start, p.pos, "no range in the brackets", "write both limits, such as (2.8..3.6 V)")
	}
	p.pos += len("..")
	p.spaces()
	last, err := p.measure()
	if err != nil {
		return err
	}
	if last.bare && p.unit.text == "" {
		last.unit = p.unit
	} else if err := p.needUnit(&last); err != nil {
		return err
	}
	if first.bare {
		first.unit = last.unit
	}
	p.spaces()
	if !strings.HasPrefix(p.text[p.pos:], ")") {
		return p.fault(start, p.pos, "no closing )", "write both limits, such as (2.8..3.6 V)")
	}
	p.pos++
	return p.setEnds(start, first, last)
}

func (p *parser) setEnds(start int, first, last measure) *Error {
	if err := p.only(start, p.pos); err != nil {
		return err
	}
	if last.unit.dim != p.q.Dim || last.unit.currency != p.q.Currency {
		return p.refuse(start, p.pos, " is not of the same kind as the nominal value", "give the limits in "+p.unit.shown())
	}
	low, high, err := p.rangeEnds(first, last)
	if err != nil {
		return err
	}
	if low > p.q.Value || p.q.Value > high {
		return p.fault(start, p.pos, "the nominal value is outside "+quote(p.text[start:p.pos]), "want limits around it")
	}
	p.q.Spread, p.q.Low, p.q.High = Limits, low, high
	return nil
}

// deviation reads what follows "sd".
func (p *parser) deviation(start int) *Error {
	m, err := p.amount("sd")
	if err != nil {
		return err
	}
	if err := p.only(start, m.end); err != nil {
		return err
	}
	sd, percent, err := p.half(start, m)
	if err != nil {
		return err
	}
	if sd.sign() == 0 {
		return p.fault(start, m.end, "a standard deviation of 0", "leave it out, or give one above 0")
	}
	p.q.Percent = percent && m.value.digits <= plainDigits
	p.q.SD, err = p.round(sd, m)
	p.q.Spread = Normal
	return err
}

// only makes sure that there is one statement of the spread.
func (p *parser) only(start, end int) *Error {
	if p.spread {
		return p.refuse(start, end, " is a second statement of the spread", "at most one is accepted")
	}
	p.spread = true
	return nil
}

// half returns an amount to either side of the nominal value in SI units, and whether it
// was given in percent of it.
func (p *parser) half(start int, m measure) (half exact, percent bool, err *Error) {
	dim, u := p.q.Dim, m.unit
	plain := dim == Ratio && p.unit.text == ""
	switch {
	case m.bare && plain:
		return m.value.value, false, nil
	case m.bare:
		return half, false, p.refuse(start, m.end, " has no unit", "write "+p.amounts(p.text[start:m.end]))
	case u.dim == Ratio && plain, u.dim == Ratio && dim != Ratio:
		if dim.Point {
			return half, false, p.refuse(start, m.end, " of a temperature means nothing", "want a difference such as ±2 K")
		}
		if p.nominal.sign() == 0 {
			return half, false, p.refuse(start, m.end, " of 0 is nothing", "give it in "+p.unit.shown())
		}
		return p.nominal.abs().mul(m.delta()), true, nil
	case u.dim.difference() != dim.difference() || u.dim.Point && !dim.Point:
		says := " is " + an(u.dim.Name()) + " beside " + an(dim.Name())
		return half, false, p.refuse(start, m.end, says, "give it in "+p.amounts(""))
	case u.currency != p.q.Currency:
		return half, false, p.refuse(start, m.end, " is in another currency", "give it in "+p.amounts(""))
	}
	return m.delta(), false, nil
}

// amounts repeats an amount with each of the units that it may have.
func (p *parser) amounts(amount string) string {
	amount = strings.TrimSpace(amount)
	absolute := strings.TrimSpace(joinUnit(amount, p.unit.difference().shown()))
	if p.q.Dim == Ratio || p.q.Dim.Point || p.nominal.sign() == 0 {
		return absolute
	}
	return absolute + " or " + strings.TrimSpace(joinUnit(amount, "%"))
}
