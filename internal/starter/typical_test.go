package starter

import (
	"regexp"
	"strings"
	"testing"

	"hindwatt/internal/quantity"
)

// TestTypicalSaysWhy sees that every typical value has its reason, that all other values are
// answers or names, and that no template is left unfilled.
func TestTypicalSaysWhy(t *testing.T) {
	reason := regexp.MustCompile(`# typical: \S`)
	everyFolder(t, func(t *testing.T, f folder, a Answers) {
		for _, name := range names {
			text := f[name]
			if strings.Contains(text, "{{") || strings.Contains(text, "<no value>") {
				t.Errorf("%s: not filled", name)
			}
			if !strings.HasSuffix(text, "\n") || strings.HasSuffix(text, "\n\n") || strings.Contains(text, "\n\n\n") {
				t.Errorf("%s: blank lines are amiss", name)
			}
			for i, line := range strings.Split(text, "\n") {
				if strings.HasSuffix(name, ".toml") && strings.Contains(line, "# typical") && !reason.MatchString(line) {
					t.Errorf("%s:%d: typical, but why? %s", name, i+1, line)
				}
				if strings.TrimRight(line, " \t") != line || strings.Contains(line, "\t") {
					t.Errorf("%s:%d: stray space: %q", name, i+1, line)
				}
			}
		}
	})
}

// number returns a quantity of a flattened file.
func number(t *testing.T, file map[string]any, key string) quantity.Quantity {
	t.Helper()
	text, _ := file[key].(string)
	q, err := quantity.Parse(text)
	if err != nil {
		t.Fatalf("%s = %q: %v", key, file[key], err)
	}
	return q
}

// TestTypicalFits holds the typical values to the rules of the trade that a reader of the folder
// would be cautioned by. Sources beside the rules; "practice" is common practice without a source.
func TestTypicalFits(t *testing.T) {
	everyFolder(t, func(t *testing.T, f folder, a Answers) {
		product, parts := f.toml(t, "product.toml"), f.toml(t, "parts.toml")
		si := func(file map[string]any, key string) float64 { return number(t, file, key).Value }
		within := func(what string, v, low, high float64) {
			if !(v >= low && v <= high) {
				t.Errorf("%s = %g, want %g..%g", what, v, low, high)
			}
		}
		twelves := si(product, "nominal_voltage") / 12
		held, err := quantity.ParseHeld(product["regulation.absorption"].(string))
		if err != nil {
			t.Fatal(err)
		}
		limits := number(t, product, "regulation.compensation_limits")
		slope := si(product, "regulation.temperature_compensation")
		highest := held.Level.Value + slope*(limits.Low-298.15)
		lowest := si(product, "regulation.float") + slope*(limits.High-298.15)
		within("highest setpoint of 12 V", highest/twelves, 13.2, 15.2)                           // practice
		within("lowest setpoint of 12 V", lowest/twelves, 13.2, 15.2)                             // practice
		within("absorption of 12 V, agm", held.Level.Value/twelves, 14.0, 14.6)                   // practice; Sandia's charge controller guide of 1997, from memory, 14.0 to 14.2
		within("compensation a cell", slope/6/twelves, -0.005, -0.003)                            // quality standard for solar home systems, GTZ 2000
		within("disconnect of 12 V", si(product, "regulation.load_disconnect")/twelves, 10.8, 12) // practice
		if gap := si(product, "regulation.load_reconnect") - si(product, "regulation.load_disconnect"); gap < 0.8*twelves {
			t.Errorf("load reconnects %g V above its disconnection", gap)
		}
		scale := si(product, "sense.reference") * (1 + si(product, "sense.top")/si(product, "sense.bottom"))
		within("converter's full scale over the highest setpoint", scale/highest, 1.1, 1.4)
		for _, end := range []string{"top", "bottom"} {
			if product["sense."+end] != parts["part.divider-"+end+".resistance"] {
				t.Errorf("divider %s differs between product.toml and parts.toml", end)
			}
		}
		current := si(product, "current")
		within("fuse over current", si(parts, "part.fuse.rating")/current, 1.25, 2) // practice; ISO 8820-3 fuses carry 0.8 of their rating for good
		within("lead's drop", 2*si(product, "sense.lead.length")*0.0172e-6*current/si(product, "sense.lead.area"), 0, 0.01*12*twelves)

		within("Imp/Isc", si(parts, "part.panel.peak_current")/si(parts, "part.panel.short_circuit_current"), 0.85, 0.96) // practice
		within("Vmp/Voc", si(parts, "part.panel.peak_voltage")/si(parts, "part.panel.open_circuit_voltage"), 0.76, 0.86)  // practice
		power := si(parts, "part.panel.peak_power")
		within("fill factor", power/si(parts, "part.panel.short_circuit_current")/si(parts, "part.panel.open_circuit_voltage"), 0.60, 0.82)
		within("Pmax over Vmp Imp", power/si(parts, "part.panel.peak_voltage")/si(parts, "part.panel.peak_current"), 0.99, 1.01)
		within("current over 1.25 Isc", current/1.25/si(parts, "part.panel.short_circuit_current"), 0.999, 1.001) // NEC 690.8(A)
		within("C over Isc, h", si(parts, "part.battery.capacity")/3600/si(parts, "part.panel.short_circuit_current"), 5, 10.001)
		within("voltage coefficient, 1/K", si(parts, "part.panel.voltage_tempco")/si(parts, "part.panel.open_circuit_voltage"), -0.0040, -0.0025)

		// A panel wired wrong way round adds its cold open-circuit voltage, 1.12 of the label's at -10 °C, to the battery's.
		cold := 21.6 * 1.12 * twelves
		for key, v := range parts {
			if strings.HasSuffix(key, ".reverse_voltage") || strings.HasSuffix(key, ".drain_voltage") {
				if q := number(t, parts, key).Value; q < cold+14.4*twelves {
					t.Errorf("%s = %v, want %g V at least", key, v, cold+14.4*twelves)
				}
			}
		}
		if si(parts, "part.regulator.input_max") < cold {
			t.Errorf("regulator takes %v, a cold panel without battery gives %g V", parts["part.regulator.input_max"], cold)
		}
	})
}

