package production

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"hindwatt/internal/quantity"
)

func priced(t *testing.T, name, price string) Line {
	return Line{Name: name, Prices: []Break{{1, value(t, price).Quantity}}, PricesFrom: "production.toml:3"}
}

// whole fails if a figure, a cell or a sentence is no finite number.
func whole(t *testing.T, r *Result) string {
	t.Helper()
	p, err := r.Page()
	if err != nil {
		t.Fatal(err)
	}
	text := fmt.Sprint(p.Answer, p.Tables, p.Warnings, p.Inputs)
	if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
		t.Error(text)
	}
	for name, is := range r.Quantities {
		if !finite(is.Best, is.Low, is.High) || is.Low > is.Best || is.Best > is.High {
			t.Errorf("%s: %+v", name, is)
		}
	}
	return text
}

func TestRefusesWithTheKey(t *testing.T) {
	for want, change := range map[string]func(*Input){
		"step.test.yield: nothing passes":      func(in *Input) { in.Steps[0].Yield, in.Steps[0].ReworkSuccess = value(t, "0"), nil },
		"bom.box.attrition: 1; want 0 to 0.99": func(in *Input) { in.Lines[0].Attrition = value(t, "1") },
		"wait for each other":                  func(in *Input) { in.Steps[1].After = []string{"test"} },
		"step.solder.after: the steps":         func(in *Input) { in.Steps = in.Steps[1:]; in.Steps[0].After = []string{"solder"} },
		"work.batch: 2000000; want 1 to 1e+06": func(in *Input) { in.Batch = value(t, "2000000") },
		"bom.box.prices: two currencies":       func(in *Input) { in.Lines[0].Prices[1].Price.Currency = "USD" },
		"bom.box: for a batch of":              func(in *Input) { in.Lines[0].Each, in.Batch = value(t, "1000000"), value(t, "100000") },
		"of a million units started not one ends good": func(in *Input) {
			in.Steps[0].Yield, in.Steps[1].Yield, in.Steps[0].ReworkSuccess = value(t, "0.0005"), value(t, "0.0005"), nil
		},
	} {
		in := example(t)
		change(&in)
		if _, err := Run(context.Background(), in); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

func TestZeroYieldThatReworkSaves(t *testing.T) {
	in := example(t)
	in.Steps[0].Yield, in.Steps[0].ReworkSuccess = value(t, "0"), value(t, "1")
	r := run(t, in)
	whole(t, r)
	near(t, "yield", r.Unit.Yield, 1)
	near(t, "minutes", r.Unit.Time, (13.2+5+10)*60)
}

func TestOneAtATime(t *testing.T) {
	in := example(t)
	in.Batch = value(t, "1")
	in.Lines[0].Minimum = 25
	r := run(t, in)
	whole(t, r)
	near(t, "materials", r.Unit.Materials, 4) // 25 are bought at the price from 10 on; one carries its own
	near(t, "in stock", r.tied, 24*4)
}

func TestHugeAndTinyStayFinite(t *testing.T) {
	for name, change := range map[string]func(*Input){
		"long steps":  func(in *Input) { in.Steps[1].Minutes, in.Steps[1].Setup = value(t, "250000 h"), value(t, "200000 h") },
		"dear parts":  func(in *Input) { in.Lines[0].Prices = []Break{{1, value(t, "900000000000 EUR").Quantity}} },
		"large batch": func(in *Input) { in.Batch = value(t, "1000000") },
		"no time":     func(in *Input) { in.Steps = nil },
		"time of zero": func(in *Input) {
			in.Steps[1].Minutes, in.Steps[1].Setup, in.Steps[0].Minutes, in.Steps[0].Rework = value(t, "0 min"), nil, nil, nil
		},
		"wide normal": func(in *Input) {
			in.Steps[1].Minutes, in.Steps[0].Yield = value(t, "10 min sd 10 min"), value(t, "0.5 sd 0.5")
		},
		"free": func(in *Input) {
			in.Lines[0].Prices = []Break{{1, value(t, "0 EUR").Quantity}}
			in.Hour = value(t, "0 EUR/h")
		},
	} {
		t.Run(name, func(t *testing.T) {
			in := example(t)
			in.Overheads = []Overhead{{Name: "rent", Amount: value(t, "80..90 EUR"), Per: "month"}}
			in.Recorded = Recorded{AllGood: Amount{100, 90, 110}, Years: 0.5, AllFrom: "records/made.csv"}
			in.Quotes = []Quote{{Name: "house", Setup: value(t, "100 EUR"), Each: value(t, "3 EUR"), Replaces: []string{"solder"}}}
			change(&in)
			if in.Steps == nil {
				in.Quotes = nil
			}
			text := whole(t, run(t, in))
			if !strings.Contains(text, "little to go by") {
				t.Error("half a year of records is not said")
			}
		})
	}
}

// Two currencies: 10 USD at 0.9 EUR count as 9 EUR, also in what was paid; without the rate the line
// and the payments are left out, and both are said.
func TestMixedCurrencies(t *testing.T) {
	in := example(t)
	in.Lines = []Line{priced(t, "box", "4 EUR"), priced(t, "board", "10 USD")}
	in.Rates = []Rate{{"USD", value(t, "0.9 EUR")}}
	in.Recorded = Recorded{Good: Amount{10, 10, 10}, Started: Amount{10, 10, 10}, AllGood: Amount{10, 10, 10}, Years: 1,
		Parts: []Paid{{Amount{40, 40, 40}, "EUR", false, "booked", "records/spent.csv:2"}, {Amount{100, 100, 100}, "USD", false, "booked", "records/spent.csv:3"}},
		Hours: []Hours{{Day: "2024-01-02", Time: Amount{12120, 12120, 12120}, Units: Amount{10, 10, 10}}}}
	r := run(t, in)
	near(t, "materials", r.Unit.Materials, 13)
	near(t, "paid", r.Recorded.Parts.Best, 13)
	near(t, "recorded cost", r.Recorded.Cost.Best, 13+20.2*0.4)

	in.Rates = nil
	r = run(t, in)
	near(t, "materials without the rate", r.Unit.Materials, 4)
	text := whole(t, r)
	if r.Recorded.HasCost || !strings.Contains(text, "records/spent.csv:3") || len(r.Incomplete) != 1 || r.Incomplete[0] != "board" {
		t.Errorf("%+v %v %s", r.Recorded, r.Incomplete, text)
	}
	if last := r.Lacks[len(r.Lacks)-1]; last.Key != "rates.USD" {
		t.Errorf("lacks %v", r.Lacks)
	}
}

// An hour and a price in another currency keep their spread and that of the rate.
func TestForeignHour(t *testing.T) {
	in := example(t)
	in.Hour, in.Rates = value(t, "20..28 USD/h"), []Rate{{"USD", value(t, "0.9..1.1 EUR")}}
	in.Price = value(t, "60 USD")
	r := run(t, in)
	near(t, "unit cost", r.Unit.Total, (4+20.2*0.4)/0.9)
	names := map[string]bool{}
	for _, l := range r.Budget.Lines {
		names[l.Name] = l.Contribution != 0
	}
	if !names["work.hour"] || !names["rates.USD"] {
		t.Errorf("budget %v", r.Budget.Lines)
	}
	whole(t, r)
}

// Disagreement: the same hour on both sides cancels, so that only parts differ.
func TestDisagreementSaysWhatDiffers(t *testing.T) {
	in := example(t)
	in.Hour = value(t, "10..38 EUR/h")
	in.Lines[0].Prices = []Break{{1, value(t, "11.50 EUR").Quantity}, {30, value(t, "4.6 EUR").Quantity}}
	in.Recorded = Recorded{Own: "revision B", Good: Amount{90, 90, 90}, Started: Amount{100, 100, 100}, AllGood: Amount{90, 90, 90}, Years: 1}
	for i := range 3 {
		day := fmt.Sprintf("2024-0%d-01", i+1)
		in.Recorded.Parts = append(in.Recorded.Parts, Paid{Amount{153, 153, 153}, "EUR", false, "booked", "records/spent.csv:2"})
		took := 30 * 20.2 / 0.9 * 60 * (0.98 + 0.02*float64(i))
		in.Recorded.Hours = append(in.Recorded.Hours, Hours{Day: day, Until: day, Time: Amount{took, took, took}, Units: Amount{30, 30, 30}})
	}
	r := run(t, in)
	d := r.Recorded.Difference
	near(t, "difference", d.Best, 11.5/0.9-5.1)
	if half := (d.High - d.Low) / 2; half > 3 { // the hour alone would make 5 EUR of it
		t.Errorf("±%g: the hour has not cancelled", half)
	}
	text := whole(t, r)
	for _, want := range []string{"disagree", "of revision B", "Parts are 12.78 EUR by the list and 5.10 EUR as bought", "for 30 good units", "bought for 13 at a time"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in %s", want, text)
		}
	}
}

func TestWeekOfAGivenShare(t *testing.T) {
	in := example(t)
	in.Recorded.MakeTime, in.Recorded.OtherTime = Amount{30, 30, 30}, Amount{10, 10, 10}
	near(t, "week", run(t, in).Quantities["week"].Best, 0.75*20*60/(20.2/0.9))
}

// A break-even's limits: setup 100 EUR less 8.80 of ours; a unit saves 0.40·1.1·t − 3 with t from 8 to 12 min.
func TestBreakEvenHasLimits(t *testing.T) {
	in := example(t)
	in.Quotes = []Quote{{Name: "house", Setup: value(t, "100 EUR"), Each: value(t, "3 EUR"), Replaces: []string{"solder"}}}
	b := run(t, in).Choices[0].BreakEven
	at := func(min float64) float64 { return math.Ceil((100 - 8.8) / (0.44*min - 3)) }
	if math.Abs(b.Low-at(11.9)) > 1 || math.Abs(b.High-at(8.1)) > 4 || b.Best != at(10) {
		t.Errorf("%+v, want %g (%g to %g)", b, at(10), at(11.9), at(8.1))
	}
	in.Quotes[0].Each = value(t, "9 EUR")
	if b := run(t, in).Choices[0].BreakEven; b != (Interval{}) {
		t.Errorf("%+v: dearer by the piece and by the batch pays nowhere", b)
	}
}

// Learning's rate is unknown: other batch sizes carry its spread, the usual one does not.
func TestLearningSpreadsOtherBatches(t *testing.T) {
	in := example(t)
	in.Steps[1].Minutes = value(t, "10 min")
	in.Learning = &Value{Quantity: quantity.Quantity{Value: 0.8, Low: 0.7, High: 0.9, Spread: quantity.Range}, From: "production.toml:9"}
	in.Recorded.AllGood = Amount{20, 20, 20}
	for _, s := range run(t, in).Sizes {
		if wide := s.High-s.Low > 0.01; wide == (s.Units == 10) {
			t.Errorf("batch of %d: %g to %g", s.Units, s.Low, s.High)
		}
	}
}
