package figure

import "math"

// Axis names a quantity and its unit.
type Axis struct {
	Name, Unit string
	Scale      Scale // the zero value is linear
}

// Series is one line with its interval. A point whose X or Mid its axis cannot show, or whose X does not rise, is left out.
// A Low or High that is there but cannot be shown is open: the band goes on to the axis' end.
type Series struct {
	Name                string    // "measured at the terminals"; may be empty where there is one series
	X                   []float64 // rising; in any order for Points
	Mid                 []float64 // as long as X
	Low, High           []float64 // as long as X, Low ≤ Mid ≤ High; or nil
	InnerLow, InnerHigh []float64 // an interval within Low..High, such as 50 % within 95 %; or nil
	Step                bool      // a value holds until the next X
	Points              bool      // dots with whiskers and no line
}

// CurveMark is a mark at a place on the x axis, its interval upright.
type CurveMark struct {
	X    float64
	Mark Mark
}

// Curve draws quantities over another one, such as a deviation over temperature, with the bound they are held to.
// Numbers are in the units of the axes, already scaled.
type Curve struct {
	Title            string
	X, Y             Axis
	Series           []Series // at most six
	Min, Max         []Point  // the bound: none = open; one point = the same everywhere; more = straight lines between points of rising X
	MinText, MaxText string   // the bound as written beside it: "-0.2 V"; empty: made from a constant bound
	Marks            []CurveMark
	Level            *float64 // a thin rule across, such as zero; may be nil
	LevelText        string   // what the rule is, said at its end; may be empty
	Source           string // input file and date, for the small line below; may be empty
}

// path is a piecewise straight line that goes on level beyond its ends.
type path []Point

// at returns the value at x. p has at least one point.
func (p path) at(x float64) float64 {
	for i := 1; i < len(p); i++ {
		if x <= p[i].X && p[i].X > p[i-1].X {
			t := max(0, (x-p[i-1].X)/(p[i].X-p[i-1].X))
			return p[i-1].Y + t*(p[i].Y-p[i-1].Y)
		}
	}
	return p[len(p)-1].Y
}

// newPath keeps the points that are finite and whose x rises.
func newPath(points []Point) path {
	var out path
	for _, p := range points {
		if finite(p.X) && finite(p.Y) && (len(out) == 0 || p.X > out[len(out)-1].X) {
			out = append(out, p)
		}
	}
	return out
}

// band is a series that can be drawn: three paths over the same x.
type trace struct {
	name           string
	mid, low, high path
}

func (s Series) trace() trace {
	t := trace{name: s.Name}
	for i := range min(len(s.X), len(s.Mid)) {
		x, y := s.X[i], s.Mid[i]
		if n := len(t.mid); !finite(x) || !finite(y) || n > 0 && x <= t.mid[n-1].X {
			continue
		}
		low, high := y, y
		if i < len(s.Low) && finite(s.Low[i]) {
			low = min(y, s.Low[i])
		}
		if i < len(s.High) && finite(s.High[i]) {
			high = max(y, s.High[i])
		}
		t.mid = append(t.mid, Point{x, y})
		t.low = append(t.low, Point{x, low})
		t.high = append(t.high, Point{x, high})
	}
	return t
}

// scene is a curve made ready: what can be drawn, and both axes.
type scene struct {
	traces   []trace
	min, max path
	marks    []CurveMark
	x, y     axis
}

// scene puts the axes around all series, marks and, where within two spans of them, the bound. ok is false if there is nothing to draw.
func (c Curve) scene() (s scene, ok bool) {
	s.min, s.max = newPath(c.Min), newPath(c.Max)
	x1, x2, y1, y2 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	add := func(x, low, high float64) {
		x1, x2, y1, y2 = min(x1, x), max(x2, x), min(y1, low), max(y2, high)
	}
	for _, series := range c.Series {
		if t := series.trace(); len(t.mid) > 0 {
			s.traces = append(s.traces, t)
			for i := range t.mid {
				add(t.mid[i].X, t.low[i].Y, t.high[i].Y)
			}
		}
	}
	for _, m := range c.Marks {
		for _, mark := range tidy([]Mark{m.Mark}) {
			if !finite(m.X) {
				continue
			}
			s.marks = append(s.marks, CurveMark{m.X, mark})
			add(m.X, mark.Best, mark.Best)
			if !mark.OpenLow {
				add(m.X, mark.Low, mark.Best)
			}
			if !mark.OpenHigh {
				add(m.X, mark.Best, mark.High)
			}
		}
	}
	if x1 > x2 {
		return s, false
	}
	x1, x2 = span(x1, x2)
	y1, y2 = s.withBound(x1, x2, y1, y2)
	s.x = axis{low: x1, high: x2}
	s.y = rounded(y1, y2, 0, 1)
	return s, true
}

func (s scene) withBound(x1, x2, y1, y2 float64) (float64, float64) {
	low, high := span(y1, y2)
	size := high - low
	y1, y2 = low, high
	for _, p := range []path{s.min, s.max} {
		if len(p) == 0 {
			continue
		}
		for _, x := range s.grid(x1, x2) {
			if v := p.at(x); v > low-2*size && v < high+2*size {
				y1, y2 = min(y1, v-0.06*size), max(y2, v+0.06*size)
			}
		}
	}
	return y1, y2
}

// boundAt returns the bound at x.
func (s scene) boundAt(x float64) bound {
	b := bound{-limit, limit}
	if len(s.min) > 0 {
		b.min = s.min.at(x)
	}
	if len(s.max) > 0 {
		b.max = s.max.at(x)
	}
	return b
}
