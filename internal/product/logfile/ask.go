package logfile

import (
	"fmt"
	"sort"
	"time"

	"hindwatt/internal/product/tree"
	"hindwatt/internal/quantity"
)

// A Role is what a column of the log is for.
type Role int

const (
	Value   Role = iota // a measured quantity
	Time                // a stamp: date and clock, clock alone, or a number of elapsed time
	DayOnly             // the date that belongs to a clock in another column
)

// A Column is one that is wanted of the log.
type Column struct {
	Name   string // in messages, and to find it again: "battery"
	Role   Role
	Header string             // its heading, with or without its unit; not used if Number is given
	Number int                // of the column, from 1; 0: by Header
	Dim    quantity.Dimension // of a Value
	Unit   string             // "mV"; "": as the log says
}

// An Ask says what is wanted of a log.
type Ask struct {
	File     string // in messages: "bench/roof-day.csv"
	Columns  []Column
	Interval float64   // s from one row to the next, where no column is a Time; 0: not known
	Day      time.Time // of the first row, where the log has clocks without a date; zero: not known
	Dates    string    // "dmy", "mdy" or "ymd" where the log leaves it open; "": not said
	Decimal  string    // "point" or "comma" where the log leaves it open; "": not said
}

// A Log is what was read.
type Log struct {
	File    string
	Start   time.Time // of the first row, in UTC or in the log's own time; zero: not known
	Time    []float64 // s since the first row, never falling; as many as there are rows
	Step    float64   // s, the usual one from row to row; 0 for one row
	Columns []Numbers // the Values that were asked for, in their order
	Left    []Left    // what was not read, by line; at most mostLeft
	Missed  int       // cells and lines that Left stands for, and those beyond it
	Notes   []Note

	jumps []jump // rows from which on the line is another than the one before plus 1
}

// Numbers are the values of one column.
type Numbers struct {
	Column
	Values []float64 // SI; NaN where nothing was read
	Read   int       // how many are numbers
	Digit  float64   // SI: the finest last digit that the log shows; 0 if it shows none
}

// A Note is something to know of the log, with what to do about it.
type Note struct{ Text, Remedy string }

// Left is what was not read: the lines First to Last, or one column of them.
type Left struct {
	First, Last int
	Column      string // "": the whole line
	Text        string // as it stands in the first of them
	Why         string
}

// String returns `lines 12 to 14: battery: "OL": beyond the meter's range`.
func (l Left) String() string {
	at := fmt.Sprintf("line %d", l.First)
	if l.Last > l.First {
		at = fmt.Sprintf("lines %d to %d", l.First, l.Last)
	}
	if l.Column != "" {
		at += ": " + l.Column
	}
	if l.Text != "" {
		at += fmt.Sprintf(": %q", l.Text)
	}
	return at + ": " + l.Why
}

// jump says that row, and those that follow it, stand on line and those that follow that.
type jump struct{ row, line int }

// Limits of what is read.
const (
	MaxBytes   = 256 << 20
	MaxRows    = 8_000_000
	mostLeft   = 1000
	mostSample = 200 // lines from which the shape of the table is guessed
	mostText   = 40  // characters of what was not read that are kept
)

// Line returns the line of the file on which a row stands.
func (l *Log) Line(row int) int {
	i := sort.Search(len(l.jumps), func(i int) bool { return l.jumps[i].row > row }) - 1
	if i < 0 {
		return row + 1
	}
	return l.jumps[i].line + row - l.jumps[i].row
}

// Column returns the values of a name; nil if it was not asked for.
func (l *Log) Column(name string) *Numbers {
	for i := range l.Columns {
		if l.Columns[i].Name == name {
			return &l.Columns[i]
		}
	}
	return nil
}

// Series returns time and the columns of some names, as many values of each, at the rows where all of
// them were read; rows says which they are.
func (l *Log) Series(names ...string) (time []float64, columns [][]float64, rows []int) {
	from := make([]*Numbers, len(names))
	for i, name := range names {
		if from[i] = l.Column(name); from[i] == nil {
			return nil, nil, nil
		}
	}
	columns = make([][]float64, len(names))
next:
	for row, t := range l.Time {
		for _, c := range from {
			if v := c.Values[row]; v != v {
				continue next
			}
		}
		time, rows = append(time, t), append(rows, row)
		for i, c := range from {
			columns[i] = append(columns[i], c.Values[row])
		}
	}
	return time, columns, rows
}

// fault is an Error of the file; line 0 stands for the whole of it.
func (a *Ask) fault(line int, value, problem, want string) *tree.Error {
	e := &tree.Error{File: a.File, Line: line, Value: value, Problem: problem, Want: want}
	if line > 0 {
		e.Column = 1
	}
	return e
}
