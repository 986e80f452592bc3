package logfile

import (
	"bytes"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/product/tree"
)

// Read reads a log. What is wrong with the whole of it is a *tree.Error with its line, and then nothing
// of it counts; single lines and cells that could not be read are in Log.Left.
func Read(data []byte, ask Ask) (*Log, error) {
	a := &ask
	if err := a.check(); err != nil {
		return nil, err
	}
	if len(data) > MaxBytes {
		return nil, a.TooLarge(int64(len(data)))
	}
	text, was, ok := tree.Decode(data)
	if !ok {
		return nil, a.fault(0, "", "is no text", "want a table in UTF-8, UTF-16 or Windows-1252, as the logger wrote it")
	}
	if bytes.IndexByte(text, '\n') < 0 && bytes.IndexByte(text, '\r') >= 0 {
		text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	}
	s, err := a.shapeOf(text)
	if err != nil {
		return nil, err
	}
	r := &reader{ask: a, shape: s, log: &Log{File: a.File}}
	if was == "Windows-1252" {
		r.note("the file is no UTF-8 and was read as "+was, "look whether its headings are right")
	}
	if err := r.prepare(text); err != nil {
		return nil, err
	}
	if err := r.rows(text); err != nil {
		return nil, err
	}
	return r.log, r.finish()
}

// TooLarge is the fault of a file of more than MaxBytes.
func (a *Ask) TooLarge(size int64) error {
	return a.fault(0, "", fmt.Sprintf("is %d MB", (size+1<<20-1)>>20), fmt.Sprintf("at most %d MB are read: log less often, or cut it in parts with a run each", MaxBytes>>20))
}

// check looks at what is asked for.
func (a *Ask) check() error {
	values, times, dates := 0, 0, 0
	for _, c := range a.Columns {
		switch c.Role {
		case Value:
			values++
		case Time:
			times++
		case DayOnly:
			dates++
		}
	}
	switch {
	case values == 0:
		return a.fault(0, "", "none of its columns is asked for", `want a [column.NAME] in the run, such as { is = "battery voltage", header = "U" }`)
	case times > 1 || dates > 1:
		return a.fault(0, "", "has more than one time, or more than one date", "want one column of each")
	}
	return nil
}

// A slot says what to do with a column of the file.
type slot int

const (
	skip    slot = -1 - iota // nobody asked for it
	isTime                   // or the clock
	isDate                   // of the clock
	valueAt slot = 0         // and above: a Value, by its place in Log.Columns
)

// A reader is one pass over the rows.
type reader struct {
	*shape
	ask   *Ask
	log   *Log
	clock *clock
	slots []slot // by column of the file; as many as are looked at
	units []units
	cells [][]byte // of the row, by slot
	stamp []byte
	date  []byte

	number   int   // of the line
	before   int   // of the line of the last row
	ordinal  int   // of the row, those that were left out counted too
	open     []int // of the last Left of each column, and at the end of whole lines; -1: none
	text     []int // cells of each column that are neither number nor mark
	repeated int   // rows with the stamp of the one before
}

// units are those of one column.
type units struct {
	unit
	inCells bool
	suffix  []byte // the last one behind a number
	now     unit   // that it stands for
	digit   int    // power of ten of the finest last digit; mostPower: none seen yet
	scale   float64
}

