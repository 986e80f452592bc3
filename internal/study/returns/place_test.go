package returns

import (
	"context"
	"math"
	"strings"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/statistics/survival"
)

func backRow(day Day, batch string) *Return {
	return &Return{Day: day, Until: day, Count: Exactly(1), Batch: batch, Own: true, Found: Fault, Source: "returned.csv"}
}

// A return that names its batch is one of the batch: its age lies between those of the first and the last sold.
func TestReturnOfBatch(t *testing.T) {
	first, _ := lots("b", 10000, 30)
	last, rows := lots("b", 10040, 30, 20)
	in := Input{Units: append(first, last...), Returns: append(rows, backRow(10100, "b")), Today: 10500}
	r := run(t, in)
	if !r.Known || r.Named != 1 || r.Vague != 1 || r.Batches[0].Back.Best != 2 || r.All.Back.Best != 2 || r.All.Sold.Best != 60 {
		t.Fatalf("known %v, named %d, vague %d, of the batch %v, of all %v of %v", r.Known, r.Named, r.Vague, r.Batches[0].Back, r.All.Back, r.All.Sold)
	}
	for _, l := range r.lives {
		if l.To > l.From && !math.IsInf(l.To, 1) && (l.From != 60*daySeconds || l.To != 100*daySeconds) {
			t.Errorf("age from %v to %v days; want 60 to 100", l.From/daySeconds, l.To/daySeconds)
		}
	}
	at, err := r.Share(Asked{Age: 80 * daySeconds})
	if err != nil {
		t.Fatal(err)
	}
	// At 80 days the return was before or after: the limits hold those of one and of two of 60 with none lost before
	// (Greenwood on the scale of log(−log S): 1 of 60: 0.236 % to 11.24 %; 2 of 60: 0.842 % to 12.67 %; computed independently).
	near(t, "lower limit", at.Low, logLogLimit(1, 60, +1), 1e-9)
	near(t, "upper limit", at.High, logLogLimit(2, 60, -1), 1e-9)
	if said := told(t, r); !strings.Contains(said, "known between limits only") {
		t.Error(said)
	}
	if in.Returns[1].Joined || in.Units[15].Back != nil {
		t.Error("the input was changed")
	}
}

// logLogLimit is a limit of the share of d of n that came back, none having been lost before.
func logLogLimit(d, n, side float64) float64 {
	s := 1 - d/n
	se := math.Sqrt(s * (1 - s) / n)
	return 1 - math.Pow(s, math.Exp(-side*1.959963984540054*se/(s*-math.Log(s))))
}

// One row without serial or batch counts for the whole, and leaves the ages of the others.
func TestLooseReturn(t *testing.T) {
	a, rows := lots("a", 10000, 50, 10, 20, 30, 40, 50, 60)
	b, more := lots("b", 10100, 50, 15, 25)
	loose := backRow(10200, "")
	r := run(t, Input{Units: append(a, b...), Returns: append(append(rows, more...), loose), Today: 10500})
	if !r.Known || r.Loose != 1 || r.All.Back.Best != 9 || r.Own.Back.Best != 9 || r.All.Sold.Best != 100 {
		t.Errorf("known %v, loose %d, %v of %v came back; want 9 of 100, ages known", r.Known, r.Loose, r.All.Back, r.All.Sold)
	}
	if r.Batches[0].Back.Best != 6 || r.Batches[1].Back.Best != 2 || r.Batches[0].Sold.Best != 50 || r.Batches[1].Sold.Best != 50 {
		t.Errorf("batches %v of %v, %v of %v; want 6 and 2 of 50", r.Batches[0].Back, r.Batches[0].Sold, r.Batches[1].Back, r.Batches[1].Sold)
	}
	p, err := r.Page()
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Warnings) == 0 || !strings.HasPrefix(p.Warnings[0].Text, "1 return names neither serial nor batch") {
		t.Errorf("warnings %+v", p.Warnings)
	}
	at, err := r.Share(Asked{})
	if err != nil || at.Best != 0.09 {
		t.Errorf("%+v, %v; want 9 %%", at, err)
	}
}

// A few sold without a serial leave the ages of the others too; where most returns have no unit, ages are not known.
func TestSoldWithoutSerial(t *testing.T) {
	units, rows := lots("a", 10000, 50, 10, 20, 30)
	some := Sale{From: 10050, Until: 10060, Count: Exactly(5), Own: true, Source: "sold.csv:9"}
	r := run(t, Input{Units: units, Sales: []Sale{some}, Returns: rows, Today: 10500})
	if !r.Known || r.All.Sold.Best != 55 || r.Curve.Units != 55 {
		t.Errorf("known %v, %v sold, %d on the curve; want 55", r.Known, r.All.Sold, r.Curve.Units)
	}
	some.Count = Count{100, 150, 200}
	r = run(t, Input{Units: units, Sales: []Sale{some}, Returns: rows, Today: 10500})
	if r.Known || r.Periods == nil {
		t.Errorf("known %v, periods %v; want ages not known", r.Known, r.Periods)
	}
	order := Sale{From: 10000, Until: 10000, Count: Exactly(40), Own: true}
	r = run(t, Input{Sales: []Sale{order}, Returns: []*Return{backRow(10100, ""), backRow(10200, "")}, Today: 10500})
	if r.Known || r.Periods == nil || r.All.Back.Best != 2 {
		t.Errorf("known %v, periods %v; want ages not known of an order list", r.Known, r.Periods)
	}
	told(t, r)
}

