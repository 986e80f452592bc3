package figure

import (
	"slices"
	"sort"
	"strconv"
)

// MostPoints is how many points of a line a window shows.
const MostPoints = 2000

// A Window is a part of a curve, drawn, with what can be read off it.
type Window struct {
	Drawing   Drawing
	From, To  float64 // the x axis' ends in the drawing, px
	Top, Foot float64 // the y axis' ends, px
	Low, High float64 // the x axis' ends, places on its scale
	Readings  []Reading
}

// A Reading is what can be read off a series: at each point where it stands in the drawing, px, and its words.
type Reading struct {
	Name string
	At   []float64
	X, Y []string // "12.3 h", "27.31 V (27.1 to 27.5)"
}

// Window draws the part of a curve from low to high, places on the x axis' scale, at most MostPoints of each line with their least and
// greatest values kept; the whole where high is not above low. ok is false if there is nothing in it.
func (c Curve) Window(low, high, width float64) (w Window, ok bool) {
	if high > low {
		c = c.within(low, high)
	}
	c.Series = slices.Clone(c.Series)
	for i := range c.Series {
		c.Series[i] = c.Series[i].fewer(c.X.Scale, MostPoints)
	}
	s, ok := c.scene()
	if !ok {
		return w, false
	}
	if !(width > 0) {
		width = figureWidth
	}
	var d Drawing
	d.Width = width
	d.frame(&s, c.endTexts(s, width))
	w = Window{Drawing: c.Drawing(width), From: s.x.from, To: s.x.to, Top: s.y.to, Foot: s.y.from, Low: s.x.low, High: s.x.high}
	for _, series := range c.Series {
		w.Readings = append(w.Readings, series.reading(c, s))
	}
	return w, true
}

// within keeps of each series what lies from low to high.
func (c Curve) within(low, high float64) Curve {
	c.Series = slices.Clone(c.Series)
	for i := range c.Series {
		c.Series[i] = c.Series[i].within(c.X.Scale, low, high)
	}
	c.Marks = slices.DeleteFunc(slices.Clone(c.Marks), func(m CurveMark) bool {
		x, ok := c.X.Scale.place(m.X)
		return !ok || x < low || x > high
	})
	return c
}

// within keeps the points from low to high; of a line that is cut, what it is at the cut.
func (s Series) within(scale Scale, low, high float64) Series {
	var keep []int
	for _, i := range s.order() {
		if x, ok := scale.place(s.X[i]); ok && x >= low && x <= high {
			keep = append(keep, i)
		}
	}
	out := s.picked(keep)
	if s.Points {
		return out
	}
	if v, ok := s.between(scale, low); ok {
		out = v.joined(out)
	}
	if v, ok := s.between(scale, high); ok {
		out = out.joined(v)
	}
	return out
}

// columns are the values of a series that stand beside X.
func (s *Series) columns() []*[]float64 {
	return []*[]float64{&s.X, &s.Mid, &s.Low, &s.High, &s.InnerLow, &s.InnerHigh}
}

func (s Series) picked(keep []int) Series {
	out := s
	for k, from := range s.columns() {
		to := out.columns()[k]
		*to = nil
		if len(*from) == 0 {
			continue
		}
		for _, i := range keep {
			if i < len(*from) {
				*to = append(*to, (*from)[i])
			}
		}
	}
	return out
}

func (s Series) joined(next Series) Series {
	for k, to := range s.columns() {
		*to = append(slices.Clone(*to), *next.columns()[k]...)
	}
	return s
}

// between is the one point at which a line passes a place between two of its points.
func (s Series) between(scale Scale, at float64) (Series, bool) {
	n := min(len(s.X), len(s.Mid))
	i := sort.Search(n, func(i int) bool { x, _ := scale.place(s.X[i]); return x >= at })
	if i == 0 || i == n {
		return s, false
	}
	after, ok := scale.place(s.X[i])
	before, okBefore := scale.place(s.X[i-1])
	if !ok || !okBefore || after == at {
		return s, false
	}
	t := (at - before) / (after - before)
	if s.Step {
		t = 0
	}
	out := s
	for k, from := range s.columns() {
		to := out.columns()[k]
		if *to = nil; i < len(*from) {
			*to = []float64{(*from)[i-1] + t*((*from)[i]-(*from)[i-1])}
		}
	}
	out.X = []float64{scale.value(at)}
	return out, true
}

