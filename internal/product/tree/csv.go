package tree

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
)

// Rows are a CSV file: its header, and where its rows and their cells stand.
type Rows struct {
	File      *File
	Separator byte
	Header    []*Node // a String each
	Spans     []Span  // of the header and of every row, also of those at fault; line ends excluded
	Open      bool    // the last line has no end
	LastWhole bool    // the last row can be cut into as many cells as the header

	text  string  // of the file, which all cells share
	rows  []place // of the rows without fault
	cells []place // of the cells of these, as many to a row as the header has
}

// place is a Span in less memory: a file has less than 4 GB.
type place struct{ start, end uint32 }

func placeOf(s Span) place { return place{uint32(s.Start), uint32(s.End)} }

func (p place) span() Span { return Span{int(p.start), int(p.end)} }

// Len returns the number of rows without fault.
func (rows *Rows) Len() int { return len(rows.rows) }

// A Row is one row, in memory that the next one may use again.
type Row struct {
	Table Node    // of the cells that are not empty
	Cells []*Node // by column of the header; nil where a cell is empty
	nodes []Node
}

// Read makes row that of place i, from 0; its nodes hold until it is used again.
func (rows *Rows) Read(i int, row *Row) {
	columns := len(rows.Header)
	if len(row.nodes) != columns {
		row.nodes, row.Cells = make([]Node, columns), make([]*Node, columns)
	}
	at := rows.rows[i].span()
	row.Table = Node{Kind: Table, Span: at, KeySpan: at, File: rows.File, form: inline, Children: row.Table.Children[:0]}
	for column, cell := range rows.cells[i*columns : (i+1)*columns] {
		row.Cells[column] = nil
		text := rows.content(cell)
		if text == "" {
			continue
		}
		n, span := &row.nodes[column], cell.span()
		n.Kind, n.raw, n.File = String, true, rows.File
		n.Key, n.KeySpan, n.Span, n.Text = rows.Header[column].Text, span, span, text
		row.Cells[column] = n
		if row.Table.Child(n.Key) == nil {
			row.Table.append(n)
		}
	}
}

// content returns the text of a cell without fault.
func (rows *Rows) content(cell place) string {
	text := rows.text[cell.start:cell.end]
	if text == "" || text[0] != '"' {
		return text
	}
	return strings.TrimSpace(strings.ReplaceAll(text[1:len(text)-1], `""`, `"`))
}

// ReadCSV reads a file with a header line. The separator is the one of "," ";" and
// tab that stands most often in the header. A file that is no text, or whose header is
// at fault, goes to whole; rows with a wrong number of cells or stray quotes go to
// single, and reading goes on.
func ReadCSV(f *File, whole, single *Faults) *Rows {
	rows := &Rows{File: f, Separator: ','}
	if fault := f.CheckText(); fault != nil {
		whole.Add(fault)
		return rows
	}
	data, start := f.text()
	line, _, _ := bytes.Cut(data, []byte("\n"))
	for _, separator := range []byte(";\t") {
		if bytes.Count(line, []byte{separator}) > bytes.Count(line, []byte{rows.Separator}) {
			rows.Separator = separator
		}
	}
	rows.text = string(f.Data)
	c := cells{file: f, text: rows.text, faults: whole, separator: rows.Separator, at: start}
	for c.at < len(f.Data) && !single.Full(f.Name) {
		from := c.at
		row, ok := c.row()
		if len(row) > 0 {
			rows.Spans = append(rows.Spans, Span{from, c.end})
		}
		rows.Open = c.end == len(f.Data)
		switch {
		case len(row) == 0: // a blank line
		case rows.Header == nil:
			if !ok {
				return rows
			}
			rows.LastWhole = true
			rows.header(row, whole)
			rows.expect(len(f.starts))
			c.faults = single
		default:
			rows.LastWhole = ok && len(row) == len(rows.Header)
			if ok {
				rows.add(row, Span{from, c.end}, single)
			}
		}
	}
	return rows
}

// expect makes room for as many rows as the file has lines.
func (rows *Rows) expect(lines int) {
	rows.Spans = append(make([]Span, 0, lines), rows.Spans...)
	rows.rows = make([]place, 0, lines)
	rows.cells = make([]place, 0, min(lines*len(rows.Header), len(rows.text)))
}

