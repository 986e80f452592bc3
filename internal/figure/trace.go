package figure

import (
	"cmp"
	"slices"
	"sort"
)

// path is a piecewise straight line that goes on level beyond its ends.
type path []Point

// at returns the value at x. p has at least one point.
func (p path) at(x float64) float64 {
	i := sort.Search(len(p), func(i int) bool { return p[i].X >= x })
	switch {
	case i == 0:
		return p[0].Y
	case i == len(p):
		return p[i-1].Y
	}
	t := (x - p[i-1].X) / (p[i].X - p[i-1].X)
	return p[i-1].Y + t*(p[i].Y-p[i-1].Y)
}

// held returns the value at x of a path whose values hold until the next point.
func (p path) held(x float64) float64 {
	i := sort.Search(len(p), func(i int) bool { return p[i].X > x })
	return p[max(0, i-1)].Y
}

// newPath keeps the points that both scales can show and whose x rises.
func newPath(points []Point, sx, sy Scale) path {
	var out path
	for _, p := range points {
		x, okX := sx.place(p.X)
		y, okY := sy.place(p.Y)
		if okX && okY && (len(out) == 0 || x > out[len(out)-1].X) {
			out = append(out, Point{x, y})
		}
	}
	return out
}

// trace is a series that can be drawn: paths over the same x. The inner ones are nil where there is no inner interval.
type trace struct {
	name                string
	index               int // among the series: which stroke it has
	step, points        bool
	mid, low, high      path
	innerLow, innerHigh path
}

// trace puts the series on scales.
func (s Series) trace(sx, sy Scale, index int) trace {
	t := trace{name: s.Name, index: index, step: s.Step, points: s.Points}
	inner := len(s.InnerLow) > 0 && len(s.InnerHigh) > 0
	for _, i := range s.order() {
		x, okX := sx.place(s.X[i])
		y, okY := sy.place(s.Mid[i])
		if n := len(t.mid); !okX || !okY || n > 0 && x <= t.mid[n-1].X && !s.Points {
			continue
		}
		lower := func(limits []float64) float64 {
			if i >= len(limits) {
				return y
			}
			return min(y, sy.limitPlace(limits[i], -1))
		}
		upper := func(limits []float64) float64 {
			if i >= len(limits) {
				return y
			}
			return max(y, sy.limitPlace(limits[i], 1))
		}
		t.mid = append(t.mid, Point{x, y})
		t.low = append(t.low, Point{x, lower(s.Low)})
		t.high = append(t.high, Point{x, upper(s.High)})
		if inner {
			t.innerLow = append(t.innerLow, Point{x, lower(s.InnerLow)})
			t.innerHigh = append(t.innerHigh, Point{x, upper(s.InnerHigh)})
		}
	}
	return t
}

// order returns the places of the points in the series, by X for dots.
func (s Series) order() []int {
	out := make([]int, min(len(s.X), len(s.Mid)))
	for i := range out {
		out[i] = i
	}
	if s.Points {
		slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(s.X[a], s.X[b]) })
	}
	return out
}

// paths returns pointers to all paths of the trace.
func (t *trace) paths() []*path {
	return []*path{&t.mid, &t.low, &t.high, &t.innerLow, &t.innerHigh}
}

// at returns the trace's value at x with its interval.
func (t trace) at(x float64, p path) float64 {
	if t.step {
		return p.held(x)
	}
	return p.at(x)
}

// thinned keeps, in each column of one px, the first and last points and those where a path is lowest or highest,
// so that the picture is that of all points. A trace of fewer points is returned as it is.
func (t trace) thinned(a axis) trace {
	if len(t.mid) <= 4*int(a.to-a.from) {
		return t
	}
	var keep []int
	for from := 0; from < len(t.mid); {
		column, to := int(a.at(t.mid[from].X)), from+1
		for to < len(t.mid) && int(a.at(t.mid[to].X)) == column {
			to++
		}
		picked := []int{from, to - 1}
		for _, p := range t.paths() {
			if len(*p) > 0 {
				low, high := extremes((*p)[from:to])
				picked = append(picked, from+low, from+high)
			}
		}
		slices.Sort(picked)
		keep = append(keep, slices.Compact(picked)...)
		from = to
	}
	for _, p := range t.paths() {
		if len(*p) > 0 {
			kept := make(path, len(keep))
			for i, k := range keep {
				kept[i] = (*p)[k]
			}
			*p = kept
		}
	}
	return t
}

// extremes returns where a path is lowest and highest.
func extremes(p path) (low, high int) {
	for i := range p {
		if p[i].Y < p[low].Y {
			low = i
		}
		if p[i].Y > p[high].Y {
			high = i
		}
	}
	return low, high
}

// stairs returns a path's corners where its values hold until the next point.
func stairs(p path) path {
	var out path
	for i, q := range p {
		if i > 0 {
			out = append(out, Point{q.X, p[i-1].Y})
		}
		out = append(out, q)
	}
	return out
}

// line returns the corners of one of the trace's paths as it is drawn.
func (t trace) line(p path) path {
	if t.step {
		return stairs(p)
	}
	return p
}
