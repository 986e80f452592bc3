package calc

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// examples has a call of each calculator whose results all exist.
var examples = map[string][]string{
	"uncertainty":              {"y=a*b", "a=2 V ±1 %", "b=3 A sd 0.1 A", "samples=10000"},
	"tolerance-factor":         {"n=20", "proportion=95 %", "sides=2"},
	"proportion":               {"failures=1", "of=50"},
	"rate":                     {"events=2", "exposure=800 h"},
	"conformance":              {"value=13.6", "u=1.8", "min=12.5", "max=16.3"},
	"guard-band":               {"mean=14.4 V", "sd=40 mV", "u=10 mV", "min=14.3 V", "max=14.5 V"},
	"mtbf":                     {"hours=800 h", "failures=2"},
	"weibull":                  {"file=testdata/lives.csv"},
	"survival":                 {"file=testdata/lives.csv", "at=20"},
	"logrank":                  {"file=testdata/lives.csv"},
	"fisher":                   {"a=2", "b=15", "c=10", "d=3"},
	"temperature-compensation": {"at_25=14.4 V", "per_cell=-4 mV/K", "cells=6", "temperature=40 °C"},
	"learning":                 {"first=100 h", "rate=80 %", "unit=8"},
	"cash":                     {"flows=-100,39,59,55,20", "rate=0.1"},
	"break-even":               {"fixed=3000 EUR", "price=35 EUR", "variable=20 EUR"},
	"order-quantity":           {"need=9", "breaks=1:0.52, 10:0.41, 100:0.23"},
	"yield":                    {"costs=3,2,1", "yields=0.9,0.8,0.95"},
	"wire":                     {"area=2.5 mm²", "length=5 m", "current=8 A"},
	"withstand":                {"from=70 °C", "to=160 °C", "area=1.5 mm²", "current=200 A"},
	"track":                    {"current=5 A", "rise=20 K", "copper=35 µm"},
	"fusing":                   {"area=0.07 mm²", "time=1 s"},
	"panel-iv":                 {"photocurrent=1.3 A", "saturation=0.05 nA", "series=1.4 Ω", "shunt=300 Ω", "cells=36", "ideality=1", "voltage=14 V"},
	"network":                  {"file=testdata/bridge.toml"},
	"panel-fit":                {"file=testdata/curve.csv", "temperature=45 °C", "cells=36"},
}

func run(t *testing.T, name string, args ...string) Output {
	t.Helper()
	o, err := Run(context.Background(), name, args, Options{Seed: 1})
	if err != nil {
		t.Fatalf("%s %q: %v", name, args, err)
	}
	return o
}

// value returns a result that must exist.
func value(t *testing.T, o Output, key string) float64 {
	t.Helper()
	v, _, ok := o.Value(key)
	if !ok {
		t.Fatalf("%s: no value of %s", o.Calc, key)
	}
	return v
}

func figure(t *testing.T, o Output, key string) Figure {
	t.Helper()
	for _, f := range o.Results {
		if f.Key == key {
			return f
		}
	}
	t.Fatalf("%s: no result %s", o.Calc, key)
	return Figure{}
}

func TestEveryEntryIsWhole(t *testing.T) {
	for _, c := range List() {
		args, ok := examples[c.Name]
		if !ok {
			t.Errorf("%s has no example in this test", c.Name)
			continue
		}
		if c.Question == "" || !strings.HasSuffix(c.Question, "?") || len([]rune(c.Question)) > 100 || c.Formula == "" || c.Source == "" {
			t.Errorf("%s: wants a question of one line, a formula and a source", c.Name)
		}
		o := run(t, c.Name, args...)
		if c.Many {
			continue
		}
		if len(o.Results) != len(c.Results) {
			t.Errorf("%s: %d results, entry has %d", c.Name, len(o.Results), len(c.Results))
		}
		for i, f := range o.Results {
			if f.Key != c.Results[i].Key || f.Unit == "" || f.None != "" {
				t.Errorf("%s: result %+v", c.Name, f)
			}
		}
		for _, in := range c.Inputs {
			if in.Help == "" {
				t.Errorf("%s: input %s has no help", c.Name, in.Name)
			}
		}
	}
	if len(List()) != len(examples) {
		t.Errorf("%d calculators, %d examples", len(List()), len(examples))
	}
}

func TestListIsSorted(t *testing.T) {
	var names []string
	for _, c := range List() {
		names = append(names, c.Name)
	}
	if !slices.IsSorted(names) {
		t.Errorf("not in order: %v", names)
	}
}

func TestJSONHasTheAgreedShape(t *testing.T) {
	o := run(t, "temperature-compensation", "at_25=14.4 V ±0.1 V", "per_cell=-4 mV/K", "cells=6", "temperature=25 °C")
	var got struct {
		Calc    string
		Results map[string]struct {
			Value, Low, High *float64
			Unit             string
		}
		Formula, Source string
	}
	decoder := json.NewDecoder(strings.NewReader(string(o.JSON())))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&got); err != nil {
		t.Fatal(err)
	}
	v := got.Results["voltage"]
	if got.Calc != "temperature-compensation" || v.Unit != "V" || got.Formula == "" || got.Source == "" || v.Value == nil || *v.Value != 14.4 {
		t.Errorf("got %s", o.JSON())
	}
	// rectangular ±0.1 V: the central 95 % are ±0.095 V (JCGM 101:2008, 7.7.1); the quantile of
	// 100,000 draws scatters by 0.0001 V, sd
	if math.Abs(*v.Low-14.305) > 4e-4 || math.Abs(*v.High-14.495) > 4e-4 {
		t.Errorf("interval %v to %v, want 14.305 to 14.495", *v.Low, *v.High)
	}
}

