package figure

import (
	"math"
	"strings"
)

// Text writes the totals and gaps as a table of the sums at the ends of months or quarters, and each gap's bar of the largest total below.
func (t Totals) Text(width int, style TextStyle) []string {
	s, ok := t.scene()
	out := []string{style.Shorten(t.Title, width)}
	if !ok {
		return append(out, "no data")
	}
	out = append(out, style.Shorten(axisName(t.Axis.Name, t.Axis.Unit), width), "")
	type line struct {
		text string
		last float64
		sign rune
	}
	fill := fills(style)
	var lines []line
	largest := 0.0
	for _, c := range s.curves {
		lines = append(lines, line{c.said, c.last, fill[0]})
		largest = max(largest, math.Abs(c.last))
	}
	for i, g := range s.gaps {
		sign := fill[1+i%3]
		if g.harm {
			sign = style.signs().over
		}
		lines = append(lines, line{g.said, g.last, sign})
		largest = max(largest, math.Abs(g.last))
	}
	name := 0
	for i := range lines {
		lines[i].text = style.Shorten(minusASCII(lines[i].text), width)
		name = max(name, Columns(lines[i].text))
	}
	room := min(48, width-name-2)
	for i, l := range lines {
		if i == len(s.curves) {
			out = append(out, "")
		}
		bar := ""
		if room >= 10 && largest > 0 {
			bar = "  " + strings.Repeat(string(l.sign), int(math.Round(float64(room)*max(0, l.last)/largest)))
		}
		out = append(out, strings.TrimRight(Pad(l.text, name, false)+bar, " "))
	}
	return append(out, s.table(width, style)...)
}

// table writes the sums at the end of each quarter of the time shown, where the columns have room.
func (s sums) table(width int, style TextStyle) []string {
	const quarters = 4
	_, exponent := step((s.y.high - s.y.low) / 300)
	head := []string{""}
	for q := 1; q <= quarters; q++ {
		at := s.x.low + (s.x.high-s.x.low)*float64(q)/quarters
		text := dateText(at, 1)
		if s.nameless {
			text = "day " + number(at, 0)
		}
		head = append(head, text)
	}
	rows := [][]string{head}
	for _, c := range s.curves {
		row := []string{c.name}
		for q := 1; q <= quarters; q++ {
			at := s.x.low + (s.x.high-s.x.low)*float64(q)/quarters
			row = append(row, number(c.mid.at(at), max(0, -exponent)))
		}
		rows = append(rows, row)
	}
	wide := make([]int, quarters+1)
	total := 2 * quarters
	for i := range wide {
		for _, r := range rows {
			wide[i] = max(wide[i], Columns(style.Show(r[i])))
		}
		total += wide[i]
	}
	if total > width {
		return nil
	}
	out := []string{""}
	for _, r := range rows {
		text := Pad(style.Show(r[0]), wide[0], false)
		for i := 1; i < len(r); i++ {
			text += "  " + Pad(style.Show(r[i]), wide[i], true)
		}
		out = append(out, strings.TrimRight(text, " "))
	}
	return out
}
