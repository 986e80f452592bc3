package tree

import (
	"bytes"
	"fmt"
	"strings"
)

// Rows are a CSV file: its header and its rows, each row a table of its cells that
// are not empty.
type Rows struct {
	File      *File
	Separator byte
	Header    []*Node // a String each
	Rows      []*Node
	Spans     []Span // of the header and of every row, also of those at fault; line ends excluded
	Open      bool   // the last line has no end
	LastWhole bool   // the last row can be cut into as many cells as the header
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
	c := cells{file: f, faults: whole, separator: rows.Separator, at: start}
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
			c.faults = single
		default:
			rows.LastWhole = ok && len(row) == len(rows.Header)
			if ok {
				rows.row(row, Span{from, c.end}, single)
			}
		}
	}
	return rows
}

func (rows *Rows) header(row []*Node, faults *Faults) {
	rows.Header = row
	for i, cell := range row {
		cell.Text = strings.TrimSpace(cell.Text)
		for _, before := range row[:i] {
			if cell.Text != "" && cell.Text == before.Text {
				faults.Add(cell.Fault("", "the column stands twice", "want each once"))
				break
			}
		}
	}
}

func (rows *Rows) row(row []*Node, at Span, faults *Faults) {
	if len(row) != len(rows.Header) {
		faults.Add(rows.File.Fault(at, "", "", fmt.Sprintf("the row has %d cells", len(row)),
			fmt.Sprintf("want %d as in the header; an empty cell needs its separator too", len(rows.Header))))
		return
	}
	table := &Node{Kind: Table, Span: at, KeySpan: at, File: rows.File, form: inline}
	for i, cell := range row {
		if cell.Text = strings.TrimSpace(cell.Text); cell.Text != "" && table.Child(rows.Header[i].Text) == nil {
			cell.Key, cell.KeySpan = rows.Header[i].Text, cell.Span
			table.append(cell)
		}
	}
	rows.Rows = append(rows.Rows, table)
}

// cells cuts a CSV file into cells.
type cells struct {
	file      *File
	faults    *Faults
	separator byte
	at        int
	end       int // of the row last read, its line end excluded
	columns   int // of the row last read
	fresh     []Node
}

const nodesAtOnce = 256 // cells that are allocated together

// row reads the next row and steps behind its line end; no cells stand for a blank
// line, and ok is false if a quote was at fault.
func (c *cells) row() (row []*Node, ok bool) {
	data := c.file.Data
	ok = true
	row = make([]*Node, 0, c.columns)
	defer func() { c.columns = len(row) }()
	for {
		cell, fine := c.cell()
		ok = ok && fine
		row = append(row, cell)
		if c.at < len(data) && data[c.at] == c.separator {
			c.at++
			continue
		}
		break
	}
	c.end = c.at
	if c.at < len(data) && data[c.at] == '\r' {
		c.at++
	}
	if c.at < len(data) && data[c.at] == '\n' {
		c.at++
	}
	if len(row) == 1 && strings.TrimSpace(row[0].Text) == "" && !bytes.ContainsRune(data[row[0].Span.Start:row[0].Span.End], '"') {
		return nil, ok
	}
	return row, ok
}

// cell reads up to a separator or the line's end.
func (c *cells) cell() (cell *Node, ok bool) {
	data := c.file.Data
	start := c.at
	if len(c.fresh) == 0 {
		c.fresh = make([]Node, nodesAtOnce)
	}
	cell, c.fresh = &c.fresh[0], c.fresh[1:]
	cell.Kind, cell.File, cell.raw = String, c.file, true
	if start >= len(data) || data[start] != '"' {
		c.at = c.plainEnd(start)
		cell.Span, cell.Text = c.trimmed(start, c.at)
		if quote := strings.IndexByte(cell.Text, '"'); quote >= 0 {
			return cell, c.fault(Span{cell.Span.Start + quote, cell.Span.Start + quote + 1}, "a quote stands within a cell",
				`want the whole cell in quotes and the quote doubled, such as "5"" pipe"`)
		}
		return cell, true
	}
	for i := start + 1; i < len(data); i++ {
		if data[i] != '"' {
			continue
		}
		if i+1 < len(data) && data[i+1] == '"' {
			i++
			continue
		}
		c.at = c.plainEnd(i + 1)
		cell.Span = Span{start, i + 1}
		cell.Text = strings.ReplaceAll(string(data[start+1:i]), `""`, `"`)
		if rest := strings.TrimSpace(string(data[i+1 : c.at])); rest != "" {
			return cell, c.fault(Span{i + 1, c.at}, "something follows the closing quote", "want a separator or the line's end")
		}
		return cell, true
	}
	c.at = c.plainEnd(start)
	cell.Span, cell.Text = c.trimmed(start, c.at)
	return cell, c.fault(cell.Span, "the closing quote is missing", `want the cell to end in a quote`)
}

// plainEnd returns where a cell without quotes ends.
func (c *cells) plainEnd(from int) int {
	data := c.file.Data
	for i := from; i < len(data); i++ {
		if data[i] == c.separator || data[i] == '\n' || data[i] == '\r' && (i+1 == len(data) || data[i+1] == '\n') {
			return i
		}
	}
	return len(data)
}

// trimmed returns the place and text of a cell without the blanks around it.
func (c *cells) trimmed(start, end int) (Span, string) {
	if start == end {
		return Span{start, end}, ""
	}
	whole := string(c.file.Data[start:end])
	left := len(whole) - len(strings.TrimLeft(whole, " \t"))
	text := strings.TrimSpace(whole)
	return Span{start + left, start + left + len(text)}, text
}

func (c *cells) fault(at Span, problem, want string) bool {
	c.faults.Add(c.file.Fault(at, "", "", problem, want))
	return false
}
