package intake

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"hindwatt/internal/product/tree"
)

// readCSV cuts a text into rows, with the separator of "," ";" "|" and tab that fits.
func readCSV(file string, data []byte) (*sheet, error) {
	decoded, was, ok := tree.Decode(data)
	if !ok {
		return nil, fmt.Errorf("%s: is no text; want CSV in UTF-8, UTF-16 or Windows-1252, or an .xlsx workbook", file)
	}
	text := string(decoded)
	s := &sheet{file: file, epoch: 1900}
	if was == "Windows-1252" {
		s.note("the file is no UTF-8 and was read as "+was, "look at the letters with accents in the rows below")
	}
	c := &cutter{text: text, line: 1, column: 1}
	if sep, ok := strings.CutPrefix(text, "sep="); ok && sep != "" { // a hint of some spreadsheets
		c.separator = sep[0]
		c.line, c.at = 2, len(text)
		if end := strings.IndexByte(text, '\n'); end >= 0 {
			c.at = end + 1
		}
	} else {
		c.separator = separatorOf(text)
	}
	cells := 0
	for c.at < len(c.text) {
		r, err := c.row()
		if err != nil {
			return nil, fmt.Errorf("%s:%w", file, err)
		}
		if cells += len(r.cells); len(r.cells) > mostColumns || len(s.rows) >= mostRows || cells > mostCells {
			return nil, fmt.Errorf("%s:%d: the table is too large; at most %d rows, %d columns and %d cells are read", file, r.number, mostRows, mostColumns, mostCells)
		}
		if !r.empty() {
			s.rows = append(s.rows, r)
		}
	}
	return s, nil
}

// separatorOf returns the separator that cuts most of the first lines into the same number of cells.
func separatorOf(text string) byte {
	const lines = 100
	counts := map[byte][]int{}
	c := &cutter{text: text, line: 1, column: 1}
	best, most, wide := byte(','), 0, 0
	for _, separator := range []byte(",;\t|") {
		*c = cutter{text: text, line: 1, column: 1, separator: separator}
		for range lines {
			if c.at >= len(text) {
				break
			}
			r, err := c.row()
			if err != nil {
				break
			}
			if len(r.cells) > 1 {
				counts[separator] = append(counts[separator], len(r.cells))
			}
		}
		slices.Sort(counts[separator])
		for i, n := range counts[separator] {
			if alike := count(counts[separator][i:], n); alike > most || alike == most && n > wide {
				best, most, wide = separator, alike, n
			}
		}
	}
	return best
}

// count returns how many of a sorted list begin it with n.
func count(sorted []int, n int) (alike int) {
	for alike < len(sorted) && sorted[alike] == n {
		alike++
	}
	return alike
}

// cutter cuts a text into rows of cells (RFC 4180). A quote within a cell that does not begin with one is a letter like any other.
type cutter struct {
	text         string
	separator    byte
	at           int
	line, column int // of at, from 1, the column in characters
}

func (c *cutter) row() (row, error) {
	r := row{number: c.line}
	for {
		one, err := c.cell()
		if err != nil {
			return row{}, err
		}
		r.cells = append(r.cells, one)
		if c.at < len(c.text) && c.text[c.at] == c.separator {
			c.at++
			c.column++
			continue
		}
		c.newline()
		return r, nil
	}
}

// newline steps over a line end: CR LF, LF, or CR alone.
func (c *cutter) newline() {
	if strings.HasPrefix(c.text[c.at:], "\r\n") {
		c.at++
	}
	c.at++
	c.line, c.column = c.line+1, 1
}

func (c *cutter) cell() (cell, error) {
	start, column := c.at, c.column
	if start < len(c.text) && c.text[start] == '"' {
		return c.quoted()
	}
	for c.at < len(c.text) && c.text[c.at] != c.separator && c.text[c.at] != '\n' && c.text[c.at] != '\r' {
		c.at++
	}
	c.column += utf8.RuneCountInString(c.text[start:c.at])
	return cell{text: tidy(c.text[start:c.at]), at: column}, nil
}

func (c *cutter) quoted() (cell, error) {
	line, column := c.line, c.column
	start := c.at + 1
	end := start
	for {
		next := strings.IndexByte(c.text[end:], '"')
		if next < 0 {
			return cell{}, fmt.Errorf("%d:%d: the closing quote is missing; want the cell to end in a quote, and a quote within it doubled", line, column)
		}
		end += next
		if !strings.HasPrefix(c.text[end:], `""`) {
			break
		}
		end += 2
	}
	inside := c.text[start:end]
	c.line += strings.Count(inside, "\n")
	if last := strings.LastIndexByte(inside, '\n'); last >= 0 {
		c.column = utf8.RuneCountInString(inside[last+1:]) + 2
	} else {
		c.column += utf8.RuneCountInString(inside) + 2
	}
	c.at = end + 1
	for c.at < len(c.text) && c.text[c.at] == ' ' {
		c.at++
		c.column++
	}
	if c.at < len(c.text) && c.text[c.at] != c.separator && c.text[c.at] != '\n' && c.text[c.at] != '\r' {
		return cell{}, fmt.Errorf("%d:%d: something follows the closing quote; want a separator or the line's end", c.line, c.column)
	}
	return cell{text: tidy(strings.ReplaceAll(inside, `""`, `"`)), at: column}, nil
}
