package survival

import (
	"math"
	"testing"
)

// The 6-MP arm of Gehan's data; survival and standard error in Kleinbaum and Klein, Survival Analysis, 2nd
// ed. 2005, chapter 2, limits as statistics programs print them (from memory).
func TestKaplanMeier(t *testing.T) {
	c, err := KaplanMeier(leukaemia[0])
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []struct{ age, s, se, low, high float64 }{
		{6, 0.8571, 0.0764, 0.6197, 0.9516}, {7, 0.8067, 0.0869, 0.5631, 0.9228}, {10, 0.7529, 0.0963, 0.5032, 0.8894},
		{13, 0.6902, 0.1068, 0.4316, 0.8491}, {16, 0.6275, 0.1141, 0.3675, 0.8049}, {22, 0.5378, 0.1282, 0.2678, 0.7468},
		{23, 0.4482, 0.1346, 0.1881, 0.6801}, {35, 0.4482, 0.1346, 0.1881, 0.6801},
	} {
		e, err := c.At(want.age, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "survival", exists(t, "survival", e.Survival), want.s, 5e-5)
		near(t, "se", exists(t, "se", e.SE), want.se, 5e-5)
		near(t, "low", exists(t, "low", e.Low), want.low, 5e-5)
		near(t, "high", exists(t, "high", e.High), want.high, 5e-5)
	}
	near(t, "median", exists(t, "median", c.Median()), 23, 0)
	if c.Units != 21 || c.Failures != 9 || c.Last != 35 {
		t.Errorf("%d units, %d failures, last %v", c.Units, c.Failures, c.Last)
	}
}

func TestKaplanMeierEnds(t *testing.T) {
	c, err := KaplanMeier(watched([]float64{0, 2, 3}, []float64{2, 2.5}))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []struct{ age, s float64 }{{0, 0.8}, {1.9, 0.8}, {2, 0.6}, {2.9, 0.6}} { // by hand
		e, _ := c.At(want.age, 0.9)
		near(t, "survival", exists(t, "survival", e.Survival), want.s, 1e-15)
	}
	e, _ := c.At(50, 0.9) // the last unit failed: none is left
	if e.Survival != (Maybe{}) || e.SE.None == "" || e.Low.None == "" || e.High.None == "" {
		t.Errorf("after the last failure %+v", e)
	}
	c, _ = KaplanMeier(watched([]float64{5}, []float64{8}))
	if e, _ = c.At(4, 0.9); e.Survival.Value != 1 || e.SE != (Maybe{}) || e.Low.None == "" {
		t.Errorf("before the first failure %+v", e)
	}
	if e, _ = c.At(8.1, 0.9); e.Survival.None == "" || e.High.None == "" {
		t.Errorf("beyond the last unit %+v", e)
	}
	c, _ = KaplanMeier(watched(nil, []float64{5, 8}))
	if m := c.Median(); m.None == "" {
		t.Errorf("median %+v without a failure", m)
	}
}

// By hand: the units at risk at an age are those that entered before and have not left.
func TestKaplanMeierWithLateEntry(t *testing.T) {
	c, err := KaplanMeier(truncated)
	if err != nil {
		t.Fatal(err)
	}
	want := []Step{{Age: 30, AtRisk: 4}, {Age: 40, AtRisk: 4}, {Age: 70, AtRisk: 6}, {Age: 80, AtRisk: 5}, {Age: 90, AtRisk: 4}}
	if len(c.Steps) != len(want) {
		t.Fatalf("steps %+v", c.Steps)
	}
	s := 1.0
	for i, step := range c.Steps {
		s *= 1 - 1/want[i].AtRisk
		if step.Age != want[i].Age || step.AtRisk != want[i].AtRisk || step.Failed != 1 || math.Abs(step.Survival-s) > 1e-15 {
			t.Errorf("step %+v; want %+v, survival %v", step, want[i], s)
		}
	}
}

func TestKaplanMeierExhausted(t *testing.T) {
	early := append([]Life{Failed(5), {7, 9, 9, 1}}, truncated[3:]...)
	for _, c := range []struct {
		lives []Life
		age   float64
		ok    bool
	}{{early, 5, true}, {truncated, 0, false}, {watched([]float64{2, 3}, nil), 3, false}} {
		curve, err := KaplanMeier(c.lives)
		if err != nil {
			t.Fatal(err)
		}
		if age, ok := curve.Exhausted(); age != c.age || ok != c.ok {
			t.Errorf("%v: %v, %v; want %v, %v", c.lives, age, ok, c.age, c.ok)
		}
	}
}

func TestKaplanMeierRefuses(t *testing.T) {
	_, err := KaplanMeier(inspected)
	refused(t, err, false, "between two inspections")
	for _, c := range []struct {
		life Life
		says string
	}{
		{Life{0, -1, -1, 1}, "age is -1"}, {Life{0, math.NaN(), 3, 1}, "age is NaN"}, {Life{0, 5, 4, 1}, "earlier age first"}, {Life{0, 5, math.NaN(), 1}, "earlier age first"},
		{Life{6, 5, 5, 1}, "watched from 6"}, {Life{5, 5, 5, 1}, "watched from 5"}, {Life{math.NaN(), 5, 5, 1}, "watched"}, {Life{0, 5, 5, 0}, "count is 0"},
	} {
		_, err := KaplanMeier([]Life{c.life})
		refused(t, err, false, c.says)
		_, err = Weibull([]Life{Failed(1), c.life}, 0.95)
		refused(t, err, false, "unit 2: ")
	}
	_, err = KaplanMeier(nil)
	refused(t, err, false, "no units")
	c, _ := KaplanMeier(leukaemia[0])
	_, err = c.At(-1, 0.95)
	refused(t, err, false, "age")
	_, err = c.At(1, 1)
	refused(t, err, false, "confidence")
}
