package production

import (
	"math"
	"strings"
	"testing"
)

// Overheads by hand: 120 units in two years. 85 EUR a month are 85·24/120 = 17 EUR of one, 290 a year
// 290·2/120, 3900 once 3900/120, 34 a batch of 10 3.40, and 1.50 of each.
func TestOverheadsByHand(t *testing.T) {
	in := example(t)
	in.Steps = in.Steps[1:]
	in.Recorded = Recorded{AllGood: Amount{120, 120, 120}, Years: 2}
	for _, o := range [][2]string{{"85 EUR", "month"}, {"290 EUR", "year"}, {"3900 EUR", "once"}, {"34 EUR", "batch"}, {"1.50 EUR", "unit"}} {
		in.Overheads = append(in.Overheads, Overhead{Name: o[1], Amount: value(t, o[0]), Per: o[1]})
	}
	near(t, "overheads", run(t, in).Unit.Overhead, 17+290.*2/120+3900./120+3.4+1.5)

	in.Recorded = Recorded{} // without records only those of a batch and of a unit can be spread
	r := run(t, in)
	near(t, "overheads without records", r.Unit.Overhead, 4.9)
	if got := strings.Join(r.Incomplete, " "); got != "month year once" {
		t.Errorf("incomplete: %s", got)
	}
}

// Of 200 started units solder took 10 to rework and scrapped 20: 170 passed at first. 180 reached the
// test.
func TestYieldsCountWhatReachesAStep(t *testing.T) {
	in := example(t)
	in.Steps[1].Yield = value(t, "0.85")
	in.Recorded = Recorded{Started: Amount{200, 200, 200}, Good: Amount{170, 170, 170},
		Steps: []Counted{{Step: "solder", Rework: 10, Scrap: 20}, {Step: "test", Rework: 90, Scrap: 10}}}
	r := run(t, in)
	if len(r.Yields) != 2 {
		t.Fatalf("%+v", r.Yields)
	}
	solder, test := r.Yields[0], r.Yields[1]
	near(t, "solder", solder.Passed.Best, 0.85)
	if solder.Differs || test.Entered != 180 || !test.Differs {
		t.Errorf("%+v %+v", solder, test)
	}
	near(t, "test", test.Passed.Best, 80./180)
	// Clopper and Pearson 1934: at each limit the tail of the binomial distribution is 2.5 %.
	near3(t, "tail at the lower limit", tail(200, 170, solder.Passed.Low), 0.025)
	near3(t, "tail at the upper limit", tail(200, 30, 1-solder.Passed.High), 0.025)
	if text := whole(t, r); !strings.Contains(text, "correct step.test.yield") {
		t.Error("the step that differs is not named")
	}
}

func TestNothingRecordedAsFaulty(t *testing.T) {
	for n, want := range map[float64]bool{50: false, 51: true} {
		in := example(t)
		in.Recorded = Recorded{Started: Amount{n, n, n}, Good: Amount{n, n, n}}
		if got := strings.Contains(whole(t, run(t, in)), "probably not recorded"); got != want {
			t.Errorf("%g units: %t", n, got)
		}
	}
}

// tail is the probability of k or more of n.
func tail(n, k int, p float64) float64 {
	sum := 0.0
	for i := k; i <= n; i++ {
		a, _ := math.Lgamma(float64(n + 1))
		b, _ := math.Lgamma(float64(i + 1))
		c, _ := math.Lgamma(float64(n - i + 1))
		sum += math.Exp(a - b - c + float64(i)*math.Log(p) + float64(n-i)*math.Log(1-p))
	}
	return sum
}

func near3(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-6 {
		t.Errorf("%s is %g, want %g", what, got, want)
	}
}

// Limits over batch sizes: one rectangular input, 2 min · 1.1 · 0.40 EUR / 0.9 to both sides.
func TestSizesHaveLimits(t *testing.T) {
	for _, s := range run(t, example(t)).Sizes {
		half := 1.959963985 * 2 * 1.1 * 0.4 / 0.9 / math.Sqrt(3)
		if math.Abs(s.High-s.Cost-half) > 1e-6 || math.Abs(s.Cost-s.Low-half) > 1e-6 {
			t.Errorf("%d: %g to %g about %g, want ±%g", s.Units, s.Low, s.High, s.Cost, half)
		}
	}
}
