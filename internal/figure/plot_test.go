package figure

import (
	"math"
	"testing"
)

// warm returns the lines and areas of a drawing in the tone that stands for outside.
func warm(d Drawing) (lines []Line, areas []Area) {
	for _, op := range d.Ops {
		switch op := op.(type) {
		case Line:
			if op.Stroke.Role == Over {
				lines = append(lines, op)
			}
		case Area:
			if op.Fill == Over {
				areas = append(areas, op)
			}
		}
	}
	return lines, areas
}

func TestStripCutsIntervalsAtTheBound(t *testing.T) {
	s := Strip{Min: at(-1), Max: at(1), Marks: []Mark{{Best: 0, Low: -2, High: 1.5}}}
	d := s.Drawing(420)
	a := stripAxis(tidy(s.Marks), newBound(s.Min, s.Max), margin, 420-margin)
	lines, _ := warm(d)
	if len(lines) != 2 {
		t.Fatalf("%d warm lines, want one on each side", len(lines))
	}
	for i, want := range [][2]float64{{-2, -1}, {1, 1.5}} {
		p := lines[i].Points
		if p[0].X != a.at(want[0]) || p[1].X != a.at(want[1]) || lines[i].Stroke.Width <= inside {
			t.Errorf("warm line %v, want from %g to %g and thick", lines[i], a.at(want[0]), a.at(want[1]))
		}
	}
}

func TestStripEnds(t *testing.T) {
	count := func(s Strip) (arrows, tails int) {
		d := s.Drawing(420)
		for _, op := range d.Ops {
			switch op := op.(type) {
			case Area:
				if len(op.Points) == 3 && op.Outline == (Stroke{}) {
					arrows++
				}
			case Line:
				if op.Stroke.Dash > 0 {
					tails++
				}
			}
		}
		return arrows, tails
	}
	for name, c := range map[string]struct {
		mark          Mark
		arrows, tails int
	}{
		"on the axis":         {Mark{Best: 1, Low: 0.5, High: 1.5}, 0, 0},
		"interval beyond":     {Mark{Best: 1, Low: 0.5, High: 400}, 1, 0},
		"beyond on both":      {Mark{Best: 1, Low: -400, High: 400}, 2, 0},
		"best beyond":         {Mark{Best: 400, Low: 399, High: 401}, 2, 0}, // its own arrow, drawn over the interval's
		"open above":          {Mark{Best: 1, Low: 0.5, OpenHigh: true}, 0, 1},
		"open, not a number":  {Mark{Best: 1, Low: math.Inf(-1), High: math.NaN()}, 0, 2},
		"without any width":   {Mark{Best: 1, Low: 1, High: 1}, 0, 0},
		"limits crossed over": {Mark{Best: 1, Low: 1.4, High: 0.2}, 0, 0},
	} {
		if arrows, tails := count(Strip{Max: at(2), Marks: []Mark{c.mark}}); arrows != c.arrows || tails != c.tails {
			t.Errorf("%s: %d arrows and %d tails, want %d and %d", name, arrows, tails, c.arrows, c.tails)
		}
	}
}

func TestBins(t *testing.T) {
	values := []float64{math.NaN(), math.Inf(1)}
	for i := range 1000 {
		values = append(values, float64(i*i%997)/1000)
	}
	sum, bins := 0.0, Bins(values)
	for i, b := range bins {
		sum += b.Count
		if i > 0 && b.Low != bins[i-1].High {
			t.Errorf("gap below bin %d", i)
		}
		n := 0.0
		for _, v := range values {
			if v >= b.Low && v < b.High {
				n++
			}
		}
		if n != b.Count {
			t.Errorf("bin %g..%g counts %g, holds %g", b.Low, b.High, b.Count, n)
		}
	}
	if sum != 1000 || len(bins) < 8 || len(bins) > 60 {
		t.Errorf("%g values in %d bins", sum, len(bins))
	}
	if b := Bins([]float64{5, 5, 5}); len(b) == 0 || b[0].Low > 5 || b[len(b)-1].High <= 5 {
		t.Errorf("equal values: %v", b)
	}
	if Bins(nil) != nil || Bins([]float64{math.NaN()}) != nil {
		t.Error("bins of nothing")
	}
}

func TestDistributionCutsColumnsAtTheBound(t *testing.T) {
	d := Distribution{Quantity: "x", Bins: []Bin{{0, 2, 1}, {2, 4, 3}}, Max: at(3)}.Drawing(640)
	_, areas := warm(d)
	if len(areas) != 1 {
		t.Fatalf("%d warm columns, want the upper half of the second", len(areas))
	}
	var whole []Point
	for _, op := range d.Ops {
		if a, ok := op.(Area); ok && a.Fill == Bar {
			whole = a.Points // the last one: the lower half
		}
	}
	if a, b := areas[0].Points[0].X, whole[1].X; a != b {
		t.Errorf("warm part begins at %g, the other ends at %g", a, b)
	}
}

// JCGM 100:2008, 5.1.2: variances add, so that 3 and 4 pool to 5.
func TestBudgetPoolsTheRest(t *testing.T) {
	b := Budget{Most: 2, Lines: []BudgetLine{{Name: "c", Share: .09, Contribution: 3}, {Name: "a", Share: .75, Contribution: 9}, {Name: "b", Share: .16, Contribution: 4}, {Name: "bad", Share: math.NaN()}}}
	got := b.Sorted()
	if len(got) != 2 || got[0].Name != "a" || got[1].Name != "the other 2" || got[1].Contribution != 5 || got[1].Share != .25 {
		t.Errorf("%+v", got)
	}
	if b.Lines[0].Name != "c" {
		t.Error("the caller's lines were reordered")
	}
}

func TestCurveIsWarmFromWhereItCrosses(t *testing.T) {
	c := Curve{Series: []Series{{X: []float64{0, 10}, Mid: []float64{0, 10}}}, Max: []Point{{0, 5}}}
	d := c.Drawing(640)
	s, _ := c.scene()
	lines, _ := warm(d)
	if len(lines) == 0 {
		t.Fatal("nothing is warm")
	}
	var frame Line // the axis below: the widest soft line
	for _, op := range d.Ops {
		if l, ok := op.(Line); ok && l.Stroke.Role == Soft && len(l.Points) == 2 && (frame.Points == nil || l.Points[1].X-l.Points[0].X > frame.Points[1].X-frame.Points[0].X) {
			frame = l
		}
	}
	s.x.from, s.x.to = frame.Points[0].X, frame.Points[1].X
	first, last := lines[0].Points[0].X, lines[0].Points[len(lines[0].Points)-1].X
	if math.Abs(first-s.x.at(5)) > 1e-9 || last != s.x.at(10) {
		t.Errorf("warm from %g to %g, want %g to %g", first, last, s.x.at(5), s.x.at(10))
	}
}

func TestCurveBoundMayBend(t *testing.T) {
	p := newPath([]Point{{0, 0}, {10, 10}, {20, 0}, {15, 7}, {math.NaN(), 1}}, Linear, Linear)
	for x, want := range map[float64]float64{-5: 0, 0: 0, 5: 5, 10: 10, 15: 5, 20: 0, 99: 0} {
		if got := p.at(x); got != want {
			t.Errorf("at %g: %g, want %g", x, got, want)
		}
	}
}
