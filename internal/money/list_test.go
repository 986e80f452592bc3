package money

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"hindwatt/internal/quantity"
)

func TestParseAccepts(t *testing.T) {
	for text, want := range map[string][]float64{
		"3": {3}, "3, -2.5 ,1e3": {3, -2.5, 1000}, "3 EUR,2.50 EUR": {3, 2.5}, " 0 ": {0}, "-0.01 USD": {-0.01}, "12345678901234.5": {12345678901234.5},
	} {
		list, err := ParseAmounts(text)
		var got []float64
		for _, a := range list {
			got = append(got, a.Float64())
		}
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("%q: %v %v", text, got, err)
		}
	}
	if got, err := ParseShares("0.95, 98 %,1, 0"); err != nil || !slices.Equal(got, []float64{0.95, 0.98, 1, 0}) {
		t.Errorf("shares %v %v", got, err)
	}
	got, err := ParseBreaks("1:0.52 EUR, 10 : 0.41 EUR,100:0 EUR")
	if err != nil || len(got) != 3 || got[1].From != 10 || got[1].Price.Float64() != 0.41 || got[1].Price.Currency() != "EUR" {
		t.Errorf("breaks %v %v", got, err)
	}
}

func amounts(s string) error { _, err := ParseAmounts(s); return err }
func shares(s string) error  { _, err := ParseShares(s); return err }
func breaks(s string) error  { _, err := ParseBreaks(s); return err }

func TestParseRefuses(t *testing.T) {
	const money, share = "; want a sum of money such as 34 EUR, or a plain number", "; want a number from 0 to 1 such as 0.95 or 95 %"
	for _, c := range []struct {
		parse         func(string) error
		text          string
		column, width int
		say           string
	}{
		{amounts, "", 1, 1, "an empty place in the list; want values with a comma between them"},
		{amounts, "1,,2", 3, 1, "an empty place in the list; want values with a comma between them"},
		{amounts, "1, 2,", 6, 1, "an empty place in the list; want values with a comma between them"},
		{amounts, "1, µ", 4, 1, `"µ" does not start with a number` + money},
		{amounts, "µ, 5 V", 1, 1, `"µ" does not start with a number` + money},
		{amounts, "1, 5 V", 4, 3, `"5 V" is a voltage` + money},
		{amounts, "1, 5 %", 4, 3, "not a sum of money" + money},
		{amounts, "1, 5 ±1", 4, 4, "takes no tolerance" + money},
		{amounts, "1 EUR, 2 USD", 8, 5, "a second currency beside EUR; want one currency"},
		{amounts, "1 EUR, 2", 8, 1, "no currency, after EUR; want EUR in each"},
		{amounts, "1, 2 EUR", 4, 5, "a currency, after a plain number; want a currency in all or in none"},
		{amounts, "1.234567890123456", 1, 17, "too many digits; want at most 15"},
		{amounts, strings.Repeat("1,", MaxItems) + "7", 2*MaxItems + 1, 1, "too many values; want at most 600"},
		{shares, "98\u00a0%, 95", 7, 2, "not a possible share" + share},
		{shares, "0.5, 95", 6, 2, "not a possible share" + share},
		{shares, "-0.1", 1, 4, "not a possible share" + share},
		{shares, "0.5 ±0.1", 1, 8, "takes no tolerance" + share},
		{shares, "1 EUR", 1, 5, `"1 EUR" is a sum of money in EUR` + share},
		{breaks, "1:2, 5", 6, 1, "no : between quantity and price; want a break such as 10:0.41"},
		{breaks, "1:2, 1:1", 6, 1, "not above the quantity before it; want ascending quantities"},
		{breaks, "0:2", 1, 1, "not a possible quantity; want a whole number from 1 to 1000000000"},
		{breaks, "1.5:2", 1, 3, "not a possible quantity; want a whole number from 1 to 1000000000"},
		{breaks, "1:2, 10: -1", 10, 2, "a negative price; want 0 or more"},
		{breaks, "1:2, 10: x", 10, 1, `"x" does not start with a number` + money},
		{breaks, "1:2 EUR, 10: 1 USD", 14, 5, "a second currency beside EUR; want one currency"},
	} {
		err := c.parse(c.text)
		e, ok := err.(*quantity.Error)
		if !ok || e.Error() != c.say || e.Column != c.column || e.Width != c.width {
			t.Errorf("%.40q:\n got %+v\nwant %d+%d %s", c.text, err, c.column, c.width, c.say)
		}
	}
}

// FuzzParse: no panic, every error within the text, and what is accepted can be computed with.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"1:0.52, 10:0.41", "-100,39,59", "0.9, 95 %", "1 EUR,2 EUR", "1: 1 JPY", ",", ":", "1:1:1", "µ,1", "1e308:1e308", "1:5e-324 EUR"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, parse := range []func(string) error{amounts, shares, breaks} {
			if err := parse(s); err != nil {
				e, ok := err.(*quantity.Error)
				if !ok || e.Problem == "" || e.Column < 1 || e.Width < 1 || e.Column > utf8.RuneCountInString(s)+1 {
					t.Fatalf("%q: %+v", s, err)
				}
			}
		}
		if list, err := ParseBreaks(s); err == nil {
			q, cost, err := OrderQuantity(7, list)
			if err != nil || q < 7 || cost.Sign() < 0 {
				t.Fatalf("%q: %d %v %v", s, q, cost.Float64(), err)
			}
		}
		if list, err := ParseAmounts(s); err == nil {
			var flows []float64
			for _, a := range list {
				flows = append(flows, a.Float64())
			}
			if rates, err := RatesOfReturn(flows); err != nil || !slices.IsSorted(rates) || len(rates) >= len(flows) {
				t.Fatalf("%q: %v %v", s, rates, err)
			}
		}
	})
}
