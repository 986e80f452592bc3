package figure

import "strings"

// Text writes the table with a letter a cell, with "?" where the case may end worse, and the key below.
// The columns are numbered, and named below.
func (t EndsTable) Text(width int, style TextStyle) []string {
	out := []string{style.Shorten(t.Title, width), ""}
	if len(t.Rows) == 0 || len(t.Columns) == 0 {
		return append(out, "no data")
	}
	name := 0
	for _, r := range t.Rows {
		name = max(name, Columns(style.Show(minusASCII(r))))
	}
	name = min(name, max(8, width-4*len(t.Columns)))
	each := max(4, min(14, (width-name)/len(t.Columns)))
	most := max(1, (width-name)/each)
	head := Pad("", name, false)
	for i := range min(most, len(t.Columns)) {
		head += Pad("  "+number(float64(i+1), 0), each, false)
	}
	out = append(out, strings.TrimRight(head, " "))
	for row, r := range t.Rows {
		line := Pad(style.Shorten(minusASCII(r), name), name, false)
		for i := range min(most, len(t.Columns)) {
			c := t.cellOf(row, i)
			text := "-"
			if !c.None {
				text = endLetters[c.End : c.End+1]
				if c.Open {
					text += "?"
				}
			}
			text = Pad("  "+text, each, false)
			if !c.None && c.End >= PartLost {
				text = style.sgr(sgrOver, text)
			}
			line += text
		}
		out = append(out, strings.TrimRight(line, " "))
	}
	out = append(out, "")
	for i, c := range t.Columns {
		if i < most {
			out = append(out, style.Shorten(number(float64(i+1), 0)+"  "+minusASCII(c), width))
		} else {
			out = append(out, style.Shorten("no room for "+minusASCII(c), width))
		}
	}
	for _, l := range Wrap(endKey(style)+", ? may end worse", width) {
		out = append(out, style.Shorten(l, width))
	}
	return out
}
