package calc

import (
	"maps"
)

func init() {
	maps.Copy(examples, map[string][]string{
		"surface":             {"shape=box", "size=100 mm x 68 mm x 40 mm", "surface_temperature=50 °C", "ambient=40 °C"},
		"junction":            {"current=5 A", "resistance=12 mΩ", "tempco=0.006 1/K", "switching=0.15 W", "thermal_resistance=60 K/W", "ambient=50 °C"},
		"blocking-diode":      {"current=5 A", "drop_25=0.45 V", "drop_tempco=-1.2 mV/K", "series=20 mΩ", "thermal_resistance=40 K/W", "ambient=50 °C"},
		"leakage-stability":   {"leakage_25=0.1 mA", "doubling=10 K", "voltage=14.4 V", "thermal_resistance=60 K/W", "ambient=40 °C"},
		"transient-impedance": {"stages=0.5 K/W 1 ms, 1.5 K/W 50 ms", "power=20 W", "duty=0.1", "period=5 ms"},
	})
}
