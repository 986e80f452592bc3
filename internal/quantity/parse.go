package quantity

import "strings"

// Parse reads a quantity of any dimension, as on a datasheet:
//
//	27.3 V                    exact
//	10 kΩ ±1 % ±50 ppm/K      limits and their drift, in either order
//	27.3 V ±0.2 V             limits
//	100 µF +50 % -20 %        limits that lie apart
//	3.2 V (2.8..3.6 V)        the same, by their ends
//	±2 LSB                    limits around zero
//	0.12 V sd 0.02 V          a standard deviation; sd 1 % too
//	2.4..3.1 mΩ               a range; the first unit may be left out
//
// Accepted alike are Ω and ohm, µ and u, ° and deg, ± and +- and +/-, ² and 2 and ^2,
// · and *, every kind of minus and of space, and no space before the unit.
// A percentage after ± or sd is of the nominal value; but after a nominal value in %,
// ppm or ppb it is counted in points: "80 % ±5 %" lies between 75 % and 85 %.
// A number without a unit is an error: see ParseAs. Every error is an *Error.
func Parse(s string) (Quantity, error) {
	return (&parser{text: canonical(s)}).whole()
}

// ParseAs reads a quantity of dimension d as Parse does and refuses any other. Where d is
// Ratio, a number without a unit is accepted; where it is TemperaturePoint, kelvins are,
// as an absolute temperature.
func ParseAs(s string, d Dimension) (Quantity, error) {
	return (&parser{text: canonical(s), asked: true, want: d}).whole()
}

// maxText is the longest text read, in bytes: a number near absolute zero in °C may need
// hundreds of digits.
const maxText = 1000

// parser reads one quantity from text, which is in canonical characters.
type parser struct {
	text  string
	pos   int // bytes
	asked bool
	want  Dimension // if asked
	lent  *unit     // for numbers without a unit, if not nil

	q       Quantity
	unit    unit  // of the nominal value
	nominal exact // in SI units, not rounded
	spread  bool  // a range, ±, sd or (low..high) was read
	drift   bool  // a ± per kelvin was read
}

func (p *parser) whole() (Quantity, error) {
	if err := p.tooLong(); err != nil {
		return Quantity{}, err
	}
	p.spaces()
	if err := p.start(); err != nil {
		return Quantity{}, err
	}
	for p.spaces(); p.pos < len(p.text); p.spaces() {
		if err := p.scatter(); err != nil {
			return Quantity{}, err
		}
	}
	if err := p.finish(); err != nil {
		return Quantity{}, err
	}
	return p.q, nil
}

func (p *parser) tooLong() *Error {
	if len(p.text) > maxText {
		return p.fault(0, 1, "the text is too long", "at most 1000 bytes are accepted")
	}
	return nil
}

// start reads the nominal value, the range or the ± that stands alone.
func (p *parser) start() *Error {
	start := p.pos
	if p.sign() {
		return p.aroundZero(start)
	}
	m, err := p.measure()
	if err != nil {
		return err
	}
	after := p.pos
	p.spaces()
	if strings.HasPrefix(p.text[p.pos:], "..") {
		return p.span(m)
	}
	p.pos = after
	if err := p.needUnit(&m); err != nil {
		return err
	}
	if err := p.settle(start, m); err != nil {
		return err
	}
	return p.setNominal(m)
}

// settle takes over the unit, and with it the dimension of everything that follows.
func (p *parser) settle(start int, m measure) *Error {
	u := m.unit
	if p.asked && p.want == TemperaturePoint && u.dim == TemperatureDifference {
		u = symbols["°C"]
	}
	if p.asked && u.dim != p.want {
		return p.mismatch(start, m)
	}
	p.unit = u
	p.q.Dim, p.q.Unit, p.q.Currency = u.dim, u.text, u.currency
	return nil
}

func (p *parser) setNominal(m measure) *Error {
	value, err := p.round(m.si(), m)
	if err != nil {
		return err
	}
	p.nominal, p.q.Value, p.q.Low, p.q.High = m.si(), value, value, value
	if m.fine(value) {
		p.nominal, _ = p.unit.write(value)
	}
	return nil
}

// aroundZero reads what follows a ± that has no nominal value before it.
func (p *parser) aroundZero(start int) *Error {
	m, err := p.amount("±")
	if err != nil {
		return err
	}
	if err := p.needUnit(&m); err != nil {
		return err
	}
	if m.unit.dim.Point || p.asked && p.want.Point {
		return p.refuse(start, m.end, " has no temperature before it", "write 25 °C ±2 K")
	}
	if err := p.settle(start, m); err != nil {
		return err
	}
	half, err := p.round(m.si(), m)
	p.nominal, p.spread = exact{n: 0, d: 1}, true
	p.q.Spread, p.q.Low, p.q.High = Limits, -half, half
	return err
}

// span reads the rest of a range, from its dots.
func (p *parser) span(first measure) *Error {
	p.pos += len("..")
	p.spaces()
	last, err := p.measure()
	if err != nil {
		return err
	}
	if err := p.needUnit(&last); err != nil {
		return err
	}
	if first.bare {
		first.unit = last.unit
	}
	if err := p.settle(first.start, last); err != nil {
		return err
	}
	low, high, err := p.rangeEnds(first, last)
	if err != nil {
		return err
	}
	p.spread = true
	p.q.Spread, p.q.Low, p.q.High = Range, low, high
	p.q.Value = low/2 + high/2
	return nil
}

// rangeEnds rounds both ends of a range, which are to be of one kind and in order.
func (p *parser) rangeEnds(first, last measure) (low, high float64, err *Error) {
	if first.unit.dim != last.unit.dim || first.unit.currency != last.unit.currency {
		return 0, 0, p.refuse(first.start, last.end, " mixes "+first.unit.shown()+" and "+last.unit.shown(),
			"give both ends in "+last.unit.shown())
	}
	if low, err = p.round(first.si(), first); err != nil {
		return 0, 0, err
	}
	if high, err = p.round(last.si(), last); err != nil {
		return 0, 0, err
	}
	if first.si().add(last.si().neg()).sign() > 0 {
		return 0, 0, p.fault(first.start, last.end, "the range "+quote(p.text[first.start:last.end])+" runs downwards", "put the lower end first")
	}
	return low, high, nil
}

// finish checks what only the whole shows.
func (p *parser) finish() *Error {
	q := &p.q
	if q.Dim.Point && q.Low < 0 {
		return p.refuseAll(" is below absolute zero", "want a temperature above -273.15 °C")
	}
	if q.Spread == Limits && q.Low == q.High {
		q.Spread, q.Percent = Exact, false
	}
	return nil
}