// prepare finds units, stamps and the places of columns, and makes room.
func (r *reader) prepare(text []byte) (err error) {
	if r.clock, err = r.ask.clockOf(r.shape, text); err != nil {
		return err
	}
	timeAt, dateAt := r.ask.stamps(r.shape)
	r.slots = make([]slot, 1+max(slices.Max(r.index), timeAt, dateAt))
	for i := range r.slots {
		r.slots[i] = skip
	}
	if timeAt >= 0 {
		r.slots[timeAt] = isTime
	}
	if dateAt >= 0 {
		r.slots[dateAt] = isDate
	}
	count := 1 + bytes.Count(text[r.first.at:], []byte("\n"))
	if count > MaxRows {
		return r.ask.fault(0, "", fmt.Sprintf("has %d rows", count), fmt.Sprintf("at most %d are read: log less often, or cut it in parts with a run each", MaxRows))
	}
	r.log.Time = make([]float64, 0, count)
	for i, c := range r.ask.Columns {
		if c.Role != Value {
			continue
		}
		u, inCells, err := r.ask.unitFor(r.shape, i)
		if err != nil {
			return err
		}
		r.slots[r.index[i]] = valueAt + slot(len(r.log.Columns))
		r.units = append(r.units, units{unit: u, now: u, inCells: inCells, digit: mostPower, scale: u.scale})
		r.log.Columns = append(r.log.Columns, Numbers{Column: c, Values: make([]float64, 0, count)})
	}
	n := len(r.log.Columns)
	r.cells, r.open, r.text = make([][]byte, n), slices.Repeat([]int{-1}, n+1), make([]int, n)
	for _, l := range r.above {
		r.miss(l.number, n, l.text, "stands above the table")
	}
	return nil
}

// rows goes through the table.
func (r *reader) rows(text []byte) error {
	r.number = r.first.number - 1
	for at := r.first.at; at < len(text); {
		end := bytes.IndexByte(text[at:], '\n')
		whole := end >= 0
		if !whole {
			end = len(text) - at
		}
		row := text[at : at+end]
		if n := len(row); n > 0 && row[n-1] == '\r' {
			row = row[:n-1]
		}
		at += end + 1
		r.number++
		if err := r.row(row, whole); err != nil {
			return err
		}
	}
	return nil
}

// row reads one line of the table.
func (r *reader) row(row []byte, whole bool) error {
	width, left := r.cut(row)
	lines := len(r.cells) // where Left counts whole lines
	switch {
	case width == 0:
		return nil
	case width < r.width && !whole:
		return r.ask.fault(r.number, "", fmt.Sprintf("the last line is cut: it has %d of %d columns", width, r.width), "want the whole file; if the rest is all there, take that line out")
	case width < r.width || left:
		r.miss(r.number, lines, row, fmt.Sprintf("has %d columns, not %d", width, r.width))
		r.ordinal++
		return nil
	case !whole && r.shorter():
		r.miss(r.number, lines, row, "has no line end, and its last number is shorter than those above: it may be cut")
		return nil
	}
	t := float64(r.ordinal) * r.ask.Interval
	r.ordinal++
	if r.clock.form != byInterval {
		var ok bool
		if t, ok = r.clock.read(r.stamp, r.date); !ok {
			r.miss(r.number, lines, row, noStamp)
			return nil
		}
	}
	log := r.log
	n := len(log.Time)
	if n > 0 && t <= log.Time[n-1] {
		if t < log.Time[n-1] {
			return r.backwards(log.Time[n-1] - t)
		}
		r.repeated++
	}
	if n == 0 || r.number != r.before+1 {
		log.jumps = append(log.jumps, jump{n, r.number})
	}
	r.before = r.number
	log.Time = append(log.Time, t)
	for k := range r.cells {
		log.Columns[k].Values = append(log.Columns[k].Values, r.value(k))
	}
	return nil
}

// cut parts a row and keeps the cells that are wanted. Width counts its cells, empty ones behind the
// table's last column left out; over is true if one of those is not empty.
func (r *reader) cut(row []byte) (width int, over bool) {
	separator, start := r.separator, 0
	blank := true
	for i := 0; ; i++ {
		if i < len(row) && row[i] == '"' && i == start {
			if end := bytes.IndexByte(row[i+1:], '"'); end >= 0 {
				i += end + 1
				continue
			}
		}
		if i < len(row) && row[i] != separator {
			continue
		}
		if width < len(r.slots) {
			if s := r.slots[width]; s != skip {
				cell := unquoted(row[start:i])
				blank = blank && len(cell) == 0
				switch s {
				case isTime:
					r.stamp = cell
				case isDate:
					r.date = cell
				default:
					r.cells[s] = cell
				}
			}
		}
		if width >= r.width && i > start {
			over = true
		}
		width++
		if i >= len(row) {
			break
		}
		start = i + 1
	}
	if blank && len(bytes.Trim(row, " \t\"\x1a"+string(rune(separator)))) == 0 {
		return 0, false
	}
	return width, over
}