// fewer keeps at most about most points: of each stretch of the x axis the first, the last, and those where a value is least or greatest.
// The stretches are as many as leave room for all of them.
func (s Series) fewer(scale Scale, most int) Series {
	order := s.order()
	if len(order) <= most {
		return s
	}
	kept := 2
	for _, c := range s.columns()[1:] {
		if len(*c) > 0 {
			kept += 2
		}
	}
	first, _ := scale.place(s.X[order[0]])
	last, _ := scale.place(s.X[order[len(order)-1]])
	stretches := max(1, most/kept)
	part := func(i int) int {
		x, _ := scale.place(s.X[i])
		return min(stretches-1, max(0, int(float64(stretches)*(x-first)/(last-first))))
	}
	var keep []int
	for from := 0; from < len(order); {
		to := from + 1
		for to < len(order) && part(order[to]) == part(order[from]) {
			to++
		}
		picked := []int{from, to - 1}
		for _, c := range s.columns()[1:] {
			if len(*c) == 0 {
				continue
			}
			low, high := from, from
			for k := from; k < to; k++ {
				if v := (*c)[order[k]]; v < (*c)[order[low]] {
					low = k
				} else if v > (*c)[order[high]] {
					high = k
				}
			}
			picked = append(picked, low, high)
		}
		slices.Sort(picked)
		for _, k := range slices.Compact(picked) {
			keep = append(keep, order[k])
		}
		from = to
	}
	return s.picked(keep)
}

func (s Series) reading(c Curve, on scene) Reading {
	r := Reading{Name: s.Name}
	for _, i := range s.order() {
		x, okX := c.X.Scale.place(s.X[i])
		if _, ok := c.Y.Scale.place(s.Mid[i]); !ok || !okX || !on.x.holds(x) {
			continue
		}
		r.At = append(r.At, on.x.at(x))
		r.X = append(r.X, c.X.read(s.X[i]))
		text := c.Y.read(s.Mid[i])
		if i < len(s.Low) && i < len(s.High) && finite(s.Low[i]) && finite(s.High[i]) && s.Low[i] < s.High[i] {
			text += " (" + c.Y.read(s.Low[i]) + " to " + c.Y.read(s.High[i]) + ")"
		}
		r.Y = append(r.Y, text)
	}
	return r
}

const readDigits = 5 // of a value that is read off

// read words a value of an axis.
func (a Axis) read(v float64) string {
	switch a.Scale {
	case Dates:
		day := dayTime(v)
		if day.Year() == nameless {
			return day.Format("2 January")
		}
		return day.Format("2 January 2006")
	case Hours:
		return clock(v)
	case Weibull:
		v *= 100
	}
	return withUnit(minus(significant(v, readDigits)), a.unit())
}

// CSV returns the curve's numbers in a table, a row for each point of each series: as they were computed, all of them.
func (c Curve) CSV() [][]string {
	rows := [][]string{{"series", axisName(c.X.Name, c.X.Unit), axisName(c.Y.Name, c.Y.Unit), "low", "high"}}
	text := func(list []float64, i int) string {
		if i >= len(list) || !finite(list[i]) {
			return ""
		}
		return strconv.FormatFloat(list[i], 'g', -1, 64)
	}
	for _, s := range c.Series {
		for _, i := range s.order() {
			x := text(s.X, i)
			if c.X.Scale == Dates && x != "" {
				x = c.X.read(s.X[i])
			}
			rows = append(rows, []string{s.Name, x, text(s.Mid, i), text(s.Low, i), text(s.High, i)})
		}
	}
	return rows
}
