package product

import "testing"

// A value can be reported on from outside, with its place, µ and line.
func TestLeafFault(t *testing.T) {
	f := readAlder(t, With("product.toml", []byte("name = \"µ\"\nnominal_voltage = \"12 V\"\n[circuit]\n")),
		With("variants/first.toml", nil), With("variants/gel.toml", nil), With("decisions/why-gel.md", nil),
		With("records/made.csv", nil), With("records/returned.csv", nil), With("records/readings.csv", nil))
	p, _ := f.Resolve("")
	for _, c := range []struct {
		leaf Leaf
		want string
	}{
		{p.NominalVoltage.Leaf, "product.toml:2:19: nominal_voltage: \"12 V\": is odd; want another\n   2 | nominal_voltage = \"12 V\"\n     |                   ^^^^^^"},
		{p.Sense.Top.Leaf, "product.toml: sense.top: is odd; want another"},
	} {
		if got := (Errors{c.leaf.Fault("is odd", "want another")}).Detail(); got != c.want {
			t.Errorf("got\n%s\nwant\n%s", got, c.want)
		}
	}
}

func TestNearest(t *testing.T) {
	if got := Nearest("setpiont", []string{"rating", "setpoint"}); got != "setpoint" {
		t.Error(got)
	}
	if got := Nearest("xyz", []string{"rating", "setpoint"}); got != "" {
		t.Error(got)
	}
}
