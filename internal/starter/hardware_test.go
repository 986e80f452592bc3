package starter

import (
	"errors"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/bind"
	"hindwatt/internal/hardware"
	"hindwatt/internal/product"
)

// readyDesign is the controller that Write makes of a ready circuit; of one that it does not offer, a folder that it wrote with that
// circuit in place of its own.
func readyDesign(t *testing.T, circuit, text, voltage string) hardware.Design {
	t.Helper()
	d, known := readyDesigns[circuit+voltage]
	if !known {
		d = makeDesign(t, circuit, text, voltage)
		readyDesigns[circuit+voltage] = d
	}
	d.Components = slices.Clone(d.Components)
	return d
}

var readyDesigns = map[string]hardware.Design{} // made once: the tests run one after another

func makeDesign(t *testing.T, circuit, text, voltage string) hardware.Design {
	t.Helper()
	for _, base := range Circuits() {
		dir := t.TempDir() + "/reed-5"
		if strings.HasPrefix(circuit, "shunt") != (base.Name == "shunt") {
			continue // regulation.switch is another
		}
		_, err := write(dir, Answers{Circuit: base.Name, Voltage: voltage, Current: "5 A"}, testDay)
		must(t, err)
		main, err := os.ReadFile(dir + "/product.toml")
		must(t, err)
		before, rest, found := strings.Cut(string(main), "[circuit]\n")
		_, after, more := strings.Cut(rest, "\n\n")
		if !found || !more {
			t.Fatal("product.toml has no circuit to change")
		}
		_, own, _ := strings.Cut(text, "[circuit]\n")
		f, err := product.Read(dir, product.With("product.toml", []byte(before+"[circuit]\n"+own+"\n"+after)))
		if err != nil {
			continue // it has other parts
		}
		p, err := f.Resolve("")
		must(t, err)
		return bind.Hardware(p, "")
	}
	t.Fatalf("no folder has the parts of %s", circuit)
	return hardware.Design{}
}

// ready calls check for each ready circuit of docs/folder.md and each voltage.
func ready(t *testing.T, check func(t *testing.T, name string, emf float64, d hardware.Design)) {
	names, texts := readyCircuits(t)
	for _, name := range names {
		for voltage, emf := range map[string]float64{"12 V": 13.5, "24 V": 27} {
			t.Run(name+","+voltage, func(t *testing.T) { check(t, name, emf, readyDesign(t, name, texts[name], voltage)) })
		}
	}
}

// at40 is a hot day: 5 A held.
func at40(emf float64) hardware.Outside {
	return hardware.Outside{Ambient: 313.15, Panel: hardware.Panel{Current: 5}, Battery: hardware.Battery{EMF: emf, Resistance: 0.02}, Load: hardware.Load{Current: 2}}
}

// TestReadyCircuitsOperate sees that each ready circuit is sound, charges at full conduction, stops when told, and that no
// energy is lost on the way: what the panel gives is what battery, load and parts get.
func TestReadyCircuitsOperate(t *testing.T) {
	ready(t, func(t *testing.T, name string, emf float64, d hardware.Design) {
		if faults, lacks := d.Check(), d.Lacks(); len(faults)+len(lacks) > 0 {
			t.Fatalf("not sound: %v %v", faults, lacks)
		}
		u, err := d.Unit(nil)
		must(t, err)
		for _, s := range []hardware.State{{Duty: 1}, {Duty: 1, LoadOn: true}, {Duty: 0.5}, {Duty: 0.1, LoadOn: true}, {}, {LoadOn: true}, {Night: true}} {
			o := at40(emf)
			if s.Night {
				o.Panel.Current = 0
			}
			p, err := u.Operate(o, s)
			if err != nil {
				t.Errorf("%+v: %v", s, err)
				continue
			}
			balance(t, s, p)
			stops(t, d, s, p)
		}
	})
}

