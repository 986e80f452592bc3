package quantity

import "strings"

// unit is one that can follow a number: 1 of it is scale SI units (and, where
// dim is a Point, zeroCelsius more).
type unit struct {
	text     string // canonical spelling
	dim      Dimension
	scale    exact
	currency string // ISO 4217 code of the money in it, or ""
}

// family is one row of the table of units: a unit with its SI prefixes.
type family struct {
	spellings string // canonical first
	dim       Dimension
	n, d      int64 // n/d SI units make one of it
	prefixes  string
}

// Units outside the SI: min, h, d, the degree and L are those of the SI Brochure, 9th ed.
// (2019), table 8; 1 bar = 100 kPa was in the 8th ed. (2006), table 8; Wh and Ah follow from
// the hour. NIST SP 811 (2008), appendix B.8, has all of them: the test reads it.
// % is the number 0.01 (SI Brochure, 9th ed., 5.4.7), ppm and ppb are 1e-6 and 1e-9.
// The year is the Julian year of 365.25 d (IAU Style Manual, 1989); the month is a twelfth
// of it, which is common practice: no standard sets one.
const (
	minute = 60
	hour   = 60 * minute
	day    = 24 * hour
	year   = 36525 * day / 100
	month  = year / 12
)

var families = []family{
	{"V", Voltage, 1, 1, "pnµmkM"},
	{"A", Current, 1, 1, "pnµmk"},
	{"Ω ohm Ohm ohms", Resistance, 1, 1, "nµmkMG"},
	{"W VA Wp", Power, 1, 1, "pnµmkMG"},
	{"J", Energy, 1, 1, "nµmkMG"},
	{"Wh VAh", Energy, hour, 1, "µmkMG"},
	{"Ah", Charge, hour, 1, "pnµmk"},
	{"C", Charge, 1, 1, "pnµmk"},
	{"F", Capacitance, 1, 1, "pnµm"},
	{"H", Inductance, 1, 1, "pnµm"},
	{"Hz", Frequency, 1, 1, "mkMG"},
	{"s second seconds", Time, 1, 1, "pnµm"},
	{"min minute minutes", Time, minute, 1, ""},
	{"h hour hours", Time, hour, 1, ""},
	{"d day days", Time, day, 1, ""},
	{"week weeks", Time, 7 * day, 1, ""},
	{"month months", Time, month, 1, ""},
	{"year years a", Time, year, 1, ""},
	{"m", Length, 1, 1, "nµmck"},
	{"L l", Volume, 1, 1000, "µmc"},
	{"g", Mass, 1, 1000, "µmk"},
	{"K", TemperatureDifference, 1, 1, "nµm"},
	{"°C degC ℃", TemperaturePoint, 1, 1, ""},
	{"rad", Angle, 1, 1, "µm"},
	{"%", Ratio, 1, 100, ""},
	{"ppm", Ratio, 1, 1e6, ""},
	{"ppb", Ratio, 1, 1e9, ""},
	{"LSB LSBs", Step, 1, 1, ""},
	{"digits digit", Digit, 1, 1, ""},
	{"Pa", Pressure, 1, 1, "mhkM"},
	{"bar", Pressure, 1e5, 1, "m"},
	{"N", Force, 1, 1, "µmkM"},
	{"N·m Nm", Energy, 1, 1, ""},
}

var prefixes = map[rune]int{'p': -12, 'n': -9, 'µ': -6, 'm': -3, 'c': -2, 'h': 2, 'k': 3, 'M': 6, 'G': 9}

// symbols holds every accepted spelling of a single unit but the currencies.
var symbols = spellEvery(families)

func spellEvery(rows []family) map[string]unit {
	all := make(map[string]unit, 512)
	for _, row := range rows {
		names := strings.Fields(row.spellings)
		for _, name := range names {
			all[name] = unit{names[0], row.dim, exact{n: row.n, d: row.d}, ""}
			for _, p := range row.prefixes {
				u := unit{string(p) + names[0], row.dim, exact{n: row.n, d: row.d}.mul(powerOfTen(prefixes[p])), ""}
				all[string(p)+name] = u
				if p == 'µ' {
					all["u"+name] = u
				}
			}
		}
	}
	degree := unit{text: "°", dim: Angle, scale: radiansPerDegree}
	all["°"], all["deg"] = degree, degree
	return all
}

// radiansPerDegree is π/180 with 50 decimals of π (OEIS A000796), so that rounding
// a product with it to float64 gives the nearest one for every text that matters.
var radiansPerDegree = exact{r: ratio("3.14159265358979323846264338327950288419716939937510")}.
	mul(exact{n: 1, d: 180})

// symbol looks up a single unit or a currency.
func symbol(s string) (unit, bool) {
	if u, ok := symbols[s]; ok {
		return u, true
	}
	if isCurrency(s) {
		return unit{s, Money, exact{n: 1, d: 1}, s}, true
	}
	return unit{}, false
}

// currencies are the codes of ISO 4217 for money in use, from memory; the test
// holds them against the table of golang.org/x/text/currency.
const currencies = " AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD" +
	" CAD CDF CHF CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ GYD" +
	" HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD" +
	" MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG" +
	" QAR RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS" +
	" UAH UGX USD UYU UZS VES VND VUV WST XAF XCD XCG XOF XPF YER ZAR ZMW ZWG "

func isCurrency(s string) bool {
	if len(s) != 3 {
		return false
	}
	for _, c := range []byte(s) {
		if c < 'A' || c > 'Z' {
			return false
		}
	}
	return strings.Contains(currencies, s)
}
