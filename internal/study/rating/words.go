package rating

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/quantity"
)

func joined(names []string) string { return strings.Join(names, ", ") }

func celsius(k float64) string { return quantity.Format(k, quantity.TemperaturePoint, "°C", 0) }

func kelvin(k float64) string { return fmt.Sprintf("%.0f K", k) }

func amperes(v float64) string { return quantity.Format(v, quantity.Current, "A", 1) }

func watts(v float64) string { return quantity.Format(v, quantity.Power, "W", -2) }

func volts(v float64) string { return quantity.Format(v, quantity.Voltage, "V", 2) }

func percent(p float64) string { return fmt.Sprintf("%.0f %%", 100*p) }

// conditionWords say what the figures hold for: "at 40 °C".
func (in *Input) conditionWords() string {
	low, high := in.air()
	text := "at " + celsius(low)
	if high > low {
		text = "from " + celsius(low) + " to " + celsius(high)
	}
	if in.Conditions.Mounted != "" {
		text += ", mounted " + mountWords[in.Conditions.Mounted]
	}
	if v := in.Conditions.LoadCurrent; v != nil {
		text += ", with a load of " + v.Quantity.String()
	}
	return text
}

// dutyWords say what the controller does: "conducting fully", "regulating, charging 40 % of the time".
func dutyWords(d float64) string {
	switch d {
	case 1:
		return "conducting fully"
	case 0:
		return "stopped"
	}
	return fmt.Sprintf("regulating, charging %s of the time", percent(d))
}

// stopWords name what ends a current: "the junction of d1".
func stopWords(part, of string) string {
	switch {
	case part == "":
		return "nothing stated"
	case of == "current" || of == "power":
		return "the " + of + " limit of " + part
	case of == "runaway":
		return "thermal runaway of " + part
	case of == "body":
		return part
	}
	return "the " + of + " of " + part
}

// nothingWords say why not even a small current is carried.
func nothingWords(part, of string) string {
	if of == "runaway" {
		return part + " runs away already without any current"
	}
	return stopWords(part, of) + " is at its limit already without any current"
}

// A Bound is what a promise allows for a quantity, SI; nil is open. Text names the promise.
type Bound struct {
	Quantity  string
	Min, Max  *float64
	Low, High float64 // K, the ambient it is promised for
	Text      string
}

func boundOf(bounds []Bound, quantity string) *Bound {
	for i := range bounds {
		if bounds[i].Quantity == quantity {
			return &bounds[i]
		}
	}
	return nil
}

func (b Bound) ends() (low, high float64) {
	low, high = math.Inf(-1), math.Inf(1)
	if b.Min != nil {
		low = *b.Min
	}
	if b.Max != nil {
		high = *b.Max
	}
	return low, high
}

func (o *Outcome) boundWords(b Bound) string {
	switch {
	case b.Min != nil && b.Max != nil:
		return o.text(*b.Min, -3) + " to " + o.text(*b.Max, -3)
	case b.Min != nil:
		return o.text(*b.Min, -3) + " or more"
	case b.Max != nil:
		return o.text(*b.Max, -3) + " or less"
	}
	return "no bound"
}

// span words an interval: "52 °C to 58 °C in 95 of 100 units".
func (o *Outcome) span(t Interval, digits int) string {
	high := o.text(t.High, digits)
	if t.OpenHigh {
		high = "no end, some units running away,"
	}
	return o.text(t.Low, digits) + " to " + high + " in 95 of 100 units"
}

// shareWords word a share of units with its limits: "93 % (88 % to 97 %)", "over 99.8 %".
func shareWords(i Interval) string {
	switch {
	case i.Best > 0.999:
		return "over " + fmt.Sprintf("%.1f %%", math.Floor(1000*i.Low)/10)
	case i.Best < 0.001:
		return "under " + fmt.Sprintf("%.1f %%", math.Ceil(1000*i.High)/10)
	}
	text := share(i.Best)
	if low, high := share(i.Low), share(i.High); low != text || high != text {
		text += " (" + low + " to " + high + ")"
	}
	return text
}

func share(p float64) string {
	switch {
	case p > 0.999:
		return "over 99.9 %"
	case p < 0.001:
		return "under 0.1 %"
	case p > 0.9 || p < 0.1:
		return fmt.Sprintf("%.1f %%", 100*p)
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}
