package charge

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"hindwatt/internal/quantity"
)

// A Bound is what a promise allows for a quantity, SI; nil is open.
type Bound struct {
	Quantity string
	Min, Max *float64
	Text     string
}

func percent(p float64) string {
	switch {
	case p > 0 && p < 0.0005:
		return "under 0.1 %"
	case p > 0.9995 && p < 1:
		return "over 99.9 %"
	case p == 0 || p >= 0.1:
		return fmt.Sprintf("%.0f %%", 100*p)
	}
	return fmt.Sprintf("%.1f %%", 100*p)
}

// digits writes a number with so many significant digits and never with an exponent.
func digits(v float64, n int) string {
	x, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', n-1, 64), 64)
	if err != nil {
		x = v
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

func volts(v float64) string { return quantity.Format(v, quantity.Voltage, "V", 2) }

func amperes(v float64) string { return quantity.Format(v, quantity.Current, "A", -2) }

func celsius(k float64) string { return quantity.Format(k, quantity.TemperaturePoint, "°C", 0) }

func watthours(j float64) string {
	if math.Abs(j) < 1000*wh {
		return quantity.Format(j, quantity.Energy, "Wh", -2)
	}
	return quantity.Format(j, quantity.Energy, "kWh", -2)
}

// figure writes a figure of a quantity.
func (o *Outcome) figure(v float64) string {
	if o.Dim == quantity.Ratio && o.Unit == "%" {
		return percent(v)
	}
	switch o.Quantity {
	case "disconnections":
		return fmt.Sprintf("%.0f", v)
	case "days-to-full":
		return fmt.Sprintf("%.0f d", v/86400)
	case "cycles":
		return fmt.Sprintf("%.1f", v)
	case "highest-voltage":
		return volts(v)
	case "topping-up":
		return digits(v/aMonth, 2) + " months"
	}
	text := o.text(v, -2)
	number, unit, _ := strings.Cut(text, " ")
	switch shown, err := strconv.ParseFloat(number, 64); {
	case err != nil:
		return text
	case shown == 0:
		return strings.TrimSpace("0 " + unit)
	case shown > 0 && shown < 0.001:
		return strings.TrimSpace("under 0.001 " + unit)
	}
	return text
}

// between writes limits with their unit once: "120 to 150 kWh"; limits alike are one.
func between(low, high string) string {
	if low == high {
		return low
	}
	number, unit, _ := strings.Cut(low, " ")
	if _, err := strconv.ParseFloat(number, 64); err == nil && unit != "" && strings.HasSuffix(high, " "+unit) {
		low = number
	}
	return low + " to " + high
}

// span writes the mean and the limits: "4.5 g (2.1 g to 9 g)".
func (o *Outcome) span(confidence float64) string {
	i := o.Next(confidence)
	best, low, high := o.figure(i.Best), o.figure(i.Low), o.figure(i.High)
	if low == best && high == best {
		return best
	}
	return best + " (" + low + " to " + high + ")"
}

// Says words a quantity: its mean, and where the next year lies.
func (r *Result) Says(name string, confidence float64) string {
	o := r.Outcome(name)
	if o == nil {
		return ""
	}
	i := o.Next(confidence)
	text := fmt.Sprintf("calculated: on average %s", o.figure(i.Best))
	if low, high := o.figure(i.Low), o.figure(i.High); low != high {
		text += fmt.Sprintf(", between %s and %s in %.0f of 100 years", low, high, 100*confidence)
	}
	return fmt.Sprintf("%s; %d years, each with a unit of its own; %s", text, len(r.Years), r.variability())
}

// variability says what the intervals contain.
func (r *Result) variability() string {
	switch {
	case r.Input.Weather != nil && len(r.Input.Weather.Years) == 1:
		return fmt.Sprintf("each year has the hours of %s, so that only units and what is drawn within the hours differ, not good years and bad ones", r.Input.WeatherFrom)
	case r.Input.Weather != nil:
		return fmt.Sprintf("the %d years of %s take turns, so that years differ as those do", len(r.Input.Weather.Years), r.Input.WeatherFrom)
	case r.Input.MeanYear:
		return "every year meets the mean of its months, so that only units and days differ"
	}
	return "years differ as months of a place do (spread of months estimated)"
}
