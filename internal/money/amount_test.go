package money

import (
	"math"
	"testing"

	"golang.org/x/text/currency"
)

func amount(t *testing.T, s string) Amount {
	t.Helper()
	list, err := ParseAmounts(s)
	if err != nil || len(list) != 1 {
		t.Fatalf("%q: %v %v", s, list, err)
	}
	return list[0]
}

// TestBooked: half to even as ISO 80000-1:2022, annex B, rule A, prints it (12.25 to 12.2, 12.35 to
// 12.4; from memory), at the decimals of each currency.
func TestBooked(t *testing.T) {
	for text, want := range map[string]string{
		"12.25 EUR": "12.25 EUR", "1.225 EUR": "1.22 EUR", "1.235 EUR": "1.24 EUR", "1.2250001 EUR": "1.23 EUR",
		"-1.225 EUR": "-1.22 EUR", "0.005 EUR": "0 EUR", "0.015 EUR": "0.02 EUR", "2.5 JPY": "2 JPY", "3.5 JPY": "4 JPY",
		"1.0005 KWD": "1 KWD", "1.0015 KWD": "1.002 KWD", "1.23456789": "1.23456789", "1e300 EUR": "1e300 EUR", "1e-300 EUR": "0 EUR",
	} {
		got := amount(t, text).Booked()
		if got.Cmp(amount(t, want)) != 0 || got.Currency() != amount(t, text).Currency() {
			t.Errorf("%s booked is %v %s, want %s", text, got.Float64(), got.Currency(), want)
		}
	}
}

// TestExact: sums that binary numbers get wrong.
func TestExact(t *testing.T) {
	if d := amount(t, "0.3").Minus(amount(t, "0.1")); d.Cmp(amount(t, "0.2")) != 0 {
		t.Errorf("0.3 - 0.1 = %v", d.Float64())
	}
	if p := amount(t, "1.1 EUR").Times(3); p.Cmp(amount(t, "3.3 EUR")) != 0 || p.Currency() != "EUR" {
		t.Errorf("3 · 1.1 EUR = %v %s", p.Float64(), p.Currency())
	}
	if p := amount(t, "123456789.012345").Times(1_000_000_000); p.Cmp(amount(t, "123456789012345000")) != 0 {
		t.Errorf("product %v", p.Float64())
	}
}

func TestNewRefuses(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if _, err := New(v, "EUR"); err == nil {
			t.Errorf("%v is taken for an amount", v)
		}
	}
}

// TestMinorDigits holds the table against the one of golang.org/x/text, which follows the
// CLDR: it has thousandths where ISO 4217 has but for the dinar of Iraq, and no decimals for some
// more currencies than ISO 4217.
func TestMinorDigits(t *testing.T) {
	seen := map[int32]int{}
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			for c := 'A'; c <= 'Z'; c++ {
				code := string([]rune{a, b, c})
				ours := minorDigits(code)
				seen[ours]++
				unit, err := currency.ParseISO(code)
				if err != nil {
					if ours != 2 {
						t.Errorf("%s is no currency", code)
					}
					continue
				}
				digits, _ := currency.Standard.Rounding(unit)
				if code != "IQD" && (ours == 0 && digits != 0 || (ours == 3) != (digits == 3)) {
					t.Errorf("%s: %d digits, CLDR %d", code, ours, digits)
				}
			}
		}
	}
	if seen[0] != 16 || seen[3] != 7 {
		t.Errorf("%d without minor unit, %d with thousandths", seen[0], seen[3])
	}
}
