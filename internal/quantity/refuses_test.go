package quantity

import (
	"strings"
	"testing"
)

// refused holds texts with where the fault is said to lie, its width, and the message.
// A dimension other than none is asked for by ParseAs.
var none = Dimension{Length: 99}

var refused = []struct {
	text          string
	dim           Dimension
	column, width int
	message       string
}{
	{"", Voltage, 1, 1, `nothing where a number belongs; want a voltage such as 27.3 V`},
	{"V", none, 1, 1, `"V" does not start with a number; want a number with its unit, such as 27.3 V`},
	{"27.3", Voltage, 1, 4, `no unit; want a voltage such as 27.3 V`},
	{"27.3", none, 1, 4, `no unit; want a number with its unit, such as 27.3 V`},
	{"5 A", Voltage, 1, 3, `"5 A" is a current; want a voltage such as 27.3 V`},
	{"5 A ±1 %", Voltage, 1, 3, `"5 A" is a current; want a voltage such as 27.3 V`},
	{"5 °C", TemperatureDifference, 1, 4, `"5 °C" is a temperature; want a temperature difference such as 5 K`},
	{"5 W", TemperaturePoint, 1, 3, `"5 W" is a power; want a temperature such as 25 °C`},
	{"5 Wh", Power, 1, 4, `"5 Wh" is an energy; want a power such as 120 W`},
	{"5 EUR", Time, 1, 5, `"5 EUR" is a sum of money in EUR; want a time such as 2 h`},
	{"18 AWG", Area, 1, 6, `"18 AWG" is a sum of money in AWG; want an area such as 2.5 mm²`},
	{"5 kg·m/s", Voltage, 1, 8, `"5 kg·m/s" is a quantity in kg·m/s; want a voltage such as 27.3 V`},
	{"5 V", Dimension{Length: 1, Current: -2}, 1, 3, `"5 V" is a voltage; want a quantity in m/A² such as 1 m/A²`},
	{"±1 %", Voltage, 1, 4, `"±1 %" is a ratio; want a voltage such as 27.3 V`},
	{"1..2 h", Voltage, 1, 6, `"1..2 h" is a time; want a voltage such as 27.3 V`},

	{"5 kohn", Resistance, 3, 4, `unknown unit "kohn"; did you mean kohm`},
	{"5 µohn", none, 3, 4, `unknown unit "µohn"; did you mean µohm`},
	{"5 v", none, 3, 1, `unknown unit "v"; did you mean V`},
	{"5 mv", none, 3, 2, `unknown unit "mv"; did you mean mV`},
	{"5 PA", Current, 3, 2, `unknown unit "PA"; did you mean pA`},
	{"5 PA", Pressure, 3, 2, `unknown unit "PA"; did you mean Pa`},
	{"5 Mins", none, 3, 4, `unknown unit "Mins"; did you mean min`},
	{"5 foobar", none, 3, 6, `unknown unit "foobar"; want a unit such as V, mA, kΩ or °C`},
	{"5 foobar", Mass, 3, 6, `unknown unit "foobar"; want a mass such as 250 g`},
	{"5 V/Kn", none, 5, 2, `unknown unit "Kn"; did you mean kN`},
	{"5 V/", none, 3, 2, `unknown unit "V/"; want a unit such as V, mA, kΩ or °C`},
	{"5 °F", TemperaturePoint, 3, 2, `unknown unit "°F"; write °C`},
	{"5 volts", Voltage, 3, 5, `unknown unit "volts"; write V`},
	{"3 in", Length, 3, 2, `unknown unit "in"; write mm`},
	{"5 €", Money, 3, 1, `unknown unit "€"; write EUR`},
	{"10k", Resistance, 3, 1, `unknown unit "k"; put a unit after the prefix, such as kΩ`},
	{"10 k", Voltage, 4, 1, `unknown unit "k"; put a unit after the prefix, such as kV`},
	{"4k7", Resistance, 1, 3, `"4k7" has a letter for its point; write 4.7 kΩ`},
	{"0R1", Resistance, 1, 3, `"0R1" has a letter for its point; write 0.1 Ω`},
	{"3 W/m·K", none, 3, 5, `the unit "W/m·K" can be read in two ways; put what is below the / in brackets, such as W/(m·K)`},
	{"3 W/(m·K", none, 5, 4, `no closing ) in the unit; write W/(m·K)`},
	{"3 m⁰", none, 3, 2, `unknown unit "m⁰"; powers up to 12 are accepted`},
	{"3 m99", none, 3, 3, `unknown unit "m99"; powers up to 12 are accepted`},
	{"3 EUR/USD", none, 3, 7, `two sums of money in the unit "EUR/USD"; name one currency`},
	{"3 EURO", Money, 3, 4, `unknown unit "EURO"; want a sum of money such as 34 EUR`},

	{"13,8V", Voltage, 1, 5, `"13,8V": decimal comma; write 13.8 V`},
	{"10 kΩ ±0,5 %", none, 8, 5, `"0,5 %": decimal comma; write 0.5 %`},
	{"1,000 V", none, 1, 7, `"1,000 V": comma in a number; write 1000 V, or 1.000 V`},
	{"1 000 V", none, 1, 5, `"1 000" has its digits in groups; write 1000 V`},
	{"1_000 V", none, 1, 5, `"1_000" has its digits in groups; write 1000 V`},
	{"1'000 V", none, 1, 5, `"1'000" has its digits in groups; write 1000 V`},
	{".5 V", none, 1, 4, `".5 V" starts with a point; write 0.5 V`},
	{"-.5 V", none, 1, 5, `"-.5 V" starts with a point; write -0.5 V`},
	{"5. V", none, 1, 4, `"5. V" is not a number; want a number with its unit, such as 27.3 V`},
	{"1.2.3 V", none, 1, 7, `"1.2.3 V" is not a number; want a number with its unit, such as 27.3 V`},
	{"0x10 V", Voltage, 1, 6, `"0x10 V" is not a decimal number; want a voltage such as 27.3 V`},
	{"inf V", Voltage, 1, 5, `"inf V" does not start with a number; want a voltage such as 27.3 V`},
	{"-Inf V", Voltage, 1, 6, `"-Inf V" does not start with a number; want a voltage such as 27.3 V`},
	{"NaN", Ratio, 1, 3, `"NaN" does not start with a number; want a ratio such as 95 %`},
	{"1e308 kV", none, 1, 8, `"1e308 kV" is too large; want a number below 1e308 in SI units`},
	{"1e308 V ±1e308 V", none, 10, 7, `"1e308 V" is too large; want a number below 1e308 in SI units`},
	{"1e-320 pV", none, 1, 9, `"1e-320 pV" is too small; want 0, or a number above 1e-308 in SI units`},
	{"1e401 V", none, 1, 5, `"1e401" is too large or too small; want an exponent within ±400`},

	{"10 V ±5 A", none, 6, 4, `"±5 A" is a current beside a voltage; give it in V or %`},
	{"25 °C ±5 A", none, 7, 4, `"±5 A" is a current beside a temperature; give it in K`},
	{"10 V ±1", none, 6, 2, `"±1" has no unit; write ±1 V or ±1 %`},
	{"10 V sd 1", none, 6, 4, `"sd 1" has no unit; write sd 1 V or sd 1 %`},
	{"10 V ±-1 V", none, 7, 4, `"-1 V" has a sign of its own; leave it out after ±`},
	{"10 V sd -1 V", none, 9, 4, `"-1 V" has a sign of its own; leave it out after sd`},
	{"10 V sd 0 V", none, 6, 6, `a standard deviation of 0; leave it out, or give one above 0`},
	{"0 V ±1 %", none, 5, 4, `"±1 %" of 0 is nothing; give it in V`},
	{"0 V ±50 ppm/K", none, 5, 9, `"±50 ppm/K" of 0 is nothing; a drift needs a nominal value`},
	{"25 °C ±1 %", none, 7, 4, `"±1 %" of a temperature means nothing; want a difference such as ±2 K`},
	{"25 °C ±50 ppm/K", none, 7, 9, `"±50 ppm/K" after a temperature; a temperature has no drift`},
	{"±2 °C", none, 1, 5, `"±2 °C" has no temperature before it; write 25 °C ±2 K`},
	{"10 V ±1 % ±2 %", none, 11, 4, `"±2 %" is a second statement of the spread; at most one is accepted`},
	{"10 V sd 1 V ±2 V", none, 13, 4, `"±2 V" is a second statement of the spread; at most one is accepted`},
	{"1..2 V ±1 V", none, 8, 4, `"±1 V" is a second statement of the spread; at most one is accepted`},
	{"1..2 V ±1 %", none, 8, 4, `"±1 %" is a second statement of the spread; at most one is accepted`},
	{"1..2 V +1 % -1 %", none, 8, 9, `"+1 % -1 %" is a second statement of the spread; at most one is accepted`},
	{"1..2 V (1..2 V)", none, 8, 8, `"(1..2 V)" is a second statement of the spread; at most one is accepted`},
	{"1 V ±1 ppm/K ±2 ppm/K", none, 14, 8, `"±2 ppm/K" is a second drift; at most one is accepted`},
	{"34 EUR ±2 USD", none, 8, 6, `"±2 USD" is in another currency; give it in EUR or %`},
	{"45..-10 °C", none, 1, 10, `the range "45..-10 °C" runs downwards; put the lower end first`},
	{"1 V..2 A", none, 1, 8, `"1 V..2 A" mixes V and A; give both ends in A`},
	{"30 EUR..40 USD", none, 1, 14, `"30 EUR..40 USD" mixes EUR and USD; give both ends in USD`},
	{"1..2", Voltage, 4, 1, `no unit; want a voltage such as 27.3 V`},
	{"52 ± 1 V", Voltage, 1, 2, `no unit; write 52 V ± 1 V`},
	{"52 +- 1 mV", none, 1, 2, `no unit; write 52 mV ± 1 mV`},
	{"52 ± 1 K", Voltage, 1, 2, `no unit; want a voltage such as 27.3 V`},
	{"52 ± 1 %", Voltage, 1, 2, `no unit; want a voltage such as 27.3 V`},
	{"2-3 V", Voltage, 1, 1, `no unit; write a range with two dots, such as 2..3 V`},
	{"2 to 3 V", Voltage, 3, 2, `unknown unit "to"; write ..`},
	{"2…3 V", Voltage, 2, 1, `unknown unit "…"; write ..`},
	{"2 V - 3 V", none, 5, 5, `"- 3 V" is one limit of two; write both, such as +0.2 V -0.1 V, or a range such as 2..3 V`},
	{"3 V +1 V +2 V", none, 5, 9, `"+1 V +2 V" is one limit of two; write both, such as +0.2 V -0.1 V, or a range such as 2..3 V`},
	{"3 V (4..5 V)", none, 5, 8, `the nominal value is outside "(4..5 V)"; want limits around it`},
	{"3 V (2..5 A)", none, 5, 8, `"(2..5 A)" is not of the same kind as the nominal value; give the limits in V`},
	{"3 V (2 V)", none, 5, 4, `no range in the brackets; write both limits, such as (2.8..3.6 V)`},
	{"3 V (2..4 V", none, 5, 7, `no closing ); write both limits, such as (2.8..3.6 V)`},
	{"-300 °C", none, 1, 7, `"-300 °C" is below absolute zero; want a temperature above -273.15 °C`},
	{"-1 K", TemperaturePoint, 1, 4, `"-1 K" is below absolute zero; want a temperature above -273.15 °C`},
	{"10 °C ±300 K", none, 1, 12, `"10 °C ±300 K" is below absolute zero; want a temperature above -273.15 °C`},
	{"5 V foo", none, 5, 3, `unexpected "foo"; after the unit ±, sd, (low..high) or nothing is accepted`},
	{"5 V 6 V", none, 5, 3, `unexpected "6 V"; after the unit ±, sd, (low..high) or nothing is accepted`},
	{"5 V\n", none, 3, 2, `unknown unit "V\n"; want a unit such as V, mA, kΩ or °C`},
}

func TestParseRefuses(t *testing.T) {
	for _, c := range refused {
		var err error
		if c.dim == none {
			_, err = Parse(c.text)
		} else {
			_, err = ParseAs(c.text, c.dim)
		}
		e, ok := err.(*Error)
		if !ok {
			t.Errorf("%q is accepted", c.text)
			continue
		}
		if e.Error() != c.message || e.Column != c.column || e.Width != c.width {
			t.Errorf("%q:\n got %d+%d %s\nwant %d+%d %s", c.text, e.Column, e.Width, e, c.column, c.width, c.message)
		}
	}
}

func TestRefusesLongTexts(t *testing.T) {
	text := "±" + strings.Repeat("9", 1000) + " V"
	const want = "the text is too long; at most 1000 bytes are accepted"
	if _, err := Parse(text); err == nil || err.Error() != want {
		t.Error(err)
	}
	if _, err := ParseAccuracy(text); err == nil || err.Error() != want {
		t.Error(err)
	}
}
