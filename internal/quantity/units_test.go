package quantity

import (
	"math"
	"strings"
	"testing"

	"golang.org/x/text/currency"
)

// NIST Special Publication 811 (2008), appendix B.8 and, for the Celsius offset, B.8 too:
// factors as printed, to seven digits where they are not exact.
func TestFactorsOfSP811(t *testing.T) {
	for _, c := range []struct {
		unit    string
		dim     Dimension
		printed float64
		exact   bool
	}{
		{"Ah", Charge, 3.6e3, true},         // ampere hour
		{"bar", Pressure, 1.0e5, true},      // bar
		{"d", Time, 8.64e4, true},           // day (mean solar)
		{"h", Time, 3.6e3, true},            // hour (mean solar)
		{"min", Time, 6.0e1, true},          // minute (mean solar)
		{"deg", Angle, 1.745329e-2, false},  // degree (angle)
		{"kWh", Energy, 3.6e6, true},        // kilowatt hour
		{"Wh", Energy, 3.6e3, true},         // watt hour
		{"L", Volume, 1.0e-3, true},         // liter
		{"mbar", Pressure, 1.0e2, true},     // millibar
		{"cm2", Area, 1.0e-4, true},         // square centimeter, from 1 cm = 0.01 m
		{"km/h", Speed, 2.777778e-1, false}, // kilometer per hour
	} {
		dim, scale, ok := UnitDimension(c.unit)
		tolerance := 0.0
		if !c.exact {
			tolerance = math.Pow(10, math.Floor(math.Log10(c.printed))-6) / 2 // half a unit of the seventh digit
		}
		if !ok || dim != c.dim || math.Abs(scale-c.printed) > tolerance {
			t.Errorf("%s: %v %v, printed %v", c.unit, dim, scale, c.printed)
		}
	}
	if q, err := Parse("0 °C"); err != nil || q.Value != 273.15 { // t/°C + 273.15
		t.Error(q, err)
	}
}

// SI Brochure, 9th ed., table 4: derived units with names, in terms of other units.
func TestDerivedUnitsOfTheBrochure(t *testing.T) {
	for _, c := range []struct{ unit, inOthers string }{
		{"Hz", "1/s"}, {"N", "kg·m/s²"}, {"Pa", "N/m²"}, {"J", "N·m"}, {"W", "J/s"}, {"C", "A·s"}, {"V", "W/A"},
		{"F", "C/V"}, {"Ω", "V/A"}, {"H", "V·s/A"}, {"J/K", "W·s/K"}, {"W/(m·K)", "W/m/K"},
	} {
		dim, scale, ok := UnitDimension(c.unit)
		other, otherScale, otherOK := UnitDimension(c.inOthers)
		if !ok || !otherOK || dim != other || scale != otherScale {
			t.Errorf("%s %v %v is not %s %v %v", c.unit, dim, scale, c.inOthers, other, otherScale)
		}
	}
}

// SI Brochure, 9th ed., table 7.
func TestPrefixes(t *testing.T) {
	for unit, printed := range map[string]float64{
		"pF": 1e-12, "nF": 1e-9, "µF": 1e-6, "uF": 1e-6, "mF": 1e-3, "cm": 1e-2, "hPa": 1e2, "kW": 1e3, "MW": 1e6, "GHz": 1e9,
	} {
		if _, scale, ok := UnitDimension(unit); !ok || scale != printed {
			t.Errorf("%s: %v, want %v", unit, scale, printed)
		}
	}
}

func TestMonthAndYear(t *testing.T) {
	_, month, _ := UnitDimension("month")
	_, year, _ := UnitDimension("year")
	if year != 365.25*86400 || month != year/12 { // IAU Style Manual, 1989: Julian year
		t.Error(month, year)
	}
}

func TestUnitDimensionRefuses(t *testing.T) {
	for _, unit := range []string{"", "foo", "V/", "/", "1", "(V)", "V)", "W/m·K", "kEUR", "eur", "XYZ", "m^", "m^0", "V V", "Nm/s", strings.Repeat("V·", 60) + "V"} {
		if dim, scale, ok := UnitDimension(unit); ok {
			t.Errorf("%q is %v %v", unit, dim, scale)
		}
	}
}

// The table of golang.org/x/text/currency comes from an older CLDR, so codes that ISO 4217
// took in since 2018 are not in it (which these are: from memory).
func TestCurrencies(t *testing.T) {
	newer := " MRU SLE VED VES XCG ZWG "
	for _, code := range strings.Fields(currencies) {
		if _, err := currency.ParseISO(code); err != nil && !strings.Contains(newer, code) {
			t.Errorf("%s: %v", code, err)
		}
	}
	for _, code := range []string{"EUR", "USD", "GBP", "CHF", "JPY", "SEK", "PLN"} {
		if !isCurrency(code) {
			t.Errorf("%s is missing", code)
		}
	}
	inUse := currency.Query()
	for inUse.Next() {
		if code := inUse.Unit().String(); !isCurrency(code) && inUse.IsTender() && !withdrawn[code] {
			t.Errorf("%s, of %s, is missing", code, inUse.Region())
		}
	}
}

// Codes that the table has as tender and ISO 4217 has withdrawn or replaced since (from memory).
var withdrawn = map[string]bool{"ANG": true, "CUC": true, "HRK": true, "MRO": true, "SLL": true, "VEF": true, "ZWL": true}

// The degree's factor is π/180 far beyond float64.
func TestDegree(t *testing.T) {
	if got := radiansPerDegree.mul(exact{n: 180, d: 1}).float(); got != math.Pi {
		t.Error(got)
	}
}
