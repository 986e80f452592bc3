package hardware

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"hindwatt/internal/numeric"
)

// drawn is a controller with up to 9 further parts of all kinds, anywhere.
func drawn(t testing.TB, s *numeric.Stream) *Design {
	x, base := sheet{t}, []func(testing.TB) *Design{seriesNegative, seriesPositive, shuntDesign}[s.Intn(3)](t)
	v := func(text string) *Value { return value(t, text) }
	nodes := append([]string{"a", "b", "gnd", "bus", "in"}, Terminals...)
	node := func() string { return nodes[s.Intn(len(nodes))] }
	places := []string{"case", "case", "lead", "outside", ""}
	roles := []string{"", "switch", "blocking", "load-switch"}
	parts := base.Components
	for i := range s.Intn(10) {
		name, from, to, in := fmt.Sprintf("p%d", i), node(), node(), places[s.Intn(len(places))]
		c := Component{Name: name, Part: name, From: from, To: to, In: in}
		switch s.Intn(11) {
		case 0:
			c.Kind, c.Resistor = "resistor", &Resistor{Resistance: v("1 kΩ")}
		case 1:
			c.Kind, c.Wire = "wire", &Wire{Area: v("1.5 mm²"), Length: v("60 mm"), Insulation: "pvc"}
		case 2:
			c.Kind, c.Fuse = "fuse", &Fuse{Rating: v("10 A"), Resistance: v("5 mΩ")}
		case 3:
			c.Kind, c.Clamp = "clamp", &Clamp{Breakdown: v("33 V"), Clamping: v("45 V"), ClampingCurrent: v("10 A")}
		case 4:
			c.Kind, c.Capacitor = "capacitor", &Capacitor{MaxTemperature: v("105 °C")}
		case 5:
			c.Kind, c.Regulator = "regulator", &Regulator{Output: v("5 V"), Quiescent: v("1 mA"), JunctionToAmbient: v("60 K/W"), MaxJunction: v("125 °C")}
		case 6:
			c.Kind, c.Control = "control", &Control{Supply: v("5 V"), Current: v("4 mA"), SleepCurrent: v("2 mA")}
		case 7:
			c.Kind, c.Reference = "reference", &Reference{Voltage: v("2.5 V")}
		case 8:
			c = x.diode(name, from, to, in)
		default:
			channel := []string{"n", "p"}[s.Intn(2)]
			c = x.mosfet(name, roles[s.Intn(len(roles))], from, to, channel, in)
			c.Gate = append(nodes, "g1", "g2", "")[s.Intn(len(nodes)+3)]
		}
		parts = append(parts, c)
	}
	d := x.design(base.Switch, parts...)
	d.Enclosures[0].Filling = []string{"air", "potting", "glue"}[s.Intn(3)]
	d.Enclosures[0].Mounted = []string{"free", "wood", "metal"}[s.Intn(3)]
	return d
}

// TestRandom: any controller is refused by name, runs away, or has a point whose energy is accounted for; never a panic, never a NaN.
func TestRandom(t *testing.T) {
	solved, refused, away := 0, 0, 0
	for n := range 3000 {
		stream := numeric.NewStream(7, uint64(n))
		d := drawn(t, &stream)
		u, err := d.Unit(nil)
		if err != nil {
			if err.Error() == "" {
				t.Errorf("%d: refused without a word", n)
			}
			refused++
			continue
		}
		s := State{Duty: []float64{0, 0.3, 1}[stream.Intn(3)], LoadOn: stream.Intn(2) == 0, Night: stream.Intn(4) == 0}
		o := hotDay()
		o.Panel.Current = []float64{0, 3, 10}[stream.Intn(3)]
		o.Load.Current = []float64{0, 2}[stream.Intn(2)]
		p, err := u.Operate(o, s)
		var runaway *Runaway
		var unsolved *Unsolved
		switch {
		case err == nil:
			solved++
			accounted(t, n, p)
		case errors.As(err, &runaway):
			away++
		case errors.As(err, &unsolved):
			refused++
		default:
			t.Errorf("%d: %v", n, err)
		}
	}
	if solved < 500 || refused < 500 || away < 50 {
		t.Errorf("%d solved, %d refused, %d run away", solved, refused, away)
	}
	t.Logf("%d solved, %d refused, %d run away", solved, refused, away)
}

func accounted(t *testing.T, n int, p *Point) {
	t.Helper()
	scale := math.Abs(p.PanelPower) + math.Abs(p.BatteryPower) + math.Abs(p.LoadPower) + p.Loss
	for _, part := range p.Parts {
		for _, x := range []float64{part.At, part.Drop, part.Mean, part.RMS, part.Loss.Sum()} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%d: %+v", n, part)
			}
		}
	}
	rest := p.PanelPower - p.BatteryPower - p.LoadPower - p.Loss
	if math.Abs(rest) > 1e-6*(scale+1e-3) && math.Abs(rest+p.Drive) > 1e-6*(scale+1e-3) {
		t.Errorf("%d: %g W of %g W are nowhere", n, rest, scale)
	}
}
