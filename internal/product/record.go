package product

import (
	"fmt"
	"os"
	"path"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"

	"hindwatt/internal/product/tree"
)

// Field is one cell of a row to be recorded: the column and what is written there.
type Field struct{ Column, Text string }

// Recorded says where rows were written.
type Recorded struct {
	Line int    // of the first row
	Note string // what had to be set right before, "" if nothing
	Change
}

// Record checks rows and appends them to the file of their kind, all or none. When it
// returns nil they are on the disk. Two processes may record at once; a row that was
// recorded is not lost, whenever a process is killed and however full the disk is.
//
//	kind  one of RecordKinds
//	rows  cells in any order; an empty text is an empty cell
//
// The file is made if it is not there; its line ends and separator are kept, and
// columns that it lacks are added to it. A last line without an end, which is what an
// interrupted writer leaves, is completed if it is a whole row; else it is moved to
// records/KIND.torn, and Recorded.Note says so.
func Record(dir, kind string, rows ...[]Field) (Recorded, error) {
	k := kindOf(kind)
	if k == nil {
		return Recorded{}, Errors{{Value: kind, Problem: "there is no such kind of record", Want: nearOr(kind, RecordKinds())}}
	}
	return record(dir, k, rows)
}

func record(dir string, k *recordKind, rows [][]Field, options ...Option) (Recorded, error) {
	root, err := openSource(dir)
	if err != nil {
		return Recorded{}, err
	}
	defer root.Close()
	unlock, err := lock(dir)
	if err != nil {
		return Recorded{}, err
	}
	defer unlock()
	// What is written down already does not bear on whether a new row can be read.
	options = append(options, func(s *source) { s.noRows = true })
	folder, err := read(dir, root, options...)
	if err != nil {
		return Recorded{}, err
	}
	f, missing, err := presentAt(root, k.file, maxRecords)
	if err != nil {
		return Recorded{}, err
	}
	rows, faults := columnsOf(k, rows)
	return folder.append(root, *k, f, missing, rows, faults)
}

func nearOr(name string, known []string) string {
	if near := tree.Nearest(name, known); near != "" {
		return "did you mean " + near
	}
	return "want " + listed(known)
}

// columnsOf reports columns that the kind does not have, and texts that no file can
// hold, and returns the rows as far as a file can; at least one.
func columnsOf(k *recordKind, rows [][]Field) (fit [][]Field, faults Errors) {
	known := keysOf(k.row)
	if len(rows) == 0 {
		rows = [][]Field{nil} // whose needed columns are told
	}
	for _, row := range rows {
		seen := map[string]bool{}
		var good []Field
		for _, field := range row {
			switch {
			case !contains(known, field.Column):
				faults = append(faults, &Error{Key: field.Column, Problem: "unknown column", Want: nearOr(field.Column, known)})
			case seen[field.Column]:
				faults = append(faults, &Error{Key: field.Column, Problem: "stands twice", Want: "want each once"})
			case !utf8.ValidString(field.Text) || strings.ContainsRune(field.Text, 0):
				faults = append(faults, &Error{Key: field.Column, Problem: "is no text", Want: "want UTF-8"})
				good = append(good, Field{field.Column, "?"})
			case Personal(field.Text, true) != "":
				faults = append(faults, &Error{Key: field.Column, Problem: "looks like " + Personal(field.Text, true), Want: "want none: names, addresses and messages stay outside"})
				good = append(good, field)
			default:
				good = append(good, field)
			}
			seen[field.Column] = true
		}
		fit = append(fit, good)
	}
	return fit, faults
}

// append writes the file anew with the rows at its end, if there are no faults of them.
// present is empty if the file is missing.
func (f *Folder) append(root *os.Root, k recordKind, present *tree.File, missing bool, rows [][]Field, faults Errors) (Recorded, error) {
	a, err := newAppender(k, present)
	if err != nil {
		return Recorded{}, err
	}
	data := a.with(rows)
	if faults = append(faults, f.judge(k, data, a.rows, len(rows))...); len(faults) > 0 {
		return Recorded{}, faults
	}
	if len(a.torn) > 0 {
		if err := setAside(root, k, a); err != nil {
			return Recorded{}, unwritten(tornFile(k), err)
		}
	}
	if err := replaceFile(root, k.file, data); err != nil {
		return Recorded{}, unwritten(k.file, err)
	}
	key := fmt.Sprintf("line %d", a.line)
	if len(rows) > 1 {
		key = fmt.Sprintf("lines %d to %d", a.line, a.line+len(rows)-1)
	}
	return Recorded{a.line, a.note, changeOf(k.file, key, missing, present.Data, data)}, nil
}

