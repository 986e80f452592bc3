package figure

import "strings"

// Text writes the carpet as a row a month of blocks of three hours, each with the mean's ink, and a sign where the limit is passed within it.
func (c Carpet) Text(width int, style TextStyle) []string {
	c = c.cut()
	f, ok := c.field()
	out := []string{style.Shorten(c.Title, width)}
	if !ok {
		return append(out, "no data")
	}
	out = append(out, style.Shorten(axisName(c.Axis.Name, c.Axis.Unit)+" by month and hour", width), "")
	parts, _ := calendar(c.First, c.First+c.Days)
	gutter := 0
	for _, p := range parts {
		gutter = max(gutter, len(p.name)+1)
	}
	block := min(6, (width-gutter)/8)
	if block < 2 {
		return append(out, style.Shorten(c.describe(f), width))
	}
	head := Pad("", gutter, false)
	for hour := 0; hour < 24; hour += 6 {
		head += Pad(number(float64(hour), 0), 2*block, false)
	}
	out = append(out, strings.TrimRight(head, " "))
	for _, p := range parts {
		line := Pad(p.name, gutter, false)
		for k := range 8 {
			line += c.block(f, p, k, block, style)
		}
		out = append(out, strings.TrimRight(line, " "))
	}
	out = append(out, "")
	signs, texts := style.shades(), c.keyTexts(f)
	var key []string
	for i, t := range texts {
		key = append(key, string(signs[i])+" "+strings.ReplaceAll(minusASCII(t), " ", "\u00a0"))
	}
	lines := []string{strings.Join(key, "  ")}
	if f.hasLevel {
		lines = append(lines, "! "+minusASCII(c.levelText(f)))
	}
	if f.blank > 0 {
		lines = append(lines, "blank: no value, "+hours(f.blank))
	}
	for _, l := range lines {
		for _, w := range Wrap(l, width) {
			out = append(out, style.Shorten(w, width))
		}
	}
	return out
}

// shades are the characters of least to most ink; each stands nearest to the value beside it in the key.
func (t TextStyle) shades() [5]rune {
	if t.ASCII {
		return [5]rune{'.', ':', '+', '#', '@'}
	}
	return [5]rune{'·', '░', '▒', '▓', '█'}
}

// block writes the mean of three hours through some days, and whether the limit is passed in them.
func (c Carpet) block(f field, p part, k, columns int, style TextStyle) string {
	sum, n, over := 0.0, 0.0, false
	from, to := (p.from-c.First)*f.columns/c.Days, (p.to-c.First)*f.columns/c.Days
	for day := from; day < max(to, from+1) && day < f.columns; day++ {
		for row := range f.rows {
			if cell := day*f.rows + row; row*8/f.rows == k && f.held[cell] {
				sum, n, over = sum+f.mean[cell], n+1, over || f.over[cell]
			}
		}
	}
	if n == 0 {
		return Pad("", columns, false)
	}
	i := int(max(0, min(4, 4*(sum/n-f.low)/(f.high-f.low)+0.5)))
	text := strings.Repeat(string(style.shades()[i]), columns-1)
	if over {
		return text + style.sgr(sgrOver, "!")
	}
	return text + " "
}
