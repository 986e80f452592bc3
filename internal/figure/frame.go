package figure

import (
	"cmp"
	"slices"
)

// axisName is "quantity, unit".
func axisName(name, unit string) string {
	if unit == "" || name == "" {
		return name + unit
	}
	return name + ", " + unit
}

// tickText writes a value at a tick.
func tickText(v float64, decimals int) string {
	if v == 0 {
		return "0"
	}
	return minus(number(v, decimals))
}

// boundAbove writes the bound's labels in a line at the top, with an arrow where the bound is off the axis, and returns where the plot may begin.
func (d *Drawing) boundAbove(a axis, labels []label, b bound) float64 {
	values := []float64{}
	if b.hasMin() {
		values = append(values, b.min)
	}
	if b.hasMax() && len(labels) > len(values) {
		values = append(values, b.max)
	}
	for i, v := range values {
		switch l := &labels[i]; {
		case v < a.low:
			l.text = "← " + l.text
			l.width = textWidth(l.text, small)
		case v > a.high:
			l.text += " →"
			l.width = textWidth(l.text, small)
		}
	}
	y := 11.0
	if place(labels, 0, d.Width, 12) {
		for _, l := range labels {
			d.write(l.x, y, small, Ink, Middle, l.text)
		}
		return y + 9
	}
	for i, l := range labels {
		l.text = fit(l.text, small, d.Width)
		one := []label{{l.x, textWidth(l.text, small), l.text}}
		place(one, 0, d.Width, 0)
		d.write(one[0].x, y+13*float64(i), small, Ink, Middle, l.text)
	}
	return y + 13*float64(max(0, len(labels)-1)) + 9
}

// written returns, rising, the ticks whose numbers have room: those of the lowest rank first.
func written(ticks []tick, room func(tick) label, gap float64) []label {
	ticks = slices.Clone(ticks)
	slices.SortStableFunc(ticks, func(a, b tick) int { return a.rank - b.rank })
	var out []label
	for _, t := range ticks {
		if l := room(t); clear(l, out, gap) {
			out = append(out, l)
		}
	}
	slices.SortFunc(out, func(a, b label) int { return cmp.Compare(a.x, b.x) })
	return out
}

// ticksBelow draws the ticks of a horizontal axis at y with their numbers, as many as have room, and returns the base line of the numbers.
func (d *Drawing) ticksBelow(a axis, y float64) float64 {
	beside := func(t tick) label {
		w := textWidth(t.text, small)
		return label{max(w/2, min(d.Width-w/2, a.at(t.at))), w, t.text}
	}
	ticks, labels := []tick(nil), []label(nil)
	for want := max(2, int((a.to-a.from)/64)); want > 0; want-- {
		ticks = a.ticks(want)
		if labels = written(ticks, beside, 8); len(labels) == len(ticks) {
			break
		}
	}
	for _, t := range ticks {
		d.line(a.at(t.at), y, a.at(t.at), y+4, Stroke{Role: Soft, Width: 1})
	}
	for _, l := range labels {
		d.write(l.x, y+15, small, Soft, Middle, l.text)
	}
	return y + 15
}
