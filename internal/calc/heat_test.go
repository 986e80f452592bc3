package calc

import (
	"context"
	"maps"
	"math"
	"strings"
	"testing"
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

// Examples of Incropera, 6th ed., from memory, with the program's own air: 9.2 (7.0 W/m²K, 1060 W), 9.3 (4.23, 5.47 and 2.07 W/m²K, faces
// of a duct) to half a printed digit and what its rounded properties leave; and Cengel, 3rd ed., 9-1 (5.869 W/m²K, 443 W and
// 553 W), whose air conducts 2.4 % less.
func TestSurfaceMeetsHandbooks(t *testing.T) {
	for _, c := range []struct {
		args               []string
		convection, within float64
		heat, heatWithin   float64
		unit               string
	}{
		{[]string{"shape=vertical-plate", "size=0.71 m x 1.02 m", "surface_temperature=232 °C", "ambient=23 °C", "emissivity=0"}, 7.0, 0.05, 1060, 6, "W"},
		{[]string{"shape=vertical-plate", "length=0.3 m", "surface_temperature=45 °C", "ambient=15 °C", "emissivity=0"}, 4.23, 0.03, 4.23 * 0.3 * 30, 0.3, "W/m"},
		{[]string{"shape=plate-facing-up", "length=0.75 m", "surface_temperature=45 °C", "ambient=15 °C", "emissivity=0"}, 5.47, 0.03, 5.47 * 0.75 * 30, 0.7, "W/m"},
		{[]string{"shape=plate-facing-down", "length=0.75 m", "surface_temperature=45 °C", "ambient=15 °C", "emissivity=0"}, 2.07, 0.02, 2.07 * 0.75 * 30, 0.5, "W/m"},
		{[]string{"shape=horizontal-cylinder", "diameter=80 mm", "length=6 m", "surface_temperature=70 °C", "ambient=20 °C", "emissivity=1"}, 5.869, 0.024 * 5.869, 443 + 553, 0.024 * 443, "W"},
	} {
		o := run(t, "surface", c.args...)
		h, q := value(t, o, "convection"), value(t, o, "heat")
		if math.Abs(h-c.convection) > c.within || math.Abs(q-c.heat) > c.heatWithin || figure(t, o, "heat").Unit != c.unit {
			t.Errorf("%q: %v W/(m²·K), %v %s", c.args, h, q, figure(t, o, "heat").Unit)
		}
	}
}

// heat is what the two coefficients make of the area and the difference, and a face that is no warmer gives none.
func TestSurfaceAgreesWithItself(t *testing.T) {
	for shape, area := range map[string]float64{"shape=box": 2 * (0.1*0.06 + 0.1*0.04 + 0.06*0.04), "shape=vertical-plate": 0.1 * 0.06,
		"shape=plate-facing-up": 0.1 * 0.06, "shape=plate-facing-down": 0.1 * 0.06} {
		size := "size=0.1 m x 0.06 m"
		if shape == "shape=box" {
			size += " x 0.04 m"
		}
		o := run(t, "surface", shape, size, "surface_temperature=60 °C", "ambient=40 °C", "emissivity=0.9")
		want := 20 * area * (value(t, o, "convection") + value(t, o, "radiation"))
		if got := value(t, o, "heat"); math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %v W, want %v", shape, got, want)
		}
		even := run(t, "surface", shape, size, "surface_temperature=40 °C", "ambient=40 °C")
		if q := value(t, even, "heat"); q != 0 || len(even.Warnings) != 0 {
			t.Errorf("%s without a difference: %v W, %q", shape, q, even.Warnings)
		}
	}
	strip, long := run(t, "surface", "shape=plate-facing-up", "length=50 mm", "surface_temperature=60 °C", "ambient=40 °C"),
		run(t, "surface", "shape=plate-facing-up", "size=50 mm x 1 km", "surface_temperature=60 °C", "ambient=40 °C")
	if a, b := value(t, strip, "convection"), value(t, long, "convection"); math.Abs(a/b-1) > 1e-3 {
		t.Errorf("a strip %v, a long plate %v", a, b)
	}
}

