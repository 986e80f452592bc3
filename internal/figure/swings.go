package figure

import (
	"math"
	"strings"
)

// Swing is what one input does to a figure: where the figure lies with the input at the low and at the high end of its tolerance.
// An end that is not finite has no bar.
type Swing struct {
	Name      string
	Low, High float64
	Text      string // said at the right: "±15 %"
}

// Swings draws how far a figure moves with each of its inputs, in the order given, from where it lies with all at their nominal. For
// each input there are two bars: the upper one, solid, is of its low end, the lower one, hollow, of its high end.
type Swings struct {
	Title    string
	Axis     Axis    // of the figure; always linear
	Base     float64 // likewise in its unit
	Rows     []Swing
	Min, Max *float64 // bounds that a promise sets, drawn where they lie on the axis
	Source   string
}

// axis holds the base and all ends, and a bound that is at most one span away.
func (s Swings) axis() axis {
	all := nothing.with(s.Base)
	for _, r := range s.Rows {
		for _, v := range []float64{r.Low, r.High} {
			if finite(v) {
				all = all.with(v)
			}
		}
	}
	size := max(all.high-all.low, 1e-9*math.Abs(s.Base))
	low, high := all.low, all.high
	for _, b := range []*float64{s.Min, s.Max} {
		if b != nil && finite(*b) && *b > low-size && *b < high+size {
			all = all.with(*b)
		}
	}
	return rounded(all.low, all.high, 0, 1)
}

// Drawing lays the bars out; width 0 is 640 px. Names and texts stand beside their bars, or above them where there is no room.
func (s Swings) Drawing(width float64) Drawing {
	if !(width > 0) {
		width = figureWidth
	}
	d := Drawing{Width: width, Title: s.Title, Description: s.describe()}
	if len(s.Rows) == 0 || !finite(s.Base) {
		d.write(0, 14, 12, Soft, Start, "No tolerance changes it.")
		d.foot(20, s.Source)
		return d
	}
	const size = 12
	name, text := 0.0, 0.0
	for _, r := range s.Rows {
		name, text = max(name, textWidth(r.Name, size)), max(text, textWidth(minus(r.Text), size))
	}
	a := s.axis()
	y := d.partNames([]string{"at the input's low end", "at its high end"})
	beside := name < 0.42*width && text < 0.24*width
	if a.from, a.to = name+12, width-text-14; !beside {
		a.from, a.to = 10, width-10
	}
	y = d.bounds(a, s.Min, s.Max, y)
	top := y
	for _, r := range s.Rows {
		if beside {
			d.write(a.from-12, y+15, size, Ink, End, r.Name)
			d.write(width, y+15, size, Soft, End, minus(r.Text))
		} else {
			y = d.headAbove(stack{name: r.Name, text: r.Text}, y, size)
		}
		for i, v := range []float64{r.Low, r.High} {
			if from, to := a.at(min(v, s.Base)), a.at(max(v, s.Base)); finite(v) && v != s.Base {
				d.part(i, false, from, y+4+7*float64(i), max(to-from, 0.6), 6)
			}
		}
		y += 23
	}
	d.line(a.at(s.Base), top, a.at(s.Base), y, Stroke{Role: Ink, Width: 1})
	for _, b := range []*float64{s.Min, s.Max} {
		if b != nil && a.holds(*b) {
			d.line(a.at(*b), top, a.at(*b), y, Stroke{Role: Soft, Width: 1, Dash: 3})
		}
	}
	d.line(a.from, y, a.to, y, Stroke{Role: Rule, Width: 1})
	y = d.ticksBelow(a, y)
	if title := axisName(s.Axis.Name, s.Axis.Unit); title != "" {
		y += 16
		middle := (a.from + a.to) / 2
		d.write(middle, y, size, Soft, Middle, fit(title, size, 2*min(middle, width-middle)))
	}
	d.foot(y+6, s.Source)
	return d
}

