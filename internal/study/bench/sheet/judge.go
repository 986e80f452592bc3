package sheet

import (
	"fmt"
	"math"

	"hindwatt/internal/quantity"
)

// A Judgement is what the limits say of one unit.
type Judgement struct {
	Pass bool
	// Margin is how far inside the nearer acceptance limit the reading lies; negative outside.
	Margin float64
	Near   float64 // that limit
	Good   bool    // it lies inside the bound itself: a unit that fails and is good is one to read again
}

// Judge applies the acceptance limits to a reading. A reading that is no number is an error.
func (r *Row) Judge(value float64) (Judgement, error) {
	if !(math.Abs(value) <= math.MaxFloat64) {
		return Judgement{}, fmt.Errorf("%s: the reading is %v; want a finite number", r.Promise, value)
	}
	below, above := value-r.Accept.Low, r.Accept.High-value // +Inf where open
	j := Judgement{Margin: below, Near: r.Accept.Low, Good: r.Min <= value && value <= r.Max}
	if above < below {
		j.Margin, j.Near = above, r.Accept.High
	}
	j.Pass = j.Margin >= 0
	return j, nil
}

// Say words a judgement: "float 27.31 V: pass, 0.05 V inside 27.36 V".
func (r *Row) Say(value float64, j Judgement) string {
	show := func(v float64) string { return quantity.Format(v, r.Dim, r.Unit, r.decimals()) }
	said := fmt.Sprintf("%s %s: ", r.Promise, show(value))
	switch {
	case j.Pass:
		return said + fmt.Sprintf("pass, %s inside %s", r.size(j.Margin), show(j.Near))
	case j.Good:
		return said + fmt.Sprintf("fail, %s outside %s; it may be good, within the meter's error", r.size(-j.Margin), show(j.Near))
	}
	return said + fmt.Sprintf("fail, %s outside %s", r.size(-j.Margin), show(j.Near))
}

// decimals are those of the meter's last digit in the unit that is shown, or of a tenth of the uncertainty.
func (r *Row) decimals() int {
	step := r.Meter.Digit
	if !(step > 0) {
		step = r.U / 10
	}
	d := r.Dim
	d.Point = false
	unit := r.Unit
	if u, _, ok := quantity.UnitDimension(unit); !ok || u != d {
		unit = d.Unit()
	}
	shown, err := (quantity.Quantity{Value: step, Dim: d}).In(unit)
	if err != nil || !(shown > 0) {
		return 3
	}
	return int(math.Max(0, math.Min(9, math.Ceil(-math.Log10(shown)-1e-9))))
}
