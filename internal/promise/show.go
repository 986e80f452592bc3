package promise

import (
	"fmt"
	"math"

	"hindwatt/internal/quantity"
)

// A scale shows figures of one dimension in one unit, with digits to suit their spread.
type scale struct {
	dim    quantity.Dimension
	unit   string // canonical; the currency stands in it for money
	digits int    // after the point
}

// scaleOf picks the digits so that a spread, in SI units, keeps two significant ones.
func scaleOf(dim quantity.Dimension, unit string, spread float64) scale {
	s := scale{dim: dim, unit: unit, digits: 3}
	if shown := math.Abs(s.difference(spread)); shown > 0 {
		s.digits = max(0, min(6, 1-int(math.Floor(math.Log10(shown)))))
	}
	return s
}

// number converts a figure from SI units.
func (s scale) number(v float64) float64 {
	q := quantity.Quantity{Value: v, Low: v, High: v, Dim: s.dim, Unit: s.unit}
	n, err := q.In(s.unit)
	if err != nil {
		return v
	}
	return n
}

// difference converts a difference of two figures from SI units.
func (s scale) difference(v float64) float64 {
	_, factor, ok := quantity.UnitDimension(s.unit)
	if !ok {
		return v
	}
	return v / factor
}

// text writes a figure with its unit: "27.31 V".
func (s scale) text(v float64) string { return quantity.Format(v, s.dim, s.unit, s.digits) }

// signed writes a difference with its sign: "+0.12 V".
func (s scale) signed(v float64) string {
	text := fmt.Sprintf("%+.*f", s.digits, s.difference(v))
	if s.unit == "" {
		return text
	}
	return text + " " + s.unit
}

// interval writes the limits: "-0.21 to 0.18 V"; an open side is said.
func (s scale) interval(i Interval) string {
	low, high := fmt.Sprintf("%.*f", s.digits, s.number(i.Low)), s.text(i.High)
	switch {
	case i.OpenLow && i.OpenHigh:
		return "unbounded"
	case i.OpenLow:
		return "at most " + high
	case i.OpenHigh:
		return "at least " + s.text(i.Low)
	}
	return low + " to " + high
}

// percent writes a share: "88 %"; nearer to 0 or 1 it keeps more digits, and it
// never rounds up to all or down to none.
func percent(share float64) string {
	digits := 0
	if rest := min(share, 1-share); rest > 0 && rest < 0.1 {
		digits = min(4, 1-int(math.Ceil(math.Log10(rest*100))))
		digits = max(digits, 1)
	}
	return fmt.Sprintf("%.*f %%", digits, 100*share)
}
