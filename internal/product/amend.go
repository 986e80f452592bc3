package product

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"hindwatt/internal/product/tree"
)

// Written is a row of a file of records as it stands there.
type Written struct {
	Line   int
	Source string  // without its line end
	Fields []Field // its cells that are not empty; nil if it cannot be cut into cells
}

// LastWritten returns the last rows of a kind, the last first, and how many there are.
//
//	most  rows at most, 1 or more
func LastWritten(dir, kind string, most int) (last []Written, total int, err error) {
	k := kindOf(kind)
	if k == nil {
		return nil, 0, Errors{{Value: kind, Problem: "there is no such kind of record", Want: nearOr(kind, RecordKinds())}}
	}
	root, err := openSource(dir)
	if err != nil {
		return nil, 0, err
	}
	defer root.Close()
	f, _, err := presentAt(root, k.file, maxRecords)
	if err != nil {
		return nil, 0, err
	}
	var faults tree.Faults
	rows := tree.ReadCSV(f, &faults, &faults)
	if len(rows.Spans) < 2 {
		return nil, 0, nil
	}
	row, i := tree.Row{}, rows.Len()-1
	for _, span := range slices.Backward(rows.Spans[1:]) {
		if len(last) == most {
			break
		}
		one := Written{Line: f.LineAt(span.Start), Source: string(f.Data[span.Start:span.End])}
		if i >= 0 {
			if rows.Read(i, &row); row.Table.Span.Start == span.Start {
				one.Fields = []Field{}
				for _, cell := range row.Table.Children {
					one.Fields = append(one.Fields, Field{cell.Key, cell.Text})
				}
				i--
			}
		}
		last = append(last, one)
	}
	return last, len(rows.Spans) - 1, nil
}

// Correct gives a row that was written the cells that it should have had, checked as Record checks
// them. Cells that stay as they are keep their bytes, and so do all other rows.
//
//	line, was  Written.Line and Written.Source; where another row stands there, nothing is written and the error is a *Moved
//	fields     all cells of the row; one that is not named becomes empty
func Correct(dir, kind string, line int, was string, fields []Field) (Change, error) {
	return amend(dir, kind, line, was, func(f *Folder, k recordKind, rows *tree.Rows, at int) ([]byte, Errors) {
		fit, faults := columnsOf(&k, [][]Field{fields})
		data := corrected(rows, at, fit[0])
		return data, append(faults, f.judgeAt(k, data, rows.Spans[at].Start)...)
	})
}

// TakeBack takes a row out of its file, under the conditions of Correct.
func TakeBack(dir, kind string, line int, was string) (Change, error) {
	return amend(dir, kind, line, was, func(_ *Folder, _ recordKind, rows *tree.Rows, at int) ([]byte, Errors) {
		data, span := rows.File.Data, rows.Spans[at]
		end := span.End
		for _, sign := range "\r\n" {
			if end < len(data) && data[end] == byte(sign) {
				end++
			}
		}
		return slices.Concat(data[:span.Start], data[end:]), nil
	})
}

// amend changes one row.
//
//	do  returns the file's new content; at is the row's place among the spans
func amend(dir, kind string, line int, was string, do func(f *Folder, k recordKind, rows *tree.Rows, at int) ([]byte, Errors)) (Change, error) {
	k := kindOf(kind)
	if k == nil {
		return Change{}, Errors{{Value: kind, Problem: "there is no such kind of record", Want: nearOr(kind, RecordKinds())}}
	}
	root, err := openSource(dir)
	if err != nil {
		return Change{}, err
	}
	defer root.Close()
	unlock, err := lock(dir)
	if err != nil {
		return Change{}, err
	}
	defer unlock()
	folder, err := read(dir, root, func(s *source) { s.noRows = true })
	if err != nil {
		return Change{}, err
	}
	f, _, err := presentAt(root, k.file, maxRecords)
	if err != nil {
		return Change{}, err
	}
	var faults tree.Faults
	rows := tree.ReadCSV(f, &faults, &faults)
	at := -1
	for i, span := range rows.Spans {
		if i > 0 && f.LineAt(span.Start) == line {
			at = i
		}
	}
	is := ""
	if at > 0 {
		is = string(f.Data[rows.Spans[at].Start:rows.Spans[at].End])
	}
	key := fmt.Sprintf("line %d", line)
	if at < 0 || is != was {
		return Change{}, &Moved{k.file, key, was, is}
	}
	data, wrong := do(folder, *k, rows, at)
	if len(wrong) > 0 {
		return Change{}, wrong
	}
	if err := replaceFile(root, k.file, data); err != nil {
		return Change{}, unwritten(k.file, err)
	}
	return changeOf(k.file, key, false, f.Data, data), nil
}

