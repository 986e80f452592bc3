package bench

import (
	"bytes"
	"strings"
	"testing"

	"hindwatt/internal/figure"
	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

func TestPage(t *testing.T) {
	accuracy, err := quantity.ParseAccuracy("±(0.05 % + 3 digits)")
	if err != nil {
		t.Fatal(err)
	}
	// readings of demo/, invented
	in := input(&Meter{Name: "bench-1", Accuracy: accuracy, Digit: 0.001, From: "bench/meters.toml:7"}, 27.501, 27.492, 27.482, 27.368, 27.560)
	for i := range in.Readings {
		in.Readings[i].Ambient.Value = 293.35 + 0.1*float64(i)
	}
	in.Target = func(ambient float64) float64 { return 27.3 - 0.048*(ambient-298.15) }
	all := run(t, in)
	in.Readings = in.Readings[:3]
	few := run(t, in)
	in.Readings = in.Readings[:1]
	one := run(t, in)
	in.Readings[0].Meter, in.Readings[0].Ambient, in.Target = nil, nil, nil
	bare := run(t, in)
	for _, c := range []struct {
		r      *Result
		answer string
		plot   string
	}{
		{all, "5 units read at 20 °C to 21 °C: on average -0.040 V off the target (", "distribution"},
		{few, "3 units read at 20 °C: on average -0.0", "curve"},
		{one, "One unit read at 20 °C: -0.029 V off the target (-0.047 V to -0.012 V)", "curve"},
		{bare, "One unit read at 25 °C: 27.501 V, with no limits to how far that may be wrong. How units differ takes two or more.", ""},
	} {
		p, err := c.r.Page()
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(p.Answer[0], c.answer) {
			t.Errorf("answer %q; want %q…", p.Answer[0], c.answer)
		}
		if got := plots(t, p); got != c.plot {
			t.Errorf("%s: figure %q; want %q", c.answer, got, c.plot)
		}
		if n := len(p.Tables[1].Rows); n != len(c.r.Input.Readings) {
			t.Errorf("%d rows of readings; want %d", n, len(c.r.Input.Readings))
		}
		for _, table := range p.Tables {
			for _, row := range table.Rows {
				if len(row) != len(table.Head) || strings.Contains(strings.Join(row, " "), "NaN") {
					t.Errorf("row %q under %q", row, table.Head)
				}
			}
		}
	}
	p, _ := all.Page()
	if got := p.Inputs[0]; got.Text != "±(0.05 % + 3 digits), last digit 0.001 V" || got.From != "bench/meters.toml:7" {
		t.Errorf("input %+v", got)
	}
	if row := strings.Join(p.Tables[1].Rows[0], "|"); row != "0001|27.501 V|20.2 °C|-0.029 V|bench-1|±0.017 V|||records/readings.csv:2" {
		t.Errorf("row %q", row)
	}
}

// plots names the figure, which must draw.
func plots(t *testing.T, p page.Page) string {
	if len(p.Figures) == 0 {
		return ""
	}
	d := p.Figures[0].Plot.Drawing(360)
	if svg := d.SVG(); bytes.Contains(svg, []byte("NaN")) || !bytes.Contains(svg, []byte("<svg")) {
		t.Errorf("drawing %s", svg)
	}
	switch p.Figures[0].Plot.(type) {
	case figure.Distribution:
		return "distribution"
	case figure.Curve:
		return "curve"
	}
	return "another"
}
