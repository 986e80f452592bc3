package calc

import (
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"
	"testing/fstest"
)

// runNetwork runs the calculator on a text as the file net.toml.
func runNetwork(text string) (Output, error) {
	return Run(context.Background(), "network", []string{"file=net.toml"},
		Options{Seed: 1, Files: fstest.MapFS{"net.toml": {Data: []byte(text)}}})
}

func TestNetworkBridge(t *testing.T) {
	o := run(t, "network", "file=testdata/bridge.toml")
	// Thévenin: open voltage over inner resistance and detector (any textbook; computed independently)
	open := 10 * (200.0/300 - 310.0/460)
	want := open / (100*200.0/300 + 150*310.0/460 + 50)
	if got := value(t, o, "current.detector"); math.Abs(got-want) > 1e-15 {
		t.Errorf("detector %v, want %v", got, want)
	}
	if got := value(t, o, "voltage.top"); got != 10 {
		t.Errorf("top %v", got)
	}
	// rectangular ±1 % of r1: the central 95 % are ±0.95 %, and the current falls with r1; the quantile of 10,000
	// draws scatters by 0.0016 of the whole range, sd
	at := func(r1 float64) float64 {
		return 10 * (200/(200+r1) - 310.0/460) / (r1*200/(200+r1) + 150*310.0/460 + 50)
	}
	f := figure(t, o, "current.detector")
	if !f.Interval || math.Abs(f.Low-at(100.95)) > 1e-6 || math.Abs(f.High-at(99.05)) > 1e-6 {
		t.Errorf("interval %v to %v, want %v to %v", f.Low, f.High, at(100.95), at(99.05))
	}
	if f = figure(t, o, "residual"); f.Interval || f.Unit != "A" {
		t.Errorf("residual %+v", f)
	}
	var got struct {
		Results map[string]struct {
			Value float64
			Unit  string
		}
	}
	if err := json.Unmarshal(o.JSON(), &got); err != nil || len(got.Results) != 3+6+1 || got.Results["voltage.left"].Unit != "V" {
		t.Errorf("%v: %s", err, o.JSON())
	}
}

// TestNetworkOfEveryKind lights a panel behind a diode, with a battery and a current drawn.
func TestNetworkOfEveryKind(t *testing.T) {
	o, err := runNetwork(`[pv]
kind = "panel"
photocurrent = "6.15 A"
saturation = "0.24 nA"
emission = "0.9712 V"
series = "0.22 ohm"
shunt = "180 ohm"
from = "pv+"
to = "gnd"
[d]
kind = "diode"
saturation = "100 nA"
emission = "23.13 mV"
from = "pv+"
to = "bat"
[battery]
kind = "battery"
value = "12.4 V"
resistance = "20 mohm"
from = "bat"
to = "gnd"
[lamp]
kind = "current"
value = "1.5 A"
from = "bat"
to = "gnd"
`)
	if err != nil {
		t.Fatal(err)
	}
	pv, d, b := value(t, o, "current.pv"), value(t, o, "current.d"), value(t, o, "current.battery")
	if math.Abs(pv+d) > 1e-8 || math.Abs(d-b-1.5) > 1e-8 || value(t, o, "current.lamp") != 1.5 {
		t.Errorf("panel %v, diode %v, battery %v", pv, d, b)
	}
	drop := value(t, o, "voltage.pv+") - value(t, o, "voltage.bat")
	if want := 0.02313 * math.Log1p(d/1e-7); math.Abs(drop-want) > 1e-9 {
		t.Errorf("diode %v V, want %v", drop, want)
	}
}

