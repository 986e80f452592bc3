package setpoint

import (
	"testing"

	"hindwatt/internal/quantity"
)

// q reads a quantity for a test.
func q(t testing.TB, text string) *Value {
	t.Helper()
	v, err := quantity.Parse(text)
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	return &Value{Quantity: v, From: "product.toml:1"}
}

// usual is an invented 24 V controller with everything that the study knows.
func usual(t testing.TB) Input {
	accuracy, err := quantity.ParseAccuracy("±(0.5 % + 2 digits)")
	if err != nil {
		t.Fatal(err)
	}
	return Input{
		Method: Choice{Text: "pwm"}, Sampled: Choice{Text: "mean"}, Sensor: Choice{Text: "battery"},
		Absorption: q(t, "28.8 V"), Float: q(t, "27.3 V"),
		LoadDisconnect: q(t, "22.8 V"), LoadReconnect: q(t, "25.2 V"),
		Compensation: q(t, "-48 mV/K"), CompensationLimits: q(t, "-5..40 °C"),
		Top: q(t, "120 kΩ ±1 % ±100 ppm/K"), Bottom: q(t, "10 kΩ ±1 % ±100 ppm/K"),
		Reference: q(t, "2.5 V ±0.4 % ±50 ppm/K"), Bits: Count{N: 10},
		Offset: q(t, "±2 LSB"), Nonlinearity: q(t, "±1 LSB"), Leakage: q(t, "±50 nA"), Ageing: q(t, "±0.1 %"),
		SensorError: q(t, "±1 K"), BoardRise: q(t, "5..15 K"), BatteryRise: q(t, "0..2 K"),
		Lead:              &Lead{Length: q(t, "1.5 m"), Area: q(t, "2.5 mm2"), Contacts: q(t, "2..6 mΩ")},
		BatteryResistance: q(t, "15..40 mΩ"), CurrentAtAbsorption: q(t, "0.5..4 A"), CurrentAtFloat: q(t, "0.1..1 A"),
		OnCurrent: q(t, "2..8 A"), LoadCurrent: q(t, "0.5..6 A"),
		Trim: &Trim{At: []Value{*q(t, "27.3 V")}, Temperature: q(t, "22 °C"),
			Instrument: Instrument{Name: "bench-1", Accuracy: accuracy, Digit: q(t, "10 mV"), From: "bench/meters.toml:3"}},
		Indicator:  &Indicator{Kind: Choice{Text: "digits"}, Step: q(t, "0.1 V"), Rounding: Choice{Text: "truncate"}},
		Conditions: Conditions{Ambient: q(t, "-10..45 °C")},
		Seed:       1,
	}
}
