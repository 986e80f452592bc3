package caution

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/product"
)

const alder = "../testdata/alder-12"

// change replaces a text in a file of the folder alder-12.
type change struct{ file, old, new string }

func changed(t *testing.T, changes ...change) *product.Product {
	t.Helper()
	texts := map[string]string{}
	var options []product.Option
	for _, c := range changes {
		if texts[c.file] == "" {
			data, err := os.ReadFile(filepath.Join(alder, c.file))
			if err != nil {
				t.Fatal(err)
			}
			texts[c.file] = string(data)
		}
		if !strings.Contains(texts[c.file], c.old) {
			t.Fatalf("%q is not in %s", c.old, c.file)
		}
		texts[c.file] = strings.Replace(texts[c.file], c.old, c.new, 1)
		options = append(options, product.With(c.file, []byte(texts[c.file])))
	}
	f, err := product.Read(alder, options...)
	if err != nil {
		t.Fatal(err)
	}
	p, err := f.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func found(p *product.Product, name string) (texts []string) {
	for _, c := range Of(p) {
		if c.Check == name {
			texts = append(texts, c.Text)
		}
	}
	return texts
}

// The folder as it is: nothing to question but the gas of its flooded battery.
func TestSilent(t *testing.T) {
	for _, c := range Of(changed(t)) {
		if c.Check != "ventilation" {
			t.Errorf("%s: %s", c.Check, c)
		}
	}
}

// untrimmed takes the trim out of the folder, beside other changes.
func untrimmed(changes ...change) []change {
	return append(changes, change{"product.toml", "unknown      =", "trimmed = \"none\"\nunknown ="}, change{"product.toml", `[sense.trimmed]
at          = ["12.0 V", "14.4 V"]
by          = "±(0.05 % + 2 digits)"
digit       = "1 mV"
temperature = "22 °C"
method      = "gain"
step        = "5 mV"
`, ""})
}

// fires holds, for each check, changes to the folder for which it is silent that make
// it speak, and what it then says. The limits are those of the table in checks.go.
var fires = []struct {
	check   string
	changes []change
	want    string
}{
	{"converter-saturates", []change{{"product.toml", `"60 kΩ ±1 % ±100 ppm/K"`, `"50 kΩ ±1 %"`}},
		// 2.49 V · (1 + 49.5/10.1) · 1021/1024
		"the converter sees no more than 14.65 V in the worst of the trimmed units, but equalise rises to 15.5 V at 0 °C: charging would never stop"},
	// 53 kΩ: 2.5 V · 6.3 · 1023/1024 = 15.73 V is enough for a threshold that is a code,
	// and 2.49 V · (1 + 52.47/10.1) · 1021/1024 = 15.38 V is not for one that the trim moves.
	{"converter-saturates", []change{{"product.toml", `"60 kΩ ±1 % ±100 ppm/K"`, `"53 kΩ ±1 %"`}}, "no more than 15.38 V in the worst of the trimmed units"},
	{"converter-saturates", untrimmed(change{"product.toml", `"60 kΩ ±1 % ±100 ppm/K"`, `"53 kΩ ±1 %"`}), ""},
	{"converter-saturates", untrimmed(change{"product.toml", `"60 kΩ ±1 % ±100 ppm/K"`, `"52 kΩ ±1 %"`}), "sees no more than 15.48 V, but equalise"},
	{"converter-saturates", untrimmed(change{"product.toml", `"60 kΩ ±1 % ±100 ppm/K"`, `"52 kΩ ±1 %"`}, change{"product.toml", "equalise   = \"14.9 V for 1 h\"\n", ""}), ""},
	{"lfp-compensated", []change{{"product.toml", `"flooded"`, `["flooded", "lithium-iron-phosphate"]`}}, "lithium-iron-phosphate is charged with temperature compensation"},
	{"lfp-absorption", []change{{"product.toml", `"flooded"`, `"lithium-iron-phosphate"`}, {"product.toml", "cells           = 6", "cells = 4"}, {"product.toml", `"14.4 V for 2 h"`, `"14.8 V"`}},
		"absorption is 3.7 V a cell, above 3.65 V"},
	{"lfp-cold", []change{{"product.toml", `"flooded"`, `"lithium-iron-phosphate"`}}, "charging stops only below -20 °C"},
	{"lfp-cold", []change{{"product.toml", `"flooded"`, `"lithium-iron-phosphate"`}, {"product.toml", "charge_stop_below = \"-20 °C\"\n", ""}}, "nothing stops the charge below 0 °C"},
	{"equalised", []change{{"product.toml", `"flooded"`, `"gel"`}}, "a gel battery is equalised"},
	{"equalised", []change{{"product.toml", `"flooded"`, `"agm"`}}, "an agm battery is equalised"},
	{"equalise-high", []change{{"product.toml", `"14.9 V for 1 h"`, `"15.6 V"`}}, "equalise is 15.6 V, above 15.5 V"},
	{"charge-level", []change{{"product.toml", `"14.4 V for 2 h"`, `"15.0 V"`}}, "absorption is 15 V at 25 °C, usual for flooded are 13.8 V to 14.8 V: the battery loses water"},
	{"charge-level", []change{{"product.toml", `"14.4 V for 2 h"`, `"13.7 V"`}}, "never quite full"},
	{"charge-level", []change{{"product.toml", `"flooded"`, `"gel"`}}, "usual for gel are 13.8 V to 14.2 V"},
	{"float-level", []change{{"product.toml", `"13.6 V"`, `"13.9 V"`}}, "float is 13.9 V at 25 °C, usual for lead batteries are 13.2 V to 13.8 V"},
	{"compensation-slope", []change{{"product.toml", `"-24 mV/K"`, `"-4 mV/K"`}}, "temperature_compensation is -0.7 mV/K a cell"},
	{"compensation-slope", []change{{"product.toml", `"-24 mV/K"`, `"-40 mV/K"`}}, "temperature_compensation is -6.7 mV/K a cell"},
	{"compensation-slope", []change{{"product.toml", `"-24 mV/K"`, `"24 mV/K"`}}, "the level rises with heat"},
	{"compensation-slope", []change{{"product.toml", "temperature_compensation = \"-24 mV/K\"\n", ""}}, "do not follow its temperature"},
	{"compensated-level", []change{{"product.toml", `"0..40 °C"`, `"-20..60 °C"`}, {"promises.toml", `"0..40 °C"`, `"-20..40 °C"`}}, "absorption becomes 15.48 V at -20 °C"},
	{"load-levels", []change{{"product.toml", `"11.4 V"`, `"10.7 V"`}}, "load_disconnect is 10.7 V"},
	{"load-levels", []change{{"product.toml", `"11.4 V"`, `"12.1 V"`}}, "load_disconnect is 12.1 V"},
	{"load-levels", []change{{"product.toml", `"12.6 V"`, `"12.1 V"`}}, "only 0.7 V above load_disconnect"},
	{"load-levels", []change{{"product.toml", `"12.6 V"`, `"11.4 V"`}}, "is not above load_disconnect"},
	{"load-levels", []change{{"product.toml", `"12.6 V"`, `"13.6 V"`}}, "is not below float"},
	{"hysteresis", []change{{"product.toml", `"0.5 V"`, `"0.1 V"`}}, "hysteresis is 0.1 V, usual are 0.2 V to 1 V"},
	{"hysteresis", []change{{"product.toml", `"0.5 V"`, `"1.1 V"`}}, "hysteresis is 1.1 V"},
	{"pwm-frequency", []change{{"product.toml", `"100 Hz"`, `"9 Hz"`}}, "9.00 Hz is an unusual pwm frequency"},
	{"pwm-frequency", []change{{"product.toml", `"100 Hz"`, `"20 kHz"`}}, "20.0 kHz is an unusual pwm frequency"},
	{"pwm-ripple", []change{{"product.toml", `"15 mΩ..40 mΩ"`, `"15 mΩ..80 mΩ"`}}, "steps by up to 0.4 V in each pwm cycle, more than 0.3 V"},
	{"divider-impedance", []change{{"product.toml", `"60 kΩ ±1 % ±100 ppm/K"`, `"120 kΩ"`}, {"product.toml", `"10 kΩ ±1 % ±100 ppm/K"`, `"20 kΩ"`}}, "a source of 17.1 kΩ"},
	{"sensor-on-board", []change{{"product.toml", `= "battery"`, `= "board"`}, {"product.toml", `"2..4 K"`, `"2..15 K"`}}, "reads up to 15.0 K too much, which shifts the level by -0.36 V"},
	{"sensor-on-board", []change{{"product.toml", `= "battery"`, `= "board"`}, {"product.toml", "board_rise   = \"2..4 K\"\n", ""}}, "how much warmer that gets is not said"},
	// 2 · 2 m · (1/58) Ω·mm²/m / 1.5 mm² = 46 mΩ, and 5 mΩ of contacts: 0.255 V at 5 A
	{"battery-lead", []change{{"product.toml", "length   = \"1 m\"\narea     = \"2.5 mm²\"", "length   = \"2 m\"\narea     = \"1.5 mm²\""}}, "takes up to 0.25 V at 5 A, more than 1 %"},
	{"battery-lead", []change{{"installations/hut.toml", "[lead.battery]\nlength = \"1 m\"", "[lead.battery]\nlength = \"9 m\""}}, "hut: the lead to the battery takes up to"},

	{"no-fuse", []change{{"product.toml", "f1 = {", "# f1 = {"}}, "the circuit has no fuse"},
	{"fuse-place", []change{{"product.toml", `from = "bat+", to = "n1"`, `from = "pv+", to = "n1"`}}, "every fuse is at the panel"},
	{"fuse-rating", []change{{"parts.toml", `"7.5 A"`, `"6 A"`}}, "are less than 1.25 times"},
	{"fuse-rating", []change{{"parts.toml", `"7.5 A"`, `"15 A"`}}, "are more than twice"},
	{"fuse-voltage", []change{{"parts.toml", "voltage = \"32 V\"", "voltage = \"12 V\""}}, "breaks no more than 12 V, and the battery has up to 15.5 V"},
	{"no-blocking-diode", []change{{"product.toml", `"series"`, `"shunt"`}, {"product.toml", "d1 = {", "# d1 = {"}, {"variants/gel.toml", "\"product.circuit.d1.part\" = \"sb5\"\n", ""}}, "shorts the battery each time it closes"},
	{"common-positive", []change{{"product.toml", `drain = "n2", source = "n3"`, `drain = "bat-", source = "pv-"`}}, "goes round it, and nothing regulates"},
	// open 21.8 V - 82 mV/K · (-3 - 25) K = 24.10 V, and 15.50 V
	{"reverse-voltage", []change{{"parts.toml", `reverse_voltage = "45 V"`, `reverse_voltage = "39 V"`}}, "d1 is a part for 39 V; a panel connected the wrong way round puts 24.1 V and the battery's 15.5 V"},
	{"reverse-voltage", []change{{"parts.toml", `drain_voltage = "60 V"`, `drain_voltage = "39 V"`}}, "q1 is a part for 39 V"},
	{"clamped-voltage", []change{{"parts.toml", `clamping = "29 V"`, `clamping = "51 V"`}}, "less than 1.2 times the 51 V"},
	{"clamp-standoff", []change{{"parts.toml", `standoff = "18 V"`, `standoff = "15 V"`}}, "stands off 15 V, and equalise rises to 15.5 V at 0 °C"},
	{"supply-input", []change{{"parts.toml", `input_max = "40 V"`, `input_max = "24 V"`}}, "takes at most 24 V, and without a battery the panels give 24.1 V"},
	{"gate-drive", []change{{"parts.toml", `drive = "12 V"`, `drive = "11 V"`}}, "less than 1.2 times the 10 V"},
	{"gate-drive", []change{{"parts.toml", `drive = "12 V"`, `drive = "5 V"`}}, "the gate gets 5 V, and its on-resistance is stated at 10 V"},
	{"gate-drive", []change{{"parts.toml", `drive = "12 V"`, `drive = "17 V"`}}, "more than 80 % of the 20 V"},
	{"part-current", []change{{"parts.toml", "current = \"10 A\"\nsurge", "current = \"4 A\"\nsurge"}}, "d1 is a part for 4 A, and the label says 5 A"},
	{"part-current", []change{{"parts.toml", `current = "30 A"`, `current = "4 A"`}}, "q1 is a part for 4 A"},
	{"standby", []change{{"product.toml", `"4 mA ±10 %"`, `"9.5 mA ±10 %"`}}, "it draws up to 10.4 mA itself, 7.5 Ah in a month"},

	{"fill-factor", []change{{"parts.toml", `"50 W ±3 %"`, `"60 W"`}}, "panel50: the fill factor is 0.902, usual are 0.600 to 0.820"},
	{"peak-point", []change{{"parts.toml", `peak_current = "2.80 A"`, `peak_current = "3.00 A"`}}, "peak_current to short_circuit_current is 0.984"},
	{"peak-point", []change{{"parts.toml", `peak_voltage = "17.9 V"`, `peak_voltage = "19.5 V"`}}, "peak_voltage to open_circuit_voltage is 0.894"},
	{"label-power", []change{{"parts.toml", `"50 W ±3 %"`, `"53 W"`}}, "peak_voltage · peak_current to peak_power is 0.946"},
	{"cell-voltage", []change{{"parts.toml", "cells = 36", "cells = 60"}}, "open_circuit_voltage of one cell in V is 0.363"},
	{"panel-efficiency", []change{{"parts.toml", `"0.36 m²"`, `"0.17 m²"`}}, "the efficiency by area is 0.294"},
	{"panel-drifts", []change{{"parts.toml", `"-82 mV/K"`, `"82 mV/K"`}}, "for each K is 0.376, usual are -0.400 to -0.250"},
	{"panel-drifts", []change{{"parts.toml", `"1.5 mA/K"`, `"15 mA/K"`}}, "for each K is 0.492"},
	{"panel-noct", []change{{"parts.toml", `"46 °C"`, `"56 °C"`}}, "noct is 56 °C"},
	{"panel-voltage", []change{{"installations/hut.toml", "in_series = 1", "in_series = 2"}}, "peak voltage is 35.8 V, more than 20 V"},
	{"panel-voltage", []change{{"parts.toml", `peak_voltage = "17.9 V"`, `peak_voltage = "16.0 V"`}}, "peak voltage is 16 V, less than 16.5 V"},
	{"panel-current", []change{{"installations/hut.toml", "in_parallel = 1", "in_parallel = 3"}}, "1.25 times the panels' short-circuit current is 11.4 A, more than the 5 A"},
	{"charge-current", []change{{"parts.toml", `"40 Ah"`, `"14 Ah"`}}, "21.8 % of the capacity for each hour, and flooded takes 20 %"},
	{"charge-current", []change{{"parts.toml", `"40 Ah"`, `"410 Ah"`}}, "at most 0.744 % of the capacity"},
	{"battery-fits", []change{{"product.toml", `"flooded"`, `"agm"`}}, "the battery is flooded, for which the product is not sold"},
	{"battery-fits", []change{{"parts.toml", "cells = 6", "cells = 3"}}, "the battery has 3 cells in series, the product is for 6"},
	{"panel-lead", []change{{"installations/hut.toml", "[lead.panel]\nlength = \"4 m\"", "[lead.panel]\nlength = \"20 m\""}}, "the panels' lead takes up to 0.87 V at 3.05 A, more than 3 %"},
	{"panel-faces", []change{{"installations/hut.toml", `azimuth = "180°"`, `azimuth = "10°"`}}, "face away from the noon sun"},
	{"panel-faces", []change{{"installations/hut.toml", `latitude  = "47°"`, `latitude  = "-47°"`}}, "face away from the noon sun"},
	{"yearly-sun", []change{{"installations/hut.toml", `"5.8 kWh/m²", "5.7 kWh/m²"`, `"58 kWh/m²", "57 kWh/m²"`}}, "usual are 800 to 2,600 kWh/m²"},
	// 0.05 · 6 · 20 mA/Ah · 40 Ah = 0.24 m³/h; 28 · 0.24 = 6.7 cm²
	{"ventilation", nil, "40.0 Ah of flooded battery needs 0.24 m³ of fresh air an hour, openings of 6.7 cm²"},

	// 2/√3 · (0.05 % · 13.6 V + 10 mV) = 19 mV against 0.2 V / 4: silent; 10 mV to 40 mV
	{"meter-too-coarse", []change{{"bench/meters.toml", `digit = "1 mV"`, `digit = "14 mV"`}}, "bench-1 measures 13.6 V with an uncertainty of 56 mV; promise float allows 0.2 V either way"},
	{"meter-unchecked", []change{{"bench/meters.toml", "2024-02-12", "2023-02-27"}}, "bench-1 was last checked on 2023-02-27 and was still read on 2024-03-01"},

	{"meter-range", []change{{"records/readings.csv", "13.52 V", "61 V"}}, "61 V of 2024-03-01: bench-1 measures 0..60 V, and its accuracy is not stated there"},
	{"meter-range", []change{{"records/readings.csv", "13.52 V", "60 V"}}, ""},
	{"meter-range", []change{{"records/readings.csv", "setpoint.float,13.52 V,bench-1,A-0001,A,21 °C,0.1 A,0 A,,,counted,\"first \"\"cold\"\" reading\"", "x,70 mA,bench-1,,,,,,,,,\n2024-03-01,x,80 mA,bench-1,,,,,,,,,\n2024-03-01,y,-30 °C,bench-1,,,,,,,,,"}}, "70 mA of 2024-03-01 and 1 more like it: bench-1 measures 0..60 mA"},
	{"meter-range", []change{{"records/readings.csv", "setpoint.float,13.52 V", "x,151 °C"}}, "151 °C of 2024-03-01: bench-1 measures -20..150 °C"},
	{"meter-range", []change{{"records/readings.csv", "setpoint.float,13.52 V,bench-1", "setpoint.float,61 V,"}}, ""},
	{"meter-range", []change{{"product.toml", `"±(0.05 % + 2 digits)"`, `"bench-1"`}, {"bench/meters.toml", "0..60 V", "0..14 V"}}, "units are trimmed at 14.4 V with bench-1, whose range is 0..14 V: its accuracy is not stated there"},

	{"minutes", []change{{"production.toml", `"12 min ±2 min"`, `"2 h"`}}, "the steps add up to 126 minutes a unit"},
	{"minutes", []change{{"production.toml", `"12 min ±2 min"`, `"12 s"`}, {"production.toml", `"5 min..7 min"`, `"1 min"`}}, "the steps add up to 1.2 minutes a unit"},
	{"yields", []change{{"production.toml", `yield = "93 %"`, `yield = "7 %"`}}, "step solder passes only 7 % at first"},
	{"yields", []change{{"records/made.csv", "solder,rework,", ",pass,"}, {"records/made.csv", "90..130,,,,,,", "90..130,,,,,pass,"}}, "all of 92 units passed at first"},
	// 19.00 EUR · 1.02 of 49 EUR / 1.2
	{"materials", []change{{"production.toml", "10:3.41 USD, 100:2.23 EUR", "10:19 EUR"}}, "materials are 47.5 % of the price without tax"},
	{"channel-shares", []change{{"production.toml", `share = "28 %"`, `share = "18 %"`}}, "the shares of the channels add up to 90 %"},
	{"channel-fees", []change{{"production.toml", "fee = 0.1", "fee = 0.25"}}, "channel dealer keeps 25 % of the price"},
	{"order-of-events", []change{{"records/sold.csv", "2022-05-01,,,A-0001", "2022-03-01,,,A-0001"}}, "one unit was sold before it was made"},
	{"order-of-events", []change{{"records/returned.csv", "2023-05-01;;;A-0001", "2022-04-20;;;A-0001"}}, "one unit was back before it was sold"},
	{"order-of-events", []change{{"records/sold.csv", "2022-01-01,2022-12-31,40..60,,", "2022-06-01,,,A-0001,"}}, "one unit was sold twice"},
}

func TestFires(t *testing.T) {
	for _, c := range fires {
		got := found(changed(t, c.changes...), c.check)
		matches := slices.ContainsFunc(got, func(text string) bool { return strings.Contains(text, c.want) })
		switch {
		case c.want == "" && len(got) > 0:
			t.Errorf("%s: %v, want silence", c.check, got)
		case c.want != "" && !matches:
			t.Errorf("%s:\n got %q\nwant %q", c.check, got, c.want)
		}
	}
}

func TestEveryCheckIsTried(t *testing.T) {
	for _, c := range checks {
		if !slices.ContainsFunc(fires, func(f struct {
			check   string
			changes []change
			want    string
		}) bool {
			return f.check == c.name && f.want != ""
		}) {
			t.Errorf("%s is never made to speak", c.name)
		}
		if c.source == "" || c.study == "" {
			t.Errorf("%s has no source or no study", c.name)
		}
	}
}

// A folder that says nothing gives nothing to question, and no check trips over it.
func TestNothingIsQuestionedOfNothing(t *testing.T) {
	dir := t.TempDir()
	for _, text := range []string{"", "nominal_voltage = \"12 V\"\n", "chemistry = [\"gel\", \"lithium-iron-phosphate\"]\n", "[regulation]\nabsorption = \"14 V\"\n[sense]\ntop = \"1 kΩ\"\n"} {
		f, err := product.Read(dir, product.With("product.toml", []byte(text)))
		if err != nil {
			t.Fatal(err)
		}
		p, _ := f.Resolve("")
		for _, c := range Of(p) {
			if !strings.Contains(text, "lithium") || c.Check != "lfp-cold" {
				t.Errorf("%q: %s", text, c)
			}
		}
	}
}

func TestSafetyComesFirst(t *testing.T) {
	all := Of(changed(t, change{"product.toml", `"flooded"`, `["gel", "lithium-iron-phosphate"]`}, change{"product.toml", "f1 = {", "# f1 = {"}))
	last := true
	for _, c := range all {
		if c.Safety && !last {
			t.Errorf("%s concerns safety and stands behind others", c.Check)
		}
		last = c.Safety
	}
	if len(all) < 5 || !all[0].Safety || last {
		t.Errorf("%d cautions", len(all))
	}
	if from := all[0].From(); from != "product.toml:23, product.toml:7" {
		t.Errorf("%s comes from %s", all[0].Check, from)
	}
}

func TestBatteryWork(t *testing.T) {
	for _, c := range []struct {
		chemistries []string
		want        int
	}{{nil, 0}, {[]string{lfp}, 1}, {[]string{"agm"}, 2}, {[]string{"gel", "flooded"}, 3}} {
		if got := BatteryWork(c.chemistries); len(got) != c.want {
			t.Errorf("%v: %d notes, want %d", c.chemistries, len(got), c.want)
		}
	}
}

// Voltages are told with the digits that say something.
func TestVolts(t *testing.T) {
	for v, want := range map[float64]string{60: "60 V", 80.6: "80.6 V", 14.654: "14.65 V", 15.5: "15.5 V", 100: "100 V", -0.36: "-0.36 V", 0.1: "0.1 V", 0.05: "50 mV", 0.0234: "23 mV", 0: "0 V"} {
		if got := volts(v); got != want {
			t.Errorf("%g: %q, want %q", v, got, want)
		}
	}
	if got := degrees(273.15) + " " + degrees(253.15) + " " + amps(5) + " " + percent(0.07); got != "0 °C -20 °C 5 A 7 %" {
		t.Error(got)
	}
}
