package quantity

import (
	"strings"
	"testing"
)

func TestDimensionArithmetic(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want Dimension
	}{
		{"V·A", Voltage.Mul(Current), Power},
		{"W·s", Power.Mul(Time), Energy},
		{"V/A", Voltage.Div(Current), Resistance},
		{"C/V", Charge.Div(Voltage), Capacitance},
		{"V·s/A", Voltage.Mul(Time).Div(Current), Inductance},
		{"K/W", TemperatureDifference.Div(Power), ThermalResistance},
		{"W/(m·K)", Power.Div(Length).Div(TemperatureDifference), ThermalConductivity},
		{"A²s", Current.Pow(2).Mul(Time), MeltingIntegral},
		{"1/K", TemperatureDifference.Pow(-1), PerKelvin},
		{"°C·1", TemperaturePoint.Mul(Ratio), TemperatureDifference},
		{"°C/W", TemperaturePoint.Div(Power), ThermalResistance},
		{"x⁰", Voltage.Pow(0), Ratio},
		{"EUR/h", Money.Div(Time), MoneyPerTime},
	} {
		if c.got != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, c.got, c.want)
		}
	}
	if root, ok := Area.Root(2); !ok || root != Length {
		t.Error(root, ok)
	}
	if _, ok := Length.Root(2); ok {
		t.Error("a length has a square root")
	}
	if _, ok := Area.Root(0); ok {
		t.Error("a zeroth root")
	}
	if far := Volume.Pow(1000); far.Length != 127 {
		t.Error("exponent runs over:", far.Length)
	}
}

// What a dimension says of itself must hold: its example and its units are of it.
func TestNamedDimensions(t *testing.T) {
	names := map[string]Dimension{}
	for d, k := range kinds {
		if other, taken := names[k.name]; taken {
			t.Errorf("%s names %v and %v", k.name, d, other)
		}
		names[k.name] = d
		if q, err := ParseAs(d.Example(), d); err != nil || q.String() != d.Example() {
			t.Errorf("%s: %q is written %q, %v", k.name, d.Example(), q, err)
		}
		units := append(d.ladder(), d.Unit())
		last := 0.0
		for i, unit := range units {
			u, fault := parseUnit(strings.ReplaceAll(unit, "¤", "EUR"))
			if unit == "" && d == Ratio {
				continue
			}
			if fault != nil || u.dim != d || u.text != strings.ReplaceAll(unit, "¤", "EUR") {
				t.Errorf("%s: unit %q", k.name, unit)
			}
			if i < len(units)-1 && u.scale.float() <= last {
				t.Errorf("%s: %q is out of order", k.name, unit)
			}
			last = u.scale.float()
		}
	}
}

func TestUnnamedDimension(t *testing.T) {
	d := Dimension{Mass: 1, Length: 5, Time: -2, Current: -11, Money: 1}
	if d.Name() != "quantity in kg·m⁵·¤/(s²·A¹¹)" && d.Name() != "quantity in kg·m⁵¤/(s²·A¹¹)" {
		t.Error(d.Name())
	}
	q, err := ParseAs(d.Example(), d)
	if err != nil || q.Value != 1 || q.Currency != "EUR" {
		t.Error(d.Example(), q, err)
	}
}
