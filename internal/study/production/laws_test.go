package production

import (
	"context"
	"math"
	"strings"
	"testing"

	"hindwatt/internal/quantity"
)

func value(t *testing.T, text string) *Value {
	t.Helper()
	q, err := quantity.ParseAs(text, quantity.Ratio)
	if err != nil {
		q, err = quantity.Parse(text)
	}
	if err != nil {
		t.Fatal(text, err)
	}
	return &Value{Quantity: q, From: "production.toml:1"}
}

func example(t *testing.T) Input {
	price := func(s string) quantity.Quantity { return value(t, s).Quantity }
	return Input{
		Currency: "EUR", Hour: value(t, "24 EUR/h"), Week: value(t, "20 h"), Batch: value(t, "10"), Price: value(t, "60 EUR"),
		Lines: []Line{{Name: "box", Prices: []Break{{1, price("5 EUR")}, {10, price("4 EUR")}}}},
		Steps: []Step{
			{Name: "test", Minutes: value(t, "5 min"), Yield: value(t, "0.8"), Rework: value(t, "10 min"), ReworkSuccess: value(t, "0.5"), After: []string{"solder"}},
			{Name: "solder", Minutes: value(t, "8..12 min"), Setup: value(t, "20 min"), Allowance: value(t, "0.1")},
		},
		Channels: []Channel{{Name: "page", Fee: value(t, "0.1"), Fixed: value(t, "0.50 EUR")}},
		Carriage: []Carriage{{Name: "parcel", Amount: value(t, "5 EUR"), Packing: value(t, "1 EUR")}},
		Taxes:    []Tax{{Name: "vat", Rate: value(t, "0.2"), On: "price"}},
	}
}

func run(t *testing.T, in Input) *Result {
	t.Helper()
	r, err := Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9*math.Abs(want) {
		t.Errorf("%s is %.12g, want %.12g", what, got, want)
	}
}

// Computed independently by hand. Of a started unit: 4 EUR of material; solder 10 min·1.1 and set-up
// 20 min·1.1/10 = 13.2 min, test 5 min and 0.2·10 min of rework: 20.2 min at 0.40 EUR. Good are
// 0.8 + 0.2·0.5 = 0.9.
func TestByHand(t *testing.T) {
	r := run(t, example(t))
	near(t, "yield", r.Unit.Yield, 0.9)
	near(t, "minutes", r.Quantities["unit-minutes"].Best, 20.2*60/0.9)
	near(t, "unit cost", r.Quantities["unit-cost"].Best, (4+20.2*0.4)/0.9)
	near(t, "scrap", r.Unit.Scrap, (4+20.2*0.4)*(1/0.9-1))
	near(t, "sold", r.Quantities["unit-cost-sold"].Best, (4+20.2*0.4)/0.9+6+6.5)
	near(t, "left over", r.Quantities["left-over"].Best, 50-6.5-6-4/0.9)
	near(t, "week", r.Quantities["week"].Best, 20*60/(20.2/0.9))
	if r.Steps[0].Name != "solder" {
		t.Errorf("%s comes before solder", r.Steps[0].Name)
	}
}

func TestIntervalsHoldTheBest(t *testing.T) {
	for name, is := range run(t, example(t)).Quantities {
		if !(is.Low <= is.Best && is.Best <= is.High) || !finite(is.Low, is.High) {
			t.Errorf("%s: %+v", name, is)
		}
	}
}

func TestSampledAgreesWithPropagated(t *testing.T) { // one rectangular input, linear: ends differ by shape only
	r := run(t, example(t))
	is := r.Quantities["unit-cost"]
	half := 2 * 1.1 * 0.4 / 0.9 // of the rectangular distribution, EUR
	if got := (is.High - is.Low) / 2; math.Abs(got-0.95*half) > 0.02*half {
		t.Errorf("half width %g, want %g", got, 0.95*half)
	}
	near(t, "standard uncertainty", r.Budget.U, half/math.Sqrt(3))
}

func TestLowerYieldNeverCostsLess(t *testing.T) {
	last := 0.0
	for _, y := range []string{"1", "0.95", "0.8", "0.5", "0.1"} {
		in := example(t)
		in.Steps[0].Yield = value(t, y)
		if cost := run(t, in).Unit.Total; cost < last {
			t.Errorf("yield %s costs %g, less than %g", y, cost, last)
		} else {
			last = cost
		}
	}
}

func TestBatchesCostLessUntilTheRest(t *testing.T) {
	r := run(t, example(t))
	for i := 1; i < len(r.Sizes); i++ {
		if a, b := r.Sizes[i-1], r.Sizes[i]; b.Cost > a.Cost+1e-9 || b.NeverUsed < b.Cost-1e-9 {
			t.Errorf("%d cost %g, %d cost %g, %g if the rest is never used", a.Units, a.Cost, b.Units, b.Cost, b.NeverUsed)
		}
	}
}

// The break-even of a quote: at it the two ways cost the same to the next unit.
func TestQuoteBreaksEven(t *testing.T) {
	in := example(t)
	in.Quotes = []Quote{{Name: "house", Setup: value(t, "100 EUR"), Each: value(t, "3 EUR"), Minimum: 5, Replaces: []string{"solder"}}}
	c := run(t, in).Choices[0]
	// own: 11 min·0.40 a unit and 8.80 a batch; given: 3 a unit and 100 a batch
	near(t, "break-even", c.BreakEven.Best, math.Ceil((100-8.8)/(4.4-3)))
	if c.Verdict != "making it is cheaper" {
		t.Error(c.Verdict)
	}
}

func TestNothingLacksByName(t *testing.T) {
	r := run(t, Input{})
	var keys []string
	for _, l := range r.Lacks {
		keys = append(keys, l.Key)
	}
	for _, want := range []string{"bom.NAME.prices", "step.NAME.minutes", "work.hour"} {
		if !strings.Contains(strings.Join(keys, " "), want) {
			t.Errorf("%s is not asked for in %v", want, keys)
		}
	}
	if _, err := r.Page(); err != nil {
		t.Error(err)
	}
}

func TestPartsAndMinutesAlone(t *testing.T) {
	in := Input{Lines: []Line{{Name: "parts", Prices: []Break{{1, value(t, "9..11 EUR").Quantity}}}}, Steps: []Step{{Name: "make", Minutes: value(t, "30..45 min")}}}
	r := run(t, in)
	if is := r.Quantities["unit-cost"]; !(is.Low < 9.1 && is.High > 10.9) || r.Currency != "EUR" || len(r.Incomplete) == 0 {
		t.Errorf("%+v in %q, incomplete %v", is, r.Currency, r.Incomplete)
	}
	p, err := r.Page()
	if err != nil || !strings.Contains(p.Answer[0], "at least") {
		t.Error(p.Answer, err)
	}
}

func TestRefuses(t *testing.T) {
	circle := example(t)
	circle.Steps[1].After = []string{"test"}
	nan := example(t)
	nan.Steps[0].Minutes.Value = math.NaN()
	empty := example(t)
	empty.Quotes = []Quote{{Name: "q", Each: value(t, "3 EUR"), Replaces: []string{"no such"}}}
	for name, in := range map[string]Input{"a circle": circle, "no number": nan, "an unknown step": empty} {
		if _, err := Run(context.Background(), in); err == nil {
			t.Errorf("%s is accepted", name)
		}
	}
}
