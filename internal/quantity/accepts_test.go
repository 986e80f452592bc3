package quantity

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Every text with its canonical form and what it means; the values are worked out by hand.
var accepted = []struct {
	text, canonical string
	want            Quantity
}{
	{"27.3 V", "27.3 V", exactly(27.3, Voltage, "V")},
	{"+27.3V", "27.3 V", exactly(27.3, Voltage, "V")},
	{" 1.50e1 V ", "15 V", exactly(15, Voltage, "V")},
	{"9999999999999999999 V", "1e19 V", exactly(1e19, Voltage, "V")}, // one digit more than a word holds
	{"-12345678.90123456789 V", "-12345678.901234567 V", exactly(-12345678.90123456789, Voltage, "V")},
	{"-0 V", "0 V", exactly(0, Voltage, "V")},
	{"\u22120.5\u202fA", "-0.5 A", exactly(-0.5, Current, "A")},
	{"10 kΩ", "10 kΩ", exactly(10000, Resistance, "kΩ")},
	{"10 k\u2126", "10 kΩ", exactly(10000, Resistance, "kΩ")},
	{"10kohm", "10 kΩ", exactly(10000, Resistance, "kΩ")},
	{"4.7 uF", "4.7 µF", exactly(4.7e-6, Capacitance, "µF")},
	{"4.7 \u03bcF", "4.7 µF", exactly(4.7e-6, Capacitance, "µF")},
	{"2.5 mm2", "2.5 mm²", exactly(2.5e-6, Area, "mm²")},
	{"2.5 mm^2", "2.5 mm²", exactly(2.5e-6, Area, "mm²")},
	{"25.1 °C", "25.1 °C", exactly(298.25, TemperaturePoint, "°C")},
	{"25.1 degC", "25.1 °C", exactly(298.25, TemperaturePoint, "°C")},
	{"25.1 \u00baC", "25.1 °C", exactly(298.25, TemperaturePoint, "°C")},
	{"-273.15 °C", "-273.15 °C", exactly(0, TemperaturePoint, "°C")},
	{"5 K", "5 K", exactly(5, TemperatureDifference, "K")},
	{"-48 mV/K", "-48 mV/K", exactly(-0.048, VoltagePerKelvin, "mV/K")},
	{"-48 mV/°C", "-48 mV/K", exactly(-0.048, VoltagePerKelvin, "mV/K")},
	{"1.5 degC/W", "1.5 K/W", exactly(1.5, ThermalResistance, "K/W")},
	{"0.2 W/(m*K)", "0.2 W/(m·K)", exactly(0.2, ThermalConductivity, "W/(m·K)")},
	{"0.2 W/m/K", "0.2 W/(m·K)", exactly(0.2, ThermalConductivity, "W/(m·K)")},
	{"8 W/m²K", "8 W/(m²·K)", exactly(8, HeatTransfer, "W/(m²·K)")},
	{"8 W/m2K", "8 W/(m²·K)", exactly(8, HeatTransfer, "W/(m²·K)")},
	{"8 W·m⁻²·K^-1", "8 W/(m²·K)", exactly(8, HeatTransfer, "W/(m²·K)")},
	{"120 A2s", "120 A²s", exactly(120, MeltingIntegral, "A²s")},
	{"4 kWh/m²", "4 kWh/m²", exactly(14.4e6, Irradiation, "kWh/m²")},
	{"6 kWh/m²/day", "6 kWh/(m²·d)", exactly(250, Irradiance, "kWh/(m²·d)")},
	{"0.005 1/K", "0.005 1/K", exactly(0.005, PerKelvin, "1/K")},
	{"0.005/K", "0.005 1/K", exactly(0.005, PerKelvin, "1/K")},
	{"36 %/h", "36 %/h", exactly(1e-4, Frequency, "%/h")},
	{"100 Ah", "100 Ah", exactly(360000, Charge, "Ah")},
	{"3 days", "3 d", exactly(259200, Time, "d")},
	{"2 LSB", "2 LSB", exactly(2, Step, "LSB")},
	{"1 digit", "1 digit", exactly(1, Digit, "digits")},
	{"90°", "90°", exactly(1.5707963267948966, Angle, "°")}, // π/2 to the nearest float64
	{"180 deg", "180°", exactly(3.141592653589793, Angle, "°")},
	{"34 EUR", "34 EUR", money(34, Money, "EUR", "EUR")},
	{"18 EUR/h", "18 EUR/h", money(0.005, MoneyPerTime, "EUR", "EUR/h")},
	{"95 %", "95 %", exactly(0.95, Ratio, "%")},
	{"50 ppm", "50 ppm", exactly(5e-5, Ratio, "ppm")},
	{"10 kΩ ±1 %", "10 kΩ ±1 %", percent(limits(10000, 9900, 10100, Resistance, "kΩ"))},
	{"10 kΩ ±50 ppm/K ±1 %", "10 kΩ ±1 % ±50 ppm/K", drifting(percent(limits(10000, 9900, 10100, Resistance, "kΩ")), 5e-5)},
	{"10 kΩ +-0.1 %/K", "10 kΩ ±1000 ppm/K", drifting(exactly(10000, Resistance, "kΩ"), 1e-3)},
	{"10 kΩ +/- 100 Ω", "10 kΩ ±0.1 kΩ", limits(10000, 9900, 10100, Resistance, "kΩ")},
	{"27.3 V ±0.2 V", "27.3 V ±0.2 V", limits(27.3, 27.1, 27.5, Voltage, "V")},
	{"27.3 V ±1000 ppm", "27.3 V ±0.1 %", percent(limits(27.3, 27.2727, 27.3273, Voltage, "V"))},
	{"-48 mV/K ±5 %", "-48 mV/K ±5 %", percent(limits(-0.048, -0.0504, -0.0456, VoltagePerKelvin, "mV/K"))},
	{"27.3 V ±0 %", "27.3 V", exactly(27.3, Voltage, "V")},
	{"25 °C ±2 K", "25 °C ±2 K", limits(298.15, 296.15, 300.15, TemperaturePoint, "°C")},
	{"25 °C ±2 °C", "25 °C ±2 K", limits(298.15, 296.15, 300.15, TemperaturePoint, "°C")},
	{"80 % ±5 %", "80 % ±5 %", limits(0.8, 0.75, 0.85, Ratio, "%")},
	{"±2 LSB", "±2 LSB", limits(0, -2, 2, Step, "LSB")},
	{"0 LSB ±2 LSB", "±2 LSB", limits(0, -2, 2, Step, "LSB")},
	{"±5 ppm/K", "±5 ppm/K", limits(0, -5e-6, 5e-6, PerKelvin, "ppm/K")},
	{"27.3 V +0.2 V -0.1 V", "27.3 V (27.2..27.5 V)", limits(27.3, 27.2, 27.5, Voltage, "V")},
	{"27.3 V -0.2 V +0.2 V", "27.3 V ±0.2 V", limits(27.3, 27.1, 27.5, Voltage, "V")},
	{"100 µF +80 % -20 %", "100 µF (80..180 µF)", limits(1e-4, 8e-5, 1.8e-4, Capacitance, "µF")},
	{"3.2 V (2.8 .. 3.7 V)", "3.2 V (2.8..3.7 V)", limits(3.2, 2.8, 3.7, Voltage, "V")},
	{"0.12 V sd 0.02 V", "0.12 V sd 0.02 V", normal(0.12, 0.02, Voltage, "V")},
	{"0.12 V sd 5 %", "0.12 V sd 5 %", percent(normal(0.12, 0.006, Voltage, "V"))},
	{"25 °C sd 1 K", "25 °C sd 1 K", normal(298.15, 1, TemperaturePoint, "°C")},
	{"2.4 mΩ..3.2 mΩ", "2.4..3.2 mΩ", spanning(0.0028, 0.0024, 0.0032, Resistance, "mΩ")},
	{"1..3 h", "1..3 h", spanning(7200, 3600, 10800, Time, "h")},
	{"500 mV .. 1.5 V", "0.5..1.5 V", spanning(1, 0.5, 1.5, Voltage, "V")},
	{"-0.2..0.2 V", "-0.2..0.2 V", spanning(0, -0.2, 0.2, Voltage, "V")},
	{"-10..10 °C", "-10..10 °C", spanning(273.15, 263.15, 283.15, TemperaturePoint, "°C")},
	{"1..3 Ω ±50 ppm/K", "1..3 Ω ±50 ppm/K", drifting(spanning(2, 1, 3, Resistance, "Ω"), 5e-5)},
}

