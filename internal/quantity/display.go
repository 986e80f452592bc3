package quantity

import (
	"math"
	"strconv"
	"strings"
)

// In returns the value in another unit: 4.7 for "4.7 kΩ" in "kΩ", 25.1 for "25.1 °C" in "°C".
// It is the number that String would write there, so no digits of the conversion show.
// A unit of another dimension, or of another currency, is an *Error.
func (q Quantity) In(spelling string) (float64, error) {
	spelling = strings.TrimSpace(canonical(spelling))
	p := parser{text: spelling, asked: true, want: q.Dim}
	u, fault := parseUnit(spelling)
	switch {
	case spelling == "" && q.Dim == Ratio:
		u = plainRatio
	case fault != nil:
		return 0, p.badUnit(measure{}, fault)
	case q.Dim.Point && u.dim == TemperatureDifference:
	case u.dim != q.Dim:
		return 0, p.refuse(0, len(spelling), " is a unit of "+u.dim.Name(), q.Dim.wanted())
	case u.currency != q.Currency:
		return 0, p.refuse(0, len(spelling), " is another currency", "want "+q.Currency)
	}
	if !q.finite() {
		return 0, p.fault(0, 0, "the quantity has no value", "")
	}
	_, number := u.write(q.Value)
	return strconv.ParseFloat(number, 64)
}

// Format writes v, in SI units, for reading: "27.30 V".
//
//	d       dimension of v
//	unit    unit to show it in, in any accepted spelling; "" picks one by the size of v,
//	        such as mV or kV (for a ratio: none). A unit of another dimension counts as "".
//	        A currency has to be named: "EUR/h"
//	digits  digits after the point; if negative, -digits significant digits
//
// There is no "-0". NaN is "none", and ±Inf is "unbounded".
func Format(v float64, d Dimension, unit string, digits int) string {
	switch {
	case math.IsNaN(v):
		return "none"
	case math.IsInf(v, 0):
		return "unbounded"
	case unit == "" && d == Ratio:
		return fixed(v, digits)
	}
	u, fault := parseUnit(canonical(unit))
	if fault == nil && (u.dim == d || d.Point && u.dim == TemperatureDifference) {
		return joinUnit(u.fixed(v, digits), u.text)
	}
	return formatPicked(v, d, digits)
}

// formatPicked shows v in the largest unit of d's ladder in which it is 1 or more.
func formatPicked(v float64, d Dimension, digits int) string {
	picked := d.unit("")
	text := picked.fixed(v, digits)
	if strings.Trim(text, "-0.") == "" && v == 0 {
		return joinUnit(text, picked.text)
	}
	for i, spelling := range d.ladder() {
		u, fault := parseUnit(spelling)
		if fault != nil {
			continue
		}
		shown := u.fixed(v, digits)
		if size, _ := strconv.ParseFloat(shown, 64); i == 0 || math.Abs(size) >= 1 {
			picked, text = u, shown
		}
	}
	return joinUnit(text, picked.text)
}

func (u unit) fixed(v float64, digits int) string {
	if u.dim.Point {
		return fixed(v-zeroCelsius.float(), digits)
	}
	return fixed(v/u.scale.float(), digits)
}

// fixed writes x with so many digits after the point or, if negative, significant ones.
func fixed(x float64, digits int) string {
	const widest = 1e15 // beyond, digits before the point mean nothing
	if math.Abs(x) >= widest {
		return strconv.FormatFloat(x, 'e', max(digits, -digits-1), 64)
	}
	if digits < 0 {
		rounded := strconv.FormatFloat(x, 'e', -digits-1, 64)
		_, exponent, _ := strings.Cut(rounded, "e")
		lead, _ := strconv.Atoi(exponent)
		x, _ = strconv.ParseFloat(rounded, 64)
		digits = max(-digits-1-lead, 0)
	}
	text := strconv.FormatFloat(x, 'f', digits, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}
