package product

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the golden files anew")

// refusals change one thing in the folder alder-12: in a file, old becomes new.
// testdata/refuses.txt holds what is said of each, exact to the letter.
var refusals = []struct{ name, file, old, new string }{
	{"unknown key", "product.toml", "bits         = 10", "bit = 10"},
	{"unknown key with a µ before the fault", "product.toml", "[sense.lead]\n", "[sense.lead]\n\"µ\" = 1\n"},
	{"unknown table", "product.toml", "[indicator]", "[indicater]"},
	{"key of another table", "product.toml", "[standby]", "[standby]\nrounding = \"round\""},
	{"key of another kind of part", "parts.toml", "gate_charge = \"48 nC\"", "gate_charge = \"48 nC\"\nbreakdown = \"3 V\""},
	{"key that nothing is like", "product.toml", "[standby]", "[standby]\nxyzzy = 1"},
	{"hyphen for underscore", "product.toml", "load_disconnect   =", "load-disconnect ="},
	{"unknown unit", "product.toml", "60 kΩ ±1 %", "60 kohn ±1 %"},
	{"unit of another kind", "product.toml", "\"12 V\"", "\"12 A\""},
	{"no unit", "product.toml", "\"5 A\"", "\"5\""},
	{"bare number", "product.toml", "= \"5 A\"", "= 5"},
	{"comma for a point", "product.toml", "13.6 V", "13,6 V"},
	{"column behind a µ", "parts.toml", "note = \"two of 30 kΩ\"", "note = \"µ\"\nresistanc = \"µ\""},
	{"µ within the string", "product.toml", "\"±50 nA\"", "\"±50 µX\""},
	{"text for a table", "product.toml", "[standby]", "[standby.by_day.x]"},
	{"table for a value", "product.toml", "by_day   = \"4 mA ±10 %\"", "by_day = { x = 1 }"},
	{"text for a count", "product.toml", "bits         = 10", "bits = \"ten\""},
	{"fraction for a count", "product.toml", "bits         = 10", "bits = 10.5"},
	{"no bits", "product.toml", "bits         = 10", "bits = 0"},
	{"too many bits", "product.toml", "bits         = 10", "bits = 25"},
	{"not a number", "product.toml", "emissivity  = 0.85", "emissivity = nan"},
	{"infinite", "product.toml", "emissivity  = 0.85", "emissivity = inf"},
	{"emissivity above 1", "product.toml", "emissivity  = 0.85", "emissivity = 1.2"},
	{"emissivity whose spread goes above 1", "product.toml", "emissivity  = 0.85", "emissivity = \"0.9 ±0.2\""},
	{"negative resistance", "product.toml", "\"10 kΩ ±1 % ±100 ppm/K\"", "\"-10 kΩ\""},
	{"tolerance to 0", "product.toml", "\"10 kΩ ±1 % ±100 ppm/K\"", "\"10 kΩ ±100 %\""},
	{"proportion of 100 %", "promises.toml", "proportion = \"95 %\"", "proportion = \"100 %\""},
	{"unknown word", "product.toml", "method    = \"pwm\"", "method = \"on/off\""},
	{"unknown chemistry", "product.toml", "\"flooded\"", "\"floded\""},
	{"number for a word", "product.toml", "method    = \"pwm\"", "method = 3"},
	{"unknown part", "product.toml", "part = \"sb10\"", "part = \"sb01\""},
	{"unknown enclosure", "product.toml", "in = \"lead\"", "in = \"leed\""},
	{"enclosure inside itself", "product.toml", "shape       = \"box\"", "shape = \"box\"\ninside = \"inner\""},
	{"step that waits for itself", "production.toml", "what = \"place and solder\"", "after = \"test\""},
	{"unknown meter", "product.toml", "\"±(0.05 % + 2 digits)\"", "\"bench-2\""},
	{"neither meter nor accuracy", "product.toml", "\"±(0.05 % + 2 digits)\"", "\"±0.05 parts\""},
	{"accuracy with the wrong fixed part", "bench/meters.toml", "5 µA", "5 mV"},
	{"unknown kind of run", "bench/roof-day.toml", "\"curve\"", "\"curves\""},
	{"column that does not say what it is", "bench/roof-day.toml", "is     = \"temperature\"", ""},
	{"column that is something else", "bench/roof-day.toml", "is     = \"temperature\"", "is = \"temprature\""},
	{"column by header and number", "bench/roof-day.toml", "number = 3", "number = 3\nheader = \"U3\""},
	{"column twice", "bench/roof-day.toml", "number = 3", "header = \"U1\""},
	{"column 0", "bench/roof-day.toml", "number = 3", "number = 0"},
	{"run of an unknown revision", "bench/roof-day.toml", "\"other\"", "\"otter\""},
	{"run by an unknown meter", "bench/roof-day.toml", "meter     = \"bench-1\"", "meter = \"bench-2\""},
	{"log outside bench", "bench/roof-day.toml", "\"roof-day.txt\"", "\"../product.toml\""},
	{"span that ends before it begins", "bench/roof-day.toml", "\"2 h\"", "\"2 min\""},
	{"span without ends", "bench/roof-day.toml", "from     = \"3 h\"\n", ""},
	{"hand reading without a value", "bench/two.toml", "value    = \"13.71 V\"\n", ""},
	{"hand reading of another kind", "bench/two.toml", "13.71 V", "13.71 A"},
	{"hand reading of nothing", "bench/two.toml", "is     = \"battery voltage\"\n", ""},
	{"pair of an unknown run", "bench/two.toml", "\"roof-day\", \"yard\"", "\"roof-day\", \"yrad\""},
	{"panel by a run that is no sweep", "installations/hut.toml", "run = \"yard\"", "run = \"two\""},
	{"averaging in volts", "bench/roof-day.toml", "\"400 ms\"", "\"400 mV\""},
	{"three trim voltages", "product.toml", "[\"12.0 V\", \"14.4 V\"]", "[\"12.0 V\", \"13 V\", \"14.4 V\"]"},
	{"unknown kind of part", "parts.toml", "kind = \"clamp\"", "kind = \"clmap\""},
	{"part without a kind", "parts.toml", "kind = \"clamp\"\n", ""},
	{"wrong terminals", "product.toml", "drain = \"n2\", source = \"n3\"", "from = \"n2\", to = \"n3\""},
	{"gate of a fuse", "product.toml", "role = \"fuse\"", "gate = \"g1\""},
	{"panel that is a battery", "installations/hut.toml", "part = \"panel50\"", "part = \"wet40\""},
	{"eleven months", "installations/hut.toml", "\"0.9 kWh/m²\"]", "]"},
	{"latitude beyond the pole", "installations/hut.toml", "\"47°\"", "\"97°\""},
	{"no such weather file", "installations/hut.toml", "hut.csv", "hat.csv"},
	{"weather file outside", "installations/hut.toml", "installations/hut.csv", "../../refuses_test.go"},
	{"no time of day", "installations/hut.toml", "\"18:30\"", "\"25:30\""},
	{"drop of two quantities", "parts.toml", "\"1 A 0.33 V 25 °C\"", "\"1 A 0.33 V\""},
	{"drop with a wrong quantity", "parts.toml", "\"1 A 0.33 V 25 °C\"", "\"1 A 0.33 W 25 °C\""},
	{"drop with two currents", "parts.toml", "\"1 A 0.33 V 25 °C\"", "\"1 A 2 A 25 °C\""},
	{"drop with a wrong unit", "parts.toml", "\"1 A 0.33 V 25 °C\"", "\"1 A 0.33 V 25 °Z\""},
	{"drop below 0", "parts.toml", "\"1 A 0.33 V 25 °C\"", "\"1 A -0.33 V 25 °C\""},
	{"unknown material", "product.toml", "aluminium 1.5 mm", "aluminum 1.5 mm"},
	{"wall in kilograms", "product.toml", "aluminium 1.5 mm", "aluminium 1.5 kg"},
	{"wall without thickness", "product.toml", "aluminium 1.5 mm", "aluminium"},
	{"falling price breaks", "production.toml", "10:3.41 USD", "1:3.41 USD"},
	{"price break without price", "production.toml", "10:3.41 USD", "10"},
	{"price in another unit", "production.toml", "10:3.41 USD", "10:3.41 m"},
	{"currency without a rate", "production.toml", "10:3.41 USD", "10:3.41 CHF"},
	{"rate of no currency", "production.toml", "USD = ", "XYZ = "},
	{"no currency", "product.toml", "\"EUR\"", "\"Euro\""},
	{"channels that sell more than all", "production.toml", "share = \"28 %\"", "share = \"48 %\""},
	{"within beside min", "promises.toml", "min        = \"5 A\"", "within = \"4..5 A\""},
	{"max below min", "promises.toml", "max        = \"7 A\"", "max = \"4 A\""},
	{"max of another kind than min", "promises.toml", "max        = \"7 A\"", "max = \"7 V\""},
	{"bound that is no range", "promises.toml", "\"±0.2 V\"", "\"0.2 V\""},
	{"max that is a range", "promises.toml", "max        = \"7 A\"", "max = \"7..8 A\""},
	{"ends of nothing", "promises.toml", "\"unharmed or recovers\"", "\"unharmed or \""},
	{"true in quotes", "promises.toml", "safety     = true", "safety = \"true\""},
	{"no date", "product.toml", "2023-05-02", "2023-02-30"},
	{"name with an underscore", "promises.toml", "[promise.cost]", "[promise.unit_cost]"},
	{"condition that does not exist", "promises.toml", "batch = 24", "batches = 24"},
	{"unknown installation", "promises.toml", "installation = \"hut\"", "installation = \"hat\""},
	{"duplicate key", "product.toml", "bits         = 10", "bits = 10\nbits = 12"},
	{"syntax and more behind it", "product.toml", "bits         = 10", "bits = ten\noffse = \"1 LSB\""},
	{"decision on an unknown variant", "decisions/why-gel.md", "[\"gel\", \"first\"]", "[\"gel\", \"frist\"]"},
	{"open front matter", "decisions/why-gel.md", "+++\n\nGel", "\n\nGel"},
	{"variant on an unknown one", "variants/gel.toml", "\"first\"", "\"frist\""},
	{"variants in a circle", "variants/first.toml", "revision   = \"A\"", "revision = \"A\"\non = \"gel\""},
	{"set of what is not there", "variants/gel.toml", "product.circuit.d1.part", "product.circuit.d2.part"},
	{"set of a misspelt key", "variants/gel.toml", "product.chemistry", "product.chemisty"},
	{"set of a misspelt table", "variants/first.toml", "product.sense.bits", "product.sens.bits"},
	{"set of an entry that is not there", "variants/gel.toml", "installations.hut.battery", "installations.hat.battery"},
	{"set of a misspelt key of a part", "variants/gel.toml", "parts.part.sb5.current", "parts.part.sb5.curent"},
	{"set of a key of another kind of part", "variants/gel.toml", "parts.part.sb5.current", "parts.part.sb5.gate_charge"},
	{"remove of a key that is nothing like", "variants/first.toml", "promises.promise.touch", "promises.promise.x"},
	{"add of what is there", "variants/first.toml", "parts.part.sb5", "parts.part.sb10"},
	{"remove of what is not there", "variants/first.toml", "promises.promise.touch", "promises.promise.tuch"},
	{"path into a value", "variants/gel.toml", "product.circuit.d1.part", "product.circuit.d1.part.x"},
	{"path that begins with no file", "variants/gel.toml", "product.chemistry", "prodct.chemistry"},
	{"path to a file", "variants/gel.toml", "product.chemistry", "product"},
	{"laid value with a wrong unit", "variants/first.toml", "2.5 V ±1 %", "2.5 A ±1 %"},
	{"laid part that is not there", "variants/gel.toml", "\"sb5\"", "\"sb6\""},
	{"made until before it began", "variants/first.toml", "2023-04-30", "2021-04-30"},
	{"binary junk", "parts.toml", "note = \"two", "note = \"\x00\x01two"},
	{"not UTF-8", "parts.toml", "two of 30 kΩ", "tw\xf6"},
}

func TestRefuses(t *testing.T) {
	var b strings.Builder
	for _, c := range refusals {
		text, err := os.ReadFile(filepath.Join(alder, c.file))
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(string(text), c.old) {
			t.Errorf("%s: %q is not in %s", c.name, c.old, c.file)
		}
		_, err = Read(alder, With(c.file, []byte(strings.Replace(string(text), c.old, c.new, 1))))
		if err == nil {
			t.Errorf("%s: accepted", c.name)
			continue
		}
		fmt.Fprintf(&b, "== %s\n%s\n", c.name, err.(Errors).Detail())
	}
	golden(t, "testdata/refuses.txt", b.String())
}

// golden compares a text with a file; a file that is missing fails.
func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		gotLines, wantLines := strings.Split(got, "\n"), strings.Split(string(want), "\n")
		for i := range gotLines {
			if i >= len(wantLines) || gotLines[i] != wantLines[i] {
				t.Errorf("%s:%d:\n got %s\nwant %s", file, i+1, gotLines[i], strings.Join(wantLines[i:min(i+1, len(wantLines))], ""))
				return
			}
		}
		t.Errorf("%s: %d lines are missing", file, len(wantLines)-len(gotLines))
	}
}