// TestLifeTable: where most ages are known between limits, the same is shown in rows of age. All of the batch were sold within 60
// days, so rows are three months wide. 40 sold; of 3 the row is that of the middle of their ages (by hand).
func TestLifeTable(t *testing.T) {
	first, _ := lots("b", 10000, 20)
	last, _ := lots("b", 10060, 20)
	in := Input{Units: append(first, last...), Today: 10460}
	for _, day := range []Day{10070, 10080, 10300} { // 40, 50 and 270 days in the middle
		in.Returns = append(in.Returns, backRow(day, "b"))
	}
	r := run(t, in)
	if r.Table == nil {
		t.Fatal("no life table")
	}
	rows := r.Table.Rows
	if rows[0].To != 3*month || rows[0].Failed != 2 || rows[2].Failed != 1 || rows[0].Entered != 40 {
		t.Errorf("%+v", rows)
	}
	near(t, "survival of the first row", rows[0].Survival, 38.0/40, 1e-12)
	near(t, "of the third", rows[2].Survival, 38.0/40*37/38, 1e-12)
	if said := told(t, r); !strings.Contains(said, "life table") {
		t.Error(said)
	}
}

// Without ages channels are compared by their rates, exactly. 8 of 100 against 2 of 300 for as long: given 10, the probability of 8
// or more in the first is Σ C(10,k) ¼^k ¾^(10−k), k ≥ 8 = 4.158e-4, twice that is p; two revisions are one comparison (by hand).
func TestComparesRates(t *testing.T) {
	in := Input{Today: 11000, Revisions: []string{"A", "B"}}
	sell := func(revision string, n float64) {
		in.Sales = append(in.Sales, Sale{From: 10000, Until: 10000, Count: Exactly(n), Revision: revision, Own: true})
	}
	come := func(revision string, n float64) {
		in.Returns = append(in.Returns, &Return{Day: 10500, Until: 10500, Count: Exactly(n), Revision: revision, Own: true})
	}
	sell("A", 100)
	sell("B", 300)
	come("A", 8)
	come("B", 2)
	r := run(t, in)
	a, b := r.Revisions[0], r.Revisions[1]
	if r.Known || !a.Exact || a.Name != "A" || b.Name != "B" {
		t.Fatalf("%+v", r.Revisions)
	}
	tail := (45*9 + 10*3 + 1) / math.Pow(4, 10)
	near(t, "p", a.P, 2*tail, 1e-9)
	near(t, "p", b.P, 2*tail, 1e-9)
	if said := told(t, r); !strings.Contains(said, "Units of revision A came back at") {
		t.Error(said)
	}
}

// Early returns are forecast by Weibull's distribution, which expects fewer than a constant rate does.
func TestForecastFollowsAges(t *testing.T) {
	s := numeric.NewStream(3, 1)
	var in Input
	in.Today = 12000
	for i := range 2000 {
		u := Unit{Batch: "a", Own: true, Sold: Day(10000 + i/2)}
		age := 2e6 * math.Pow(-math.Log(1-s.Float64()), 1/0.4) // days; shape 0.4
		if day := float64(u.Sold) + age; day <= float64(in.Today) {
			u.Back = &Return{Day: Day(day), Until: Day(day), Count: Exactly(1), Joined: true, Own: true}
			in.Returns = append(in.Returns, u.Back)
		}
		in.Units = append(in.Units, u)
	}
	r := run(t, in)
	if r.Belief.Pattern != survival.Early || r.Model != survival.WeibullAges {
		t.Fatalf("pattern %v (p = %v), model %v; want early, by the distribution", r.Belief.Pattern, r.Belief.Fit, r.Model)
	}
	constant, err := survival.Forecast(context.Background(), r.lives, survival.Constant, r.out(), []float64{0, year}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if of := r.Months[11]; !(of.Mean < 0.7*constant[0].Mean && of.Low <= of.Mean && of.Mean <= of.High) {
		t.Errorf("in a year %+v; want clearly fewer than %v", of, constant[0].Mean)
	}
	if last, ended := r.Ended(); !ended || last != 10999 {
		t.Errorf("last sold %v, ended %v", last, ended)
	}
	if said := told(t, r); !strings.Contains(said, "by the distribution of their ages") || !strings.Contains(said, "The last was sold on") {
		t.Error(said)
	}
}

// What was kept long ago is in doubt unless records_until says so.
func TestWarnsOfOldRecords(t *testing.T) {
	units, rows := lots("a", 10000, 50, 10)
	warned := func(in Input) bool {
		p, err := run(t, in).Page()
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range p.Warnings {
			if strings.HasPrefix(n.Text, "no record since 29 May 1997:") {
				return true
			}
		}
		return false
	}
	in := Input{Units: units, Returns: rows, Today: 10101, Last: 10010, TodayFrom: "default"}
	if !warned(in) {
		t.Error("no warning 91 days after the last record")
	}
	in.Today = 10100
	if warned(in) {
		t.Error("warned 90 days after the last record")
	}
	in.Today, in.TodayFrom = 10101, "product.toml:9"
	if warned(in) {
		t.Error("warned though records_until is written")
	}
}
