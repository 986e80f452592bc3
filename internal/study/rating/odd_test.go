package rating

import (
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/hardware"
)

func TestBadInputIsRefused(t *testing.T) {
	for _, c := range []struct {
		name, want string
		change     func(*Input)
	}{
		{"no current", "want more than 0", func(in *Input) { in.Label = given("0 A") }},
		{"a quantity that is none", "want one of: current", func(in *Input) { in.Quantities = []string{"watts"} }},
		{"one unit", "want 2 or more", func(in *Input) { in.Outer, in.Inner = 1, 1 }},
		{"a case thinner than its wall", "case", func(in *Input) {
			in.Design = changed(in.Design, func(d *hardware.Design) { d.Enclosures[0].Wall = given("30 mm") })
		}},
		{"a negative resistance", "", func(in *Input) {
			in.Design = changed(in.Design, func(d *hardware.Design) {
				m := *d.Components[3].Mosfet
				m.OnResistance = given("-10 mΩ")
				d.Components[3].Mosfet = &m
			})
		}},
	} {
		in := quick(input())
		c.change(&in)
		if _, err := Run(context.Background(), in); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

func TestNothingIsMissedSilently(t *testing.T) {
	in := quick(input())
	in.Design.Components, in.Design.Enclosures = nil, nil
	r := run(t, in)
	if len(r.Outcomes) > 0 || len(r.Lacks("current")) < 2 {
		t.Errorf("without a circuit: %d outcomes, lacks %v", len(r.Outcomes), r.Lacks())
	}
	if p, err := r.Page(context.Background()); err != nil || len(p.Answer) == 0 || len(p.Lacks) == 0 {
		t.Errorf("page %v, %v", p.Answer, err)
	}
	in = quick(input())
	in.Design.Enclosures = nil
	for i := range in.Design.Components {
		in.Design.Components[i].In = ""
	}
	in.Design.Components = slices.Clone(in.Design.Components)
	r, err := Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if r.Outcome("current") != nil || len(r.Lacks("current")) == 0 {
		t.Errorf("without an enclosure: lacks %v", r.Lacks())
	}
	if r.Outcome("drop") == nil {
		t.Error("without an enclosure the drop is not told")
	}
}

func TestAmbientBeyondALimitIsSaid(t *testing.T) {
	in := quick(input())
	in.Conditions.Ambient = given("110 °C")
	r := run(t, in)
	if o := r.Outcome("current"); o.Nominal != 0 {
		t.Errorf("carries %v A at 110 °C with terminals for 105 °C", o.Nominal)
	}
	if !slices.ContainsFunc(r.Warnings, func(n note) bool { return strings.Contains(n.Text, "ambient alone") }) {
		t.Errorf("no warning: %v", r.Warnings)
	}
}

func TestRunsAreInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Run(ctx, input()); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

func TestPageHoldsNoNonsense(t *testing.T) {
	in := quick(input())
	ten := 5.0
	r := run(t, in)
	p, err := r.Page(context.Background(), Bound{Quantity: "current", Min: &ten, Low: 313.15, High: 313.15, Text: "at least 5 A"})
	if err != nil {
		t.Fatal(err)
	}
	said := fmt.Sprint(p.Answer, p.Tables, p.Inputs, p.Warnings)
	for _, f := range p.Figures {
		said += string((func() []byte { d := f.Plot.Drawing(400); return d.SVG() })())
	}
	for _, bad := range []string{"NaN", "Inf", "%!", "unbounded", "e+"} {
		if strings.Contains(said, bad) {
			t.Errorf("the page says %s", bad)
		}
	}
	if len(p.Figures) < 5 || len(p.Tables) < 7 {
		t.Errorf("%d figures, %d tables", len(p.Figures), len(p.Tables))
	}
	for _, m := range method {
		if !strings.HasPrefix(m.Equation, "[Q") {
			t.Error(m.Equation)
		}
	}
}

// docs/models.md repeats the equations word for word.
func TestEquationsAreDocumented(t *testing.T) {
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
