package figure

import (
	"math"
	"slices"
	"strings"
)

// Strip draws a promise: the allowed region as a hatched band with its bound written at its edge, and each piece of evidence on it.
// All numbers are in Unit, already scaled.
type Strip struct {
	Quantity         string   // "deviation from the target"
	Unit             string   // "V"; may be empty
	Min, Max         *float64 // the bound; nil is open
	MinText, MaxText string   // the bound as written at its edge: "-0.2 V"; empty: made from Min, Max and Unit
	Marks            []Mark   // one row each, in this order; none: the band alone
	Was              []Mark   // where marks stood before a change: each is drawn behind the mark of its kind; may be empty
}

const (
	stripWidth = 420 // px
	margin     = 14  // px left and right of an axis
	pitch      = 14  // px between two rows of marks
	small      = 11  // px, text at an axis
)

// Drawing lays the strip out; width 0 is 420 px.
func (s Strip) Drawing(width float64) Drawing {
	if !(width > 0) {
		width = stripWidth
	}
	marks, b := tidy(s.Marks), newBound(s.Min, s.Max)
	was := s.before(marks)
	a := stripAxis(slices.Concat(marks, was), b, margin, width-margin)
	d := Drawing{Width: width, Title: s.Quantity, Description: s.describe(marks, b, a)}
	height := max(24, pitch*float64(len(marks))+8)
	top, base := 6.0, 6+height+4
	if b.any() {
		d.band(a.at(b.min), a.at(b.max), top, top+height)
	}
	d.line(margin, base, width-margin, base, Stroke{Role: Rule, Width: 1})
	for _, v := range []float64{b.min, b.max} {
		if a.holds(v) {
			d.line(a.at(v), top-4, a.at(v), base, Stroke{Role: Edge, Width: 1.4})
		}
	}
	first := top + height/2 - pitch*float64(len(marks)-1)/2
	for i, m := range marks {
		t := track{axis: a, across: first + pitch*float64(i)}
		d.was(m, was, t)
		d.mark(m, t, b, s.Unit)
	}
	y := d.axisLabels(a, s.edges(b, a), s.Unit, base+12)
	d.write(width/2, y+15, 12, Soft, Middle, fit(s.Quantity, 12, width))
	d.foot(y+20, "")
	return d
}

// edges returns the labels of the bound, in rising order.
func (s Strip) edges(b bound, a axis) []label {
	return boundLabels(b, a, s.MinText, s.MaxText, s.Unit)
}

func boundLabels(b bound, a axis, minText, maxText, unit string) []label {
	var out []label
	add := func(v float64, text string) {
		if text == "" {
			text = withUnit(short(v), unit)
		}
		text = minus(text)
		out = append(out, label{a.at(v), textWidth(text, small), text})
	}
	if b.hasMin() {
		add(b.min, minText)
	}
	if b.hasMax() && !(b.max == b.min && minText == maxText) {
		add(b.max, maxText)
	}
	return out
}

// axisLabels writes the bound's labels below an axis, one under the other if they do not fit side by side, and the
// axis' ends where there is room beside them. It returns the last base line.
func (d *Drawing) axisLabels(a axis, edges []label, unit string, y float64) float64 {
	ends := []label{}
	for _, v := range []float64{a.low, a.high} {
		text := minus(a.end(v, unit))
		ends = append(ends, label{a.at(v), textWidth(text, small), text})
	}
	ends[0].x = max(ends[0].x, ends[0].width/2)
	ends[1].x = min(ends[1].x, d.Width-ends[1].width/2)
	rows := [][]label{edges}
	if !place(edges, 0, d.Width, 12) {
		rows = nil
		for _, l := range edges {
			l.text = fit(l.text, small, d.Width)
			l.width = textWidth(l.text, small)
			one := []label{l}
			place(one, 0, d.Width, 0)
			rows = append(rows, one)
		}
	}
	for i, row := range rows {
		for _, l := range row {
			d.write(l.x, y+13*float64(i), small, Ink, Middle, l.text)
		}
	}
	for _, e := range ends {
		if clear(e, rows[0], 8) {
			d.write(e.x, y, small, Soft, Middle, e.text)
		}
	}
	return y + 13*float64(max(0, len(rows)-1))
}