// TestTwentyFourDoubles sees that a setpoint of 24 V is twice that of 12 V.
func TestTwentyFourDoubles(t *testing.T) {
	low, high := folderOf(t, Answers{Voltage: "12 V"}), folderOf(t, Answers{Voltage: "24 V"})
	a, b := low.toml(t, "product.toml"), high.toml(t, "product.toml")
	for key, want := range map[string]string{"absorption": "28.4 V for 2 h", "float": "27.4 V", "load_disconnect": "22.8 V",
		"load_reconnect": "25.2 V", "temperature_compensation": "-48 mV/K"} {
		if b["regulation."+key] != want || a["regulation."+key] == want {
			t.Errorf("%s: %v at 12 V, %v at 24 V, want %s", key, a["regulation."+key], b["regulation."+key], want)
		}
	}
	if b := high.toml(t, "promises.toml"); b["promise.float.within"] != "-0.4..0.4 V" {
		t.Errorf("promise float: within %v", b["promise.float.within"])
	}
}

// TestSizes: worked out by hand from the rules, computed independently of the program.
//
//	5 A, 12 V   fuse 6.5 → 7.5 A; 2·1 m·0.0172·5/0.12 = 1.43 mm²; 2·5 m·0.0172·5/0.36 = 2.39 mm²;
//	            track (5/(0.048·20^0.44))^(1/0.725) = 98.5 mil², over 1.378 mil 71.5 mil = 1.8 mm
//	10 A, 24 V  fuse 13 → 15 A; 1.43 mm²; 2.39 mm²; track 256.3 mil², 186 mil = 4.7 mm
//	60 A, 12 V  fuse 75 → 80 A; 17.2 mm²; 28.7 mm²; diode 120 A; track 3034 mil², over 2.756 mil 28.0 mm
func TestSizes(t *testing.T) {
	for _, c := range []struct {
		volts, amperes                                      float64
		fuse, diode, battery, panel, track, short, capacity string
	}{
		{12, 5, "7.5 A", "10 A", "1.5 mm²", "2.5 mm²", "2 mm", "4 A", "40 Ah"},
		{24, 10, "15 A", "20 A", "1.5 mm²", "2.5 mm²", "5 mm", "8 A", "80 Ah"},
		{12, 60, "80 A", "120 A", "25 mm²", "35 mm²", "28 mm", "48 A", "480 Ah"},
	} {
		s := size(c.volts, c.amperes)
		got := []string{s.Fuse, s.Diode, s.BatteryWire, s.PanelWire, s.TrackWidth, s.PanelShort, s.Capacity}
		want := []string{c.fuse, c.diode, c.battery, c.panel, c.track, c.short, c.capacity}
		if strings.Join(got, ", ") != strings.Join(want, ", ") {
			t.Errorf("%g V, %g A: %q, want %q", c.volts, c.amperes, got, want)
		}
	}
}
