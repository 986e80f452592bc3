package figures

import (
	"context"
	"math"
	"strings"
	"testing"

	"hindwatt/internal/product"
	"hindwatt/internal/promise"
)

const example = "../../../demo/osier-24"

func setup(t testing.TB) (Setup, *product.Product) {
	t.Helper()
	f, err := product.Read(example)
	if err != nil {
		t.Fatal(err)
	}
	s := Setup{Folder: f}
	p, err := s.Product()
	if err != nil {
		t.Fatal(err)
	}
	return s, p
}

// A figure of the rating is that of the study's own page: a nominal unit, which no sampling touches.
func TestFigureIsTheStudys(t *testing.T) {
	s, p := setup(t)
	got, err := s.Of(context.Background(), p, Name{"rating", "current"}, Name{"accounts", "came-in"}, Name{"rating", "drop"})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range got {
		a, err := promise.Study(context.Background(), p, map[string]string{"came-in": "accounts"}[v.Name], s.Options())
		if v.Name != "came-in" {
			a, err = promise.Study(context.Background(), p, "rating", s.Options())
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range a.Figures {
			if f.Name == v.Name && (f.Best != v.Best || f.Unit != v.Unit) {
				t.Errorf("%s is %v %s; the study says %v %s", f.Name, v.Best, v.Unit, f.Best, f.Unit)
			}
		}
		if !v.Known || v.Best == 0 {
			t.Errorf("%+v", v)
		}
	}
}

// A value that is put moves the figures that rest on it, the way that it should, and no others.
func TestPutReachesTheStudy(t *testing.T) {
	s, p := setup(t)
	for _, c := range []struct {
		path, source string
		name         Name
		want         func(was, is float64) bool
	}{
		{"product.enclosure.case.emissivity", "0.1", Name{"rating", "current"}, func(was, is float64) bool { return is < was }},
		{"product.enclosure.case.emissivity", "0.1", Name{"rating", "touch-temperature"}, func(was, is float64) bool { return is > was }},
		{"production.work.hour", `"48 EUR/h"`, Name{"production", "unit-cost"}, func(was, is float64) bool { return is > was }},
		{"production.work.hour", `"48 EUR/h"`, Name{"production", "unit-minutes"}, func(was, is float64) bool { return is == was }},
		{"parts.part.fuse15.resistance", `"50 mΩ"`, Name{"fault", "battery reversed"}, func(was, is float64) bool { return is != was }},
	} {
		was, err := s.Of(context.Background(), p, c.name)
		if err != nil {
			t.Fatal(err)
		}
		laid, err := s.Product(product.Put{Path: c.path, Source: c.source})
		if err != nil {
			t.Fatal(err)
		}
		is, err := s.Of(context.Background(), laid, c.name)
		if err != nil {
			t.Fatal(err)
		}
		if !was[0].Known || !is[0].Known || !c.want(was[0].Best, is[0].Best) {
			t.Errorf("%s = %s: %s goes from %v to %v", c.path, c.source, c.name, was[0].Best, is[0].Best)
		}
	}
}

// Float's mean error moves by as much as an error of the probe moves the compensated target: -36 mV for each kelvin, docs/models.md [S5].
func TestFewUnitsTellTheShift(t *testing.T) {
	s, _ := setup(t)
	name := Name{"setpoint", "float-error"}
	at := func(source string) float64 {
		laid, err := s.Product(product.Put{Path: "product.sense.sensor_error", Source: source})
		if err != nil {
			t.Fatal(err)
		}
		v, err := s.Of(context.Background(), laid, name)
		if err != nil {
			t.Fatal(err)
		}
		return v[0].Best
	}
	if moved := at(`"1 K"`) - at(`"0 K"`); math.Abs(moved+0.036) > 0.001 {
		t.Errorf("1 K of the probe moves the mean by %v V; want -0.036", moved)
	}
}

func TestFind(t *testing.T) {
	s, p := setup(t)
	for text, want := range map[string]string{
		"rating.current":         "",
		"charge.days_to_full":    "",
		"fault.panel reversed":   "",
		"production.unit-cost":   "",
		"rating.curent":          `"rating.curent": is no figure of the rating study; did you mean current`,
		"ratng.current":          `"ratng.current": there is no such study; did you mean rating`,
		"float-error":            `"float-error": names no study; did you mean setpoint.float-error`,
		"fault.panel reverst":    "did you mean panel reversed",
		"charge.xyzzy-nothing":   "want one such as unmet, disconnections",
		"production.unit-minuts": "did you mean unit-minutes",
	} {
		name, err := s.Find(context.Background(), p, text)
		switch {
		case want == "" && (err != nil || name.String() != strings.ReplaceAll(text, "_", "-")):
			t.Errorf("%s: %v, %v", text, name, err)
		case want != "" && (err == nil || !strings.Contains(err.Error(), want)):
			t.Errorf("%s: %v; want %s", text, err, want)
		}
	}
	if _, err := FindInput(p, "product.sense.tpo"); err == nil || !strings.Contains(err.Error(), "did you mean product.sense.top") {
		t.Errorf("%v", err)
	}
	s.Installation = "cold-pots"
	if _, err := s.Product(); err == nil || !strings.Contains(err.Error(), "did you mean cold-post") {
		t.Errorf("%v", err)
	}
}
