package hardware

import (
	"math"
	"testing"

	"hindwatt/internal/physics/circuit"
)

// withFuse puts a fuse between battery and bus.
func withFuse(t testing.TB) *Design {
	d := withControl(t)
	for i := range d.Components {
		if d.Components[i].Name == "w1" {
			d.Components[i].To = "n1"
		}
	}
	d.Components = append(d.Components, Component{Name: "f1", Part: "fuse", Kind: "fuse", From: "n1", To: "bat+", In: "case", Fuse: &Fuse{Rating: value(t, "15 A"), Resistance: value(t, "5 mΩ")}})
	return d
}

// TestRigAsOperate: connected as usual, the rig has the currents of an operating point.
func TestRigAsOperate(t *testing.T) {
	d := withFuse(t)
	u, err := d.Unit(nil)
	if err != nil {
		t.Fatal(err)
	}
	o := Outside{Ambient: 298.15, Panel: Panel{Current: 5, Open: 22}, Battery: Battery{EMF: 12.6, Resistance: 0.02}, Load: Load{Current: 1}}
	p, err := u.Operate(o, State{Duty: 1, LoadOn: true})
	if err != nil {
		t.Fatal(err)
	}
	r := u.Rig()
	r.Panel(PanelPlus, PanelMinus, o.Panel.model())
	r.Battery(BatteryPlus, BatteryMinus, 12.6, 0.02)
	r.Load(LoadPlus, LoadMinus, 1, 0)
	r.Control(true, true, false, false)
	for i := range p.Parts {
		r.Warm(i, p.Parts[i].At)
	}
	if err := r.Solve(); err != nil {
		t.Fatal(err)
	}
	for i, part := range p.Parts {
		if got := r.Current(i); math.Abs(got-part.Mean) > 1e-5*(1+math.Abs(part.Mean)) {
			t.Errorf("%s: %g A, operated %g A", part.Name, got, part.Mean)
		}
	}
}

// TestRigFails: a bridged part carries what passes it, an interrupted one nothing, and Reset makes both whole.
func TestRigFails(t *testing.T) {
	d := withFuse(t)
	u, err := d.Unit(nil)
	if err != nil {
		t.Fatal(err)
	}
	r := u.Rig()
	at := map[string]int{}
	for i := range d.Components {
		at[d.Components[i].Name] = i
	}
	begin := func() {
		r.Reset(298.15)
		r.Battery(BatteryPlus, BatteryMinus, 12.6, 0.02)
		r.Wire(0, PanelPlus, PanelMinus, 5e-3)
	}
	begin()
	if err := r.Solve(); err != nil {
		t.Fatal(err)
	}
	if i := r.WireCurrent(0); math.Abs(i) > 1e-3 {
		t.Errorf("the diode lets %g A through the touched leads", i)
	}
	r.Set(at["d1"], Bridged)
	if err := r.Solve(); err != nil {
		t.Fatal(err)
	}
	if i := r.Current(at["d1"]); i > -100 {
		t.Errorf("bridged, the diode carries %g A of a battery's short", i)
	}
	r.Set(at["f1"], Interrupted)
	if err := r.Solve(); err != nil {
		t.Fatal(err)
	}
	if i := r.Current(at["d1"]); math.Abs(i) > 1e-3 || r.Powered() {
		t.Errorf("behind the open fuse still %g A, powered %v", i, r.Powered())
	}
	begin()
	r.Panel(PanelMinus, PanelPlus, circuit.Panel{})
	if err := r.Solve(); err != nil || !r.Powered() || math.Abs(r.WireCurrent(0)) > 1e-3 {
		t.Errorf("after Reset: %v, %g A", err, r.WireCurrent(0))
	}
}

// TestRigSource: another source at the terminals charges the battery by the difference over both resistances and the leads.
func TestRigSource(t *testing.T) {
	d := withFuse(t)
	u, err := d.Unit(nil)
	if err != nil {
		t.Fatal(err)
	}
	r := u.Rig()
	r.Battery(BatteryPlus, BatteryMinus, 12, 0.05)
	r.Source(BatteryPlus, BatteryMinus, 14, 0.15)
	if err := r.Solve(); err != nil {
		t.Fatal(err)
	}
	// 2 V over 0.2 Ω, less what the controller draws: by hand
	if i := r.BatteryCurrent(); math.Abs(i-10) > 0.05 || math.Abs(r.SourceCurrent()+i) > 0.05 {
		t.Errorf("%g A into the battery, %g A out of the source; want 10 A", i, -r.SourceCurrent())
	}
	r.Source("", "", 0, 0)
	if err := r.Solve(); err != nil || math.Abs(r.BatteryCurrent()) > 0.05 {
		t.Errorf("without it %g A, %v", r.BatteryCurrent(), err)
	}
}

// TestRigClampForward: the wrong way round a clamp is a diode of some 25 mΩ.
func TestRigClampForward(t *testing.T) {
	d := withFuse(t)
	d.Components = append(d.Components, Component{Name: "z1", Part: "clamp", Kind: "clamp", From: BatteryPlus, To: BatteryMinus, In: "case",
		Clamp: &Clamp{Breakdown: value(t, "20 V"), Clamping: value(t, "30 V"), ClampingCurrent: value(t, "50 A")}})
	u, err := d.Unit(nil)
	if err != nil {
		t.Fatal(err)
	}
	r := u.Rig()
	r.Battery(BatteryMinus, BatteryPlus, 4.5, 0.01) // reversed
	if err := r.Solve(); err != nil {
		t.Fatal(err)
	}
	// a sheet's 3.5 V at 100 A: 4.5 V less 1 V in the source drive about that
	i := len(d.Components) - 1
	if amps := -r.Current(i); math.Abs(amps-100) > 10 {
		t.Errorf("%g A backward through the clamp; want about 100 A", amps)
	}
	r.Set(i, Interrupted)
	if err := r.Solve(); err != nil || math.Abs(r.Current(i)) > 1e-9 {
		t.Errorf("interrupted it carries %g A, %v", r.Current(i), err)
	}
}
