package figure

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// texts returns where the texts of a drawing lie: left, right and base line.
func texts(d Drawing) (out []struct {
	left, right, y, size float64
	text                 string
}) {
	for _, op := range d.Ops {
		if t, ok := op.(Text); ok {
			w := textWidth(t.Text, t.Size)
			left := t.At.X - w*float64(t.Anchor)/2
			out = append(out, struct {
				left, right, y, size float64
				text                 string
			}{left, left + w, t.At.Y, t.Size, t.Text})
		}
	}
	return out
}

// Nothing that is written may overlap or leave the drawing, whatever the numbers.
func checkTexts(t interface {
	Helper()
	Fatalf(string, ...any)
}, d Drawing) {
	t.Helper()
	all := texts(d)
	for i, a := range all {
		if a.left < -0.01 || a.right > d.Width+0.01 || a.y > d.Height || a.y < a.size*0.7 {
			t.Fatalf("%q from %.1f to %.1f at %.1f leaves the drawing of %g x %g", a.text, a.left, a.right, a.y, d.Width, d.Height)
		}
		for _, b := range all[i+1:] {
			if math.Abs(a.y-b.y) < 0.9*min(a.size, b.size) && a.left < b.right && b.left < a.right {
				t.Fatalf("%q at %.1f..%.1f, %.1f and %q at %.1f..%.1f, %.1f overlap", a.text, a.left, a.right, a.y, b.text, b.left, b.right, b.y)
			}
		}
	}
}

func TestTextsDoNotCollide(t *testing.T) {
	for name, p := range plots() {
		for _, width := range []float64{300, 340, 420, 640, 700, 1100} {
			t.Run(name, func(t *testing.T) { checkTexts(t, p.Drawing(width)) })
		}
	}
}

func anyStrip(t *rapid.T) Strip {
	value := rapid.OneOf(rapid.Float64Range(-1, 1), rapid.Float64Range(-1e6, 1e6), rapid.Just(0.0), rapid.Just(math.Inf(1)), rapid.Float64())
	s := Strip{Quantity: "deviation from the target", Unit: rapid.SampledFrom([]string{"V", "", "mV/K", "EUR"}).Draw(t, "unit")}
	if rapid.Bool().Draw(t, "has min") {
		s.Min = at(value.Draw(t, "min"))
	}
	if rapid.Bool().Draw(t, "has max") {
		v := value.Draw(t, "max")
		if s.Min != nil && rapid.Bool().Draw(t, "near") {
			v = *s.Min + math.Abs(*s.Min)*1e-6
		}
		if s.Min != nil && v < *s.Min {
			v = *s.Min
		}
		s.Max = &v
	}
	for range rapid.IntRange(0, 4).Draw(t, "marks") {
		m := Mark{Kind: MarkKind(rapid.IntRange(0, 2).Draw(t, "kind")), Best: value.Draw(t, "best"), Low: value.Draw(t, "low"), High: value.Draw(t, "high"),
			OpenLow: rapid.Bool().Draw(t, "open"), Carried: rapid.Bool().Draw(t, "carried")}
		s.Marks = append(s.Marks, m)
	}
	return s
}

func TestAnyStripIsDrawn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyStrip(t)
		d := s.Drawing(340)
		checkTexts(t, d)
		if m := notANumber.FindString(d.Inline()); m != "" {
			t.Fatalf("%q in the file", m)
		}
		shapes := 0
		for _, op := range d.Ops {
			points := []Point{}
			switch op := op.(type) {
			case Line:
				points = op.Points
			case Area:
				points = op.Points
			case Hatch:
				points = op.Points
			case Circle:
				points = []Point{op.Centre}
				shapes++
			}
			for _, p := range points {
				if !(p.X >= 0 && p.X <= d.Width && p.Y >= 0 && p.Y <= d.Height) {
					t.Fatalf("%T at %v leaves the drawing", op, p)
				}
			}
		}
		rings := 0
		for _, m := range tidy(s.Marks) {
			if m.Kind == Calculated {
				rings++
			}
		}
		if shapes != rings {
			t.Fatalf("%d rings for %d calculated marks", shapes, rings)
		}
	})
}

// The pieces of an interval join without gap or overlap, and each lies on its side of the bound.
func TestPieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-10, 10)
		four := []float64{v.Draw(t, "a"), v.Draw(t, "b")}
		edges := []float64{v.Draw(t, "min"), v.Draw(t, "max")}
		slices.Sort(four)
		slices.Sort(edges)
		b, sum, end := bound{edges[0], edges[1]}, 0.0, four[0]
		for _, p := range b.pieces(four[0], four[1]) {
			if p.low != end {
				t.Fatalf("gap from %g to %g", end, p.low)
			}
			if middle := p.low + (p.high-p.low)/2; p.over == b.holds(middle) && middle > p.low && middle < p.high {
				t.Fatalf("piece %v is on the wrong side of %v", p, b)
			}
			sum, end = sum+p.high-p.low, p.high
		}
		if math.Abs(sum-(four[1]-four[0])) > 1e-12 {
			t.Fatalf("pieces are %g long, interval %g", sum, four[1]-four[0])
		}
	})
}

