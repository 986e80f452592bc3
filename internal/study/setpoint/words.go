package setpoint

import (
	"math"
	"strconv"
	"strings"

	"hindwatt/internal/quantity"
)

// decimals is how many digits after the point of a volt say two significant digits of a size.
func decimals(size float64) int {
	if !(size > 0) {
		return 3
	}
	return min(max(1-int(math.Floor(math.Log10(size))), 1), 4)
}

func volts(v float64, digits int) string {
	return quantity.Format(v, quantity.Voltage, "V", digits)
}

// number writes a voltage without its unit.
func number(v float64, digits int) string {
	text := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}

// signed writes a voltage without its unit, with a + if it is above 0.
func signed(v float64, digits int) string {
	text := number(v, digits)
	if v > 0 && strings.Trim(text, "0.") != "" {
		return "+" + text
	}
	return text
}

// percent writes a share of units; never as a round 0 or 100 % where it is neither.
func percent(p float64) string {
	text := strconv.FormatFloat(100*p, 'f', 0, 64)
	switch {
	case p > 0 && p < 0.095 || p > 0.985 && p < 1:
		text = strconv.FormatFloat(100*p, 'f', 1, 64)
	}
	switch {
	case p < 1 && text == "100.0":
		return "over 99.9 %"
	case p > 0 && text == "0.0":
		return "under 0.1 %"
	}
	return text + " %"
}

// showTemperature writes a temperature of K as "-10 °C".
func showTemperature(k float64) string {
	return quantity.Format(k, quantity.TemperaturePoint, "°C", 0)
}

// conditionWords say what the figures hold for: "from -10 °C to 45 °C".
func (in *Input) conditionWords() string {
	low, high := in.ambientRange()
	text := "at " + showTemperature(low)
	if high > low {
		text = "from " + showTemperature(low) + " to " + showTemperature(high)
	}
	if v := in.Conditions.ChargeCurrent; v != nil {
		text += ", charging with " + v.Quantity.String()
	}
	if v := in.Conditions.LoadCurrent; v != nil {
		text += ", with a load of " + v.Quantity.String()
	}
	if in.Conditions.Aged {
		text += ", aged"
	}
	return text
}

// words of a quantity in a sentence and at an axis.
func (a aim) words(in *Input) (name, axis string) {
	switch {
	case a.display() && in.Indicator != nil && len(in.Indicator.Thresholds) > 0:
		return "the voltage at which a lamp changes", "true voltage less the lamp's"
	case a.display():
		return "the voltage shown", "shown less true voltage"
	case a.deviation:
		return levelWords[a.level], "deviation from the target"
	}
	return levelWords[a.level], "voltage at the battery"
}

var levelWords = [levels]string{"absorption", "float", "load disconnect", "load reconnect"}

func boundWords(b Bound) string {
	switch {
	case b.Min != nil && b.Max != nil:
		return volts(*b.Min, shortest(*b.Min)) + " to " + volts(*b.Max, shortest(*b.Max))
	case b.Min != nil:
		return volts(*b.Min, shortest(*b.Min)) + " or more"
	case b.Max != nil:
		return volts(*b.Max, shortest(*b.Max)) + " or less"
	}
	return "no bound"
}

// shortest is how many decimals a written voltage needs, 4 at most.
func shortest(v float64) int {
	for d := range 4 {
		if scale := math.Pow(10, float64(d)); math.Abs(v*scale-math.Round(v*scale)) < 1e-9*scale {
			return d
		}
	}
	return 4
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