// corrected returns a file's content with other cells in one row, and with the columns that these need.
func corrected(rows *tree.Rows, at int, fields []Field) []byte {
	a := &appender{file: rows.File, sep: string(rows.Separator)}
	for _, cell := range rows.Header {
		a.columns = append(a.columns, cell.Text)
	}
	a.present = len(a.columns)
	for _, field := range fields {
		if field.Text != "" && !contains(a.columns, field.Column) {
			a.columns = append(a.columns, field.Column)
		}
	}
	span := rows.Spans[at]
	cells := make([]string, a.present)
	if row := rowAt(rows, span.Start); row != nil {
		for i, cell := range row.Cells {
			if cell != nil && slices.Contains(fields, Field{a.columns[i], cell.Text}) {
				cells[i] = string(rows.File.Data[cell.Span.Start:cell.Span.End])
			}
		}
	}
	added := ""
	for i, column := range a.columns {
		text := ""
		for _, field := range fields {
			if field.Column == column {
				text = a.cell(field.Text)
			}
		}
		switch {
		case i >= a.present:
			added += a.sep + text
		case cells[i] == "":
			cells[i] = text
		}
	}
	data := bytes.Clone(rows.File.Data)
	for i := len(rows.Spans) - 1; i >= 0; i-- { // from the end, so that places stay
		s := rows.Spans[i]
		switch {
		case i == at:
			data = slices.Replace(data, s.Start, s.End, []byte(strings.Join(cells, a.sep)+added)...)
		case i == 0:
			for _, column := range slices.Backward(a.columns[a.present:]) {
				data = slices.Insert(data, s.End, []byte(a.sep+column)...)
			}
		case len(a.columns) > a.present:
			data = slices.Insert(data, s.End, []byte(strings.Repeat(a.sep, len(a.columns)-a.present))...)
		}
	}
	return data
}

// rowAt returns the row that begins at a byte; nil if none does that can be cut into cells.
func rowAt(rows *tree.Rows, start int) *tree.Row {
	row := new(tree.Row)
	for i := range rows.Len() {
		if rows.Read(i, row); row.Table.Span.Start == start {
			return row
		}
	}
	return nil
}

// judgeAt reads the new content of a file and reports what is wrong with the row that begins at a
// byte, or behind it where the header has grown.
func (f *Folder) judgeAt(k recordKind, data []byte, start int) Errors {
	if len(data) > maxRecords {
		return Errors{tooLarge(k.file, int64(len(data)), maxRecords)}
	}
	var other, faults tree.Faults
	rows := tree.ReadCSV(tree.NewFile(k.file, data), &other, &other)
	d, row := f.rowDecoder(k, rows), new(tree.Row)
	for i := range rows.Len() {
		if rows.Read(i, row); row.Table.Span.Start >= start {
			d.decode(i, reflect.New(k.row).Elem(), &faults)
			return unplaced(faults.List)
		}
	}
	return Errors{{File: k.file, Problem: "the row would not be read back", Want: "want no line breaks and quotes in its cells"}}
}

// unplaced are errors of a row that stands nowhere yet, so that there is no line to point at.
func unplaced(faults Errors) Errors {
	for _, e := range faults {
		e.File, e.Line, e.Column, e.Excerpt = "", 0, 0, ""
	}
	return faults
}

// changeOf is the change between two contents of a file, in whole lines.
func changeOf(file, key string, created bool, old, now []byte) Change {
	begins := func(b []byte, i int) bool { return i == 0 || b[i-1] == '\n' }
	start, most := 0, min(len(old), len(now))
	for start < most && old[start] == now[start] {
		start++
	}
	for !begins(old, start) {
		start--
	}
	same := 0
	for same < most-start && old[len(old)-1-same] == now[len(now)-1-same] {
		same++
	}
	for same > 0 && !(begins(old, len(old)-same) && begins(now, len(now)-same)) {
		same--
	}
	return Change{
		File: file, Key: key, Start: start, Old: bytes.Clone(old[start : len(old)-same]), New: bytes.Clone(now[start : len(now)-same]), Created: created,
		before: sha256.Sum256(old), after: sha256.Sum256(now),
	}
}
