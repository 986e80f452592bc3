package figure

import (
	"cmp"
	"slices"
)

// TradePoint is what one choice leads to, by two measures.
type TradePoint struct {
	X, Y                     float64
	LowX, HighX, LowY, HighY float64 // intervals; both of an axis 0: none
	Text                     string  // the choice: "27.3 V"; may be empty
	Chosen                   bool    // it is the product's own
}

// TradePath is what a setting leads to while it is varied.
type TradePath struct {
	Name   string       // the setting: "float"; paths of one name have one shape of points
	Group  string       // where: "cold and dark"; paths of one group have one stroke; empty: none
	Points []TradePoint // in the order of the setting
	Apart  bool         // they are choices by themselves: no line joins them
}

// Tradeoff draws two measures of choices against each other. Numbers are in the axes' units, already scaled; points that the axes cannot show are left out.
type Tradeoff struct {
	Title        string
	X, Y         Axis // linear or logarithmic
	Paths        []TradePath
	MoreX, MoreY bool   // more is better on that axis; else less
	Front        bool   // draw the front of the points that no other betters on both measures
	Source       string // input file and date, for the small line below; may be empty
}

// trades is a trade-off made ready; all places are on the axes' scales.
type trades struct {
	paths         []tradeLine
	names, groups []string
	x, y          axis
	fronts        []path // of each group, where asked for
	chosen        bool
	moreX, moreY  bool
}

type tradeLine struct {
	name, group int // in trades.names and groups
	apart       bool
	points      []tradeDot
}

type tradeDot struct {
	at, low, high Point
	text          string
	chosen        bool
}

// px is the place of a point on a drawing.
func (s trades) px(q tradeDot) Point { return Point{s.x.at(q.at.X), s.y.at(q.at.Y)} }

// scene puts the points on axes that hold them, and their intervals up to 3 spans away. ok is false if there is none.
func (t Tradeoff) scene() (s trades, ok bool) {
	s.moreX, s.moreY = t.MoreX, t.MoreY
	x, y := nothing, nothing
	for _, p := range t.Paths {
		line := tradeLine{name: indexIn(&s.names, p.Name), group: indexIn(&s.groups, p.Group), apart: p.Apart}
		for _, q := range p.Points {
			made, shown := t.dot(q)
			if !shown {
				continue
			}
			line.points = append(line.points, made)
			x, y = x.with(made.at.X), y.with(made.at.Y)
			s.chosen = s.chosen || made.chosen
		}
		if len(line.points) > 0 {
			s.paths = append(s.paths, line)
		}
	}
	if len(s.paths) == 0 {
		return s, false
	}
	wideX, wideY := x, y
	for _, p := range s.paths {
		for _, q := range p.points {
			wideX = wideX.with(max(q.low.X, x.low-3*(x.high-x.low))).with(min(q.high.X, x.high+3*(x.high-x.low)))
			wideY = wideY.with(max(q.low.Y, y.low-3*(y.high-y.low))).with(min(q.high.Y, y.high+3*(y.high-y.low)))
		}
	}
	s.x, s.y = t.X.Scale.roundedOn(wideX.low, wideX.high), t.Y.Scale.roundedOn(wideY.low, wideY.high)
	if t.Front {
		for group := range s.groups {
			s.fronts = append(s.fronts, s.unbettered(group))
		}
	}
	return s, true
}

// indexIn returns the place of a name in a list, adding it if it is not there.
func indexIn(list *[]string, name string) int {
	i := slices.Index(*list, name)
	if i < 0 {
		i = len(*list)
		*list = append(*list, name)
	}
	return i
}

// dot puts a point on the scales.
func (t Tradeoff) dot(q TradePoint) (tradeDot, bool) {
	x, okX := t.X.Scale.place(q.X)
	y, okY := t.Y.Scale.place(q.Y)
	d := tradeDot{at: Point{x, y}, low: Point{x, y}, high: Point{x, y}, text: minus(q.Text), chosen: q.Chosen}
	if q.LowX != 0 || q.HighX != 0 {
		d.low.X, d.high.X = min(x, t.X.Scale.limitPlace(q.LowX, -1)), max(x, t.X.Scale.limitPlace(q.HighX, 1))
	}
	if q.LowY != 0 || q.HighY != 0 {
		d.low.Y, d.high.Y = min(y, t.Y.Scale.limitPlace(q.LowY, -1)), max(y, t.Y.Scale.limitPlace(q.HighY, 1))
	}
	return d, okX && okY
}

// unbettered returns, from the best x on, the points of a group that no other of it betters on both measures.
func (s trades) unbettered(group int) path {
	signX, signY := 1.0, 1.0
	if s.moreX {
		signX = -1
	}
	if s.moreY {
		signY = -1
	}
	var all path
	for _, p := range s.paths {
		for _, q := range p.points {
			if p.group == group {
				all = append(all, q.at)
			}
		}
	}
	slices.SortFunc(all, func(a, b Point) int {
		return cmp.Or(cmp.Compare(signX*a.X, signX*b.X), cmp.Compare(signY*a.Y, signY*b.Y))
	})
	var front path
	for _, p := range all {
		if n := len(front); n == 0 || signY*p.Y < signY*front[n-1].Y {
			front = append(front, p)
		}
	}
	return front
}

// stairs returns the corners of each group's front on a drawing: from the better x a step to the next point's x, then to that point.
func (s trades) stairs() (lines [][]Point) {
	for _, front := range s.fronts {
		var line []Point
		for _, p := range front {
			at := Point{s.x.at(p.X), s.y.at(p.Y)}
			if n := len(line); n > 0 {
				line = append(line, Point{at.X, line[n-1].Y})
			}
			line = append(line, at)
		}
		if len(line) > 1 {
			lines = append(lines, line)
		}
	}
	return lines
}

// onFront reports whether a path's point is on its group's front.
func (s trades) onFront(p tradeLine, q tradeDot) bool {
	return len(s.fronts) > 0 && slices.Contains(s.fronts[p.group], q.at)
}

// describe tells the trade-off in words.
func (t Tradeoff) describe() string {
	s, ok := t.scene()
	if !ok {
		return "No data."
	}
	text := axisName(t.Y.Name, t.Y.unit()) + t.better(t.MoreY) + " over " + axisName(t.X.Name, t.X.unit()) + t.better(t.MoreX) + "."
	for _, p := range s.paths {
		name := s.pathName(p)
		for _, q := range p.points {
			if q.chosen {
				text += " The product's choice, " + name + " " + q.text + ": " + minus(s.x.say(q.at.X, t.X.unit())) + ", " + minus(s.y.say(q.at.Y, t.Y.unit())) + "."
			}
		}
	}
	return text
}

// pathName is the setting with its group.
func (s trades) pathName(p tradeLine) string {
	name, group := s.names[p.name], s.groups[p.group]
	if name == "" || group == "" {
		return name + group
	}
	return name + ", " + group
}