func (rows *Rows) header(row []place, faults *Faults) {
	for _, cell := range row {
		rows.Header = append(rows.Header, &Node{Kind: String, Span: cell.span(), File: rows.File, Text: rows.content(cell), raw: true})
	}
	seen := map[string]bool{}
	for _, cell := range rows.Header {
		if cell.Text != "" && seen[cell.Text] {
			faults.Add(cell.Fault("", "the column stands twice", "want each once"))
		}
		seen[cell.Text] = true
	}
}

func (rows *Rows) add(row []place, at Span, faults *Faults) {
	if len(row) != len(rows.Header) {
		faults.Add(rows.File.Fault(at, "", "", fmt.Sprintf("the row has %d cells", len(row)),
			fmt.Sprintf("want %d as in the header; an empty cell needs its separator too", len(rows.Header))))
		return
	}
	rows.rows = append(rows.rows, placeOf(at))
	rows.cells = append(rows.cells, row...)
}

// cells cuts a CSV file into cells.
type cells struct {
	file      *File
	text      string // of the file
	faults    *Faults
	separator byte
	at        int
	end       int     // of the row last read, its line end excluded
	cut       []place // of the row last read
}

// row reads the next row and steps behind its line end; no cells stand for a blank
// line, and ok is false if a quote was at fault. The cells hold until the next row is read.
func (c *cells) row() (row []place, ok bool) {
	ok = true
	c.cut = c.cut[:0]
	for {
		span, fine := c.cell()
		ok = ok && fine
		c.cut = append(c.cut, placeOf(span))
		if c.at < len(c.text) && c.text[c.at] == c.separator {
			c.at++
			continue
		}
		break
	}
	c.end = c.at
	if c.at < len(c.text) && c.text[c.at] == '\r' {
		c.at++
	}
	if c.at < len(c.text) && c.text[c.at] == '\n' {
		c.at++
	}
	if len(c.cut) == 1 && c.cut[0].start == c.cut[0].end {
		return nil, ok
	}
	return c.cut, ok
}

// cell reads up to a separator or the line's end.
func (c *cells) cell() (at Span, ok bool) {
	start, text := c.at, c.text
	if start >= len(text) || text[start] != '"' {
		c.at = c.plainEnd(start)
		at = c.trimmed(start, c.at)
		if quote := strings.IndexByte(text[at.Start:at.End], '"'); quote >= 0 {
			return at, c.fault(Span{at.Start + quote, at.Start + quote + 1}, "a quote stands within a cell",
				`want the whole cell in quotes and the quote doubled, such as "5"" pipe"`)
		}
		return at, true
	}
	for i := start + 1; i < len(text); i++ {
		if text[i] != '"' {
			continue
		}
		if i+1 < len(text) && text[i+1] == '"' {
			i++
			continue
		}
		c.at = c.plainEnd(i + 1)
		if rest := strings.TrimSpace(text[i+1 : c.at]); rest != "" {
			return Span{start, i + 1}, c.fault(Span{i + 1, c.at}, "something follows the closing quote", "want a separator or the line's end")
		}
		return Span{start, i + 1}, true
	}
	c.at = c.plainEnd(start)
	at = c.trimmed(start, c.at)
	return at, c.fault(at, "the closing quote is missing", `want the cell to end in a quote`)
}

// plainEnd returns where a cell without quotes ends.
func (c *cells) plainEnd(from int) int {
	text := c.text
	for i := from; i < len(text); i++ {
		switch b := text[i]; {
		case b == c.separator, b == '\n':
			return i
		case b == '\r' && (i+1 == len(text) || text[i+1] == '\n'):
			return i
		}
	}
	return len(text)
}

// trimmed returns the place of a cell without the blanks around it.
func (c *cells) trimmed(start, end int) Span {
	whole := c.text[start:end]
	if whole == "" || printing(whole[0]) && printing(whole[len(whole)-1]) {
		return Span{start, end}
	}
	left := strings.TrimLeftFunc(whole, unicode.IsSpace)
	start += len(whole) - len(left)
	return Span{start, start + len(strings.TrimRightFunc(left, unicode.IsSpace))}
}

// printing reports whether a byte is a character of ASCII that leaves a mark.
func printing(b byte) bool { return b > ' ' && b < 0x7f }

func (c *cells) fault(at Span, problem, want string) bool {
	c.faults.Add(c.file.Fault(at, "", "", problem, want))
	return false
}