func TestHeatSaysNone(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		none []string
		has  string
	}{
		{"junction", []string{"current=20 A", "resistance=12 mΩ", "thermal_resistance=62 K/W", "ambient=50 °C"}, []string{"junction", "loss"}, "runaway_current"},
		{"leakage-stability", []string{"leakage_25=0.5 mA", "doubling=10 K", "voltage=22 V", "thermal_resistance=80 K/W", "ambient=85 °C"}, []string{"junction"}, "critical_ambient"},
		{"blocking-diode", []string{"current=5 A", "drop_25=0.4 V", "drop_tempco=10 mV/K", "thermal_resistance=40 K/W", "ambient=50 °C"}, []string{"junction", "loss"}, ""},
	} {
		o := run(t, c.name, c.args...)
		for _, key := range c.none {
			if f := figure(t, o, key); !strings.HasPrefix(f.Answer.None, "no steady state: ") {
				t.Errorf("%s: %+v", c.name, f)
			}
		}
		if o.Complete() {
			t.Errorf("%s: complete", c.name)
		}
		if c.has != "" {
			value(t, o, c.has)
		}
	}
	for _, none := range []string{"tempco=0 1/K", "duty=0", "tempco=-0.001 1/K"} {
		o := run(t, "junction", "current=5 A", "resistance=12 mΩ", none, "thermal_resistance=62 K/W", "ambient=50 °C")
		if figure(t, o, "runaway_current").None != "the loss does not grow with temperature" || o.Complete() {
			t.Errorf("%s: a loss that does not grow: %+v", none, o.Results)
		}
		value(t, o, "junction")
	}
	hot := run(t, "junction", "current=5 A", "resistance=12 mΩ", "tempco=-0.01 1/K", "switching=2 W", "thermal_resistance=62 K/W", "ambient=50 °C")
	if f := figure(t, hot, "junction"); !strings.Contains(f.None, "0 or less") {
		t.Errorf("beyond the linear law: %+v", f)
	}
}

// The value of either way to say how leakage grows is the same, and tolerances give intervals.
func TestHeatIntervals(t *testing.T) {
	a := run(t, "leakage-stability", "leakage_25=0.1 mA", "doubling=12.602676 K", "voltage=14.4 V", "thermal_resistance=60 K/W", "ambient=40 °C")
	b := run(t, "leakage-stability", "leakage_25=0.1 mA", "exponent=0.055 1/K", "voltage=14.4 V", "thermal_resistance=60 K/W", "ambient=40 °C")
	if x, y := value(t, a, "critical_ambient"), value(t, b, "critical_ambient"); math.Abs(x-y) > 1e-4 {
		t.Errorf("doubling %v, exponent %v", x, y)
	}
	for name, args := range map[string][]string{
		"surface":             {"shape=box", "size=100 mm x 68 mm x 40 mm", "surface_temperature=50 °C", "ambient=40 °C", "emissivity=0.85..0.95"},
		"junction":            {"current=5 A", "resistance=9 mΩ..12 mΩ", "thermal_resistance=60 K/W ±20 %", "ambient=50 °C"},
		"transient-impedance": {"stages=0.5 K/W 1 ms, 1.5 K/W 50 ms", "power=20 W ±10 %", "duty=0.1", "period=5 ms"},
	} {
		o := run(t, name, args...)
		f := o.Results[len(o.Results)-2]
		if name == "junction" {
			f = figure(t, o, "junction")
		}
		if !f.Interval || !(f.Low < f.Answer.Value && f.Answer.Value < f.High) && name != "surface" {
			t.Errorf("%s: %+v", name, f)
		}
	}
}

func TestHeatWarns(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		say  string
	}{
		{"surface", []string{"shape=plate-facing-up", "size=8 mm x 8 mm", "surface_temperature=60 °C", "ambient=40 °C"}, "outside the range of the law for a plate that looks up"},
		{"surface", []string{"shape=box", "size=0.1 m x 0.1 m x 0.1 m", "surface_temperature=2000 °C", "ambient=40 °C"}, "outside 200 K to 800 K"},
		{"junction", []string{"current=14.8 A", "resistance=12 mΩ", "thermal_resistance=60 K/W", "ambient=25 °C"}, "above what any semiconductor stands"},
	} {
		o := run(t, c.name, c.args...)
		if !strings.Contains(strings.Join(o.Warnings, "\n"), c.say) {
			t.Errorf("%s: %q", c.name, o.Warnings)
		}
	}
}

func TestHeatRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		say  string
	}{
		{"surface", []string{"shape=ball", "surface_temperature=50 °C", "ambient=40 °C"}, `shape: "ball": no known shape; want horizontal-cylinder, vertical-plate, plate-facing-up, plate-facing-down or box`},
		{"surface", []string{"shape=box", "size=0.1 m x 0.1 m", "surface_temperature=50 °C", "ambient=40 °C"}, `size: "0.1 m x 0.1 m": 2 lengths; want 3 lengths such as 100 mm x 68 mm x 40 mm`},
		{"surface", []string{"shape=box", "surface_temperature=50 °C", "ambient=40 °C"}, `size: missing for this shape; want 3 lengths such as 100 mm x 68 mm x 40 mm`},
		{"surface", []string{"shape=vertical-plate", "surface_temperature=50 °C", "ambient=40 °C"}, `size: missing for a plate; want two lengths such as 0.3 m x 0.2 m`},
		{"surface", []string{"shape=horizontal-cylinder", "length=1 m", "surface_temperature=50 °C", "ambient=40 °C"}, `diameter: missing for a cylinder; want a length above 0 such as 30 mm`},
		{"surface", []string{"shape=horizontal-cylinder", "diameter=1 m", "surface_temperature=50 °C", "ambient=40 °C", "emissivity=1.2"}, `emissivity: "1.2": not a possible value; want a number from 0 to 1 such as 0.9`},
		{"surface", []string{"shape=horizontal-cylinder", "diameter=1 m", "size=0.1 m x 0.1 m", "surface_temperature=50 °C", "ambient=40 °C"}, `size: "0.1 m x 0.1 m": a horizontal-cylinder has none; want diameter and length`},
		{"surface", []string{"shape=plate-facing-up", "diameter=1 m", "size=0.1 m x 0.1 m", "surface_temperature=50 °C", "ambient=40 °C"}, `diameter: "1 m": a plate-facing-up has none; want size or length`},
		{"surface", []string{"shape=vertical-plate", "length=1 m", "size=0.1 m x 0.1 m", "surface_temperature=50 °C", "ambient=40 °C"}, `length: "1 m": given beside size; want one of them`},
		{"junction", []string{"current=5", "resistance=12 mΩ", "thermal_resistance=0 K/W", "ambient=50 °C"}, `current: "5": no unit; want a current of 0 or more such as 5 A
    5
    ^
thermal_resistance: "0 K/W": not a possible value; want a thermal resistance above 0 such as 60 K/W`},
		{"leakage-stability", []string{"leakage_25=1 mA", "voltage=14 V", "thermal_resistance=60 K/W", "ambient=40 °C"}, `exponent: neither or both of doubling and exponent given; want one of them, such as doubling=12.6 K or exponent="0.055 1/K"`},
		{"transient-impedance", []string{"stages=0.5 K/W, 1 ms", "power=1 W", "duty=0.5", "period=1 s"}, `stages: "0.5 K/W, 1 ms": "0.5 K/W" is no thermal resistance and time; want stages such as 0.5 K/W 1 ms, 1.5 K/W 50 ms`},
		{"transient-impedance", []string{"stages=0 K/W 1 ms", "power=1 W", "duty=0.5", "period=1 s"}, `stages: "0 K/W 1 ms": a stage out of range; want stages such as 0.5 K/W 1 ms, 1.5 K/W 50 ms, both above 0`},
		{"junction", []string{"current=5 A", "resistance=12 mΩ", "thermal_resistance=62 K/W", "ambient=-200 °C"}, `ambient: "-200 °C": a resistance linear in temperature would be 0 or less there; want one on the same side of -141.7 °C as 25 °C`},
		{"transient-impedance", []string{"stages=1 K/W 1 ms", "power=1 W", "duty=1.5", "period=1 s"}, `duty: "1.5": not a possible value; want a number from 0 to 1 such as 0.5`},
	} {
		_, err := Run(context.Background(), c.name, c.args, Options{Seed: 1})
		if err == nil || err.Error() != c.say {
			t.Errorf("%s %q:\n got %v\nwant %s", c.name, c.args, err, c.say)
		}
	}
}
