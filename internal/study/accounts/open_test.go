package accounts

import (
	"math"
	"strings"
	"testing"
)

// With parts, spending and hours unknown, what is left is at most what came in.
func TestPartsUnknown(t *testing.T) {
	in := Input{Currency: "EUR", Sold: []Sold{{Row: during("2021-01-01", "2021-12-31"), Count: val(t, "100"), Price: val(t, "40 EUR")}}}
	r := run(t, in)
	if !r.Net.OpenLow || !r.WentOut.OpenHigh || r.Turned.None == "" || r.RateOfReturn.None == "" {
		t.Errorf("%+v %+v %+v %+v", r.Net, r.WentOut, r.Turned, r.RateOfReturn)
	}
	said := strings.Join(r.answer(), " ")
	if !strings.Contains(said, "It left at most 4000.00 EUR;") || strings.Contains(said, "0.00 EUR went out") {
		t.Error(said)
	}
	in.Hours = []Hours{{Row: during("2021-01-01", "2021-12-31"), Kind: "make", Group: "building", Time: val(t, "50 h")}}
	if r = run(t, in); !r.HourPaid.OpenLow || !strings.Contains(r.answer()[0], "at most 80.00 EUR/h") {
		t.Errorf("%+v %q", r.HourPaid, r.answer()[0])
	}
	in.Spent = []Spent{{Row: on("2021-01-01"), Kind: "parts", Group: "parts", Amount: val(t, "1000 EUR")}}
	in.Design = val(t, "10 h")
	if r = run(t, in); r.Net.OpenLow || r.HourPaid.OpenLow || r.WentOut.OpenHigh || r.HourPaid.Best*3600 != 50 {
		t.Errorf("%+v %+v", r.Net, r.HourPaid)
	}
}

// Nothing in and nothing out is said as that.
func TestAllZero(t *testing.T) {
	r := run(t, Input{
		Currency: "EUR", Sold: []Sold{{Row: on("2021-03-02"), Count: val(t, "0"), Price: val(t, "40 EUR")}},
		Returned: []Returned{{Row: on("2021-05-01"), Count: val(t, "0")}},
	})
	if said := strings.Join(r.answer(), " "); !strings.Contains(said, "nothing came in or went out") || warned(r, "without a cost") {
		t.Error(said, r.Warnings)
	}
}

// No row of months, or of years, tells what fewer than five buyers paid, nor does one table less the other.
func TestLoneSales(t *testing.T) {
	in := Input{Currency: "EUR"}
	sell := func(day, price string, n int) {
		for range n {
			in.Sold = append(in.Sold, Sold{Row: on(day), Price: val(t, price)})
		}
	}
	sell("2021-02-10", "30 EUR", 6)
	sell("2021-11-10", "41.23 EUR", 1)
	sell("2022-01-10", "30 EUR", 4)
	sell("2022-05-10", "30 EUR", 2)
	sell("2023-05-10", "47.11 EUR", 1)
	r := run(t, in)
	// By hand: 2021 holds 7; 2022 holds 6, and 2023 with one joins it. November 2021 joins February; 2022-01 to 2022-05 have 6, 2023-05 joins them.
	var years, months []string
	for _, row := range r.byYear().Rows {
		years = append(years, row[0]+" "+row[1])
	}
	for _, row := range r.byMonth().Rows {
		if row[1] != "0.00 EUR" {
			months = append(months, row[0]+" "+row[1])
		}
	}
	if got := strings.Join(years, "; "); got != "2021 221.23 EUR; 2022 to 2023 227.11 EUR" {
		t.Error(got)
	}
	if got := strings.Join(months, "; "); got != "2021-02 to 2021-12 221.23 EUR; 2022-01 to 2023-05 227.11 EUR" {
		t.Error(got)
	}
	c, _ := r.gathered()
	if n := len(c.Series[0].X); n != len(r.byMonth().Rows) {
		t.Errorf("%d points are drawn for %d rows", n, len(r.byMonth().Rows))
	}
}

// One rate only where it has a meaning. A flow of -100 and +121 a year later: 21 % (by hand).
func TestOneRate(t *testing.T) {
	year := make([]float64, 13)
	year[0], year[12] = -100, 121
	rate, why := oneRate(year)
	if why != "" || math.Abs(perYear(rate)-0.21) > 1e-9 {
		t.Errorf("%v %q; want 21 %%", perYear(rate), why)
	}
	for name, flows := range map[string][]float64{
		"gained, never below 0":        {100, -50},
		"gained, one rate below -99 %": {500, -1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, -1},
		"all lost":                     {-100, 1e-9},
		"two rates":                    {-100, 230, -132},
		"never gained":                 {-100, -5},
	} {
		if rate, why := oneRate(flows); why == "" {
			t.Errorf("%s: %v", name, perYear(rate))
		}
	}
	// Below 0 for two months and gained in the end, the gathered money changing its sign once: the one rate above 0.
	if rate, why := oneRate([]float64{-100, -20, 150, 10, -5}); why != "" || rate <= 0 {
		t.Errorf("%v %q", rate, why)
	}
}

// 10 h with a standard deviation of 1 h are normal: 95 % lie from 8.04 to 11.96 h, 10 h ± 1.96 h (JCGM 100, table G.1); a rectangle of the same ends
// would leave 95 % between 8.14 and 11.86 h. The hour's pay of the only year is that of the answer, with the same limits.
func TestNormal(t *testing.T) {
	r := run(t, Input{
		Currency: "EUR", Sold: []Sold{{Row: on("2021-03-02"), Count: val(t, "100"), Price: val(t, "10 EUR")}},
		Spent: []Spent{{Row: on("2021-01-01"), Kind: "parts", Group: "parts", Amount: val(t, "100 EUR")}},
		Hours: []Hours{{Row: on("2021-02-02"), Kind: "make", Group: "building", Time: val(t, "10 h sd 1 h")}},
	})
	// Five standard errors of a 2.5 % quantile of 20,000 draws: 5·√(0.025·0.975/20000)/0.0584 = 0.095 sd.
	if math.Abs(r.Hours.Low/3600-8.04) > 0.095 || math.Abs(r.Hours.High/3600-11.96) > 0.095 {
		t.Errorf("%.3f to %.3f h; want 8.04 to 11.96", r.Hours.Low/3600, r.Hours.High/3600)
	}
	if u := r.Budget.U; math.Abs(u-9) > 1e-6 { // 900 EUR/(10 h)² · 1 h
		t.Errorf("u %.6f EUR/h; want 9", u)
	}
	but, only := r.HourPaidBut, r.Years[0].Paid
	near(t, "low", only.Low, but.Low)
	near(t, "high", only.High, but.High)
}

// The limits of a sum have four digits of its spread.
func TestLimits(t *testing.T) {
	r := &Result{Currency: "EUR", book: &book{currency: "EUR"}}
	for want, f := range map[string]Figure{
		"39030.55 EUR (95 %: 29350 to 48710 EUR)": {Best: 39030.55, Low: 29348.21, High: 48712.9},
		"39.55 EUR (95 %: 29.35 to 48.71 EUR)":    {Best: 39.55, Low: 29.35, High: 48.71},
		"39.55 EUR":                               {Best: 39.55, Low: 39.55, High: 39.55},
	} {
		if got := r.sum(f); got != want {
			t.Errorf("%q; want %q", got, want)
		}
	}
}
