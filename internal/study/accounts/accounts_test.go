package accounts

import (
	"context"
	"encoding/json"
	"math"
	"testing"
	"time"

	"hindwatt/internal/money"
	"hindwatt/internal/quantity"
)

func val(t *testing.T, s string) *Value {
	t.Helper()
	q, err := quantity.Parse(s)
	if err != nil {
		if q, err = quantity.ParseAs(s, quantity.Ratio); err != nil { // a count
			t.Fatal(err)
		}
	}
	return &Value{Quantity: q, From: "records/x.csv:1"}
}

func on(day string) Row {
	at, _ := time.Parse("2006-01-02", day)
	return Row{Date: at, From: "records/x.csv:1"}
}

func during(day, until string) Row {
	r := on(day)
	r.Until = on(until).Date
	return r
}

func run(t *testing.T, in Input) *Result {
	t.Helper()
	r, err := Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := r.Page(); err != nil {
		t.Fatal(err)
	}
	return r
}

func example(t *testing.T) Input {
	return Input{
		Currency: "EUR",
		Sold: []Sold{
			{Row: on("2021-03-02"), Count: val(t, "10"), Channel: "page", Price: val(t, "79 EUR"), Carriage: val(t, "3.17 EUR")},
			{Row: on("2021-04-02"), Count: val(t, "5"), Channel: "hand", Price: val(t, "100 USD")},
		},
		Returned: []Returned{{Row: on("2021-05-01"), Cost: val(t, "12.34 EUR"), Minutes: val(t, "30 min")}},
		Spent:    []Spent{{Row: during("2021-01-15", "2021-03-14"), Kind: "parts", Group: "parts", Amount: val(t, "200 EUR")}},
		Hours: []Hours{
			{Row: on("2021-01-10"), Kind: "design", Group: "design", Time: val(t, "10 h")},
			{Row: on("2021-02-10"), Kind: "make", Group: "building", Time: val(t, "9.5 h")},
		},
		Channels: []Channel{{Name: "page", Fee: val(t, "2.4 %"), Fixed: val(t, "0.35 EUR")}, {Name: "hand"}},
		Taxes:    []Tax{{Name: "vat", Rate: val(t, "20 %")}},
		Rates:    []Rate{{Currency: "USD", Value: val(t, "0.92 EUR")}},
	}
}

// By hand, in exact decimals. One of 79 EUR: tax 79/6 = 13.1666… → 13.17; fee 1.896 → 1.90, + 0.35 = 2.25; sending 3.17.
// One of 100 USD = 92 EUR: tax 15.3333… → 15.33; by hand, no fee.
// In 790 + 460 = 1250.00; tax 131.70 + 76.65 = 208.35; fees 22.50; sending 31.70; came back 12.34; parts 200.00.
// Left 1250 - 474.89 = 775.11. Hours 10 + 9.5 + 0.5 = 20: 38.7555 EUR/h; without design 77.511 EUR/h.
func TestByHand(t *testing.T) {
	r := run(t, example(t))
	want := map[string]float64{kindSold: 1250, kindTax: 208.35, kindFees: 22.5, kindSending: 31.7, kindBack: 12.34, "parts": 200}
	for _, l := range r.Lines {
		exact, _ := money.New(want[l.Kind], "EUR")
		if l.Best.Cmp(exact) != 0 || l.Low.Cmp(exact) != 0 || l.High.Cmp(exact) != 0 {
			t.Errorf("%s is %v; want %v", l.Kind, l.Best.Float64(), want[l.Kind])
		}
		delete(want, l.Kind)
	}
	if len(want) > 0 {
		t.Errorf("missing: %v", want)
	}
	near(t, "net", r.Net.Best, 775.11)
	near(t, "hour paid", r.HourPaid.Best*3600, 775.11/20)
	near(t, "without design", r.HourPaidBut.Best*3600, 77.511)
	if r.HourPaid.Low != r.HourPaid.High {
		t.Error("exact records gave an interval")
	}
	// Turned: the parts are bought from January on, 10 are sold in March, the third month.
	near(t, "turned", r.Turned.Best/(year/12), 3)
	// 200 EUR over 15 January to 14 March: 17, 28 and 14 of 59 days: 57.627, 94.915, 47.458; in March with 131.70, 22.50 and 31.70.
	for k, want := range []float64{57.63, 94.91, 233.36} {
		near(t, "out of a month", r.Months[k].Out.Float64(), want)
	}
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
		t.Errorf("%s is %.10g; want %.10g", what, got, want)
	}
}

