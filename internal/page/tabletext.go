package page

import (
	"strings"

	"hindwatt/internal/figure"
)

const (
	gap      = 2 // columns of a terminal between two columns of a table
	leastRow = 8 // columns that a wrapped cell gets at least
)

// table writes a table: cells wrap where it is too wide, and where even that does not help each row becomes a list.
func (p *paper) table(t Table) {
	if t.Title != "" {
		p.put("", t.Title, p.style.Bold)
	}
	rows := make([][]string, len(t.Rows))
	for i, r := range t.Rows {
		rows[i] = p.show(t.cells(r))
	}
	head := p.show(t.Head)
	if widths := t.widths(head, rows, p.width); widths != nil {
		p.row(t, head, widths, p.style.Soft)
		for _, r := range rows {
			p.row(t, r, widths, plain)
		}
	} else {
		p.list(head, rows)
	}
	if t.Note != "" {
		p.put("", t.Note, p.style.Soft)
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
	widths, cell, word := make([]int, n), make([]int, n), make([]int, n)
	sum := gap * (n - 1)
	for i, h := range head {
		word[i] = longestWord(h)
		for _, r := range rows {
			cell[i] = max(cell[i], figure.Columns(r[i]))
			word[i] = max(word[i], longestWord(r[i]))
		}
		widths[i] = max(cell[i], figure.Columns(h))
		sum += widths[i]
	}
	floors := []func(i int) int{
		func(i int) int { return max(cell[i], word[i]) },
		func(i int) int {
			if t.right(i) {
				return max(cell[i], word[i])
			}
			return word[i]
		},
		func(i int) int {
			if t.right(i) {
				return max(cell[i], word[i])
			}
			return leastRow
		},
	}
	for _, floor := range floors {
		for sum > width {
			widest := -1
			for i, w := range widths {
				if w > floor(i) && (widest < 0 || w > widths[widest]) {
					widest = i
				}
			}
			if widest < 0 {
				break
			}
			widths[widest]--
			sum--
		}
	}
	if sum > width {
		return nil
	}
	return widths
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
