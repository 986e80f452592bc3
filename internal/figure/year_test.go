package figure

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Gauss's formula: the signed areas of the outlines add up to the number of cells, with holes taken away; and by the non-zero rule every cell is in.
func TestOutlinesHoldTheirCells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		columns, rows := rapid.IntRange(1, 7).Draw(t, "columns"), rapid.IntRange(1, 7).Draw(t, "rows")
		cells := rapid.SliceOfN(rapid.Bool(), columns*rows, columns*rows).Draw(t, "cells")
		area, want := 0, 0
		for _, path := range outlines(columns, rows, func(x, y int) bool { return cells[y*columns+x] }) {
			for i, p := range path {
				q := path[(i+1)%len(path)]
				area += p[0]*q[1] - q[0]*p[1]
				if (p[0] == q[0]) == (p[1] == q[1]) {
					t.Fatalf("%v to %v is neither level nor upright", p, q)
				}
			}
		}
		for _, in := range cells {
			if in {
				want += 2
			}
		}
		if area != want {
			t.Fatalf("area %d, want %d", area, want)
		}
	})
}

// The layers of ink add up: what shines through is the product of what each lets through.
func TestGlazesAddUp(t *testing.T) {
	through := 1.0
	for k := range inks {
		through *= 1 - glaze(k)
		if got := 1 - through; math.Abs(got-covered(k)) > 1e-12 {
			t.Errorf("tone %d covers %g, want %g", k, got, covered(k))
		}
	}
}

func TestCarpetCountsHours(t *testing.T) {
	c := Carpet{Days: 2, PerDay: 4, Values: []float64{1, 5, 6, math.NaN(), 1, 1, 5.5, 5}, Level: at(5), Axis: Axis{Unit: "V"}}
	f, ok := c.cut().field()
	if !ok || f.above != 12 || f.blank != 6 || f.least != 1 || f.most != 6 {
		t.Errorf("%v above %g h, blank %g h, %g..%g; want 12, 6, 1..6", ok, f.above, f.blank, f.least, f.most)
	}
	if d := c.Drawing(0); !strings.Contains(d.Description, "above 5 V: 12 h") {
		t.Error(d.Description)
	}
	c.Marked, c.LevelText = []bool{true, false, true, true}, "gassing"
	if f, _ := c.cut().field(); f.above != 12 || !f.over[0] || f.over[1] || !f.over[2] || f.over[3] || f.over[6] {
		t.Errorf("%g h outlined: %v; want those marked, 12 h, where there is a value", f.above, f.over)
	}
	if d := c.Drawing(0); !strings.Contains(d.Description, "Outlined: gassing: 12 h") {
		t.Error(d.Description)
	}
}

// A year of the day's values stays small enough for a page.
func TestCarpetIsSmall(t *testing.T) {
	d := plots()["carpet"].Drawing(1200)
	if n := len(d.Inline()); n > 100_000 {
		t.Errorf("%d bytes, want at most 100,000", n)
	}
}

func TestCalendar(t *testing.T) {
	for last, want := range map[int]int{365: 59, 366: 60} {
		if parts, ok := calendar(0, last); !ok || len(parts) != 12 || parts[1].to != want || parts[11].to != last {
			t.Errorf("%d days: %v", last, parts)
		}
	}
	if parts, _ := calendar(250, 310); len(parts) != 3 || parts[0] != (part{"Sep", 250, 273}) || parts[2] != (part{"Nov", 304, 310}) {
		t.Errorf("%v", parts)
	}
}

// Between crossing totals a gap is filled only where the upper is above: two triangles of half the square each way.
func TestGapIsFilledWhereTheUpperIsAbove(t *testing.T) {
	s, _ := Totals{X: []float64{0, 100, 200}, Curves: []Total{{Sum: []float64{0, 10, 0}}, {Sum: []float64{5, 5, 5}}}, Gaps: []Gap{{Upper: 0, Lower: 1}, {Upper: 1, Lower: 0}}}.scene()
	s.x.from, s.x.to, s.y.from, s.y.to = s.x.low, s.x.high, s.y.low, s.y.high
	size := func(g gapSum) (sum float64) {
		for _, a := range s.areas(g) {
			for i, p := range a {
				q := a[(i+1)%len(a)]
				sum += (p.X*q.Y - q.X*p.Y) / 2
			}
		}
		return math.Abs(sum)
	}
	for i, want := range []float64{250, 250} {
		if got := size(s.gaps[i]); math.Abs(got-want) > 1e-9 || s.gaps[0].last != -5 {
			t.Errorf("gap %d: %g, want %g", i, got, want)
		}
	}
}

// A front by definition: no point of the group is at least as good on both measures and better on one.
func TestFrontIsNotBettered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(1, 9)
		trade := Tradeoff{Front: true, MoreX: rapid.Bool().Draw(t, "more x"), MoreY: rapid.Bool().Draw(t, "more y")}
		for _, group := range []string{"a", "b"} {
			p := TradePath{Group: group}
			for range rapid.IntRange(1, 6).Draw(t, "n") {
				p.Points = append(p.Points, TradePoint{X: math.Round(v.Draw(t, "x")), Y: math.Round(v.Draw(t, "y"))})
			}
			trade.Paths = append(trade.Paths, p)
		}
		s, _ := trade.scene()
		sign := func(more bool) float64 {
			if more {
				return -1
			}
			return 1
		}
		for _, p := range s.paths {
			for _, q := range p.points {
				bettered := slices.ContainsFunc(p.points, func(o tradeDot) bool {
					dx, dy := sign(trade.MoreX)*(o.at.X-q.at.X), sign(trade.MoreY)*(o.at.Y-q.at.Y)
					return dx <= 0 && dy <= 0 && (dx < 0 || dy < 0)
				})
				if s.onFront(p, q) == bettered {
					t.Fatalf("%v of %v: on the front and bettered are both %v", q.at, p.points, bettered)
				}
			}
		}
	})
}

func TestEndsDescribe(t *testing.T) {
	d := plots()["ends"].Drawing(0)
	for _, want := range []string{"Allowed: unharmed or recovers.", "panel leads touched, full sun", "margin 1.2, 0.8..1.9, perhaps part lost", "Verdict: unproven."} {
		if !strings.Contains(d.Description, want) {
			t.Errorf("%q lacks %q", d.Description, want)
		}
	}
	if worst, column := plots()["endstable"].(EndsTable).worst(1); worst != Hazard || column != 0 {
		t.Errorf("worst %v in column %d", worst, column)
	}
}

// On a phone the number at the end of a total stays whole: its unit stands at the axis.
func TestTotalsKeepTheirNumbers(t *testing.T) {
	all := Totals{Axis: Axis{Name: "energy", Unit: "kWh"}, X: []float64{0, 364}, Curves: []Total{{Name: "from the panel", Sum: []float64{0, 7.9}}, {Name: "sold", Sum: []float64{0, 2}}}}
	for width, want := range map[float64][]string{640: {"from the panel 7.90 kWh", "sold 2.00 kWh"}, 340: {"from the panel 7.90", "sold 2.00"}} {
		var texts []string
		for _, op := range all.Drawing(width).Ops {
			if text, ok := op.(Text); ok {
				texts = append(texts, text.Text)
			}
		}
		for _, w := range want {
			if !slices.Contains(texts, w) {
				t.Errorf("%g px: no %q in %q", width, w, texts)
			}
		}
	}
}
