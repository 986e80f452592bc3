package figure

import (
	"math"
	"strings"
)

// signs are the characters of a terminal's strip; each takes one column.
type signs struct {
	ring, square, hollow, triangle, hollowTriangle, edge, band, within, over, inner, level, dots, left, right rune
}

var (
	unicodeSigns = signs{'○', '■', '□', '▲', '△', '│', '╱', '─', '━', '═', '┊', '·', '◀', '▶'}
	asciiSigns   = signs{'o', '#', '+', '^', 'A', '|', '/', '-', '=', '~', ':', '.', '<', '>'}
)

func (t TextStyle) signs() signs {
	if t.ASCII {
		return asciiSigns
	}
	return unicodeSigns
}

func (s signs) of(m Mark) rune {
	switch {
	case m.Kind == Measured && m.Carried:
		return s.hollow
	case m.Kind == Measured:
		return s.square
	case m.Kind == Recorded && m.Carried:
		return s.hollowTriangle
	case m.Kind == Recorded:
		return s.triangle
	}
	return s.ring
}

// Symbol returns the character that stands for a kind of evidence in a terminal.
func (t TextStyle) Symbol(k MarkKind, carried bool) string {
	return string(t.signs().of(Mark{Kind: k, Carried: carried}))
}

// plotColumns is the widest that a strip's axis gets in a terminal.
const plotColumns = 56

// Text writes the strip: one line a mark on the hatched band, what the mark stands on beside it (below, in a narrow terminal), and the
// line of the axis.
// Without marks there is the band alone.
func (s Strip) Text(width int, style TextStyle) []string {
	marks, b := tidy(s.Marks), newBound(s.Min, s.Max)
	columns := min(plotColumns, max(width-4, 8))
	if width >= 64 {
		columns = min(plotColumns, width-34)
	}
	a := stripAxis(marks, b, 0, float64(columns-1))
	var lines, below []string
	if len(marks) == 0 && b.any() {
		lines = append(lines, row(nil, a, b, s.Unit, style))
	}
	for i, m := range marks {
		line := row(&marks[i], a, b, s.Unit, style)
		switch room := width - columns - 3; {
		case room >= 12:
			line = Pad(line, columns+2, false) + style.Shorten(m.Label, room)
		case m.Label != m.Kind.String():
			below = append(below, style.Shorten(style.Symbol(m.Kind, m.Carried)+" "+m.Label, width))
		}
		lines = append(lines, line)
	}
	lines = append(lines, axisText(a, s.edges(b, a), s.Unit, style)...)
	return append(lines, below...)
}

// cell is one column of a row.
type cell struct {
	sign rune
	sgr  string
}

// row writes the band with one mark on it.
func row(m *Mark, a axis, b bound, unit string, style TextStyle) string {
	return paint(rowCells(m, a, b, unit, style), style)
}

// rowCells are the columns of a row.
func rowCells(m *Mark, a axis, b bound, unit string, style TextStyle) []cell {
	g := style.signs()
	cells := make([]cell, int(a.to)+1)
	for i := range cells {
		cells[i] = cell{' ', ""}
	}
	column := func(v float64) int { return int(math.Round(a.at(v))) }
	if b.any() && b.min <= a.high && b.max >= a.low {
		for i := column(b.min); i <= column(b.max); i++ {
			cells[i] = cell{g.band, sgrBand}
		}
	}
	if m != nil {
		markCells(cells, *m, a, b, g)
	}
	for _, v := range []float64{b.min, b.max} {
		if i := column(v); a.holds(v) && (m == nil || cells[i].sign != g.of(*m)) {
			cells[i] = cell{g.edge, sgrBand}
		}
	}
	if m != nil && !a.holds(m.Best) {
		valueCells(cells, *m, a, minusASCII(withUnit(significant(m.Best, 4), unit)), style)
	}
	return cells
}

// markCells draws a mark's interval and its sign.
func markCells(cells []cell, m Mark, a axis, b bound, g signs) {
	column := func(v float64) int { return int(math.Round(a.at(v))) }
	for i := column(m.Low); i <= column(m.High); i++ {
		// The column's own value decides on which side of the bound it is.
		v := a.low + (a.high-a.low)*float64(i)/a.to
		if v = max(m.Low, min(m.High, v)); b.holds(v) {
			cells[i] = cell{g.within, ""}
		} else {
			cells[i] = cell{g.over, sgrOver}
		}
	}
	last := len(cells) - 1
	ends := func(i, step int, open, off bool, arrow rune) {
		for k := 0; open && k < 3 && i+k*step >= 0 && i+k*step <= last; k++ {
			cells[i+k*step].sign = g.dots
		}
		if off && !open {
			cells[i].sign = arrow
		}
	}
	ends(0, 1, m.OpenLow, m.Low < a.low, g.left)
	ends(last, -1, m.OpenHigh, m.High > a.high, g.right)
	sgr := ""
	if !b.holds(m.Best) {
		sgr = sgrBold + ";" + sgrOver
	}
	at := column(m.Best)
	switch {
	case m.Best > a.high:
		cells[last], at = cell{g.right, sgrOver}, last-1
	case m.Best < a.low:
		cells[0], at = cell{g.left, sgrOver}, 1
	}
	cells[at] = cell{g.of(m), sgr}
}

// valueCells writes the value of a mark that stands off the axis beside it.
func valueCells(cells []cell, m Mark, a axis, text string, style TextStyle) {
	r := []rune(style.Show(text))
	at := len(cells) - 3 - len(r)
	if m.Best < a.low {
		at = 3
	}
	if at < 0 || at+len(r) > len(cells) {
		return
	}
	for i, c := range r {
		cells[at+i] = cell{c, ""}
	}
}

// paint joins cells, setting colours where they change.
func paint(cells []cell, style TextStyle) string {
	var b strings.Builder
	for i := 0; i < len(cells); {
		j := i
		var run strings.Builder
		for ; j < len(cells) && cells[j].sgr == cells[i].sgr; j++ {
			run.WriteRune(cells[j].sign)
		}
		if cells[i].sgr == "" {
			b.WriteString(run.String())
		} else {
			b.WriteString(style.sgr(cells[i].sgr, run.String()))
		}
		i = j
	}
	return strings.TrimRight(b.String(), " ")
}
