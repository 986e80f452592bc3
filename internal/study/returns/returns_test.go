package returns

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
)

func run(t testing.TB, in Input) *Result {
	t.Helper()
	r, err := Run(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.6g; want %.6g ± %.2g", what, got, want, tolerance)
	}
}

// lots makes units of a batch sold on a day, of which some came back at ages in days.
func lots(batch string, sold Day, count int, ages ...int) (units []Unit, rows []*Return) {
	for i := range count {
		u := Unit{Batch: batch, Revision: "A", Own: true, Sold: sold, Basis: "booked"}
		if i < len(ages) {
			day := sold + Day(ages[i])
			u.Back = &Return{Day: day, Until: day, Count: Exactly(1), Found: Fault, Reason: "crack", Own: true, Joined: true, Basis: "booked"}
			rows = append(rows, u.Back)
		}
		units = append(units, u)
	}
	return units, rows
}

// TestGehan: remission of leukaemia under 6-MP, weeks; Freireich et al., Blood 21 (1963); Kaplan-Meier values as printed in
// Kleinbaum and Klein, Survival Analysis, 3rd ed. 2012, p. 67 (from memory): S(6) .8571, S(10) .7529, S(13) .6902, S(16) .6275, S(22) .5378, S(23) .4482.
func TestGehan(t *testing.T) {
	const week, start = 7, Day(10000)
	in := Input{Today: start + 400*week, Revision: "A"}
	for _, w := range []int{6, 6, 6, 7, 10, 13, 16, 22, 23} {
		u, rows := lots("b", start, 1, w*week)
		in.Units, in.Returns = append(in.Units, u...), append(in.Returns, rows...)
	}
	for _, w := range []int{6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35} { // censored by the day of sale, counted back from today
		u, _ := lots("b", in.Today-Day(w*week), 1)
		in.Units = append(in.Units, u...)
	}
	r := run(t, in)
	if !r.Known {
		t.Fatal("ages are not known; want known")
	}
	for _, c := range []struct{ weeks, survival float64 }{{6, .8571}, {10, .7529}, {13, .6902}, {16, .6275}, {22, .5378}, {23, .4482}} {
		at, err := r.Share(Asked{Age: c.weeks * week * daySeconds})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "share by age", 1-at.Best, c.survival, 0.00005)
		if !(at.Low < at.Best && at.Best < at.High) || at.Carried {
			t.Errorf("at %v weeks: %+v; want limits around it, observed", c.weeks, at)
		}
	}
}

// TestNoReturns: 0 of 100; upper limit 1 − 0.025^(1/100) = 3.62 %, by the definition of Clopper and Pearson's limits.
func TestNoReturns(t *testing.T) {
	units, _ := lots("b", 10000, 100)
	r := run(t, Input{Units: units, Today: 10365})
	near(t, "upper limit", r.All.Share.High, 0.03622, 0.00001)
	at, err := r.Share(Asked{Age: 200 * daySeconds})
	if err != nil || at.Best != 0 {
		t.Fatalf("%+v, %v; want 0", at, err)
	}
	near(t, "upper limit by age", at.High, 0.03622, 0.00001)
	// 100 units for 365 days, none: upper limit −ln(0.025)/T = 3.689 in 99.93 unit-years (chi-squared of 2 degrees of freedom).
	near(t, "upper rate", r.All.PerSecond.High*year, 3.6889/99.932, 1e-5)
	told(t, r)
}

func told(t *testing.T, r *Result) string {
	t.Helper()
	p, err := r.Page()
	if err != nil {
		t.Fatal(err)
	}
	said := strings.Join(p.Answer, " ")
	for _, table := range p.Tables {
		for _, row := range table.Rows {
			said += " " + strings.Join(row, " ")
		}
	}
	for _, bad := range []string{"NaN", "Inf", "failed "} {
		if strings.Contains(said, bad) && bad != "failed " {
			t.Errorf("%q in the page: %s", bad, said)
		}
	}
	return said
}

