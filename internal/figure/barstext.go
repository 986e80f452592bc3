package figure

import (
	"math"
	"strings"
)

// Text writes the bars: name, bar with its interval, and what is said of it; in a narrow terminal name and text have their own line.
func (b Bars) Text(width int, style TextStyle) []string {
	rows, a := b.stacks()
	out := []string{style.Shorten(b.Title, width), ""}
	if len(rows) == 0 {
		return append(out, "no data")
	}
	name, text := 0, 0
	for _, r := range rows {
		name, text = max(name, Columns(style.Show(r.name))), max(text, Columns(style.Show(r.text)))
	}
	beside := name+text+4+20 <= width
	room := min(56, width-2)
	if beside {
		room = min(56, width-name-text-4)
	}
	a.from, a.to = 0, float64(room-1)
	for _, r := range rows {
		bar := Pad(textStack(r, a, style), room, false)
		if beside {
			out = append(out, strings.TrimRight(Pad(style.Show(r.name), name, false)+"  "+bar+"  "+Pad(style.Show(r.text), text, true), " "))
			continue
		}
		out = append(out, style.Shorten(r.name, width), "  "+strings.TrimRight(bar, " "))
		for _, l := range Wrap(style.Show(r.text), width-2) {
			out = append(out, "  "+l)
		}
	}
	indent := 2
	if beside {
		indent = name + 2
	}
	for _, l := range axisText(a, nil, b.Axis.Unit, style) {
		out = append(out, Pad("", indent, false)+l)
	}
	if len(b.Parts) > 1 {
		var key []string
		for i, p := range b.Parts {
			key = append(key, string(fills(style)[i%4])+" "+p)
		}
		out = append(out, Wrap(style.Show(strings.Join(key, "  ")), width)...)
	}
	return out
}

// fills are the characters of stacked parts; the last one is for what takes away.
func fills(style TextStyle) []rune {
	if style.ASCII {
		return []rune("#ox%:")
	}
	return []rune("█░▓▒┄")
}

// textStack is a row's bar in columns, with its interval over it.
func textStack(r stack, a axis, style TextStyle) string {
	cells := make([]cell, int(a.to)+1)
	for i := range cells {
		cells[i].sign = ' '
	}
	g := style.signs()
	column := func(v float64) int { return int(math.Round(a.at(v))) }
	left, right := r.base, r.base
	for i, p := range r.parts {
		x1, x2, fill := right, right+p, fills(style)[i%4]
		if p < 0 {
			x1, x2, fill = left+p, left, fills(style)[4]
		}
		left, right = min(left, x1), max(right, x2)
		for k := column(x1); p != 0 && (k < column(x2) || k == column(x1)); k++ {
			cells[k].sign = fill
		}
	}
	if m := r.whisker; m != nil {
		markCells(cells, *m, a, bound{-limit, limit}, g)
		cells[column(m.Best)].sign = '|'
		if !style.ASCII {
			cells[column(m.Best)].sign = '┃'
		}
	}
	if i := column(0); cells[i].sign == ' ' {
		cells[i].sign = g.edge
	}
	return paint(cells, style)
}