func TestNetworkWithoutSolution(t *testing.T) {
	const head = "[v]\nkind=\"source\"\nvalue=\"12 V\"\nfrom=\"a\"\nto=\"gnd\"\n[w]\nfrom=\"a\"\nto=\"gnd\"\n"
	for add, why := range map[string]string{
		"kind=\"resistor\"\nvalue=\"1 ohm\"\n[s]\nkind=\"source\"\nvalue=\"5 V\"\nfrom=\"a\"\nto=\"a\"": "no solution: s contradicts itself as it joins a node to itself; want its ends at two nodes",
		"kind=\"source\"\nvalue=\"13 V\"": "no solution: v, w contradict each other; want a resistance in their loop",
		"kind=\"source\"\nvalue=\"12 V\"": "no unique solution: nothing settles how v, w share their current; want a resistance in their loop",
		"kind=\"resistor\"\nvalue=\"1 ohm\"\n[i]\nkind=\"current\"\nvalue=\"1 A\"\nfrom=\"gnd\"\nto=\"b\"": "no solution: the current of i into b has no way back; want a resistive path to gnd",
	} {
		o, err := runNetwork(head + add)
		if err != nil {
			t.Fatal(err)
		}
		if o.Complete() || o.Results[0].Key != "voltage.a" || o.Results[0].None != why {
			t.Errorf("got %+v\nwant %s", o.Results[0], why)
		}
		if text := string(o.JSON()); strings.Contains(text, `"value"`) {
			t.Errorf("a number where there is none: %s", text)
		}
	}
}

// TestNetworkReversedDiode: 48 V through 10 ohm onto a reversed junction let its saturation current through, by the law.
func TestNetworkReversedDiode(t *testing.T) {
	o, err := runNetwork("[v]\nkind=\"source\"\nfrom=\"a\"\nto=\"gnd\"\nvalue=\"48 V\"\n[r]\nkind=\"resistor\"\nfrom=\"a\"\nto=\"b\"\nvalue=\"10 ohm\"\n" +
		"[d]\nkind=\"diode\"\nfrom=\"gnd\"\nto=\"b\"\nsaturation=\"1 nA\"\nemission=\"46 mV\"\n")
	if err != nil {
		t.Fatal(err)
	}
	if got := value(t, o, "current.d"); math.Abs(got+1e-9) > 1e-15 {
		t.Errorf("%v A, want -1 nA", got)
	}
}

// TestNetworkBeyondTheLaw: no number where a junction's law gives none that holds.
func TestNetworkBeyondTheLaw(t *testing.T) {
	const diode = "[d]\nkind=\"diode\"\nsaturation=\"1 nA\"\nemission=\"46 mV\"\n"
	for _, c := range []struct{ text, why string }{
		{diode + "from=\"gnd\"\nto=\"b\"\n[i]\nkind=\"current\"\nfrom=\"gnd\"\nto=\"b\"\nvalue=\"1 A\"\n", "no solution below 1e9 V, at b: "},
		{diode + "from=\"a\"\nto=\"gnd\"\n[v]\nkind=\"source\"\nfrom=\"a\"\nto=\"gnd\"\nvalue=\"2 V\"\n", "more than 1 MA through d, "},
	} {
		o, err := runNetwork(c.text)
		if err != nil {
			t.Fatal(err)
		}
		if o.Complete() || !strings.HasPrefix(o.Results[0].None, c.why) {
			t.Errorf("got %+v\nwant %s", o.Results[0], c.why)
		}
	}
	// up to 1 MA the law itself holds: saturation·(e^(1 V/emission) − 1)
	o, err := runNetwork(diode + "from=\"a\"\nto=\"gnd\"\n[v]\nkind=\"source\"\nfrom=\"a\"\nto=\"gnd\"\nvalue=\"1 V\"\n")
	if err != nil {
		t.Fatal(err)
	}
	if got, want := value(t, o, "current.d"), 1e-9*math.Expm1(1/0.046); math.Abs(got-want) > 1e-9*want {
		t.Errorf("%v A, want %v", got, want)
	}
}

