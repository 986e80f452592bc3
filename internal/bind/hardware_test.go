package bind

import (
	"math"
	"reflect"
	"testing"

	"hindwatt/internal/hardware"
	"hindwatt/internal/product"
)

func demoProduct(t testing.TB) *product.Product {
	t.Helper()
	f, err := product.Read("../../demo/osier-24")
	if err != nil {
		t.Fatal(err)
	}
	p, err := f.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestHardwareComplete sees that every value of a data sheet arrives: each field of a part's kind has its namesake.
func TestHardwareComplete(t *testing.T) {
	p := demoProduct(t)
	d := Hardware(p, "")
	if len(d.Components) != p.Circuit.Len() || len(d.Enclosures) != p.Enclosures.Len() {
		t.Fatalf("%d components and %d enclosures arrive", len(d.Components), len(d.Enclosures))
	}
	seen := 0
	for _, c := range d.Components {
		part := p.Parts.Get(c.Part)
		for i := range reflect.TypeFor[product.Part]().NumField() {
			from := reflect.ValueOf(part).Elem().Field(i)
			if from.Kind() != reflect.Pointer || from.IsNil() {
				continue
			}
			name := reflect.TypeFor[product.Part]().Field(i).Name
			to := reflect.ValueOf(c).FieldByName(name)
			if !to.IsValid() || to.IsNil() {
				t.Errorf("%s: its %s does not arrive", c.Name, name)
				continue
			}
			seen += arrives(t, c.Name, from.Elem(), to.Elem())
		}
	}
	if seen < 100 {
		t.Errorf("only %d values were looked at", seen)
	}
}

// arrives compares the quantities of two structs by name and returns how many there are.
func arrives(t *testing.T, component string, from, to reflect.Value) (n int) {
	for i := range from.NumField() {
		name := from.Type().Field(i).Name
		q, is := from.Field(i).Interface().(product.Quantity)
		if !is || !q.Set() || name == "BetaTolerance" {
			continue
		}
		v, _ := to.FieldByName(name).Interface().(*hardware.Value)
		if v == nil || v.Value != q.Value || v.From != from.Field(i).Interface().(product.Quantity).Origin.String() {
			t.Errorf("%s: %s does not arrive: %v", component, name, v)
		}
		n++
	}
	return n
}

// TestHardwareDemo sees that the demo's circuit is sound and operates at what its label says.
func TestHardwareDemo(t *testing.T) {
	d := Hardware(demoProduct(t), "")
	if faults, lacks := d.Check(), d.Lacks(); len(faults)+len(lacks) > 0 {
		t.Fatalf("%v %v", faults, lacks)
	}
	u, err := d.Unit(nil)
	if err != nil {
		t.Fatal(err)
	}
	o := hardware.Outside{Ambient: 318.15, Panel: hardware.Panel{Current: 10}, Battery: hardware.Battery{EMF: 26, Resistance: 0.02}, Load: hardware.Load{Current: 3}}
	for _, s := range []hardware.State{{Duty: 1, LoadOn: true}, {Duty: 0.5}, {}} {
		p, err := u.Operate(o, s)
		if err != nil {
			t.Fatal(err)
		}
		if rest := p.PanelPower - p.BatteryPower - p.LoadPower - p.Loss; math.Abs(rest) > 1e-6*(math.Abs(p.PanelPower)+math.Abs(p.BatteryPower)) {
			t.Errorf("%+v: %g W are nowhere", s, rest)
		}
		if want := 10 * s.Duty; math.Abs(p.PanelCurrent-want) > 1e-3 {
			t.Errorf("%+v: the panel gives %g A, want %g A", s, p.PanelCurrent, want)
		}
	}
	o.Panel.Current, o.Load.Current = 0, 0
	p, err := u.Operate(o, hardware.State{Night: true})
	if err != nil {
		t.Fatal(err)
	}
	// by hand: supply 0.5 + control 2.6 + 5 V over 10 kΩ and the thermistor + (5 − 2.5) V over r3 + dividers, mA
	if p.Standby < 3e-3 || p.Standby > 8e-3 {
		t.Errorf("standby by night is %g mA", p.Standby*1e3)
	}
}

// TestHardwareLeads: an installation's own leads replace those of the leaflet.
func TestHardwareLeads(t *testing.T) {
	p := demoProduct(t)
	leaflet := Hardware(p, "")
	if leaflet.BatteryLead == nil || leaflet.BatteryLead.Length.Value != 1 {
		t.Errorf("the leaflet's lead: %+v", leaflet.BatteryLead)
	}
	for name, i := range p.Installations.All() {
		own := Hardware(p, name)
		if i.Lead.Battery.Set() && own.BatteryLead.From == leaflet.BatteryLead.From {
			t.Errorf("%s: its own battery lead does not count", name)
		}
		if i.Lead.Panel.Set() != (own.PanelLead != nil) {
			t.Errorf("%s: panel lead %v", name, own.PanelLead)
		}
	}
}