// clear reports whether a label stands at least gap away from all others.
func clear(l label, others []label, gap float64) bool {
	for _, o := range others {
		if math.Abs(l.x-o.x) < (l.width+o.width)/2+gap {
			return false
		}
	}
	return true
}

// describe tells the strip in words, for readers by ear.
func (s Strip) describe(marks []Mark, b bound, a axis) string {
	text := s.allowed(b, a)
	if len(marks) == 0 {
		return text + " No evidence."
	}
	for _, m := range marks {
		text += " " + m.describe(s.Unit, a.decimals+1)
	}
	for _, m := range s.before(marks) {
		text += " Before, " + m.describe(s.Unit, a.decimals+1)
	}
	return text
}

// before returns the marks from before that stand elsewhere now.
func (s Strip) before(marks []Mark) (moved []Mark) {
	for _, w := range tidy(s.Was) {
		if m, ok := w.among(marks); ok && (m.Best != w.Best || m.Low != w.Low || m.High != w.High) {
			moved = append(moved, w)
		}
	}
	return moved
}

// among finds the mark that stands for the same evidence as m.
func (m Mark) among(marks []Mark) (Mark, bool) {
	for _, o := range marks {
		if o.Kind == m.Kind && o.Carried == m.Carried && o.Label == m.Label {
			return o, true
		}
	}
	return Mark{}, false
}

// was draws where a mark stood before: its interval and its best value as thin ticks, and the way from there.
func (d *Drawing) was(m Mark, before []Mark, t track) {
	w, ok := m.among(before)
	if !ok {
		return
	}
	place := func(v float64) float64 { return t.at(max(t.low, min(t.high, v))) }
	const aside = 4.5 // px below the mark's own line
	soft := Stroke{Role: Soft, Width: 1}
	tick := func(v, long float64) {
		if t.holds(v) {
			d.Ops = append(d.Ops, Line{[]Point{t.point(t.at(v), aside-long), t.point(t.at(v), aside+long)}, soft})
		}
	}
	low, high := place(w.Low), place(w.High)
	if w.OpenLow {
		low = t.from
	}
	if w.OpenHigh {
		high = t.to
	}
	d.Ops = append(d.Ops, Line{[]Point{t.point(low, aside), t.point(high, aside)}, Stroke{Role: Soft, Width: 1, Dash: 2}})
	tick(w.Best, 3.5)
	if !w.OpenLow {
		tick(w.Low, 1.5)
	}
	if !w.OpenHigh {
		tick(w.High, 1.5)
	}
}

// allowed tells the bound in words.
func (s Strip) allowed(b bound, a axis) string {
	var parts []string
	for _, l := range s.edges(b, a) {
		parts = append(parts, l.text)
	}
	switch {
	case b.hasMin() && b.hasMax():
		return "Allowed: " + strings.Join(parts, " to ") + "."
	case b.hasMin():
		return "Allowed: at least " + parts[0] + "."
	case b.hasMax():
		return "Allowed: at most " + parts[0] + "."
	}
	return "No bound."
}

// describe tells a mark in words: "calculated (14 units): 0.1 V, from -0.2 V to 0.3 V."
func (m Mark) describe(unit string, decimals int) string {
	say := func(v float64) string { return minus(withUnit(number(v, decimals), unit)) }
	text := m.Kind.String()
	if m.Label != text {
		text += " (" + m.Label + ")"
	}
	text += ": " + say(m.Best)
	switch {
	case m.OpenLow && m.OpenHigh:
		return text + ", without limits."
	case m.OpenLow:
		return text + ", up to " + say(m.High) + ", without a lower limit."
	case m.OpenHigh:
		return text + ", from " + say(m.Low) + ", without an upper limit."
	}
	return text + ", from " + say(m.Low) + " to " + say(m.High) + "."
}