func TestNetworkRefuses(t *testing.T) {
	const part = "[\"µ\"]\nkind = \"resistor\"\nfrom = \"a\"\nto = \"gnd\"\n"
	const want = `want parts such as [r1] kind="resistor" value="10 ohm" from="a" to="gnd"`
	for _, c := range []struct{ text, say string }{
		{"", "net.toml:1:1: no parts; " + want},
		{"x = 1", "net.toml:1:1: x: stands in no part; " + want},
		{part, "net.toml:1:2: µ.value: missing; want a resistance of 0 or more such as 10 ohm"},
		{part + "value = 10", `net.toml:5:9: µ.value: "10": no text in quotes; want a resistance of 0 or more such as 10 ohm`},
		{part + `value = "-3 ohm"`, `net.toml:5:9: µ.value: "-3 ohm": not a possible value; want a resistance of 0 or more such as 10 ohm`},
		{part + `value = "1 ohm ±2 ohm"`, `net.toml:5:9: µ.value: "1 ohm ±2 ohm": not a possible value; want a resistance of 0 or more such as 10 ohm`},
		{part + `value = "3 V"`, "net.toml:5:9: µ.value: \"3 V\": \"3 V\" is a voltage; want a resistance of 0 or more such as 10 ohm\n    3 V\n    ^^^"},
		{part + "value = \"3 ohm\"\nvalu = \"3\"", `net.toml:6:8: µ.valu: "3": no key of a resistor; want kind, from, to, value; did you mean value`},
		{part + "value = \"3 ohm\"\n\"µµ\" = \"3\"", `net.toml:6:8: µ.µµ: "3": no key of a resistor; want kind, from, to, value`},
		{part + "value = \"3 ohm\"\nvalue = \"4 ohm\"", "net.toml:6:1: µ.value: given twice; want each key once"},
		{part + "value = \"3 ohm\"\n" + part + "value = \"3 ohm\"", "net.toml:6:2: µ: a second part of this name; want each once"},
		{"[a]\nkind = \"resistr\"", `net.toml:2:8: a.kind: "resistr": no kind of part; want resistor, source, battery, current, diode, panel; did you mean resistor`},
		{"[a]\nfrom = \"b\"", "net.toml:1:2: a.kind: missing; want resistor, source, battery, current, diode, panel"},
		{"[a]\nkind = \"source\"\nvalue = \"1 V\"\nfrom = 3", "net.toml:1:2: a.to: missing; want the node of that terminal, such as \"a\" or \"gnd\""},
		{part[:len(part)-6] + "\"Gnd\"\nvalue = \"1 ohm\"", `net.toml:4:6: µ.to: "Gnd": another node than gnd by its case or a blank; want "gnd"`},
		{"[a.b]\nkind = \"source\"", "net.toml:1:2: a.b: a table within another, or a list; " + want},
		{"[[a]]\nkind = \"source\"", "net.toml:1:3: a: a table within another, or a list; " + want},
		{part + "value = \"3 ohm", "net.toml:5:"},
		{"\xff", "net.toml: not UTF-8 text; want a TOML file"},
		{part + "value = \"1e300 ohm\"", "file: \"net.toml\": µ: resistance of 1e+300 ohm; want 0 to 1e+12 ohm; want values of real parts"},
	} {
		_, err := runNetwork(c.text)
		if err == nil || !strings.Contains("\n"+err.Error(), "\n"+c.say) {
			t.Errorf("%q:\ngot  %v\nwant %s", c.text, err, c.say)
		}
	}
}

// FuzzNetwork: whatever stands in the file, there is an answer or an error, and no number that is none.
func FuzzNetwork(f *testing.F) {
	f.Add("[r1]\nkind=\"resistor\"\nvalue=\"10 ohm\"\nfrom=\"a\"\nto=\"gnd\"\n")
	f.Add("[d]\nkind=\"diode\"\nsaturation=\"1 nA\"\nemission=\"46 mV\"\nfrom=\"a\"\nto=\"gnd\"\n[a.b]\nx=[1,{y=2}]")
	f.Fuzz(func(t *testing.T, text string) {
		o, err := runNetwork(text)
		if err == nil && strings.Contains(string(o.JSON()), "NaN") {
			t.Error("NaN")
		}
	})
}
