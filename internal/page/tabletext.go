package page

import (
	"strings"

	"hindwatt/internal/figure"
)

const (
	gap      = 2 // columns of a terminal between two columns of a table
	leastRow = 8 // columns that a wrapped cell gets at least
)

// table writes a table, of one without rows its note: cells wrap where it is too wide, and where even that does not help each row becomes a list.
func (p *paper) table(t Table) {
	if t.Title != "" {
		p.put("", t.Title, p.style.Bold)
	}
	if len(t.Rows) > 0 {
		p.rows(t)
	}
	if t.Note != "" {
		p.put("", t.Note, p.style.Soft)
	}
}

func (p *paper) rows(t Table) {
	rows := make([][]string, len(t.Rows))
	for i, r := range t.Rows {
		rows[i] = p.show(t.cells(r))
	}
	head := p.show(t.Head)
	widths := t.widths(head, rows, p.width)
	if widths == nil {
		p.list(head, rows)
		return
	}
	p.row(t, head, widths, p.style.Soft)
	for _, r := range rows {
		p.row(t, r, widths, plain)
	}
}

func (p *paper) show(cells []string) []string {
	out := make([]string, len(cells))
	for i, c := range cells {
		out[i] = p.style.Show(c)
	}
	return out
}

// widths returns the columns' widths that fit, or nil if none do. Heads give way first, then cells at their spaces, at last words of text.
func (t Table) widths(head []string, rows [][]string, width int) []int {
	n := len(head)
	widths, words, heads, least := make([]int, n), make([]int, n), make([]int, n), make([]int, n)
	for i, h := range head {
		cell, word := 0, longestWord(h)
		for _, r := range rows {
			cell, word = max(cell, figure.Columns(r[i])), max(word, longestWord(r[i]))
		}
		widths[i], heads[i], words[i], least[i] = max(cell, figure.Columns(h)), max(cell, word), word, leastRow
		if t.right(i) {
			words[i], least[i] = heads[i], heads[i] // a number does not wrap
		}
	}
	for _, floor := range [][]int{heads, words, least} {
		if shrink(widths, floor, width-gap*(n-1)) {
			return widths
		}
	}
	return nil
}

// shrink makes the widest column narrower, again and again, down to its floor, until all fit. It reports whether they do.
func shrink(widths, floor []int, room int) bool {
	sum := 0
	for _, w := range widths {
		sum += w
	}
	for ; sum > room; sum-- {
		widest := -1
		for i, w := range widths {
			if w > floor[i] && (widest < 0 || w > widths[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			return false
		}
		widths[widest]--
	}
	return true
}

func longestWord(s string) int {
	n := 0
	for _, w := range strings.Fields(s) {
		n = max(n, figure.Columns(w))
	}
	return n
}

func (p *paper) row(t Table, cells []string, widths []int, paint func(string) string) {
	wrapped, height := make([][]string, len(cells)), 1
	for i, c := range cells {
		wrapped[i] = p.wrap(c, max(widths[i], 1))
		height = max(height, len(wrapped[i]))
	}
	for k := range height {
		var line []string
		for i := range cells {
			text := ""
			if k < len(wrapped[i]) {
				text = wrapped[i][k]
			}
			line = append(line, figure.Pad(text, widths[i], t.right(i)))
		}
		p.line(paint(strings.TrimRight(strings.Join(line, strings.Repeat(" ", gap)), " ")))
	}
}

// list writes each row as lines of "head: cell".
func (p *paper) list(head []string, rows [][]string) {
	for i, r := range rows {
		if i > 0 {
			p.blank()
		}
		for k, c := range r {
			switch {
			case c == "":
			case k == 0:
				p.put("", c, plain)
			default:
				p.put("  ", head[k]+": "+c, plain)
			}
		}
	}
}
