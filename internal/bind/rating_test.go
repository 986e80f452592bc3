package bind

import (
	"math"
	"strings"
	"testing"

	"hindwatt/demo"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
)

func exampleProduct(t *testing.T) *product.Product {
	t.Helper()
	dir := t.TempDir()
	if err := demo.Write(dir); err != nil {
		t.Fatal(err)
	}
	folder, err := product.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	p, err := folder.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestRatingIsFilled(t *testing.T) {
	p := exampleProduct(t)
	in := Rating(p, "cold-post")
	if in.Label == nil || in.Label.Value != 10 || !strings.HasPrefix(in.Label.From, "product.toml:") {
		t.Errorf("label %+v", in.Label)
	}
	if in.Battery == nil || in.Battery.Value != 28.8 || in.StandbyNight == nil || in.Altitude == nil {
		t.Errorf("battery %v, standby %v, altitude %v", in.Battery, in.StandbyNight, in.Altitude)
	}
	kinds := map[string]int{}
	for _, o := range in.Others {
		kinds[o.Kind]++
		if o.Mosfet == nil && o.Diode == nil || o.Part == "" || o.At == "" {
			t.Errorf("%+v", o)
		}
	}
	if kinds["mosfet"] != 2 || kinds["diode"] != 2 {
		t.Errorf("others %v", kinds)
	}
	if Rating(p, "").Altitude != nil {
		t.Error("an altitude without an installation")
	}
}

// A thermometer of ±(1 % + 10 digits of 0.1 K) is off by 1.87 K at 87 °C, not by 4.6 K as 1 % of 360 K would be.
func TestMeterOfTemperatures(t *testing.T) {
	p := exampleProduct(t)
	rows := Readings(p, "rating.temperature.d1")
	if len(rows) != 3 {
		t.Fatalf("%d rows", len(rows))
	}
	r := Bench(p, rows[0])
	want := 0.01*(r.Value.Value-273.15) + 1
	if r.Meter == nil || math.Abs(r.Meter.Accuracy.Limit(r.Value.Value, r.Meter.Digit)-want) > 1e-9 {
		t.Errorf("meter %+v, want a limit of %v", r.Meter, want)
	}
	moved := Moved(r, 12, 0.5)
	if moved.Value.Value != 12 || math.Abs(moved.Meter.Accuracy.Limit(12, moved.Meter.Digit)-want/2) > 1e-9 || moved.Meter.Digit != r.Meter.Digit/2 {
		t.Errorf("moved %+v of %+v", moved, moved.Meter)
	}
}

func TestMovedKeepsASpread(t *testing.T) {
	r := bench.Reading{Value: quantity.Quantity{Value: 300, Spread: quantity.Normal, SD: 2, Low: 300, High: 300}}
	if m := Moved(r, 1, 0.25); m.Value.StandardUncertainty() != 0.5 {
		t.Errorf("%+v", m.Value)
	}
}