func balance(t *testing.T, s hardware.State, p *hardware.Point) {
	t.Helper()
	scale := math.Abs(p.PanelPower) + math.Abs(p.BatteryPower) + math.Abs(p.LoadPower)
	if rest := p.PanelPower - p.BatteryPower - p.LoadPower - p.Loss; math.Abs(rest) > 1e-6*scale {
		t.Errorf("%+v: %.3g W of %.3g W are nowhere", s, rest, scale)
	}
	for _, part := range p.Parts {
		if !(part.At > 300 && part.At < 450) || !(part.Loss.Sum() >= -1e-9) {
			t.Errorf("%+v: %s has %g K and %g W", s, part.Name, part.At, part.Loss.Sum())
		}
	}
}

// stops holds what a switch must do: in series nothing flows when off, in shunt the panel is shorted.
func stops(t *testing.T, d hardware.Design, s hardware.State, p *hardware.Point) {
	t.Helper()
	load := 0.0
	if s.LoadOn {
		load = 2
	}
	if math.Abs(p.LoadCurrent-load) > 1e-3 {
		t.Errorf("%+v: the load takes %g A", s, p.LoadCurrent)
	}
	charge := p.BatteryCurrent + p.LoadCurrent
	want := 5 * s.Duty
	if s.Night {
		want = 0
	}
	// the edges of the switch take some of it
	if math.Abs(charge-want) > 0.03*want+20e-3 {
		t.Errorf("%+v: %g A reach battery and load, want %g A", s, charge, want)
	}
	panel := want
	if d.Switch == "shunt" && !s.Night {
		panel = 5
	}
	if math.Abs(p.PanelCurrent-panel) > 1e-3 {
		t.Errorf("%+v: the panel gives %g A, want %g A", s, p.PanelCurrent, panel)
	}
	if s.Night && !(p.Standby > 1e-3 && p.Standby < 20e-3) {
		t.Errorf("%+v: the controller takes %g mA", s, p.Standby*1e3)
	}
}

// TestTurnedSwitchIsSeen turns each charging switch round: where its body diode then lets the charge through, Check says so, and
// the solved network agrees.
func TestTurnedSwitchIsSeen(t *testing.T) {
	ready(t, func(t *testing.T, name string, emf float64, d hardware.Design) {
		for i := range d.Components {
			if c := &d.Components[i]; c.Kind == "mosfet" && c.Role == "switch" {
				c.From, c.To = c.To, c.From
			}
		}
		var said []string
		for _, f := range d.Check() {
			said = append(said, f.Text)
		}
		seen := strings.Contains(strings.Join(said, "\n"), "it cannot stop the charge")
		if strings.HasPrefix(name, "shunt") { // turned, its body diode shorts the panel for good
			return
		}
		u, err := d.Unit(nil)
		must(t, err)
		p, err := u.Operate(at40(emf), hardware.State{})
		must(t, err)
		charges := p.PanelCurrent > 1
		if seen != charges {
			t.Errorf("Check %v, but the panel gives %g A with the switch off", said, p.PanelCurrent)
		}
		if !charges && !strings.HasPrefix(name, "back-to-back") {
			t.Errorf("a turned switch still stops")
		}
	})
}

// TestReadyPanelShort shorts the panel's terminals by night: the blocking diode stops what would flow back, in back-to-back the second
// switch; without either the battery feeds the short through the body diode.
func TestReadyPanelShort(t *testing.T) {
	ready(t, func(t *testing.T, name string, emf float64, d hardware.Design) {
		u, err := d.Unit(nil)
		must(t, err)
		o := at40(emf)
		o.Panel = hardware.Panel{Saturation: 1e-9, A: 1e-3, Series: 0.01} // a short in one direction and another
		p, err := u.Operate(o, hardware.State{Night: true})
		if away := (*hardware.Runaway)(nil); errors.As(err, &away) && name == "series-negative-bare" {
			return // hundreds of amperes: nothing carries them
		}
		must(t, err)
		if back := -p.PanelCurrent; (back > 5e-3) != (name == "series-negative-bare") {
			t.Errorf("%g A flow back by night", back)
		}
	})
}
