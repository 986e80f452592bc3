package quantity

import (
	"math"
	"testing"
)

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		v      float64
		dim    Dimension
		unit   string
		digits int
		want   string
	}{
		{27.3, Voltage, "V", 2, "27.30 V"},
		{27.3, Voltage, "mV", 0, "27300 mV"},
		{27.3, Voltage, "A", 1, "27.3 V"},
		{0.048, Voltage, "", 1, "48.0 mV"},
		{-0.048, Voltage, "", -3, "-48.0 mV"},
		{0.99996, Voltage, "", -4, "1.000 V"},
		{0.99994, Voltage, "", -4, "999.9 mV"},
		{123456, Resistance, "", -3, "123 kΩ"},
		{123456, Resistance, "Ω", -3, "123000 Ω"},
		{1e-15, Voltage, "", 2, "0.00 nV"},
		{0, Voltage, "", 2, "0.00 V"},
		{0, Voltage, "", -3, "0.00 V"},
		{-0.0004, Voltage, "V", 2, "0.00 V"},
		{math.Copysign(0, -1), Voltage, "V", 0, "0 V"},
		{298.15, TemperaturePoint, "", 1, "25.0 °C"},
		{298.15, TemperaturePoint, "K", 2, "298.15 K"},
		{5, TemperatureDifference, "", 1, "5.0 K"},
		{0.95, Ratio, "", 2, "0.95"},
		{0.95, Ratio, "%", 0, "95 %"},
		{0.5235987755982988, Angle, "deg", 1, "30.0°"},
		{0.005, MoneyPerTime, "EUR/h", 2, "18.00 EUR/h"},
		{5400, Time, "", 1, "1.5 h"},
		{8, HeatTransfer, "W/m2K", 1, "8.0 W/(m²·K)"},
		{3, Dimension{Current: 2}, "", 1, "3.0 A²"},
		{1.5e18, Time, "s", 2, "1.50e+18 s"},
		{math.NaN(), Voltage, "V", 2, "none"},
		{math.Inf(-1), Voltage, "V", 2, "unbounded"},
	} {
		if got := Format(c.v, c.dim, c.unit, c.digits); got != c.want {
			t.Errorf("Format(%v, %s, %q, %d) = %q, want %q", c.v, c.dim.Name(), c.unit, c.digits, got, c.want)
		}
	}
}

func TestIn(t *testing.T) {
	for _, c := range []struct {
		text, unit string
		want       float64
	}{
		{"4.7 kΩ", "kohm", 4.7},
		{"4.7 kΩ", "Ω", 4700},
		{"25.1 °C", "°C", 25.1},
		{"25.1 °C", "K", 298.25},
		{"3 %/month", "%/month", 3},
		{"52.1 deg", "°", 52.1},
		{"95 %", "", 0.95},
		{"15 EUR/h", "EUR/h", 15},
	} {
		q, err := Parse(c.text)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := q.In(c.unit); err != nil || got != c.want {
			t.Errorf("%s in %q is %v, %v; want %v", c.text, c.unit, got, err, c.want)
		}
	}
	for _, c := range []struct{ text, unit, message string }{
		{"27.3 V", "A", `"A" is a unit of current; want a voltage such as 27.3 V`},
		{"27.3 V", "mv", `unknown unit "mv"; did you mean mV`},
		{"15 EUR", "USD", `"USD" is another currency; want EUR`},
		{"27.3 V", "", `unknown unit ""; want a voltage such as 27.3 V`},
	} {
		q, _ := Parse(c.text)
		if _, err := q.In(c.unit); err == nil || err.Error() != c.message {
			t.Errorf("%s in %q: %v, want %s", c.text, c.unit, err, c.message)
		}
	}
	if _, err := (Quantity{Value: math.NaN(), Dim: Voltage}).In("V"); err == nil {
		t.Error("NaN has a value")
	}
}

func TestStringOfWhatIsNotFinite(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1)} {
		if got := exactly(v, Voltage, "V").String(); got != "none" {
			t.Error(got)
		}
	}
}

func TestStringWithoutUnit(t *testing.T) {
	for _, c := range []struct {
		q    Quantity
		want string
	}{
		{Quantity{Value: 27.3, Dim: Voltage}, "27.3 V"},
		{Quantity{Value: 298.15, Dim: TemperaturePoint}, "25 °C"},
		{Quantity{Value: 3600, Dim: Charge}, "1 Ah"},
		{Quantity{Value: 2, Dim: MoneyPerTime, Currency: "EUR"}, "7200 EUR/h"},
		{Quantity{Value: 2, Dim: Voltage, Unit: "A"}, "2 V"},
		{Quantity{Value: 2, Dim: Money, Currency: "USD", Unit: "EUR"}, "2 USD"},
		{Quantity{Value: 1e14, Dim: Voltage}, "100000000000000 V"},
		{Quantity{Value: 1e15, Dim: Voltage}, "1e15 V"},
		{Quantity{Value: 1e-6, Dim: Voltage}, "0.000001 V"},
		{Quantity{Value: 1.5e-7, Dim: Voltage}, "1.5e-7 V"},
		{Quantity{Value: 0.5}, "0.5"},
		{Quantity{Value: 1, Dim: Dimension{Mass: 1, Length: -1}}, "1 kg/m"},
	} {
		c.q.Low, c.q.High = c.q.Value, c.q.Value
		if got := c.q.String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// Percent of a temperature, and of nothing, cannot be written.
func TestStringOfPercent(t *testing.T) {
	for want, q := range map[string]Quantity{
		"25 °C ±2 K":   percent(limits(298.15, 296.15, 300.15, TemperaturePoint, "°C")),
		"0 V sd 0.1 V": percent(normal(0, 0.1, Voltage, "V")),
		"80 % ±5 %":    percent(limits(0.8, 0.75, 0.85, Ratio, "%")),
	} {
		if got := q.String(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// JCGM 100:2008, 4.3.7 eq. (7): u² = a²/3 for half-width a; example in 4.3.7, a = 0.40e-6 /°C
// gives u = 0.23e-6 /°C as printed.
func TestStandardUncertainty(t *testing.T) {
	q, err := Parse("16.52 ppm/K ±0.40 ppm/K")
	if u := q.StandardUncertainty(); err != nil || math.Abs(u-0.23e-6) > 0.005e-6 {
		t.Error(u, err)
	}
	for text, want := range map[string]float64{"5 V": 0, "5 V sd 0.1 V": 0.1} {
		if q, _ := Parse(text); q.StandardUncertainty() != want {
			t.Error(text, q.StandardUncertainty())
		}
	}
	if q, _ := Parse("2..3 V"); math.Abs(q.StandardUncertainty()-0.5/math.Sqrt(3)) > 1e-15 {
		t.Error(q.StandardUncertainty())
	}
}
