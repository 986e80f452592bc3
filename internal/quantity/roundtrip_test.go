package quantity

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// spellings are all single units and some compound ones, in a fixed order.
var spellings = func() []string {
	all := []string{"EUR", "USD", "EUR/h", "mV/K", "W/(m·K)", "W/m²K", "A²s", "kWh/m²/d", "1/h", "%/month", "ppm/K", "mm²", "mm³", "K/W"}
	for s := range symbols {
		all = append(all, s)
	}
	slices.Sort(all)
	return all
}()

func anyNumber() *rapid.Generator[string] {
	return rapid.StringMatching(`-?[0-9]{1,20}(\.[0-9]{1,20})?(e-?[0-9]{1,2})?`)
}

// anyText makes a text of the grammar; most are quantities.
func anyText(t *rapid.T) string {
	number := func(name string) string { return anyNumber().Draw(t, name) }
	amount := func(name string) string { return strings.TrimPrefix(number(name), "-") }
	u := rapid.SampledFrom(spellings).Draw(t, "unit")
	other := rapid.SampledFrom([]string{u, u, "%", "ppm", "K"}).Draw(t, "other unit")
	text := number("nominal") + " " + u
	switch rapid.IntRange(0, 6).Draw(t, "form") {
	case 1:
		text += " ±" + amount("half") + " " + other
	case 2:
		text += " sd " + amount("sd") + " " + other
	case 3:
		text = number("low") + ".." + text
	case 4:
		text += " +" + amount("above") + other + " -" + amount("below") + other
	case 5:
		text = "±" + amount("half") + u
	case 6:
		text += " (" + number("low") + ".." + number("high") + u + ")"
	}
	if rapid.Bool().Draw(t, "drifts") {
		text += " ±" + amount("drift") + " ppm/K"
	}
	return text
}

func TestTextRoundTrip(t *testing.T) {
	accepted := 0
	rapid.Check(t, func(t *rapid.T) {
		text := anyText(t)
		q, err := Parse(text)
		if err != nil {
			return
		}
		accepted++
		sameAgain(t, q)
	})
	if accepted < 20 {
		t.Errorf("only %d texts were quantities", accepted)
	}
}

type failer interface {
	Fatalf(format string, args ...any)
}

// sameAgain reads what q's String writes, which must be q to the last bit.
func sameAgain(t failer, q Quantity) {
	text := q.String()
	again, err := ParseAs(text, q.Dim)
	if err != nil {
		t.Fatalf("%q of %#v: %v", text, q, err)
	}
	if again != q {
		t.Fatalf("%q\n%s", text, cmp.Diff(q, again))
	}
	if q.Dim != Ratio {
		if any, err := Parse(text); err != nil || any != q {
			t.Fatalf("%q without a dimension: %v\n%s", text, err, cmp.Diff(q, any))
		}
	}
}

// A quantity that was computed, not read, with every bit of its numbers set.
func TestComputedRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u, _ := parseUnit(rapid.SampledFrom(spellings).Draw(t, "unit"))
		numbers := rapid.SliceOfN(rapid.Float64Range(-1e300, 1e300), 3, 3).Draw(t, "numbers")
		if rapid.Bool().Draw(t, "near") { // limits close to the value are what makers have
			for i := 1; i < 3; i++ {
				numbers[i] = numbers[0] * (1 + rapid.Float64Range(-0.2, 0.2).Draw(t, "deviation"))
			}
		}
		if u.dim.Point {
			for i := range numbers {
				numbers[i] = math.Abs(numbers[i])
			}
		}
		slices.Sort(numbers)
		q := Quantity{Value: numbers[1], Low: numbers[1], High: numbers[1], Dim: u.dim, Unit: u.text, Currency: u.currency}
		switch rapid.IntRange(0, 3).Draw(t, "spread") {
		case 1:
			q.Low, q.High = numbers[0], numbers[2]
			if q.Low != q.High {
				q.Spread = Limits
			}
		case 2:
			q.Low, q.High, q.Spread = numbers[0], numbers[2], Range
			q.Value = q.Low/2 + q.High/2
		case 3:
			q.SD = math.Abs(numbers[0])
			if q.SD != 0 {
				q.Spread = Normal
			}
		}
		if !q.Dim.Point && q.Value != 0 && q.Dim != PerKelvin {
			q.Drift = rapid.Float64Range(0, 1).Draw(t, "drift")
		}
		sameAgain(t, q)
	})
}

// Near absolute zero a Celsius number needs more digits than float64 has.
func TestRoundTripAtTheEdges(t *testing.T) {
	for _, v := range []float64{0, 5e-324, 1e-20, 1e-3, 273.15, 298.15, math.Nextafter(298.15, 0), 1e15, math.MaxFloat64} {
		sameAgain(t, exactly(v, TemperaturePoint, "°C"))
	}
	for _, v := range []float64{5e-324, 2.5e-320, 1e-300, math.MaxFloat64, -math.MaxFloat64, math.Nextafter(1, 2), 0.1 + 0.2} {
		for _, u := range []string{"V", "pV", "MV"} {
			sameAgain(t, exactly(v, Voltage, u))
		}
		sameAgain(t, exactly(v, Angle, "°"))
	}
	sameAgain(t, limits(1, 1e-300, 2, Voltage, "V"))
	sameAgain(t, limits(1, 0, 2, Voltage, "V"))
	sameAgain(t, limits(0, -math.MaxFloat64, math.MaxFloat64, Voltage, "V"))
	sameAgain(t, percent(limits(10, 9.9, 10.1, Voltage, "V")))
	for _, text := range []string{
		"9999999999999999999 V ±1 %", "100000000000000 V", "1000000000000000 V", "1e308..1.5e308 V", "1.234567891234e-320 V ±12.3456789 %",
		// The value rounds to 1 V, its limits as written do not lie alike around that.
		"1.0000000000000001110223 V ±99.9999997 %", "1.0000000000000001110223 V ±99.9999998 %", "1.0000000000000001110223 V ±99.9999999 %",
		"0.00000000000001 °C ±273.149999 K",
	} {
		q, err := Parse(text)
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		sameAgain(t, q)
	}
}