// judge reads the new content and reports what is wrong with its last rows.
func (f *Folder) judge(k recordKind, data []byte, before, added int) Errors {
	var old, faults tree.Faults
	if len(data) > maxRecords {
		return Errors{tooLarge(k.file, int64(len(data)), maxRecords)}
	}
	rows := tree.ReadCSV(tree.NewFile(k.file, data), &old, &old)
	if rows.Len() != before+added {
		return Errors{{File: k.file, Problem: "the row would not be read back", Want: "want no line breaks and quotes in its cells"}}
	}
	d := f.rowDecoder(k, rows)
	for i := before; i < rows.Len(); i++ {
		d.decode(i, reflect.New(k.row).Elem(), &faults)
	}
	for _, e := range faults.List {
		// The row stands nowhere yet, so there is no line to point at.
		e.File, e.Line, e.Column, e.Excerpt = "", 0, 0, ""
	}
	return faults.List
}

func tornFile(k recordKind) string {
	return path.Join("records", strings.TrimSuffix(path.Base(k.file), ".csv")+".torn")
}

// setAside keeps what is cut off a file.
func setAside(root *os.Root, k recordKind, a *appender) error {
	s := &source{root: root, faults: &tree.Faults{}}
	var kept []byte
	if f := s.read(tornFile(k), maxRecords); f != nil {
		kept = f.Data
	}
	if len(s.faults.List) > 0 {
		return s.faults.List
	}
	kept = append(slices.Clone(kept), fmt.Sprintf("# from the end of %s, which had no line end\n%s\n", path.Base(k.file), a.torn)...)
	return replaceFile(root, tornFile(k), kept)
}

// appender adds rows to the text of one file.
type appender struct {
	file    *tree.File
	columns []string // of the header, which may grow
	present int      // columns that the file has
	spans   []tree.Span
	rows    int    // rows that can be cut into cells
	sep     string // between cells
	newline string
	whole   []byte // the file without a torn end
	torn    []byte
	open    bool // the last line has no end
	line    int
	note    string
}

func newAppender(k recordKind, f *tree.File) (*appender, error) {
	var faults tree.Faults
	rows := tree.ReadCSV(f, &faults, &faults)
	a := &appender{file: f, sep: string(rows.Separator), newline: f.Newline(), whole: f.Data, open: rows.Open, spans: rows.Spans, rows: rows.Len()}
	if rows.Header == nil {
		if len(faults.List) > 0 {
			return nil, faults.List.Sorted()
		}
		a.whole, a.open = nil, false
		a.columns = keysOf(k.row)
		return a, nil
	}
	for _, cell := range rows.Header {
		a.columns = append(a.columns, cell.Text)
	}
	a.present = len(a.columns)
	if rows.Open && len(rows.Spans) > 0 && !rows.LastWhole {
		last := rows.Spans[len(rows.Spans)-1]
		a.torn, a.whole, a.open = f.Data[last.Start:], f.Data[:last.Start], false
		a.spans = a.spans[:len(a.spans)-1]
		line, _ := f.Position(last.Start)
		a.note = fmt.Sprintf("line %d of %s had no end and is no whole row; it was moved to %s", line, k.file, tornFile(k))
	}
	return a, nil
}

// with returns the file's new content.
func (a *appender) with(rows [][]Field) []byte {
	for _, row := range rows {
		for _, field := range row {
			if field.Text != "" && !contains(a.columns, field.Column) {
				a.columns = append(a.columns, field.Column)
			}
		}
	}
	data := a.widened()
	if a.open {
		data = append(data, a.newline...)
	}
	if a.present == 0 {
		data = append(data, strings.Join(a.columns, a.sep)+a.newline...)
	}
	a.line = 1 + strings.Count(string(data), "\n")
	for _, row := range rows {
		cells := make([]string, len(a.columns))
		for _, field := range row {
			if i := slices.Index(a.columns, field.Column); i >= 0 {
				cells[i] = a.cell(field.Text)
			}
		}
		data = append(data, strings.Join(cells, a.sep)+a.newline...)
	}
	return data
}

// widened returns the present content with the new columns, empty in the old rows.
func (a *appender) widened() []byte {
	added := a.columns[a.present:]
	if a.present == 0 || len(added) == 0 {
		return slices.Clone(a.whole)
	}
	var data []byte
	at := 0
	for i, span := range a.spans {
		data = append(data, a.whole[at:span.End]...)
		for _, column := range added {
			data = append(data, a.sep...)
			if i == 0 {
				data = append(data, column...)
			}
		}
		at = span.End
	}
	return append(data, a.whole[at:]...)
}

// cell writes a text as one cell.
func (a *appender) cell(text string) string {
	text = strings.TrimSpace(text)
	if strings.ContainsAny(text, a.sep+"\"\r\n") {
		return `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
	}
	return text
}
