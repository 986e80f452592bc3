package figure

import "slices"

// Axis names a quantity and its unit.
type Axis struct {
	Name, Unit string
	Scale      Scale    // the zero value is linear
	Names      []string // of Items; may be empty: their numbers are written
}

// Series is one line with its interval. A point whose X or Mid its axis cannot show, or whose X does not rise, is left out.
// A Low or High that is there but cannot be shown is open: the band goes on to the axis' end.
type Series struct {
	Name                string    // "measured at the terminals"; may be empty where there is one series
	X                   []float64 // rising; in any order for Points
	Mid                 []float64 // as long as X
	Low, High           []float64 // as long as X, Low ≤ Mid ≤ High; or nil
	InnerLow, InnerHigh []float64 // an interval within Low..High, such as 50 % within 95 %; or nil
	Step                bool      // a value holds until the next X, the last one at its X only
	Points              bool      // dots with whiskers and no line
}

// CurveMark is a mark at a place on the x axis, its interval upright.
type CurveMark struct {
	X    float64
	Mark Mark
}

// Curve draws quantities over another one, such as a deviation over temperature, with the bound they are held to.
// Numbers are in the units of the axes, already scaled; fractions on a Weibull scale, days on one of dates, where days 0 to 364 are those of a year without a name.
type Curve struct {
	Title            string
	X, Y             Axis
	Series           []Series // at most six are told apart
	Min, Max         []Point  // the bound: none = open; one point = the same everywhere; more = straight lines between points of rising X
	MinText, MaxText string   // the bound as written beside it: "-0.2 V"; empty: made from a constant bound
	Marks            []CurveMark
	Level            *float64 // a thin rule across, such as zero; may be nil
	LevelText        string   // what the rule is, said at its end; may be empty
	Source           string   // input file and date, for the small line below; may be empty
}

// scene is a curve made ready: what can be drawn, and both axes. All of it is places on the axes' scales.
type scene struct {
	traces    []trace
	min, max  path
	marks     []CurveMark
	level     float64
	hasLevel  bool
	levelText string
	x, y      axis
}

// scene puts the axes around all series, marks and, where within two spans of them, the bound and the level. ok is false if there is nothing to draw.
func (c Curve) scene() (s scene, ok bool) {
	sx, sy := c.X.Scale, c.Y.Scale
	s.min, s.max = newPath(c.Min, sx, sy), newPath(c.Max, sx, sy)
	x, y := nothing, nothing
	for i, series := range c.Series {
		t := series.trace(sx, sy, i)
		if len(t.mid) == 0 {
			continue
		}
		s.traces = append(s.traces, t)
		x = x.with(t.mid[0].X).with(t.mid[len(t.mid)-1].X)
		for i := range t.mid {
			y = y.with(t.mid[i].Y).with(t.low[i].Y).with(t.high[i].Y)
		}
	}
	for _, m := range c.Marks {
		at, shown := sx.place(m.X)
		mark, whole := m.Mark.on(sy)
		if shown && whole {
			s.marks = append(s.marks, CurveMark{at, mark})
			x, y = x.with(at), y.with(mark.Best).with(mark.Low).with(mark.High)
		}
	}
	if x == nothing {
		return s, false
	}
	x.low, x.high = sx.spanOn(x.low, x.high)
	if c.Level != nil {
		s.level, s.hasLevel = sy.place(*c.Level)
		s.levelText = c.LevelText
	}
	y = s.withBound(sy, x, y)
	s.x = axis{low: x.low, high: x.high, scale: sx, names: clipped(c.X.Names)}
	if sx == Log {
		s.x = sx.roundedOn(x.low, x.high)
	}
	s.y = sy.roundedOn(y.low, y.high)
	s.hasLevel = s.hasLevel && s.y.holds(s.level)
	return s, true
}

// reached is what an axis has to hold.
type reached struct{ low, high float64 }

var nothing = reached{limit, -limit}

// with widens r to hold v, unless that is no place but an open end.
func (r reached) with(v float64) reached {
	if !finite(v) {
		return r
	}
	return reached{min(r.low, v), max(r.high, v)}
}

func (s scene) withBound(scale Scale, x, y reached) reached {
	low, high := scale.spanOn(y.low, y.high)
	size := high - low
	y = reached{low, high}
	hold := func(v, pad float64) {
		if v > low-2*size && v < high+2*size {
			y = y.with(v - pad).with(v + pad)
		}
	}
	for _, p := range []path{s.min, s.max} {
		if len(p) == 0 {
			continue
		}
		for _, at := range s.grid(x.low, x.high) {
			hold(p.at(at), 0.06*size)
		}
	}
	if s.hasLevel {
		hold(s.level, 0)
	}
	return y
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

// grid returns, rising, the x from x1 to x2 at which the bound bends: between two of them it is straight.
func (s scene) grid(x1, x2 float64) []float64 {
	grid := []float64{x1, x2}
	for _, p := range []path{s.min, s.max} {
		for _, q := range p {
			if q.X > x1 && q.X < x2 {
				grid = append(grid, q.X)
			}
		}
	}
	slices.Sort(grid)
	return slices.Compact(grid)
}

// on returns a mark on a scale; a limit that the scale cannot show lies far off it. ok is false where the best value cannot be shown.
func (m Mark) on(scale Scale) (_ Mark, ok bool) {
	all := tidy([]Mark{m})
	if len(all) == 0 {
		return m, false
	}
	m = all[0]
	best, ok := scale.place(m.Best)
	if !m.OpenLow {
		m.Low = scale.limitPlace(m.Low, -1)
	}
	if !m.OpenHigh {
		m.High = scale.limitPlace(m.High, 1)
	}
	m.Best = best
	return m, ok
}

// limitPlace is the place of an interval's limit, far off to the side of sign where the scale cannot show it.
func (s Scale) limitPlace(v, sign float64) float64 {
	if u, ok := s.place(v); ok {
		return u
	}
	return sign * offPaper
}