// Numbers read by strconv, with the prefix as an exponent, are the nearest float64; so
// must ours be. For °C the sum is made by big.Float.
func TestParseRoundsToNearest(t *testing.T) {
	powers := map[string]int{"V": 0, "kV": 3, "µV": -6, "MΩ": 6, "pF": -12, "ppm": -6, "%": -2, "g": -3, "bar": 5}
	names := []string{"V", "kV", "µV", "MΩ", "pF", "ppm", "%", "g", "bar"}
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.StringMatching(`-?[0-9]{1,22}(\.[0-9]{1,22})?`).Draw(t, "number")
		u := rapid.SampledFrom(names).Draw(t, "unit")
		want, _ := strconv.ParseFloat(fmt.Sprintf("%se%d", number, powers[u]), 64)
		q, err := Parse(number + " " + u)
		if err != nil || q.Value != want {
			t.Fatalf("%s %s is %v (%v), want %v", number, u, q.Value, err, want)
		}
		celsius := strings.TrimPrefix(number, "-")
		sum, _, _ := big.ParseFloat(celsius, 10, 2000, big.ToNearestEven)
		zero, _, _ := big.ParseFloat("273.15", 10, 2000, big.ToNearestEven)
		kelvin, _ := sum.Add(sum, zero).Float64()
		if q, err := Parse(celsius + " °C"); err != nil || q.Value != kelvin {
			t.Fatalf("%s °C is %v K (%v), want %v", celsius, q.Value, err, kelvin)
		}
	})
}

// Decimal limits come out as the decimals a reader would compute, not one bit beside.
func TestLimitsAreDecimal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.IntRange(1, 1e6).Draw(t, "value")
		half := rapid.IntRange(1, 1e6).Draw(t, "half")
		q, err := Parse(fmt.Sprintf("%de-3 V ±%de-3 V", value, half))
		low, _ := strconv.ParseFloat(fmt.Sprintf("%de-3", value-half), 64)
		high, _ := strconv.ParseFloat(fmt.Sprintf("%de-3", value+half), 64)
		if err != nil || q.Low != low || q.High != high {
			t.Fatalf("%v: %v..%v, want %v..%v", err, q.Low, q.High, low, high)
		}
	})
}

// No shorter number may stand for the same value.
func TestStringIsShortest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e12, 1e12).Draw(t, "v")
		number := strings.TrimSuffix(exactly(v, Voltage, "V").String(), " V")
		want := strconv.FormatFloat(v, 'g', -1, 64)
		if significant(number) > significant(want) {
			t.Fatalf("%v is written %s", v, number)
		}
	})
}

func significant(number string) int {
	mantissa, _, _ := strings.Cut(number, "e")
	digits := strings.Trim(strings.NewReplacer("-", "", ".", "").Replace(mantissa), "0")
	return len(digits)
}

func FuzzParse(f *testing.F) {
	for _, c := range accepted {
		f.Add(c.text)
	}
	for _, c := range refused {
		f.Add(c.text)
	}
	f.Add("\xff V")
	f.Add("1e-400 °C (1e-400..1e400 °C)")
	f.Add("1 km^12·km^12·km^12·km^12/(nm^12·nm^12)")
	f.Fuzz(func(t *testing.T, text string) {
		for _, d := range []Dimension{none, Ratio, Voltage, TemperaturePoint, TemperatureDifference} {
			var q Quantity
			var err error
			if d == none {
				q, err = Parse(text)
			} else {
				q, err = ParseAs(text, d)
			}
			if err != nil {
				inText(t, text, err)
				continue
			}
			if !q.finite() || math.IsNaN(q.StandardUncertainty()) {
				t.Fatalf("%q is %#v", text, q)
			}
			sameAgain(t, q)
		}
		if sizes, err := ParseSize(text); err != nil {
			inText(t, text, err)
		} else if len(sizes) > 3 || len(sizes) == 0 {
			t.Fatalf("%q has %d lengths", text, len(sizes))
		}
		if h, err := ParseHeld(text); err != nil {
			inText(t, text, err)
		} else if again, err := ParseHeld(h.String()); err != nil || again != h {
			t.Fatalf("%q as %q: %v\n%s", text, h, err, cmp.Diff(h, again))
		}
		if a, err := ParseAccuracy(text); err != nil {
			inText(t, text, err)
		} else if again, err := ParseAccuracy(a.String()); err != nil || again != a {
			t.Fatalf("%q as %q: %v\n%s", text, a, err, cmp.Diff(a, again))
		}
	})
}

// inText holds an error to be about a place in the text.
func inText(t *testing.T, text string, err error) {
	e, ok := err.(*Error)
	if !ok || e.Problem == "" || e.Width < 1 || e.Column < 1 || e.Column > len([]rune(text))+1 {
		t.Fatalf("%q: %#v", text, err)
	}
}
