package survival

import (
	"math"
	"testing"
)

// Gehan's data: expected 19.25 and 10.75, chi-squared 16.79 (Kleinbaum and Klein, Survival Analysis,
// 2nd ed. 2005, chapter 2; from memory).
func TestLogRank(t *testing.T) {
	c, err := LogRank(leukaemia)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "expected 6-MP", c.Expected[0], 19.25, 0.005)
	near(t, "expected placebo", c.Expected[1], 10.75, 0.005)
	near(t, "observed", c.Observed[0], 9, 0)
	near(t, "chi-squared", c.ChiSquared, 16.79, 0.005)
	near(t, "p", c.P, math.Erfc(math.Sqrt(c.ChiSquared/2)), 1e-15) // one degree of freedom: both tails of the normal
	if c.DOF != 1 {
		t.Errorf("%d degrees of freedom", c.DOF)
	}
}

// If all failures come at one age the test is Pearson's of a table of groups by failed, times
// (n−1)/n: the hypergeometric variance in place of the multinomial.
func TestLogRankOfOneAge(t *testing.T) {
	failed, good := []int{3, 9, 1, 4}, []int{17, 11, 9, 30}
	var groups [][]Life
	n, d := 0, 0
	for i := range failed {
		groups = append(groups, []Life{{0, 5, 5, failed[i]}, Good(9)})
		groups[i][1].Count = good[i]
		n, d = n+failed[i]+good[i], d+failed[i]
	}
	pearson := 0.0
	for i := range failed {
		size := float64(failed[i] + good[i])
		expected := size * float64(d) / float64(n)
		off := float64(failed[i]) - expected
		pearson += off*off/expected + off*off/(size-expected)
	}
	c, err := LogRank(groups)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "chi-squared", c.ChiSquared, pearson*float64(n-1)/float64(n), 1e-12)
	if c.DOF != 3 {
		t.Errorf("%d degrees of freedom", c.DOF)
	}
}

// The order of the groups, and a group never at risk, change nothing.
func TestLogRankLaws(t *testing.T) {
	three := [][]Life{leukaemia[0], leukaemia[1][:12], leukaemia[1][12:]}
	a, err := LogRank(three)
	if err != nil {
		t.Fatal(err)
	}
	b, err := LogRank([][]Life{{{100, 101, 101, 1}}, three[2], three[0], three[1]})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "chi-squared", b.ChiSquared, a.ChiSquared, 1e-9)
	near(t, "p", b.P, a.P, 1e-12)
	near(t, "p of two degrees of freedom", a.P, math.Exp(-a.ChiSquared/2), 1e-15)
	if a.DOF != 2 || b.DOF != 2 {
		t.Errorf("%d and %d degrees of freedom", a.DOF, b.DOF)
	}
	same, err := LogRank([][]Life{leukaemia[0], leukaemia[0]})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "chi-squared of alike groups", same.ChiSquared, 0, 1e-12)
	near(t, "p of alike groups", same.P, 1, 1e-6)
}

func TestLogRankRefuses(t *testing.T) {
	_, err := LogRank(leukaemia[:1])
	refused(t, err, false, "one group")
	_, err = LogRank([][]Life{{Good(3)}, {Good(4)}})
	refused(t, err, true, "no unit failed")
	_, err = LogRank([][]Life{{Failed(3)}, {{5, 6, 6, 1}}})
	refused(t, err, true, "no two groups")
	_, err = LogRank([][]Life{{Failed(3)}, nil})
	refused(t, err, false, "no units")
}

// Acute myelogenous leukaemia, weeks, maintained and not: Miller, Survival Analysis, 1981; chi-squared 3.4, p 0.065 (from memory).
func TestLogRankOfMiller(t *testing.T) {
	c, err := LogRank([][]Life{
		watched([]float64{9, 13, 18, 23, 31, 34, 48}, []float64{13, 28, 45, 161}),
		watched([]float64{5, 5, 8, 8, 12, 23, 27, 30, 33, 43, 45}, []float64{16}),
	})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "chi-squared", c.ChiSquared, 3.4, 0.05)
	near(t, "p", c.P, 0.065, 0.0005)
}