// Lines at a pitch along the axes stand pitch/√2 apart, so that their length is the area times √2/pitch, but for the edges.
func TestHatchCoversItsArea(t *testing.T) {
	for name, polygon := range map[string][]Point{
		"square":   rectangle(3, 4, 300, 200),
		"triangle": {{0, 0}, {400, 0}, {0, 400}},
		"notched":  {{0, 0}, {300, 0}, {300, 300}, {150, 100}, {0, 300}},
	} {
		length, area := 0.0, 0.0
		for _, p := range hatchLines(polygon, 2) {
			length += math.Hypot(p[1].X-p[0].X, p[1].Y-p[0].Y)
		}
		for i, p := range polygon {
			q := polygon[(i+1)%len(polygon)]
			area += (p.X*q.Y - q.X*p.Y) / 2 // Gauss's formula for the area of a polygon
		}
		if got, want := length*2/math.Sqrt2, math.Abs(area); math.Abs(got-want) > 0.02*want {
			t.Errorf("%s: hatching covers %.0f, area %.0f", name, got, want)
		}
	}
}

func TestPlace(t *testing.T) {
	for _, c := range []struct {
		x, width  [2]float64
		want      [2]float64
		fits      bool
		low, high float64
	}{
		{[2]float64{20, 80}, [2]float64{20, 20}, [2]float64{20, 80}, true, 0, 100},
		{[2]float64{50, 50}, [2]float64{20, 20}, [2]float64{38, 62}, true, 0, 100},
		{[2]float64{2, 4}, [2]float64{20, 20}, [2]float64{10, 34}, true, 0, 100},
		{[2]float64{99, 99}, [2]float64{20, 40}, [2]float64{46, 80}, true, 0, 100},
		{[2]float64{50, 50}, [2]float64{60, 60}, [2]float64{50, 50}, false, 0, 100},
	} {
		l := []label{{c.x[0], c.width[0], ""}, {c.x[1], c.width[1], ""}}
		if fits := place(l, c.low, c.high, 4); fits != c.fits || l[0].x != c.want[0] || l[1].x != c.want[1] {
			t.Errorf("place(%v, %v) = %v: %g, %g; want %v: %v", c.x, c.width, fits, l[0].x, l[1].x, c.fits, c.want)
		}
	}
}

// Whatever the numbers and the scales: no text collides, nothing leaves the drawing, nothing is NaN.
func TestAnyCurveAndBarsAreDrawn(t *testing.T) {
	value := rapid.OneOf(rapid.Float64Range(0, 1), rapid.Float64Range(-1e6, 1e6), rapid.SampledFrom([]float64{0, 1, -1, 1e300, 1e-300, math.Inf(1), math.NaN(), 19000}))
	values := rapid.SliceOfN(value, 0, 8)
	rapid.Check(t, func(t *rapid.T) {
		scale := func(name string) Scale { return Scale(rapid.IntRange(0, 5).Draw(t, name)) }
		c := Curve{Title: "any", X: Axis{Name: "age", Unit: "d", Scale: scale("x"), Names: []string{"1440", "a unit of the second batch"}}, Y: Axis{Name: "came back", Unit: "%", Scale: scale("y")}, Level: at(value.Draw(t, "level")), LevelText: "even", Max: []Point{{0, value.Draw(t, "max")}}}
		b := Bars{Title: "any", Axis: Axis{Name: "cost", Unit: "EUR"}, Running: rapid.Bool().Draw(t, "running"), Parts: []string{"hands on", "waiting"}}
		for i := range rapid.IntRange(0, 6).Draw(t, "series") {
			x := values.Draw(t, "xs")
			if rapid.Bool().Draw(t, "sorted") {
				slices.Sort(x)
			}
			c.Series = append(c.Series, Series{Name: "batch " + string(rune('a'+i)), X: x, Mid: values.Draw(t, "mid"), Low: values.Draw(t, "low"), High: values.Draw(t, "high"),
				InnerLow: values.Draw(t, "inner"), InnerHigh: values.Draw(t, "outer"), Step: rapid.Bool().Draw(t, "step"), Points: rapid.Bool().Draw(t, "points")})
			b.Rows = append(b.Rows, BarRow{Name: "row", Parts: values.Draw(t, "parts"), Low: value.Draw(t, "l"), High: value.Draw(t, "h"), OpenHigh: rapid.Bool().Draw(t, "open"), Total: rapid.Bool().Draw(t, "total")})
		}
		for _, p := range []Plot{c, b} {
			for _, width := range []float64{300, 700, 1100} {
				d := p.Drawing(width)
				checkTexts(t, d)
				if m := notANumber.FindString(d.Inline()); m != "" {
					t.Fatalf("%q in the file", m)
				}
			}
			for _, columns := range []int{40, 80, 120} {
				for _, l := range p.Text(columns, TextStyle{}) {
					if Columns(l) > columns || notANumber.MatchString(l) {
						t.Fatalf("%d columns: %q", columns, l)
					}
				}
			}
		}
	})
}
