package production

import (
	"strings"
	"testing"
)

func took(minutes float64) Amount { return Amount{minutes * 60, minutes * 60, minutes * 60} }

// hours are batches of 30 units, with the minutes of one good unit.
func hours(each ...float64) (rows []Hours) {
	for i, m := range each {
		day := "2024-0" + string(rune('1'+i)) + "-01"
		rows = append(rows, Hours{Day: day, Until: day, Time: took(30 * m), Units: Amount{30, 30, 30}, From: "records/hours.csv:2"})
	}
	return rows
}

// The steps take 20.2/0.9 = 22.4 min. Of two batches the t interval is ±12.706·s/√2 (t of 0.975 for
// one degree of freedom: 12.706, common tables), with s = 0.2/√2 here: ±1.2706 min. One batch has none.
func TestHoursAgainstSteps(t *testing.T) {
	for name, c := range map[string]struct {
		rows []Hours
		open string
		off  bool
		said string
	}{
		"one row":     {hours(30), "one row only", false, "The hours recorded give 30.0 min (one row only: no limits)."},
		"all alike":   {hours(30, 30, 30), "rows of no spread", false, "30.0 min (rows of no spread: no limits)"},
		"two batches": {hours(29.9, 30.1), "", true, "The hours recorded disagree: they give 30.0 min (28.7 min to 31.3 min)."},
		"in accord":   {hours(22, 22.8), "", false, "The hours recorded give 22.4 min ("},
	} {
		t.Run(name, func(t *testing.T) {
			in := example(t)
			n := float64(30 * len(c.rows))
			in.Recorded = Recorded{Good: Amount{n, n, n}, Started: Amount{n, n, n}, AllGood: Amount{n, n, n}, Years: 1, Hours: c.rows}
			r := run(t, in)
			rec := r.Recorded
			if rec.TimeOpen != c.open || rec.TimeDisagrees() != c.off {
				t.Errorf("%+v", rec)
			}
			text := whole(t, r)
			if !strings.Contains(text, c.said) || c.off != strings.Contains(text, "correct the minutes of the steps") {
				t.Error(text)
			}
			if c.open != "" && !strings.Contains(text, "min "+c.open+": no limits") {
				t.Errorf("the table does not say why: %s", text)
			}
		})
	}
}

// A row that is a range has limits of its own.
func TestOneRowOfARange(t *testing.T) {
	in := example(t)
	in.Recorded = Recorded{Good: Amount{30, 30, 30}, Hours: hours(30)}
	in.Recorded.Hours[0].Time = Amount{30 * 30 * 60, 30 * 28 * 60, 30 * 32 * 60}
	rec := run(t, in).Recorded
	if rec.TimeOpen != "" || !rec.TimeDisagrees() {
		t.Errorf("%+v", rec)
	}
	near(t, "low", rec.Time.Low, 28*60)
}

// A cost of which the time has no limits has none, and nothing disagrees with it.
func TestCostOfOneRowHasNoLimits(t *testing.T) {
	in := example(t)
	in.Recorded = Recorded{Good: Amount{30, 30, 30}, Hours: hours(60), Parts: []Paid{{Amount{120, 120, 120}, "EUR", false, "booked", "records/spent.csv:2"}}}
	r := run(t, in)
	rec := r.Recorded
	near(t, "cost", rec.Cost.Best, 4+60*0.4)
	if rec.CostOpen != "one row only" || rec.Disagrees() || !strings.Contains(whole(t, r), "28.00 EUR (one row only: no limits)") {
		t.Errorf("%+v", rec)
	}
}

// Units that are only known to be sold were seen passing no test.
func TestUnitsThatWereNotCountedPassedNoTest(t *testing.T) {
	in := example(t)
	in.Recorded = Recorded{Good: Amount{1000, 900, 1100}, AllGood: Amount{1000, 900, 1100}, Years: 3}
	if text := whole(t, run(t, in)); strings.Contains(text, "passed at first") {
		t.Error(text)
	}
	in.Recorded.Started = Amount{1000, 900, 1100}
	if text := whole(t, run(t, in)); !strings.Contains(text, "All of at least 900 units are recorded as passed at first") {
		t.Error(text)
	}
}

// Another batch than the usual one: 20 min of set-up go over 40 units instead of 10, by hand.
func TestAtAnotherBatch(t *testing.T) {
	in := example(t)
	in.At = 40
	r := run(t, in)
	near(t, "minutes", r.Quantities["unit-minutes"].Best, (10*1.1+20*1.1/40+5+0.2*10)*60/0.9)
	if r.Batch != 40 || r.IsUsualBatch() {
		t.Errorf("batch %d", r.Batch)
	}
	in.Learning = value(t, "0.8")
	if learnt := run(t, in); !(learnt.Unit.Time < r.Unit.Time) {
		t.Errorf("larger batches learn: %g s, without %g s", learnt.Unit.Time, r.Unit.Time)
	}
}

// A quote that pays from its minimum order of 30 on pays below it too: at 10 units it saves, by hand,
// of a started unit 0.44·10 + 8.80/10 − 3 − 10/30 EUR.
func TestBelowTheMinimumOrder(t *testing.T) {
	in := example(t)
	in.Quotes = []Quote{{Name: "house", Setup: value(t, "10 EUR"), Each: value(t, "3 EUR"), Minimum: 30, Replaces: []string{"solder"}}}
	r := run(t, in)
	near(t, "saving", r.Choices[0].Saves.Best, (4.4+0.88-3-10.0/30)/0.9)
	if text := whole(t, r); !strings.Contains(text, "Below 30 the minimum order counts, and at 10 it already pays.") || strings.Contains(text, "units on") {
		t.Error(text)
	}
	in.Batch = value(t, "40")
	if text := whole(t, run(t, in)); !strings.Contains(text, "It pays from the minimum order of 30 on.") {
		t.Error(text)
	}
}

// Without any money there are minutes, and nothing is printed as a sum.
func TestMinutesWithoutMoney(t *testing.T) {
	in := Input{Week: value(t, "20 h"), Steps: []Step{{Name: "make", Minutes: value(t, "30 min"), Setup: value(t, "20 min")}}}
	r := run(t, in)
	text := whole(t, r)
	if strings.Contains(text, " ?") || strings.Contains(text, "within 1 %") || !strings.Contains(text, "It takes 50.0 min") {
		t.Error(text)
	}
	p, err := r.Page()
	if err != nil || len(p.Figures) != 1 || len(p.Tables) != 1 || len(p.Lacks) < 3 {
		t.Errorf("%v, %d figures, %d tables, lacks %v", err, len(p.Figures), len(p.Tables), p.Lacks)
	}
}

// One size alone is no comparison.
func TestOneSizeIsNotCompared(t *testing.T) {
	in := example(t)
	in.Batch = value(t, "1")
	in.Recorded = Recorded{AllGood: Amount{2, 2, 2}, Years: 2}
	if text := whole(t, run(t, in)); strings.Contains(text, "not looked at") || strings.Contains(text, "cheapest") {
		t.Error(text)
	}
}