// shorter reports whether the last row's last number that is wanted shows fewer digits behind its point than
// the column did before, as a line does that was cut within it.
func (r *reader) shorter() bool {
	last := r.slots[len(r.slots)-1]
	if last < 0 || len(r.slots) < r.width || len(r.log.Time) == 0 {
		return false
	}
	_, digit, size := number(r.cells[last], r.decimal)
	return size == 0 || digit > r.units[last].digit
}

// value reads one cell in SI units; NaN where it holds nothing, which goes to Left.
func (r *reader) value(k int) float64 {
	cell, u := r.cells[k], &r.units[k]
	v, digit, size := number(cell, r.decimal)
	why := ""
	switch {
	case len(cell) == 0:
		why = isEmpty
	case size == 0:
		if why = marked(cell); why == "" {
			why = noNumber
			r.text[k]++
		}
	case size < len(cell):
		why = r.suffix(k, cell, size)
	}
	if why == "" {
		why = infinite(v)
	}
	if why == "" {
		if digit < u.digit {
			u.digit, u.scale = digit, u.now.scale
		}
		v = v*u.now.scale + u.now.offset
		if r.log.Columns[k].Dim.Point && v < 0 {
			why = tooCold
		} else {
			r.log.Columns[k].Read++
			return v
		}
	}
	r.miss(r.number, k, cell, why)
	return math.NaN()
}

// suffix takes what stands behind a number for its unit, and returns why it is none.
func (r *reader) suffix(k int, cell []byte, size int) (why string) {
	u, rest := &r.units[k], bytes.TrimSpace(cell[size:])
	if len(u.suffix) > 0 && bytes.Equal(rest, u.suffix) {
		return ""
	}
	now, ok, another := unitOf(string(rest), r.log.Columns[k].Dim)
	switch {
	case ok:
		u.suffix, u.now = append(u.suffix[:0], rest...), now
		return ""
	case another:
		return otherUnit
	}
	if why = marked(cell); why == "" {
		r.text[k]++
		why = noNumber
	}
	return why
}

// miss notes what was not read; lines that follow each other for the same reason are one.
//
//	k  the column, or the number of columns for a whole line
func (r *reader) miss(number, k int, text []byte, why string) {
	log := r.log
	log.Missed++
	if i := r.open[k]; i >= 0 && log.Left[i].Last == number-1 && log.Left[i].Why == why {
		log.Left[i].Last = number
		return
	}
	if len(log.Left) >= mostLeft {
		r.open[k] = -1
		return
	}
	column := ""
	if k < len(log.Columns) {
		column = log.Columns[k].Name
	}
	r.open[k] = len(log.Left)
	shown := []rune(string(text[:min(len(text), 4*mostText)]))
	log.Left = append(log.Left, Left{number, number, column, string(shown[:min(len(shown), mostText)]), why})
}

func (r *reader) backwards(by float64) error {
	want := "want rows in the order of time"
	const hour = 3600
	if math.Abs(by-hour) < hour/2 {
		want = "the clock may have been set back to winter time: cut the log there, or let the logger use UTC"
	}
	return r.ask.fault(r.number, string(r.stamp), fmt.Sprintf("time runs backwards by %s", span(by)), want)
}

func (r *reader) note(text, remedy string) {
	r.log.Notes = append(r.log.Notes, Note{text, remedy})
}