// The months add up to the kinds exactly, whatever the periods and ranges.
func TestMonthsAddUp(t *testing.T) {
	in := example(t)
	for i, s := range []string{"0.01 EUR", "99.99 EUR", "33.33..44.45 EUR", "-7.77 EUR", "1000 EUR"} {
		in.Spent = append(in.Spent, Spent{Row: during("2020-02-11", "2023-11-0"+string(rune('1'+i))), Kind: s, Amount: val(t, s)})
	}
	in.Sold = append(in.Sold, Sold{Row: during("2019-12-31", "2024-02-29"), Count: val(t, "250..350"), Price: val(t, "34 EUR")})
	r := run(t, in)
	var months, kinds money.Amount
	for _, m := range r.Months {
		months = months.Plus(m.In).Minus(m.Out)
	}
	for _, l := range r.Lines {
		if l.In {
			kinds = kinds.Plus(l.Best)
		} else {
			kinds = kinds.Minus(l.Best)
		}
	}
	if months.Cmp(kinds) != 0 {
		t.Errorf("months add up to %v, kinds to %v", months.Float64(), kinds.Float64())
	}
	near(t, "net", r.Net.Best, kinds.Float64())
	if r.Net.Low >= r.Net.Best || r.Net.High <= r.Net.Best {
		t.Errorf("a remembered count gave no interval: %+v", r.Net)
	}
}

// 300 sold at 34 EUR, parts 10 EUR, 30..45 min: (34 - 10)·60/m an hour, between 32 and 48, and at 37.5 min 38.4 EUR/h. The rectangular
// minutes alone leave 95 % between 30.375 and 44.625 min: 32.27 to 47.41 EUR/h. By hand.
func TestRemembered(t *testing.T) {
	r := run(t, Input{
		Sold:  []Sold{{Row: during("2021-01-01", "2023-12-31"), Count: val(t, "300"), Price: val(t, "34 EUR")}},
		Parts: []Part{{Name: "all", Breaks: []Break{{From: 1, Price: val(t, "10 EUR").Quantity}}}},
		Steps: []Step{{Name: "make", Minutes: val(t, "30..45 min")}},
	})
	near(t, "hour paid", r.HourPaid.Best*3600, 38.4)
	if low, high := r.HourPaid.Low*3600, r.HourPaid.High*3600; math.Abs(low-32.27) > 0.15 || math.Abs(high-47.41) > 0.25 {
		t.Errorf("95 %%: %.2f to %.2f; want 32.27 to 47.41 within the noise of 20000 draws", low, high)
	}
	if len(r.Warnings) < 2 {
		t.Error("what was taken is not said")
	}
}

// Nothing at all still gives a page, with what is missing, and no number.
func TestNothing(t *testing.T) {
	r := run(t, Input{})
	if r.HourPaid.None == "" || len(r.Lacks) == 0 {
		t.Errorf("%+v %v", r.HourPaid, r.Lacks)
	}
	in := example(t)
	in.Rates = nil
	r = run(t, in)
	if len(r.Warnings) == 0 || r.CameIn.Best != 790 {
		t.Errorf("a currency without a rate: %v came in, warnings %v", r.CameIn.Best, r.Warnings)
	}
}

// What other files give already is questioned.
func TestTwice(t *testing.T) {
	in := example(t)
	in.Spent = append(in.Spent, Spent{Row: on("2021-06-01"), Kind: "Postage", Group: "sending", Amount: val(t, "31 EUR")})
	before, after := len(run(t, example(t)).Warnings), len(run(t, in).Warnings)
	if after != before+1 {
		t.Errorf("%d warnings, %d before", after, before)
	}
}

// No number of a result is without meaning, and the same input gives the same bits.
func TestSameBits(t *testing.T) {
	in := example(t)
	in.Sold[0].Count = val(t, "8..12")
	in.Spent[0].Amount = val(t, "200 EUR sd 20 EUR")
	one, two := run(t, in), run(t, in)
	one.Budget.DOF, two.Budget.DOF = 0, 0 // +Inf: known exactly
	a, errA := json.Marshal(one)
	b, errB := json.Marshal(two) // refuses NaN and infinities
	if errA != nil || errB != nil || string(a) != string(b) {
		t.Error("not the same", errA, errB)
	}
}
