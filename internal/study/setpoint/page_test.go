package setpoint

import (
	"bytes"
	"context"
	"os"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// docs/models.md repeats the equations word for word.
func TestEquationsInDocs(t *testing.T) {
	text, err := os.ReadFile("../../../docs/models.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range method {
		for _, s := range []string{m.Text, m.Equation, m.Source} {
			if !strings.Contains(string(text), s) {
				t.Errorf("docs/models.md lacks %q", s)
			}
		}
	}
}

func shown(t *testing.T, p page.Page) string {
	t.Helper()
	var b bytes.Buffer
	if err := p.Text(&b, 400, figure.TextStyle{ASCII: true}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestPage(t *testing.T) {
	in := usual(t)
	in.Outer, in.Inner = 50, 400
	low, high := -0.2, 0.2
	p, err := run(t, in).Page(t.Context(), Bound{"float-error", &low, &high, "float"})
	if err != nil {
		t.Fatal(err)
	}
	text := shown(t, p)
	for _, want := range []string{
		"At float the battery gets its target, 27.3 V at 25 °C, to within -0.", "in 95 of 100 units from -10 °C to 45 °C",
		"of the spread is the trim meter", "of units stay within -0.2 V to 0.2 V (from ",
		"is more than a quarter of the ±0.2 V that is allowed for float", "trim by a meter of ±0.05 V or better",
		"not trimmed", "two points, 22.8 V and 28.8 V", "The voltage shown is off the true one by", "bench/meters.toml:3", "[S14]",
	} {
		if plain := strings.NewReplacer("°c", "degc", "±", "+-"); !strings.Contains(plain.Replace(strings.ToLower(text)), plain.Replace(strings.ToLower(want))) {
			t.Errorf("the page lacks %q", want)
		}
	}
	for _, bad := range []string{"NaN", "Inf", "-0.00 ", "-0 V", "%!"} {
		if strings.Contains(text, bad) {
			t.Errorf("the page has %q", bad)
		}
	}
	if len(p.Figures) != 3 {
		t.Errorf("%d figures; want distribution, budget and course of the bounded quantity", len(p.Figures))
	}
}

// What is missing stops only what needs it, and is named with its file.
func TestLacks(t *testing.T) {
	for _, c := range []struct {
		name    string
		drop    func(*Input)
		key     string
		without []string // quantities
	}{
		{"no float", func(in *Input) { in.Float = nil }, "regulation.float", []string{"float-error"}},
		{"no top", func(in *Input) { in.Top = nil }, "sense.top", []string{"absorption-error", "float-error", "load-disconnect-error", "load-reconnect-error", "display-error"}},
		{"no supply", func(in *Input) { in.Reference, in.ReferenceIsSupply = nil, true }, "sense.supply", []string{"absorption-error", "float-error", "load-disconnect-error", "load-reconnect-error", "display-error"}},
		{"no current", func(in *Input) { in.CurrentAtFloat = nil }, "regulation.current_at_float", []string{"float-error"}},
		{"no load current", func(in *Input) { in.LoadCurrent = nil }, "regulation.load_current", []string{"load-disconnect-error"}},
		{"no battery resistance", func(in *Input) { in.Sampled.Text, in.BatteryResistance = "on", nil }, "sense.battery_resistance", []string{"absorption-error", "float-error"}},
		{"no panel current", func(in *Input) { in.Method.Text, in.OnCurrent = "on-off", nil }, "current", []string{"absorption-error", "float-error"}},
		{"no bits", func(in *Input) { in.Bits = Count{} }, "sense.bits", []string{"absorption-error", "float-error", "load-disconnect-error", "load-reconnect-error", "display-error"}},
		{"no method", func(in *Input) { in.Method = Choice{} }, "regulation.method", []string{"absorption-error", "float-error"}},
		{"no step", func(in *Input) { in.Indicator = &Indicator{} }, "indicator.step", []string{"display-error"}},
	} {
		in := usual(t)
		in.Outer, in.Inner = 4, 100
		c.drop(&in)
		r := run(t, in)
		found := false
		for _, l := range r.Lacks() {
			found = found || l.Key == c.key && l.File == "product.toml" && l.Why != ""
		}
		if !found {
			t.Errorf("%s: lacks %v; want %s", c.name, r.Lacks(), c.key)
		}
		for _, name := range Quantities()[:5] {
			gone := slices.Contains(c.without, name)
			if (r.Outcome(name) == nil) != gone {
				t.Errorf("%s: %s computed: %v", c.name, name, !gone)
			}
			if got := len(r.Lacks(name)) > 0; got != gone {
				t.Errorf("%s: %s lacks something: %v", c.name, name, got)
			}
		}
		if _, err := r.Page(t.Context()); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// A named current stands in for one that the product does not give.
func TestConditionStandsIn(t *testing.T) {
	in := usual(t)
	in.Outer, in.Inner = 4, 100
	in.CurrentAtFloat, in.CurrentAtAbsorption, in.LoadCurrent = nil, nil, nil
	in.Conditions.ChargeCurrent, in.Conditions.LoadCurrent = q(t, "0..3 A"), q(t, "2 A")
	if r := run(t, in); len(r.Lacks()) > 0 || len(r.Outcomes) != 5 {
		t.Errorf("lacks %v, %d quantities", r.Lacks(), len(r.Outcomes))
	}
}

func TestRefuses(t *testing.T) {
	for _, c := range []struct {
		change func(*Input)
		want   string
	}{
		{func(in *Input) { in.Top = q(t, "120 V") }, "setpoint: product.toml:1: sense.top: 120 V; want a resistance such as"},
		{func(in *Input) { in.Bottom = q(t, "10 kΩ ±100 %") }, "sense.bottom: 10 kΩ ±100 % reaches down to 0 kΩ; want it above 0 kΩ throughout"},
		{func(in *Input) { in.Reference = q(t, "2.5 V sd 0.5 V") }, "sense.reference: 2.5 V sd 0.5 V reaches down to -0.5 V; want it above 0 V throughout"},
		{func(in *Input) { in.CurrentAtFloat = q(t, "-1..1 A") }, "regulation.current_at_float: -1..1 A reaches down to -1 A; want 0 A or more throughout"},
		{func(in *Input) { in.Bits.N = 40 }, "sense.bits: 40; want 1 to 32"},
		{func(in *Input) { in.Sampled.Text = "never" }, `sense.sampled: "never"; want one of mean, on, off`},
		{func(in *Input) { in.Unknown.Names = []string{"refrence"} }, `no input is called "refrence"; one of: divider top, `},
		{func(in *Input) { in.Quantities = []string{"flote"} }, `no quantity is called "flote"; one of: absorption-error, `},
		{func(in *Input) { in.Trim.At = nil }, "sense.trimmed.at: 0 voltages; want one or two"},
		{func(in *Input) { in.Trim.At = []Value{*q(t, "27 V"), *q(t, "27 V")} }, "sense.trimmed.at: the same voltage twice"},
		{func(in *Input) { in.Conditions.Ambient = q(t, "20 °C sd 5 K") }, "conditions.ambient: 20 °C sd 5 K; want a temperature or a range"},
		{func(in *Input) { in.Float = &Value{Quantity: quantity.Quantity{Value: nan(), Dim: quantity.Voltage}} }, "regulation.float: not a finite number"},
	} {
		in := usual(t)
		in.Outer, in.Inner = 2, 10
		c.change(&in)
		_, err := Run(t.Context(), in)
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "setpoint: ") {
			t.Errorf("got %v; want %s", err, c.want)
		}
	}
}

func nan() float64 { zero := 0.0; return zero / zero }

// A study that is told to stop stops.
func TestStops(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := Run(ctx, usual(t)); err == nil {
		t.Error("a cancelled run gave a result")
	}
}