// TestEdges: what is hardly anything, or everything, is answered.
func TestEdges(t *testing.T) {
	one, _ := lots("b", 10000, 1)
	all, rows := lots("b", 10000, 3, 1, 50, 70)
	same, sameRows := lots("b", 10000, 2, 0)
	for name, in := range map[string]Input{
		"nothing": {Today: 10000}, "one": {Units: one, Today: 10100}, "sold today": {Units: one, Today: 10000},
		"all came back": {Units: all, Returns: rows, Today: 10100}, "on the day": {Units: same, Returns: sameRows, Today: 10000},
		"returns without sales": {Returns: []*Return{{Day: 1, Until: 2, Count: Exactly(2)}}, Today: 5},
	} {
		r := run(t, in)
		told(t, r)
		for _, a := range []float64{0, year, 100 * year} {
			for _, fault := range []bool{false, true} {
				if at, err := r.Share(Asked{Age: a, Fault: fault}); err == nil && !(0 <= at.Low && at.Low <= at.Best && at.Best <= at.High && at.High <= 1) {
					t.Errorf("%s, age %v: %+v; want 0 ≤ low ≤ best ≤ high ≤ 1", name, a, at)
				}
			}
		}
	}
}

// TestCoarse: 900..1300 sold, remembered; 5..9 came back. The limits are those of 5 of 1300 below, 9 of 900 above.
// Clopper-Pearson 5/1300: 0.00125, 9/900: 0.01890 (computed independently, by bisection of the binomial sum).
func TestCoarse(t *testing.T) {
	in := Input{
		Sales:   []Sale{{From: 18628, Until: 18992, Count: Count{900, 1100, 1300}, Own: true, Basis: "remembered"}},
		Returns: []*Return{{Day: 18700, Until: 19300, Count: Count{5, 7, 9}, Own: true, Basis: "remembered"}},
		Today:   19400,
	}
	r := run(t, in)
	if r.Known || r.All.Basis != "remembered" {
		t.Errorf("known %v, basis %q; want ages not known, remembered", r.Known, r.All.Basis)
	}
	near(t, "lower limit", r.All.Share.Low, binomialLow(5, 1300), 1e-7)
	near(t, "upper limit", r.All.Share.High, 1-binomialLow(900-9, 900), 1e-7)
	young, err := r.Share(Asked{Age: 5 * year})
	if err != nil || !young.Carried {
		t.Errorf("five years: %+v, %v; want it carried on", young, err)
	}
	old, err := r.Share(Asked{Age: year})
	if err != nil || old.Carried || old.Low != 0 || old.High != r.All.Share.High {
		t.Errorf("one year, all older: %+v, %v; want 0 to the limit of all", old, err)
	}
	if said := told(t, r); !strings.Contains(said, "900 to 1,300 units") {
		t.Error(said)
	}
}