// bounds names the bounds that lie on the axis and returns where the rows may begin.
func (d *Drawing) bounds(a axis, least, most *float64, y float64) float64 {
	named := false
	for _, b := range []struct {
		at     *float64
		text   string
		anchor Anchor
		off    float64
	}{{least, "promised at least", Start, 4}, {most, "promised at most", End, -4}} {
		if b.at == nil || !a.holds(*b.at) {
			continue
		}
		x := a.at(*b.at) + b.off
		if w := textWidth(b.text, small); b.anchor == Start && x+w > d.Width || b.anchor == End && x < w {
			b.anchor, x = map[Anchor]Anchor{Start: End, End: Start}[b.anchor], x-2*b.off
		}
		d.write(x, y+9, small, Soft, b.anchor, b.text)
		named = true
	}
	if named {
		return y + 14
	}
	return y
}

// ends writes both ends of a row.
func (s Swings) ends(r Swing, a axis) string {
	text := func(v float64) string {
		if !finite(v) {
			return "no figure"
		}
		return withUnit(number(v, a.decimals+1), s.Axis.Unit)
	}
	return text(r.Low) + " to " + text(r.High)
}

func (s Swings) describe() string {
	if len(s.Rows) == 0 || !finite(s.Base) {
		return "No tolerance changes the figure."
	}
	a := s.axis()
	var parts []string
	for _, r := range s.Rows {
		parts = append(parts, r.Name+": "+minus(s.ends(r, a)))
	}
	return "With every input at its nominal " + minus(withUnit(number(s.Base, a.decimals+1), s.Axis.Unit)) + "; from the low to the high end of " + strings.Join(parts, "; of ") + "."
}

// Text writes each input with its bars on one line: from the base to where the figure goes.
func (s Swings) Text(width int, style TextStyle) []string {
	out := []string{style.Shorten(s.Title, width), ""}
	if len(s.Rows) == 0 || !finite(s.Base) {
		return append(out, "No tolerance changes it.")
	}
	a := s.axis()
	name, text := 0, 0
	for _, r := range s.Rows {
		name, text = max(name, Columns(style.Show(r.Name))), max(text, Columns(style.Show(s.ends(r, a))))
	}
	beside := name+text+4+16 <= width
	room := min(48, width-2)
	if beside {
		room = min(48, width-name-text-4)
	}
	a.from, a.to = 0, float64(room-1)
	for _, r := range s.Rows {
		line := string(s.track(r, a, room, style))
		if beside {
			out = append(out, Pad(style.Show(r.Name), name, false)+"  "+line+"  "+Pad(style.Show(s.ends(r, a)), text, true))
			continue
		}
		out = append(out, style.Shorten(r.Name, width), "  "+line, "  "+style.Shorten(s.ends(r, a), width-2))
	}
	indent := 2
	if beside {
		indent = name + 2
	}
	for _, l := range axisText(a, nil, s.Axis.Unit, style) {
		out = append(out, Pad("", indent, false)+l)
	}
	f := fills(style)
	return append(out, Wrap(style.Show(string(f[0])+" at the input's low end  "+string(f[1])+" at its high end"), width)...)
}

// track is a row's line: the shorter bar lies over the longer one where both go the same way.
func (s Swings) track(r Swing, a axis, room int, style TextStyle) []rune {
	line := []rune(strings.Repeat(" ", room))
	base := int(math.Round(a.at(s.Base)))
	type one struct {
		v    float64
		fill rune
	}
	bars := []one{{r.Low, fills(style)[0]}, {r.High, fills(style)[1]}}
	if finite(r.Low) && math.Abs(r.Low-s.Base) < math.Abs(r.High-s.Base) {
		bars[0], bars[1] = bars[1], bars[0]
	}
	for _, b := range bars {
		if !finite(b.v) || b.v == s.Base {
			continue
		}
		at := int(math.Round(a.at(b.v)))
		for x := min(at, base); x <= max(at, base); x++ {
			line[x] = b.fill
		}
	}
	line[base] = '│'
	if style.ASCII {
		line[base] = '|'
	}
	return line
}