func TestJSONOfWhatDoesNotExist(t *testing.T) {
	o := Output{Calc: "c", Formula: "f", Source: "s", Results: []Figure{
		{"a", Answer{None: `no "sunrise"`, Unit: "h"}},
		{"b", Answer{Open: true, Unit: "-"}},
		{"c", Answer{Value: 1, Interval: true, Low: 0.5, High: 2, Unit: "V"}},
		{"d", Answer{Value: math.Copysign(0, -1), Unit: "V"}},
	}}
	want := `{"calc":"c","results":{"a":{"none":"no \"sunrise\""},"b":{"value":null,"unit":"-","open":["high"]},` +
		`"c":{"value":1,"unit":"V","low":0.5,"high":2},"d":{"value":0,"unit":"V"}},"formula":"f","source":"s"}` + "\n"
	if got := string(o.JSON()); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if o.Complete() {
		t.Error("complete though a result does not exist")
	}
	if o.Results = o.Results[1:]; !o.Complete() {
		t.Error("not complete though every result exists")
	}
}

func TestSameSeedSameOutputOnAnyCores(t *testing.T) {
	args := []string{"y=vref*(1 + r1/r2) + x*t", "vref=2.5 V ±0.4 %", "r1=120 kΩ ±1 %", "r2=10 kΩ sd 1 %", "dof.r2=7",
		"x=0.1..0.2 V", "t=1 sd 0.1", "corr.t.r2=0.5", "samples=50000"}
	many := string(run(t, "uncertainty", args...).JSON())
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if one := string(run(t, "uncertainty", args...).JSON()); one != many {
		t.Errorf("one core:\n%s\nmany:\n%s", one, many)
	}
	if other := string(run(t, "uncertainty", append(args, "seed=2")...).JSON()); other == many {
		t.Error("another seed gives the same draws")
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for _, name := range []string{"uncertainty", "temperature-compensation"} {
		args := slices.Clone(examples[name])
		if name == "temperature-compensation" {
			args[0] += " ±1 %"
		}
		if _, err := Run(ctx, name, args, Options{}); !errors.Is(err, context.Canceled) {
			t.Errorf("%s: error %v, want context.Canceled", name, err)
		}
	}
}

func TestTextShowsInputsResultsAndSource(t *testing.T) {
	var b strings.Builder
	if err := run(t, "rate", "events=2", "exposure=800 h").Text(&b, 60); err != nil {
		t.Fatal(err)
	}
	want := `rate
  So many events in such a time: how often do they happen in
  the long run?

  events      2
  exposure    800 h
  confidence  0.95

  best  0.0025 1/h
  low   0.0003027616 1/h
  high  0.00903086 1/h

  formula   low = χ²((1 − c)/2; 2k)/(2T), high = χ²((1 +
            c)/2; 2k + 2)/(2T); low = 0 at k = 0
  source    Garwood, Biometrika 28 (1936), p. 437: exact
            Poisson limits with equal tails
`
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
	for _, line := range strings.Split(b.String(), "\n") {
		if len([]rune(line)) > 60 {
			t.Errorf("too wide: %s", line)
		}
	}
}

func TestListAndHelp(t *testing.T) {
	var b strings.Builder
	if err := WriteList(&b, 80); err != nil {
		t.Fatal(err)
	}
	for _, c := range List() {
		if !strings.Contains(b.String(), "  "+c.Name+"  ") {
			t.Errorf("list lacks %s", c.Name)
		}
		var help strings.Builder
		if err := c.Help(&help, 80); err != nil {
			t.Fatal(err)
		}
		for _, in := range c.Inputs {
			if !strings.Contains(help.String(), "\n  "+in.Name+" ") {
				t.Errorf("help of %s lacks %s:\n%s", c.Name, in.Name, help.String())
			}
		}
	}
}

// FuzzRun makes sure that nothing typed makes a panic, a NaN or an infinity.
func FuzzRun(f *testing.F) {
	f.Add("uncertainty", "y=a/b|a=1 V ±1 %|b=0 sd 1|samples=1000")
	f.Add("tolerance-factor", "n=2|proportion=0.999|confidence=0.999|sides=2")
	f.Add("rate", "events=1000000000|exposure=1e-300 h|confidence=0.5")
	f.Add("guard-band", "mean=25 °C|sd=1 K|u=0 K|max=26 °C ±1 K|accept_min=-3 °C")
	f.Add("conformance", "value=1e308|u=1e-308|min=0")
	f.Add("proportion", "failures=3|of=2|x|=|a==|of=7")
	f.Add("cash", "flows=-1e300,1e300 EUR,1|rate=-0.99 ±0.1")
	f.Add("yield", "costs=1,2|yields=0,1e-300")
	f.Add("break-even", "fixed=1e300|price=1 sd 1|variable=1e-300")
	f.Fuzz(func(t *testing.T, name, args string) {
		o, err := Run(context.Background(), name, strings.Split(args, "|"), Options{Seed: 1})
		if err != nil {
			var faults Errors
			if !errors.As(err, &faults) || len(faults) == 0 || faults.Error() == "" {
				t.Fatalf("%s %q: %v", name, args, err)
			}
			return
		}
		var any map[string]any
		if err := json.Unmarshal(o.JSON(), &any); err != nil {
			t.Fatalf("%s %q: %v in %s", name, args, err, o.JSON())
		}
		var b strings.Builder
		if err := o.Text(&b, 80); err != nil || strings.Contains(b.String(), "NaN") || strings.Contains(b.String(), "Inf") {
			t.Fatalf("%s %q: %v in %s", name, args, err, b.String())
		}
	})
}
