package figure

import (
	"math"
	"slices"
	"testing"
)

// long is a line of many points with one spike that no window over it may lose.
func long(n int) Curve {
	s := Series{Name: "battery"}
	for i := range n {
		x := float64(i) / float64(n-1) * 24
		y := 13 + math.Sin(x)
		if i == n/2 {
			y = 99
		}
		s.X, s.Mid = append(s.X, x), append(s.Mid, y)
		s.Low, s.High = append(s.Low, y-0.5), append(s.High, y+0.5)
	}
	return Curve{X: Axis{Name: "time", Unit: "h"}, Y: Axis{Name: "voltage", Unit: "V"}, Series: []Series{s}}
}

func TestAWindowKeepsWhatStandsOut(t *testing.T) {
	c := long(100_000)
	w, ok := c.Window(0, 0, 640)
	if !ok || len(w.Readings) != 1 {
		t.Fatal("no window")
	}
	r := w.Readings[0]
	if n := len(r.At); n > MostPoints || n < MostPoints/4 {
		t.Errorf("%d points of a line", n)
	}
	if !slices.Contains(r.Y, "99 V (98.5 V to 99.5 V)") {
		t.Error("the spike is lost")
	}
	if !slices.IsSorted(r.At) || r.At[0] != w.From || r.At[len(r.At)-1] != w.To || w.Low != 0 || w.High != 24 {
		t.Errorf("from %v to %v px, %v to %v", r.At[0], r.At[len(r.At)-1], w.Low, w.High)
	}
	if len(c.Series[0].X) != 100_000 {
		t.Error("the curve itself was thinned")
	}
	// A part is drawn anew from all points that are in it.
	w, ok = c.Window(3, 3.05, 640)
	if !ok || math.Abs(w.Low-3) > 1e-12 || math.Abs(w.High-3.05) > 1e-12 {
		t.Fatalf("%v to %v", w.Low, w.High)
	}
	if n, want := len(w.Readings[0].At), 100_000*5/100/24+2; n < want-1 || n > want+1 {
		t.Errorf("%d points of %d", n, want)
	}
}

// A line between two points is cut where it passes the window's edge: by similar triangles.
func TestAWindowCutsALine(t *testing.T) {
	c := Curve{Series: []Series{{X: []float64{0, 10}, Mid: []float64{0, 100}}, {X: []float64{0, 10}, Mid: []float64{7, 8}, Step: true}}}
	w, ok := c.Window(2, 4, 640)
	if !ok || !slices.Equal(w.Readings[0].X, []string{"2", "4"}) || !slices.Equal(w.Readings[0].Y, []string{"20", "40"}) || !slices.Equal(w.Readings[1].Y, []string{"7", "7"}) {
		t.Errorf("%v", w.Readings)
	}
	if _, ok := c.Window(20, 30, 640); ok {
		t.Error("there is something beyond the end")
	}
}

func TestTheNumbersOfACurve(t *testing.T) {
	c := Curve{X: Axis{Name: "day", Scale: Dates}, Y: Axis{Name: "charge", Unit: "%"}, Series: []Series{{Name: "one", X: []float64{0, 31}, Mid: []float64{50.25, math.NaN()}, Low: []float64{40, math.Inf(-1)}}}}
	got := c.CSV()
	want := [][]string{{"series", "day", "charge, %", "low", "high"}, {"one", "1 January", "50.25", "40", ""}, {"one", "1 February", "", "", ""}}
	if !slices.EqualFunc(got, want, slices.Equal[[]string]) {
		t.Errorf("%q", got)
	}
}