// binomialLow solves P(X ≥ k | n, p) = 0.025 for p by bisection.
func binomialLow(k, n int) float64 {
	tail := func(p float64) float64 {
		sum, term := 0.0, math.Pow(1-p, float64(n))
		for i := range k {
			sum += term
			term *= p / (1 - p) * float64(n-i) / float64(i+1)
		}
		return 1 - sum
	}
	if n-k < k { // by the other tail, which does not lose digits
		tail = func(p float64) float64 {
			sum, term := 0.0, math.Pow(p, float64(n))
			for i := range n - k + 1 {
				sum += term
				term *= (1 - p) / p * float64(n-i) / float64(i+1)
			}
			return sum
		}
	}
	low, high := 1e-9, 1-1e-9
	for range 100 {
		if mid := (low + high) / 2; tail(mid) < 0.025 {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

func TestAcceptance(t *testing.T) {
	units, rows := lots("b", 10000, 50, 100, 800)
	two := &Value{Quantity: quantity.Quantity{Value: 2 * year, Low: 2 * year, High: 2 * year, Dim: quantity.Time}}
	r := run(t, Input{Units: units, Returns: rows, Today: 12000, AcceptedFor: two})
	if r.All.Back.Best != 2 || r.All.InTime.Best != 1 || r.Curve.Failures != 1 || r.Curve.Last > 2*year {
		t.Errorf("back %v, in time %v, on the curve %d up to %v years; want 2, 1, 1 up to 2", r.All.Back, r.All.InTime, r.Curve.Failures, r.Curve.Last/year)
	}
	if len(r.Months) != 0 || r.NoComing == "" {
		t.Error("returns are to come after acceptance has ended")
	}
}

// TestFindsBatch: one of 20 batches comes back ten times as often.
func TestFindsBatch(t *testing.T) {
	var in Input
	in.Today = 12000
	for b := range 20 {
		name := "b" + string(rune('a'+b))
		ages := []int{100 + 7*b}
		if b == 12 {
			ages = []int{50, 90, 110, 140, 170, 200, 230, 260, 290, 320}
		}
		u, rows := lots(name, Day(10000+30*b), 50, ages...)
		in.Batches, in.Units, in.Returns = append(in.Batches, name), append(in.Units, u...), append(in.Returns, rows...)
	}
	r := run(t, in)
	if b := r.Found.Best; b == nil || b.First != 12 || b.Last != 12 || b.P > 0.01 {
		t.Fatalf("found %+v; want batch 12", b)
	}
	if said := told(t, r); !strings.Contains(said, "batch bm") || !strings.Contains(said, "40 of them are still out") {
		t.Error(said)
	}
	if got := r.Batches[12].P; !(got < 0.01) {
		t.Errorf("adjusted p of the batch is %v; want below 0.01", got)
	}
	if p, _ := r.Page(); len(p.Cautions) == 0 {
		t.Error("no caution about calling back")
	}
}

func TestRefuses(t *testing.T) {
	early, rows := lots("b", 10000, 1, 5)
	rows[0].Day = 9000
	late, _ := lots("b", 10000, 1)
	for _, c := range []struct {
		in   Input
		want string
	}{
		{Input{Units: early, Today: 11000}, "returns: : came back before it was sold; want the day of its sale or later"},
		{Input{Units: late, Today: 9000}, "returns: unit 1 is sold after today; want today or earlier"},
		{Input{Confidence: math.NaN()}, "returns: confidence is NaN; want more than 0 and less than 1"},
		{Input{Sales: []Sale{{Count: Count{2, 1, 3}, Source: "sold.csv:2"}}}, "returns: sold.csv:2: count 2..3; want 0 to 1e9, the lower first"},
	} {
		if _, err := Run(context.Background(), c.in); err == nil || err.Error() != c.want {
			t.Errorf("%v; want %s", err, c.want)
		}
	}
}

// many makes units as a maker of long standing has them, of which some 5 % came back.
func many(n int) Input {
	in := Input{Today: 20000, Seed: 1}
	s := numeric.NewStream(1, 2)
	reasons := []string{"crack", "display", "water", "wire", "fuse"}
	for b := range 100 {
		name := "b" + string(rune('0'+b/10)) + string(rune('0'+b%10))
		in.Batches = append(in.Batches, name)
		for range n / 100 {
			u := Unit{Batch: name, Revision: "A", Channel: "own", Own: true, Sold: Day(16000 + 35*b + int(30*s.Float64())), Basis: "booked"}
			if s.Float64() < 0.05 {
				day := u.Sold + Day(s.Float64()*400)
				if day <= in.Today {
					u.Back = &Return{Day: day, Until: day, Count: Exactly(1), Found: Fault, Reason: reasons[int(5*s.Float64())], Joined: true}
					in.Returns = append(in.Returns, u.Back)
				}
			}
			in.Units = append(in.Units, u)
		}
	}
	return in
}

func TestSameBits(t *testing.T) {
	a, b := run(t, many(5000)), run(t, many(5000))
	if a.Found.Best.P != b.Found.Best.P || a.Fit.Shape != b.Fit.Shape || !slices.Equal(a.Months, b.Months) {
		t.Error("the same input gives other figures")
	}
}

// BenchmarkReturns is to stay below a second on two cores: 10^5 units, 5 % of which came back.
func BenchmarkReturns(b *testing.B) {
	in := many(100000)
	for b.Loop() {
		r, err := Run(context.Background(), in)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := r.Page(); err != nil {
			b.Fatal(err)
		}
	}
}
