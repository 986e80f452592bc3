package diagram

import (
	"cmp"
	"math"
	"slices"

	"hindwatt/internal/figure"
)

// room is an upright rectangle.
type room struct{ left, top, right, bottom float64 }

func (a room) meets(b room) bool {
	return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom
}

// around is the room of some points, with a rim.
func around(points []figure.Point, rim float64) room {
	r := room{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range points {
		r = room{min(r.left, p.X-rim), min(r.top, p.Y-rim), max(r.right, p.X+rim), max(r.bottom, p.Y+rim)}
	}
	return r
}

// ofText is the room of a text.
func ofText(t figure.Text) room {
	w := figure.TextWidth(t.Text, t.Size)
	left := t.At.X - w*float64(t.Anchor)/2
	return room{left, t.At.Y - 0.75*t.Size, left + w, t.At.Y + 0.22*t.Size}
}

// taken lists the rooms of all that is drawn; a line stretch by stretch.
func taken(ops []figure.Op) []room {
	var out []room
	for _, op := range ops {
		switch op := op.(type) {
		case figure.Line:
			for k := range op.Points[1:] {
				out = append(out, around(op.Points[k:k+2], op.Stroke.Width/2))
			}
		case figure.Area:
			out = append(out, around(op.Points, 1))
		case figure.Circle:
			out = append(out, around([]figure.Point{op.Centre}, op.R+1))
		case figure.Text:
			out = append(out, ofText(op))
		}
	}
	return out
}

// body is the room of all that is drawn but text and the rings at open ends.
func body(ops []figure.Op) room {
	r := around(nil, 0)
	for _, op := range ops {
		if c, ring := op.(figure.Circle); ring && c.R == ringRadius {
			continue
		}
		if _, words := op.(figure.Text); words {
			continue
		}
		for _, t := range taken([]figure.Op{op}) {
			r = room{min(r.left, t.left), min(r.top, t.top), max(r.right, t.right), max(r.bottom, t.bottom)}
		}
	}
	return r
}

// named reports whether a node's name is worth writing: where three or more ends meet, or a gate is driven.
func (l *layout) named(net int) bool {
	for _, pair := range terminals {
		if slices.Contains(pair[:], l.names[net]) {
			return false
		}
	}
	if len(l.joined[net]) > 2 {
		return true
	}
	for _, d := range l.devices {
		if slices.Contains(d.sides, net) {
			return len(l.joined[net]) > 1
		}
	}
	return false
}

// offRail is 0 on a rail, else 1.
func (l *layout) offRail(y float64) int { return b2i(y != l.ys[0] && y != l.ys[l.ny-1]) }

// nameNets writes the names of nodes over level wires, where no room is taken.
func (l *layout) nameNets(d *figure.Drawing, rooms []room) {
	type stretch struct{ a, b figure.Point }
	level := map[int][]stretch{}
	for _, r := range l.runs() {
		for k := range r.nodes[1:] {
			a, b := l.point(r.nodes[k]), l.point(r.nodes[k+1])
			if a.X > b.X {
				a, b = b, a
			}
			if a.Y == b.Y {
				level[r.net] = append(level[r.net], stretch{a, b})
			}
		}
	}
	for net, name := range l.names {
		if name == "" || !l.named(net) {
			continue
		}
		t := figure.Text{Size: valueSize, Role: figure.Soft, Text: figure.Fit(name, valueSize, 90)}
		w := figure.TextWidth(t.Text, t.Size)
		slices.SortStableFunc(level[net], func(a, b stretch) int {
			return cmp.Or(cmp.Compare(l.offRail(a.a.Y), l.offRail(b.a.Y)), cmp.Compare(b.b.X-b.a.X, a.b.X-a.a.X))
		})
		for _, s := range level[net] {
			if t.At = (figure.Point{X: (s.a.X + s.b.X - w) / 2, Y: s.a.Y - 4}); w+8 > s.b.X-s.a.X {
				continue
			}
			mine := ofText(t)
			if mine.top < 0 || slices.ContainsFunc(rooms, func(r room) bool { return r.meets(mine) }) {
				continue
			}
			d.Ops, rooms = append(d.Ops, t), append(rooms, mine)
			break
		}
	}
}
