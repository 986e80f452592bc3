package quantity

import (
	"math"
	"math/big"
	"strings"
)

// String writes the quantity in its canonical form, in its Unit, with the fewest digits
// from which ParseAs gives back the same quantity to the last bit. (Parse does too, but
// for a ratio without a unit.) A quantity with a number that is not finite is "none".
func (q Quantity) String() string {
	if !q.finite() {
		return "none"
	}
	u := q.unit()
	nominal, number := u.write(q.Value)
	text := joinUnit(number, u.text)
	switch q.Spread {
	case Range:
		text = u.writeRange(q.Low, q.High)
	case Normal:
		text += " sd " + q.writeHalf(u, nominal, q.SD, q.SD)
	case Limits:
		text = q.writeLimits(u, nominal, text)
	}
	if q.Drift != 0 {
		ppm := symbols["ppm"]
		_, number := ppm.write(q.Drift)
		text += " ±" + number + " ppm/K"
	}
	return text
}

func (q Quantity) finite() bool {
	for _, x := range [...]float64{q.Value, q.Low, q.High, q.SD, q.Drift} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// unit returns the unit to show q in.
func (q Quantity) unit() unit {
	if q.Unit != "" {
		if u, fault := parseUnit(q.Unit); fault == nil && u.dim == q.Dim && u.currency == q.Currency {
			return u
		}
	} else if q.Dim == Ratio {
		return plainRatio
	}
	return q.Dim.unit(q.Currency)
}

// unit returns the unit that a dimension is shown in, with its currency.
func (d Dimension) unit(currency string) unit {
	u, fault := parseUnit(strings.ReplaceAll(d.Unit(), "¤", currency))
	if fault != nil {
		return unit{text: d.Unit(), dim: d, scale: exact{n: 1, d: 1}}
	}
	return u
}

// write returns the shortest number in u that stands for v SI units.
func (u unit) write(v float64) (x exact, text string) {
	near, most := v/u.scale.float(), fullDigits
	if u.dim.Point {
		near, most = v-zeroCelsius.float(), maxExponent // near absolute zero kelvins are told apart by as many
	}
	x, text, _ = shortest(near, most,
		func(x exact) bool { return u.si(x).float() == v },
		func() (low, high *big.Rat) {
			low, high = rounding(v)
			if u.dim.Point {
				low.Sub(low, zeroCelsius.rat())
				high.Sub(high, zeroCelsius.rat())
			}
			return low.Quo(low, u.scale.rat()), high.Quo(high, u.scale.rat())
		})
	return u.si(x), text
}

// rounding returns the numbers between which all round to v.
func rounding(v float64) (low, high *big.Rat) {
	at := new(big.Rat).SetFloat64(v)
	halfway := func(next, other float64) *big.Rat {
		step := new(big.Rat)
		if math.IsInf(next, 0) {
			step.Sub(at, new(big.Rat).SetFloat64(other))
		} else {
			step.Sub(new(big.Rat).SetFloat64(next), at)
		}
		return step.Add(at, step.Quo(step, big.NewRat(2, 1)))
	}
	below, above := math.Nextafter(v, math.Inf(-1)), math.Nextafter(v, math.Inf(1))
	return halfway(below, above), halfway(above, below)
}

func (u unit) writeRange(low, high float64) string {
	_, from := u.write(low)
	_, to := u.write(high)
	return joinUnit(from+".."+to, u.text)
}

// writeLimits writes limits with ± where they lie alike to both sides, else by their ends.
func (q Quantity) writeLimits(u unit, nominal exact, text string) string {
	if q.Value == 0 && q.Low == -q.High && !q.Dim.Point {
		_, number := u.write(q.High)
		return "±" + joinUnit(number, u.text)
	}
	if half := q.writeHalf(u, nominal, q.High/2-q.Low/2, 0); half != "" {
		return text + " ±" + half
	}
	return text + " (" + u.writeRange(q.Low, q.High) + ")"
}

// writeHalf writes an amount to either side of the nominal value, near to half, so that it
// gives back sd or, where sd is 0, the limits; "" if no number does.
func (q Quantity) writeHalf(u unit, nominal exact, half, sd float64) string {
	units := []unit{u.difference()}
	if q.Percent && nominal.sign() != 0 && !q.Dim.Point && (q.Dim != Ratio || u.text == "") {
		percent := unit{"%", q.Dim, nominal.abs().mul(exact{n: 1, d: 100}), ""}
		units = []unit{percent, u.difference()}
	}
	for _, in := range units {
		suits := func(x exact) bool {
			x = x.mul(in.scale)
			if sd != 0 {
				return x.float() == sd
			}
			return nominal.add(x.neg()).float() == q.Low && nominal.add(x).float() == q.High
		}
		bounds := func() (low, high *big.Rat) {
			if sd != 0 {
				low, high = rounding(sd)
			} else {
				low, high = q.halves(nominal.rat())
			}
			scale := in.scale.rat()
			return low.Quo(low, scale), high.Quo(high, scale)
		}
		if _, number, ok := shortest(half/in.scale.float(), fullDigits, suits, bounds); ok {
			return joinUnit(number, in.text)
		}
	}
	return ""
}

// halves returns the amounts between which all give the limits when taken from and added
// to the nominal value; low is above high if there are none.
func (q Quantity) halves(nominal *big.Rat) (low, high *big.Rat) {
	lowFrom, lowTo := rounding(q.Low)
	highFrom, highTo := rounding(q.High)
	low, other := new(big.Rat).Sub(nominal, lowTo), highFrom.Sub(highFrom, nominal)
	if other.Cmp(low) > 0 {
		low = other
	}
	high, other = new(big.Rat).Sub(nominal, lowFrom), highTo.Sub(highTo, nominal)
	if other.Cmp(high) < 0 {
		high = other
	}
	return low, high
}
