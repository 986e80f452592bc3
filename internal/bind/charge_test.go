package bind

import (
	"testing"

	"hindwatt/internal/quantity"
)

// TestCharge sees that an installation arrives whole, each value with its place.
func TestCharge(t *testing.T) {
	p := demoProduct(t)
	in, err := Charge(p, "hot-ford")
	if err != nil {
		t.Fatal(err)
	}
	if in.Latitude == nil || in.Longitude == nil || in.Elevation == nil || in.Swing == nil || len(in.Sun) != 12 || len(in.Air) != 12 {
		t.Fatal("the place has not arrived")
	}
	if got := in.Latitude.From; got != "installations/hot-ford.toml:4" {
		t.Errorf("latitude is from %s", got)
	}
	b, s := &in.Battery, &in.Panel
	if b.Chemistry != "agm" || b.Series != 2 || b.Cells != 6 || b.Hours != 20 || b.Capacity == nil || b.Gassing == nil || b.Rise == nil || b.Age == nil {
		t.Errorf("battery %+v", b)
	}
	if s.Part != "panel50" || s.Series != 2 || s.Cells != 36 || s.DarkShunt == nil || s.NOCT == nil || s.Soiling == nil || s.Age == nil || s.Ground == nil || s.Amorphous {
		t.Errorf("panel %+v", s)
	}
	if r := &in.Regulation; r.AbsorptionTime == nil || r.AbsorptionTime.Quantity.Value != 7200 || r.Absorption.Quantity.Value != 28.8 || r.Compensation.Quantity.Dim != quantity.VoltagePerKelvin {
		t.Errorf("regulation %+v", r)
	}
	if len(in.Loads) != 3 || in.Loads[2].Name != "lamps" || in.Loads[2].From != 18.5*3600 || in.Loads[2].Until != 6.5*3600 {
		t.Errorf("loads %+v", in.Loads)
	}
	if none, err := Charge(p, "nowhere"); err != nil || none.Installation != "" {
		t.Errorf("an installation that there is not: %q, %v", none.Installation, err)
	}
}
