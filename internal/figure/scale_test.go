package figure

import (
	"math"
	"strings"
	"testing"
	"time"
)

// On Weibull paper the share 1-exp(-1) = 63.2 % stands at 0, and p = 1-exp(-(t/η)^β) is a line of slope β over ln t (IEC 61649:2008; values computed independently).
func TestScalePlaces(t *testing.T) {
	for _, c := range []struct {
		s    Scale
		v, u float64
		ok   bool
	}{{Weibull, 1 - 1/math.E, 0, true}, {Weibull, 0.5, -0.36651292058166435, true}, {Weibull, 0, 0, false}, {Weibull, 1, 0, false}, {Weibull, math.NaN(), 0, false},
		{Log, 1000, 3, true}, {Log, 0, 0, false}, {Log, -1, 0, false}, {Log, 5e-324, 0, false}, {Dates, 1e9, 0, false}, {Linear, math.Inf(1), 0, false}} {
		u, ok := c.s.place(c.v)
		if ok != c.ok || ok && math.Abs(u-c.u) > 1e-12 {
			t.Errorf("scale %d at %g: %g, %v; want %g, %v", c.s, c.v, u, ok, c.u, c.ok)
		}
		if back := c.s.value(u); ok && math.Abs(back-c.v) > 1e-12*math.Abs(c.v) {
			t.Errorf("scale %d: %g goes to %g and back to %g", c.s, c.v, u, back)
		}
	}
}

func TestDateTicks(t *testing.T) {
	day := func(y int, m time.Month, d int) float64 { return days(time.Date(y, m, d, 0, 0, 0, 0, time.UTC)) }
	for _, c := range []struct {
		low, high float64
		want      int
		texts     string
	}{
		{day(2020, 11, 3), day(2024, 2, 1), 6, "2021 2022 2023 2024"},
		{day(2023, 2, 10), day(2024, 1, 5), 5, "Apr 2023,Jul 2023,Oct 2023,Jan 2024"},
		{day(2023, 2, 10), day(2023, 5, 20), 5, "Mar 2023,Apr 2023,May 2023"},
		{day(2024, 2, 27), day(2024, 3, 2), 9, "27 Feb 2024,28 Feb 2024,29 Feb 2024,1 Mar 2024,2 Mar 2024"},
	} {
		var got []string
		for _, k := range dateTicks(c.low, c.high, c.want) {
			got = append(got, k.text)
		}
		if s := strings.Join(got, ","); s != strings.ReplaceAll(c.texts, " 202", " 202") && s != strings.ReplaceAll(c.texts, " ", ",") {
			t.Errorf("ticks of %g..%g: %s, want %s", c.low, c.high, s, c.texts)
		}
	}
}

func TestHourTicks(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      int
		texts     string
	}{
		{0, 24, 7, "0,6,12,18,24"},
		{0, 24, 9, "0,3,6,9,12,15,18,21,24"},
		{0, 24, 3, "0,12,24"},
		{5.1, 6.6, 6, "5:15,5:30,5:45,6:00,6:15,6:30"},
		{23.95, 24, 4, "23:57,23:58,23:59,24:00"},
	} {
		var got []string
		for _, k := range hourTicks(c.low, c.high, c.want) {
			got = append(got, k.text)
		}
		if s := strings.Join(got, ","); s != c.texts {
			t.Errorf("ticks of %g..%g: %s, want %s", c.low, c.high, s, c.texts)
		}
	}
	if low, high := Hours.spanOn(0.5/60, 23.9+5.5/60); low != 0 || high != 24 {
		t.Errorf("a day of minutes spans %g to %g", low, high)
	}
}

// A long trace keeps its highest and its lowest point and grows no file.
func TestLongTraceIsThinned(t *testing.T) {
	var s Series
	for i := range 100000 {
		y := math.Sin(float64(i) / 50)
		if i == 43210 {
			y = 7
		}
		s.X, s.Mid = append(s.X, float64(i)), append(s.Mid, y)
	}
	d := Curve{Series: []Series{s}}.Drawing(640)
	n, top := 0, math.Inf(1)
	for _, op := range d.Ops {
		if l, ok := op.(Line); ok && l.Stroke == strokes[0] {
			n += len(l.Points)
			for _, p := range l.Points {
				top = min(top, p.Y)
			}
		}
	}
	sc, _ := Curve{Series: []Series{s}}.scene()
	sc.y.from, sc.y.to = 270, 20
	if n < 1000 || n > 2600 || math.Abs(top-sc.y.at(7)) > 1e-9 {
		t.Errorf("%d points, top at %g; want at most four a column and the peak at %g", n, top, sc.y.at(7))
	}
}

// A value holds until the next one, on the drawing and in a terminal's row.
func TestStepsHold(t *testing.T) {
	s := Series{X: []float64{0, 10, 20}, Mid: []float64{1, 3, 5}, Step: true}.trace(Linear, Linear, 0)
	for x, want := range map[float64]float64{0: 1, 9.99: 1, 10: 3, 19: 3, 20: 5} {
		if got := s.at(x, s.mid); got != want {
			t.Errorf("at %g: %g, want %g", x, got, want)
		}
	}
	if c := stairs(s.mid); len(c) != 5 || c[1] != (Point{10, 1}) || c[3] != (Point{20, 3}) {
		t.Errorf("corners %v", c)
	}
}

// A build-up's rows begin where the last one ended, and its total holds their sum from 0.
func TestBuildUp(t *testing.T) {
	rows, _ := Bars{Running: true, Rows: []BarRow{{Parts: []float64{2, 1}}, {Parts: []float64{math.NaN()}}, {Parts: []float64{-1}, Low: -2, High: -.5}, {Total: true}}}.stacks()
	if rows[2].base != 3 || rows[2].end != 2 || rows[2].whisker.Low != 1 || rows[3].base != 0 || rows[3].end != 2 || !rows[1].none {
		t.Errorf("%+v", rows)
	}
}
