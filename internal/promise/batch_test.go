package promise

import (
	"context"
	"math"
	"strings"
	"testing"
)

// making is a folder with promises on minutes and cost: 10 min of work and 20 min of set-up a batch,
// made in batches of 10 unless a promise names another.
func making(t *testing.T, promises, hours string) *Report {
	t.Helper()
	return verdicts(t, written(t, map[string]string{
		"product.toml":      "name = \"x\"\ncurrency = \"EUR\"\n",
		"production.toml":   "[bom.box]\nprices = \"1:5 EUR, 40:4 EUR\"\n[step.make]\nminutes = \"9..11 min\"\nsetup = \"20 min\"\n[work]\nhour = \"24 EUR/h\"\nbatch = 10\n",
		"promises.toml":     promises,
		"records/made.csv":  "date,count\n2022-01-03,60\n",
		"records/hours.csv": "date,kind,time,count\n" + hours,
	}), "")
}

const minutesPromise = "[promise.quick]\nlabel = \"quick\"\nstudy = \"production\"\nquantity = \"unit-minutes\"\nmax = \"15 min\"\n"

// By hand: 10 + 20/10 = 12 min calculated. Three batches of 20 took 18, 18.2 and 17.8 min a unit: their
// mean is 18, s is 0.2 min, and t of 0.975 for 2 degrees of freedom is 4.303 (common tables): ±0.497 min.
func TestMinutesDisagreeWithHours(t *testing.T) {
	j := making(t, minutesPromise, "2022-01-03,make,360 min,20\n2022-02-03,make,364 min,20\n2022-03-03,make,356 min,20\n").named(t, "quick")
	recorded := j.of(t, Recorded)
	if math.Abs(recorded.High-18.497*60) > 0.1 || recorded.OpenLow || len(j.Disagree) != 1 || j.Verdict != NotMet {
		t.Fatalf("%s %+v %+v", j.Verdict, recorded, j.Disagree)
	}
	if d := j.Disagree[0]; math.Abs(d.Difference+6*60) > 1e-6 || !(d.High < 0) || d.A != Calculated {
		t.Errorf("%+v", d)
	}
}

// One row of hours gives a figure without limits: it neither breaks nor keeps the promise.
func TestOneRowOfHoursHasNoLimits(t *testing.T) {
	j := making(t, minutesPromise, "2022-01-03,make,1080 min,60\n").named(t, "quick")
	e := j.of(t, Recorded)
	if e.Best != 18*60 || !e.OpenLow || !e.OpenHigh || !strings.Contains(e.Note, "one row only: no limits") || len(j.Disagree) != 0 || j.Verdict != Unproven {
		t.Errorf("%s %+v %+v", j.Verdict, e, j.Disagree)
	}
	if said := strings.Join(j.Says, "\n"); !strings.Contains(said, "recorded: on average 18.0 min (one row only: no limits)") {
		t.Error(said)
	}
}

// A promise for another batch is judged at that one: (5 + 12·0.4) EUR in tens, (4 + 10.5·0.4) EUR in
// forties, by hand; the records are of tens and say nothing of forties.
func TestPromiseNamesABatch(t *testing.T) {
	cost := "[promise.%]\nlabel = \"x\"\nstudy = \"production\"\nquantity = \"unit-cost\"\nmax = \"9 EUR\"\n"
	r := making(t, strings.Replace(cost, "%", "usual", 1)+strings.Replace(cost, "%", "forty", 1)+"conditions = { batch = 40 }\n"+
		strings.Replace(minutesPromise, "quick", "one", 1)+"conditions = { batch = 1 }\n"+
		strings.Replace(minutesPromise, "quick", "ten", 1)+"conditions = { batch = 10 }\n", "2022-01-03,make,720 min,60\n")
	for name, want := range map[string]struct {
		best       float64
		verdict    Verdict
		conditions string
	}{
		"usual": {5 + 12*0.4, NotMet, "batches of 10"},
		"forty": {4 + 10.5*0.4, Met, "batches of 40"},
		"one":   {30 * 60, NotMet, "batches of 1"},
		"ten":   {12 * 60, Unproven, "batches of 10"},
	} {
		j := r.named(t, name)
		e := j.of(t, Calculated)
		if math.Abs(e.Best-want.best) > 1e-9 || j.Verdict != want.verdict || e.Conditions != want.conditions {
			t.Errorf("%s: %s %+v", name, j.Verdict, e)
		}
		says := strings.Contains(strings.Join(j.Says, "\n"), "says nothing of "+want.conditions)
		recorded := strings.Contains(standsOn(j.Evidence), "recorded")
		if other := name == "forty" || name == "one"; other != says || recorded != (name == "ten") {
			t.Errorf("%s: recorded %v, says %v", name, recorded, j.Says)
		}
	}
	if j := making(t, minutesPromise+"conditions = { batch = 2000000 }\n", "").named(t, "quick"); j.Failed == nil || !strings.Contains(j.Failed.Error(), "want 1 to 1000000") {
		t.Errorf("%v", j.Failed)
	}
}

// Figures of no spread keep the digits of their kind.
func TestDigitsWithoutSpread(t *testing.T) {
	for unit, want := range map[string]string{"EUR": "28.74 EUR", "min": "24.0 min"} {
		dim, v := productionDims["unit-cost"], 28.739318
		if unit == "min" {
			dim, v = productionDims["unit-minutes"], 1440
		}
		for _, spread := range []float64{0, 1e-15} {
			if got := scaleOf(dim, unit, spread).text(v); got != want {
				t.Errorf("%s, want %s", got, want)
			}
		}
	}
}

// A folder without money answers its minutes, and no batch is called the best.
func TestAnswerWithoutMoney(t *testing.T) {
	f := written(t, map[string]string{"product.toml": "name = \"x\"\n", "production.toml": "[step.make]\nminutes = \"30 min\"\nsetup = \"20 min\"\n[work]\nbatch = 10\n"})
	p, err := f.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	a, err := Study(context.Background(), p, "production", Options{Seed: 1})
	if err != nil || len(a.Figures) != 1 || a.Figures[0].Name != "unit-minutes" || a.Figures[0].Best != 32*60 {
		t.Fatalf("%v %+v", err, a)
	}
	if data, err := a.JSON(); err != nil || strings.Contains(string(data), " ?") {
		t.Errorf("%v %s", err, data)
	}
}

// What disagrees in money is printed without the noise of its sums.
func TestMoneyThatDisagreesIsRounded(t *testing.T) {
	j := Judged{Dim: productionDims["unit-cost"], Unit: "EUR", Disagree: []Disagreement{{Difference: 0.30000000000004, Low: 1.0 / 3, High: 2}}}
	if d := j.json().Disagree[0]; d.Difference != 0.3 || d.Low != 0.333333 || d.High != 2 {
		t.Errorf("%+v", d)
	}
}
