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

// noSpread of money and of minutes is what sums leave by rounding.
const noSpread = 1e-6

// scaleOf picks the digits so that a spread, in SI units, keeps two significant ones.
func scaleOf(dim quantity.Dimension, unit string, spread float64) scale {
	s := scale{dim: dim, unit: unit, digits: 3}
	least := 0.0
	switch {
	case dim.Money != 0:
		s.digits, least = 2, noSpread
	case unit == "min":
		s.digits, least = 1, noSpread
	}
	if shown := math.Abs(s.difference(spread)); shown > least {
		s.digits = max(0, min(6, 1-int(math.Floor(math.Log10(shown)))))
	}
	if dim.Money != 0 && s.digits == 1 {
		s.digits = 2
	}
	return s
}

// number converts a figure from SI units.
func (s scale) number(v float64) float64 {
	if s.dim.Point { // °C does not begin where kelvin does
		if n, err := (quantity.Quantity{Value: v, Dim: s.dim}).In(s.unit); err == nil {
			return n
		}
	}
	return s.difference(v)
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

// percent writes a share: "88 %"; nearer to 0 or 1 it keeps more digits. Beyond 0.01 % it says
// no more than that, since nothing that is sampled or counted here knows better.
func percent(share float64) string {
	const least = 0.0001
	switch rest := min(share, 1-share); {
	case share > 1-least:
		return "over 99.99 %"
	case share < least:
		return "under 0.01 %"
	case rest < 0.001:
		return fmt.Sprintf("%.2f %%", 100*share)
	case rest < 0.1:
		return fmt.Sprintf("%.1f %%", 100*share)
	}
	return fmt.Sprintf("%.0f %%", 100*share)
}

// asked writes a share that somebody wrote: "95 %".
func asked(share float64) string { return fmt.Sprintf("%.6g %%", 100*share) }
