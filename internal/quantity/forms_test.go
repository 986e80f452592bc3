package quantity

import (
	"fmt"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestParseSize(t *testing.T) {
	mm := func(v float64) Quantity { return exactly(v, Length, "mm") }
	for text, want := range map[string][]Quantity{
		"82 mm x 60 mm x 28 mm": {mm(0.082), mm(0.06), mm(0.028)},
		"82mm×60mm×28mm":        {mm(0.082), mm(0.06), mm(0.028)},
		"82 x 60 * 28 mm":       {mm(0.082), mm(0.06), mm(0.028)},
		"1.5 m X 82 mm":         {exactly(1.5, Length, "m"), mm(0.082)},
		"28 mm ±1 mm":           {limits(0.028, 0.027, 0.029, Length, "mm")},
	} {
		got, err := ParseSize(text)
		if diff := cmp.Diff(want, got); err != nil || diff != "" {
			t.Errorf("%q: %v %s", text, err, diff)
		}
	}
	refuse(t, func(s string) error { _, err := ParseSize(s); return err }, []refusal{
		{"", 1, `nothing where a number belongs; want a length such as 82 mm`},
		{"82 mm x 60 V", 9, `"60 V" is a voltage; want a length such as 82 mm`},
		{"82 mm × x 60 mm", 9, `nothing where a number belongs; want a length such as 82 mm`},
		{"82 mm x 60", 9, `no unit; want a length such as 82 mm`},
		{"82 mm x 0 mm", 9, `"0 mm" is not above 0; want a length such as 82 mm`},
		{"1 mm x 1 mm x 1 mm x 1 mm", 1, `more than three lengths; want a size such as 82 mm x 60 mm x 28 mm`},
	})
}

func TestParseHeld(t *testing.T) {
	volts, hours := exactly(28.8, Voltage, "V"), exactly(7200, Time, "h")
	for text, want := range map[string]Held{
		"28.8 V for 2 h":         {volts, hours},
		"28.8V for 2h":           {volts, hours},
		"28.8 V":                 {Level: volts},
		"28.8 V ±1 % for 1..3 h": {percent(limits(28.8, 28.512, 29.088, Voltage, "V")), spanning(7200, 3600, 10800, Time, "h")},
	} {
		got, err := ParseHeld(text)
		if diff := cmp.Diff(want, got); err != nil || diff != "" {
			t.Errorf("%q: %v %s", text, err, diff)
		}
		if again, err := ParseHeld(got.String()); err != nil || again != got {
			t.Errorf("%q, read again: %v", got, err)
		}
	}
	refuse(t, func(s string) error { _, err := ParseHeldAs(s, Voltage); return err }, []refusal{
		{"28.8 A for 2 h", 1, `"28.8 A" is a current; want a voltage such as 27.3 V`},
		{"28.8 V for 2 V", 12, `"2 V" is a voltage; want a time such as 2 h`},
		{"28.8 V for 2", 12, `no unit; want a time such as 2 h`},
		{"28.8 V for -2 h", 12, `"-2 h" is below 0; want a time such as 2 h`},
		{"28.8 µV ±1 for 2 h", 9, `"±1" has no unit; write ±1 µV or ±1 %`},
	})
}

func TestParseAccuracy(t *testing.T) {
	for _, c := range []struct {
		text, canonical string
		want            Accuracy
	}{
		{"±(0.5 % + 2 digits)", "±(0.5 % + 2 digits)", Accuracy{Relative: 0.005, Digits: 2}},
		{"+-(0.5%+2digits)", "±(0.5 % + 2 digits)", Accuracy{Relative: 0.005, Digits: 2}},
		{"0.5 % + 1 digit", "±(0.5 % + 1 digit)", Accuracy{Relative: 0.005, Digits: 1}},
		{"±0.1 %", "±0.1 %", Accuracy{Relative: 0.001}},
		{"±(0.2 % + 3 mV)", "±(0.2 % + 3 mV)", Accuracy{Relative: 0.002, Absolute: exactly(0.003, Voltage, "mV")}},
		{"±(0.2 % + 1 digit + 3 mV)", "±(0.2 % + 1 digit + 3 mV)", Accuracy{0.002, 1, exactly(0.003, Voltage, "mV")}},
		{"±0.5 °C", "±0.5 K", Accuracy{Absolute: exactly(0.5, TemperatureDifference, "K")}},
	} {
		got, err := ParseAccuracy(c.text)
		if diff := cmp.Diff(c.want, got); err != nil || diff != "" || got.String() != c.canonical {
			t.Errorf("%q, written %q: %v %s", c.text, got, err, diff)
		}
	}
	refuse(t, func(s string) error { _, err := ParseAccuracy(s); return err }, []refusal{
		{"±(0.5 % + 2)", 11, `no unit; want an accuracy such as ±(0.5 % + 2 digits)`},
		{"±(0.5 % + 2 digits", 19, `the accuracy does not end here; want an accuracy such as ±(0.5 % + 2 digits)`},
		{"±0.5 % 2 digits", 8, `the accuracy does not end here; want an accuracy such as ±(0.5 % + 2 digits)`},
		{"±(0.5 % + 1 %)", 11, `"1 %" is a second term of its kind; want an accuracy such as ±(0.5 % + 2 digits)`},
		{"±(-0.5 %)", 3, `"-0.5 %" has a sign of its own; leave it out after ±`},
		{"good", 1, `"good" does not start with a number; want a number with its unit, such as 27.3 V`},
	})
}

// By hand: 0.5 % of 13.80 V and two steps of 0.01 V are 69 mV and 20 mV.
func TestAccuracyLimit(t *testing.T) {
	a, _ := ParseAccuracy("±(0.5 % + 2 digits)")
	if got := a.Limit(-13.80, 0.01); math.Abs(got-0.089) > 1e-15 {
		t.Error(got)
	}
}

type refusal struct {
	text    string
	column  int
	message string
}

func refuse(t *testing.T, read func(string) error, list []refusal) {
	t.Helper()
	for _, c := range list {
		e, ok := read(c.text).(*Error)
		if !ok || e.Column != c.column || e.Error() != c.message {
			t.Errorf("%q: %v, want %d %s", c.text, fmt.Sprintf("%+v", e), c.column, c.message)
		}
	}
}
