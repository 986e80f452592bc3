package iv

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/statistics"
	"hindwatt/internal/statistics/fit"
)

// Part returns the panel as a part for parts.toml, and as one that an installation names; ok is false where the irradiance is not
// known. Values are those at 1000 W/m² and 25 °C with their standard deviations; the temperature coefficient of the voltage is
// that of the fitted ideality.
func (r *Result) Part(name string) (text string, ok bool) {
	if r.Reference == nil {
		return "", false
	}
	k := 2 * statistics.NormalQuantile((1+r.Input.Level)/2)
	var b strings.Builder
	line := func(key string, i fit.Interval, unit string) {
		if i.OpenLow || i.OpenHigh || !(i.High-i.Low > 1e-6*i.Best) {
			fmt.Fprintf(&b, "%s = \"%s %s\"\n", key, digits(i.Best), unit)
			return
		}
		fmt.Fprintf(&b, "%s = \"%s %s sd %.2g %%\"\n", key, digits(i.Best), unit, 100*(i.High-i.Low)/k/i.Best)
	}
	from := r.Input.From
	if from == "" {
		from = "a sweep"
	}
	fmt.Fprintf(&b, "[part.%s]\nkind = \"panel\"\n", name)
	if r.Input.Run != "" {
		fmt.Fprintf(&b, "run = %q\n", r.Input.Run)
	}
	fmt.Fprintf(&b, "note = %q\ncells = %d\n",
		fmt.Sprintf("from %s, at %.0f W/m² and %.0f °C", from, r.Input.Irradiance.Value, r.Input.temperature()-273.15), r.Input.Cells)
	if r.Input.Amorphous {
		b.WriteString("technology = \"amorphous\"\n")
	}
	f := r.Reference
	line("short_circuit_current", f.ShortCircuit, "A")
	line("open_circuit_voltage", f.OpenCircuit, "V")
	line("peak_current", f.PeakCurrent, "A")
	line("peak_voltage", f.PeakVoltage, "V")
	line("peak_power", f.PeakPower, "W")
	fmt.Fprintf(&b, "voltage_tempco = \"%.3g mV/K\"\n", 1000*r.VoltageTempco())
	return b.String(), true
}

// VoltageTempco is that of the open-circuit voltage by the model, V/K, where Reference is known.
func (r *Result) VoltageTempco() float64 {
	const by = 10 // K either way
	above, below := r.reference.At(1000, 298.15+by), r.reference.At(1000, 298.15-by)
	return (above.OpenCircuit() - below.OpenCircuit()) / (2 * by)
}

// digits writes a number with five digits, without an exponent.
func digits(x float64) string {
	first := int(math.Floor(math.Log10(math.Abs(x))))
	return fmt.Sprintf("%.*f", max(0, 4-first), x)
}
