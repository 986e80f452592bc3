package figure

import (
	"math"
	"slices"
)

// endLetters stand for the ends where words have no room.
const endLetters = "URPBH"

// Text writes the boxes: one line a mark on the hatched boxes, the margin and what the mark stands on beside it (below, in a narrow
// terminal), and the boxes' names below.
func (e Ends) Text(width int, style TextStyle) []string {
	columns := min(plotColumns, max(width-4, 16))
	if width >= 64 {
		columns = min(plotColumns, width-34)
	}
	edge := func(k FaultEnd) int { return int(math.Round(float64(columns-1) * float64(k) / float64(ends))) }
	middle := func(k FaultEnd) int { return (edge(k) + edge(k+1)) / 2 }
	var lines, below []string
	if len(e.Marks) == 0 {
		lines = append(lines, paint(e.boxes(columns, edge, style), style))
	}
	for _, m := range e.Marks {
		m.End, m.Reach = min(m.End, Hazard), min(m.Reach, Hazard)
		cells, g := e.boxes(columns, edge, style), style.signs()
		for i := middle(m.End); m.Reach > m.End && i <= middle(m.Reach); i++ {
			cells[i] = cell{g.within, ""}
			if k := e.boxAt(i, edge); !e.allows(k) {
				cells[i] = cell{g.over, sgrOver}
			}
		}
		sgr := ""
		if !e.allows(m.End) {
			sgr = sgrBold + ";" + sgrOver
		}
		cells[middle(m.End)] = cell{g.of(Mark{Kind: m.Kind, Carried: m.Carried}), sgr}
		line, said := paint(cells, style), m.margin()
		if said == "" {
			said = m.Label
		}
		switch room := width - columns - 3; {
		case said == "":
		case room >= 12:
			line = Pad(line, columns+2, false) + style.Shorten(said, room)
		default:
			below = append(below, style.Shorten(style.Symbol(m.Kind, m.Carried)+" "+said, width))
		}
		lines = append(lines, line)
		if m.Label != "" && said != m.Label {
			below = append(below, style.Shorten(style.Symbol(m.Kind, m.Carried)+" "+m.Label, width))
		}
	}
	lines = append(lines, e.names(columns, edge, style)...)
	if e.Verdict != "" {
		below = append(below, style.Shorten(e.Verdict, width))
	}
	return append(lines, below...)
}

// boxAt is the box that a column lies in.
func (e Ends) boxAt(column int, edge func(FaultEnd) int) FaultEnd {
	for k := range Hazard {
		if column < edge(k+1) {
			return k
		}
	}
	return Hazard
}

// boxes are the columns of a row without a mark.
func (e Ends) boxes(columns int, edge func(FaultEnd) int, style TextStyle) []cell {
	g := style.signs()
	cells := make([]cell, columns)
	for i := range cells {
		cells[i] = cell{' ', ""}
		if slices.Contains(e.Allowed, e.boxAt(i, edge)) {
			cells[i] = cell{g.band, sgrBand}
		}
	}
	for k := range ends + 1 {
		cells[edge(k)] = cell{g.edge, sgrBand}
	}
	return cells
}

// names are the lines that name the boxes: in words if all have room, else by letters with a key.
func (e Ends) names(columns int, edge func(FaultEnd) int, style TextStyle) []string {
	words, deepest := [ends][]string{}, 0
	letters := false
	for k := range ends {
		room := edge(k+1) - edge(k) - 1
		words[k] = Wrap(k.String(), max(room, 1))
		for _, w := range splitWords(k.String()) {
			letters = letters || Columns(w) > room
		}
		deepest = max(deepest, len(words[k]))
	}
	if letters {
		deepest = 1
	}
	var lines []string
	for i := range deepest {
		var labels []label
		for k := range ends {
			text := ""
			if letters {
				text = endLetters[k : k+1]
			} else if i < len(words[k]) {
				text = words[k][i]
			}
			labels = append(labels, label{float64(edge(k)+edge(k+1)+1) / 2, float64(Columns(text)), text})
		}
		lines = append(lines, setText(labels, columns))
	}
	if letters {
		lines = append(lines, Wrap(endKey(style), columns)...)
	}
	return lines
}

// endKey says what the letters mean.
func endKey(style TextStyle) string {
	text := ""
	for k := range ends {
		if k > 0 {
			text += ", "
		}
		text += endLetters[k:k+1] + "\u00a0" + k.String()
	}
	return style.Show(text)
}
