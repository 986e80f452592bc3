package calc

import (
	"context"
	"strings"
	"testing"
)

// meets holds results against values, each within a tolerance.
func meets(t *testing.T, o Output, want map[string][2]float64) {
	t.Helper()
	for key, w := range want {
		if v := value(t, o, key); !(v >= w[0]-w[1] && v <= w[0]+w[1]) {
			t.Errorf("%s %s = %v, want %v ± %v", o.Calc, key, v, w[0], w[1])
		}
	}
}

// IEC 60228:2004 Table 3: 13.3 Ω/km at 20 °C; 2 m both ways of 1.5 mm².
func TestWire(t *testing.T) {
	o := run(t, "wire", "area=1.5 mm2", "length=1 m", "current=5 A", "temperature=20 degC", "class=5")
	meets(t, o, map[string][2]float64{"resistance": {0.0266, 1e-12}, "drop": {0.133, 1e-12}, "loss": {0.665, 1e-12}})
	if len(o.Warnings) != 0 {
		t.Errorf("warnings %q", o.Warnings)
	}
	o = run(t, "wire", "area=2 mm2", "length=1 m", "current=5 A ±10 %", "class=5")
	if len(o.Warnings) != 1 || !strings.Contains(o.Warnings[0], "interpolated") {
		t.Errorf("warnings %q", o.Warnings)
	}
	if f := figure(t, o, "drop"); !f.Interval || !(f.Low < f.Answer.Value && f.Answer.Value < f.High) {
		t.Errorf("drop %+v", f)
	}
}

func TestWireTooThin(t *testing.T) {
	o := run(t, "wire", "area=1.5 mm2", "length=1 m", "current=40 A ±1 A")
	if len(o.Warnings) != 1 || !strings.Contains(o.Warnings[0], "carries about 21.2 A") || !figure(t, o, "drop").Interval {
		t.Errorf("warnings %q", o.Warnings)
	}
}

// IEC 60364-4-43 Table 43A: 115 for copper in pvc.
func TestWithstand(t *testing.T) {
	o := run(t, "withstand", "material=copper", "from=70 degC", "to=160 degC", "area=1.5 mm2", "current=200 A")
	meets(t, o, map[string][2]float64{"k": {115, 0.5}, "time": {0.744, 0.01}})
	o = run(t, "withstand", "from=70 degC", "to=160 degC", "area=1.5 mm2", "current=20 A")
	if f := figure(t, o, "time"); !strings.Contains(f.None, "5 s") || o.Complete() {
		t.Errorf("time %+v", f)
	}
	if o = run(t, "withstand", "from=70 degC", "to=160 degC"); len(o.Results) != 1 || !o.Complete() {
		t.Errorf("%+v", o.Results)
	}
}

func TestTrack(t *testing.T) {
	um := run(t, "track", "current=5 A", "rise=20 K", "copper=70.0024 um", "layer=outer")
	oz := run(t, "track", "current=5 A", "rise=20 K", "copper=2 oz")
	meets(t, oz, map[string][2]float64{"area": {value(t, um, "area"), 1e-12}, "width": {value(t, um, "width"), 1e-6}})
	o := run(t, "track", "current=5 A", "rise=5 K", "copper=1 oz ±10 %")
	if f := figure(t, o, "width"); !f.Interval || len(o.Warnings) != 1 || !strings.Contains(o.Warnings[0], "10 to 100 K") {
		t.Errorf("width %+v, warnings %q", f, o.Warnings)
	}
	inner := run(t, "track", "current=5 A", "rise=20 K", "copper=2 oz", "layer=inner")
	meets(t, inner, map[string][2]float64{"width": {value(t, oz, "width") * 2.6014, 1e-4}}) // 2^(1/0.725)
}

func TestFusing(t *testing.T) {
	meets(t, run(t, "fusing", "area=0.07 mm2", "time=1 s", "ambient=25 degC"), map[string][2]float64{"current": {20.23, 0.02}}) // computed independently
	if o := run(t, "fusing", "area=0.07 mm2", "time=5.1 s"); figure(t, o, "current").None == "" {
		t.Errorf("%+v", o.Results)
	}
}

func TestConductorsRefuse(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		say  string
	}{
		{"wire", []string{"area=1.5 mm2", "length=1 m", "current=5 A", "class=3"}, `class: "3": not a possible value; want 2 or 5`},
		{"wire", []string{"area=0 mm2", "length=1 m", "current=5 A"}, `area: "0 mm2": not a possible value; want an area above 0 such as 2.5 mm²`},
		{"wire", []string{"area=1 mm2", "length=1 m", "current=5 A", "temperature=1100 degC"}, `wire: temperature: 1100 °C is not possible; want a temperature from -200 °C to the melting point of copper, 1083 °C`},
		{"withstand", []string{"material=gold", "from=70 degC", "to=160 degC"}, `material: "gold": no such material; want copper, aluminium, steel or lead`},
		{"withstand", []string{"from=160 degC", "to=70 degC"}, `withstand: to: 70 °C is not above 160 °C; want the end above the beginning`},
		{"withstand", []string{"from=70 degC", "to=160 degC", "area=1 mm2"}, `current: missing; want area and current together for the time, or neither`},
		{"track", []string{"current=5 A", "rise=20 K", "copper=2 oz", "layer=middle"}, `layer: "middle": no such layer; want outer or inner`},
		{"track", []string{"current=5 A", "rise=20 K", "copper=2"}, `copper: "2": no unit; want a thickness such as 35 um or 1 oz
    2
    ^`},
	} {
		_, err := Run(context.Background(), c.name, c.args, Options{Seed: 1})
		if err == nil || err.Error() != c.say {
			t.Errorf("%s %q:\n got %v\nwant %s", c.name, c.args, err, c.say)
		}
	}
}