func exactly(v float64, d Dimension, unit string) Quantity {
	return Quantity{Value: v, Low: v, High: v, Dim: d, Unit: unit}
}

func money(v float64, d Dimension, currency, unit string) Quantity {
	q := exactly(v, d, unit)
	q.Currency = currency
	return q
}

func limits(v, low, high float64, d Dimension, unit string) Quantity {
	return Quantity{Value: v, Low: low, High: high, Spread: Limits, Dim: d, Unit: unit}
}

func spanning(v, low, high float64, d Dimension, unit string) Quantity {
	return Quantity{Value: v, Low: low, High: high, Spread: Range, Dim: d, Unit: unit}
}

func normal(v, sd float64, d Dimension, unit string) Quantity {
	return Quantity{Value: v, Low: v, High: v, SD: sd, Spread: Normal, Dim: d, Unit: unit}
}

func percent(q Quantity) Quantity {
	q.Percent = true
	return q
}

func drifting(q Quantity, drift float64) Quantity {
	q.Drift = drift
	return q
}

func TestParseAccepts(t *testing.T) {
	for _, c := range accepted {
		got, err := Parse(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if got != c.want {
			t.Errorf("%q: %s", c.text, cmp.Diff(c.want, got))
		}
		if got.String() != c.canonical {
			t.Errorf("%q is written %q, want %q", c.text, got.String(), c.canonical)
		}
		if again, err := Parse(got.String()); err != nil || again != got {
			t.Errorf("%q, read again: %v %s", got.String(), err, cmp.Diff(got, again))
		}
	}
}

func TestParseAsAccepts(t *testing.T) {
	for _, c := range []struct {
		text      string
		dim       Dimension
		canonical string
		want      Quantity
	}{
		{"0.85", Ratio, "0.85", exactly(0.85, Ratio, "")},
		{"85 %", Ratio, "85 %", exactly(0.85, Ratio, "%")},
		{"0.85 ±0.05", Ratio, "0.85 ±0.05", limits(0.85, 0.8, 0.9, Ratio, "")},
		{"11 ±1 %", Ratio, "11 ±1 %", percent(limits(11, 10.89, 11.11, Ratio, ""))},
		{"0.8 sd 0.1", Ratio, "0.8 sd 0.1", normal(0.8, 0.1, Ratio, "")},
		{"0.8 (0.7..1)", Ratio, "0.8 (0.7..1)", limits(0.8, 0.7, 1, Ratio, "")},
		{"0.5..1", Ratio, "0.5..1", spanning(0.75, 0.5, 1, Ratio, "")},
		{"±0.1", Ratio, "±0.1", limits(0, -0.1, 0.1, Ratio, "")},
		{"300 K", TemperaturePoint, "26.85 °C", exactly(300, TemperaturePoint, "°C")},
		{"300 K ±2 K", TemperaturePoint, "26.85 °C ±2 K", limits(300, 298, 302, TemperaturePoint, "°C")},
		{"5 K", TemperatureDifference, "5 K", exactly(5, TemperatureDifference, "K")},
		{"27.3 V", Voltage, "27.3 V", exactly(27.3, Voltage, "V")},
	} {
		got, err := ParseAs(c.text, c.dim)
		if err != nil || got != c.want || got.String() != c.canonical {
			t.Errorf("%q: %v, written %q, want %q\n%s", c.text, err, got.String(), c.canonical, cmp.Diff(c.want, got))
		}
	}
}
