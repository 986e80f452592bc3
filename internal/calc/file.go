package calc

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

const (
	maxFile   = 32 << 20 // bytes of a file
	maxFaults = 20       // of a file that are told
)

// A column is one that a calculator reads from a file by its name in the first line.
type column struct {
	name     string
	optional bool
	text     bool                 // not a number
	open     bool                 // empty or inf is +Inf
	valid    func(v float64) bool // of numbers
	want     string               // what valid accepts
}

// A row is one line of a file: the columns in the order asked for.
type row struct {
	number []float64 // 0 where the column is absent
	text   []string  // without spaces around it
}

// A fault of a row is told at the column with this index.
type fault struct {
	column        int
	problem, want string
}

// A layout is columns that belong together, and what is done with a row of them.
type layout struct {
	columns []column
	take    func(row) *fault
}

// A sheet reads one file.
type sheet struct {
	name string
	data []byte
	layout
	place  []int // of each column in the file, -1 if absent
	reader *csv.Reader
	faults Errors
}

// rows gives the rows of the file named by key, in order, to the first layout whose columns it has.
//
// The file is CSV in UTF-8, its first line names the columns, in any order; other columns are left aside
// and returned as a warning. All faults of a file are told at once, as FILE:LINE:COLUMN.
func (v Values) rows(key string, layouts ...layout) (warnings []string, err error) {
	s := sheet{name: v.Text(key)}
	if s.data, err = v.load(key); err != nil {
		return nil, err
	}
	s.reader = csv.NewReader(bytes.NewReader(s.data))
	s.reader.ReuseRecord = true
	s.reader.TrimLeadingSpace = true
	if warnings, err = s.heading(layouts); err != nil {
		return nil, err
	}
	count := 0
	for len(s.faults) < maxFaults {
		record, err := s.reader.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			s.faults = append(s.faults, s.broken(err))
			break
		}
		count++
		s.row(record)
	}
	switch {
	case len(s.faults) > 0:
		return nil, s.faults
	case count == 0:
		return nil, Errors{{Key: s.name + ":2:1", Problem: "no rows below the names", Want: "want a row for each unit"}}
	}
	return warnings, nil
}

// load returns the bytes of a file.
func (v Values) load(key string) ([]byte, error) {
	name := v.Text(key)
	var f io.ReadCloser
	var err error
	if v.files != nil {
		f, err = v.files.Open(name)
	} else {
		f, err = os.Open(name)
	}
	if err == nil {
		defer f.Close()
		var data []byte
		if data, err = io.ReadAll(io.LimitReader(f, maxFile+1)); err == nil {
			if len(data) > maxFile {
				return nil, wrong(key, fmt.Sprintf("larger than %d MB", maxFile>>20), "want a smaller file; rows that are alike can be one with a count")
			}
			return bytes.TrimPrefix(data, []byte("\ufeff")), nil
		}
	}
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return nil, wrong(key, "cannot be read: "+err.Error(), v.wanted(v.inputs[v.index(key)]))
}

// heading finds the columns by their names.
func (s *sheet) heading(layouts []layout) (warnings []string, err error) {
	first, err := s.reader.Read()
	switch {
	case errors.Is(err, io.EOF):
		return nil, Errors{{Key: s.name + ":1:1", Problem: "empty", Want: wantColumns(layouts)}}
	case err != nil:
		return nil, Errors{s.broken(err)}
	}
	var names, others []string
	for i, name := range first {
		name = strings.ToLower(strings.TrimSpace(name))
		if slices.Contains(names, name) {
			return nil, Errors{{Key: s.at(i), Value: name, Problem: "a second column of this name", Want: "want each once"}}
		}
		names = append(names, name)
	}
	chosen := slices.IndexFunc(layouts, func(l layout) bool {
		return !slices.ContainsFunc(l.columns, func(c column) bool { return !c.optional && !slices.Contains(names, c.name) })
	})
	if chosen < 0 {
		return nil, Errors{{Key: s.name + ":1:1", Value: strings.Join(names, ","), Problem: "lacks a column", Want: wantColumns(layouts)}}
	}
	s.layout = layouts[chosen]
	for _, c := range s.columns {
		s.place = append(s.place, slices.Index(names, c.name))
	}
	for i, name := range names {
		if !slices.Contains(s.place, i) {
			others = append(others, strconv.Quote(shorten(name)))
		}
	}
	if len(others) > 0 {
		warnings = append(warnings, s.name+": not used: column "+strings.Join(others, ", "))
	}
	return warnings, nil
}

// wantColumns names the columns of the layouts.
func wantColumns(layouts []layout) string {
	var each []string
	for _, l := range layouts {
		var must, may []string
		for _, c := range l.columns {
			if c.optional {
				may = append(may, c.name)
			} else {
				must = append(must, c.name)
			}
		}
		text := strings.Join(must, ",")
		if len(may) > 0 {
			text += "[," + strings.Join(may, ",") + "]"
		}
		each = append(each, text)
	}
	return "want columns " + strings.Join(each, " or ") + ", with commas between"
}

// row reads the cells of one line.
func (s *sheet) row(record []string) {
	r := row{make([]float64, len(s.columns)), make([]string, len(s.columns))}
	faults := len(s.faults)
	for i, c := range s.columns {
		if s.place[i] < 0 {
			continue
		}
		r.text[i] = strings.TrimSpace(record[s.place[i]])
		if c.text {
			continue
		}
		v, ok := c.number(r.text[i])
		switch r.number[i] = v; {
		case !ok && r.text[i] == "":
			s.fault(r, fault{i, "empty", c.want})
		case !ok:
			s.fault(r, fault{i, "not a possible value", c.want})
		}
	}
	if len(s.faults) > faults {
		return
	}
	if f := s.take(r); f != nil {
		s.fault(r, *f)
	}
}

// number reads a cell; spelled-out numbers such as inf and nan are none.
func (c column) number(cell string) (v float64, ok bool) {
	if c.open && (cell == "" || strings.EqualFold(cell, "inf")) {
		return math.Inf(1), true
	}
	if strings.Trim(cell, "+-.0123456789eE") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(cell, 64)
	return v, err == nil && c.valid(v)
}

func (s *sheet) fault(r row, f fault) {
	s.faults = append(s.faults, &Error{Key: s.at(s.place[f.column]) + ": " + s.columns[f.column].name, Value: r.text[f.column],
		Problem: f.problem, Want: f.want})
}

// broken makes an error of one of the CSV reader.
func (s *sheet) broken(err error) *Error {
	var p *csv.ParseError
	if !errors.As(err, &p) {
		return &Error{Key: s.name, Problem: err.Error(), Want: "want CSV"}
	}
	problem, want := p.Err.Error(), "want CSV: commas between cells, quotes doubled inside quotes"
	if errors.Is(p.Err, csv.ErrFieldCount) {
		problem, want = "not as many cells as the first line has names", "want one for each, empty ones too"
	}
	return &Error{Key: s.position(p.Line, p.Column), Problem: problem, Want: want}
}

// at returns the position of a cell of the line read last.
func (s *sheet) at(cell int) string { return s.position(s.reader.FieldPos(cell)) }

// position writes FILE:LINE:COLUMN, the column in characters instead of bytes.
func (s *sheet) position(line, column int) string {
	text := s.data
	for range line - 1 {
		_, text, _ = bytes.Cut(text, []byte("\n"))
	}
	before := text[:max(0, min(column-1, len(text)))]
	return fmt.Sprintf("%s:%d:%d", s.name, line, utf8.RuneCount(before)+1)
}
