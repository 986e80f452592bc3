package logfile

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"hindwatt/internal/product/tree"
)

// A line of the file without its end.
type line struct {
	text   []byte
	number int
	at     int // where it begins
}

// lines are the lines of a text from a place on, at most some, those that are blank left out.
func lines(text []byte, at, number, most int) (out []line, next, nextNumber int) {
	for at < len(text) && len(out) < most {
		end := bytes.IndexByte(text[at:], '\n')
		if end < 0 {
			end = len(text) - at
		}
		one := bytes.TrimSuffix(text[at:at+end], []byte("\r"))
		if len(bytes.TrimSpace(one)) > 0 {
			out = append(out, line{one, number, at})
		}
		at += end + 1
		number++
	}
	return out, min(at, len(text)), number
}

// cells cuts a line.
func cells(text []byte, separator byte) (out []string) {
	for {
		cell, rest, more := cut(text, separator)
		out = append(out, string(unquoted(cell)))
		if !more {
			return out
		}
		text = rest
	}
}

// cut parts a line behind its first cell; more is false if that was the last one.
func cut(text []byte, separator byte) (cell, rest []byte, more bool) {
	i := 0
	if len(text) > 0 && text[0] == '"' {
		if end := bytes.IndexByte(text[1:], '"'); end >= 0 {
			i = end + 2
		}
	}
	for ; i < len(text); i++ {
		if text[i] == separator {
			return text[:i], text[i+1:], true
		}
	}
	return text, nil, false
}

// unquoted is a cell without the blanks and the quotes around it.
func unquoted(cell []byte) []byte {
	for len(cell) > 0 && cell[0] <= ' ' {
		cell = cell[1:]
	}
	for len(cell) > 0 && cell[len(cell)-1] <= ' ' {
		cell = cell[:len(cell)-1]
	}
	if len(cell) > 1 && cell[0] == '"' && cell[len(cell)-1] == '"' {
		return bytes.TrimSpace(cell[1 : len(cell)-1])
	}
	return cell
}

// A shape is how the table of a log is laid out.
type shape struct {
	separator, decimal byte
	width              int      // cells in most of its lines
	heading            []string // nil if there is none
	units              []string // the row of units below the heading; nil if there is none
	index              []int    // of each column that is wanted, from 0
	first              line     // with numbers
	above              []line   // lines between the heading and the first row, and before the heading

	text []byte // of the whole file
}

// rows are the first lines of the table.
func (s *shape) rows() []line {
	out, _, _ := lines(s.text, s.first.at, s.first.number, mostSample)
	return out
}

// shapeOf finds out how the table is laid out, by its first lines.
func (a *Ask) shapeOf(text []byte) (*shape, error) {
	at, number := 0, 1
	s := &shape{text: text}
	sample, _, _ := lines(text, 0, 1, mostSample)
	if len(sample) > 0 && len(sample[0].text) == 5 && bytes.HasPrefix(sample[0].text, []byte("sep=")) {
		s.separator = sample[0].text[4] // a hint of some spreadsheets
		at, number = sample[0].at+len(sample[0].text)+1, sample[0].number+1
		sample, _, _ = lines(text, min(at, len(text)), number, mostSample)
	}
	if len(sample) == 0 {
		return nil, a.fault(0, "", "is empty", "want a table of numbers, as the logger wrote it")
	}
	s.split(sample, a.Decimal)
	if err := s.sign(a, sample); err != nil {
		return nil, err
	}
	from, err := s.head(a, sample)
	if err != nil {
		return nil, err
	}
	if err := s.begin(a, text, sample, from); err != nil {
		return nil, err
	}
	return s, nil
}

// split finds the separator that cuts most lines alike, and how many cells they have. A semicolon or a
// tab hardly stands in a log for anything else, a comma often does.
func (s *shape) split(sample []line, decimal string) {
	candidates := []byte("\t;,")
	if decimal == "comma" {
		candidates = candidates[:2]
	}
	if s.separator != 0 {
		candidates = []byte{s.separator}
	}
	s.width = 1
	best := 0
	for _, separator := range candidates {
		counts := map[int]int{}
		for _, l := range sample {
			counts[len(cells(l.text, separator))]++
		}
		width, alike := 1, 0
		for n, c := range counts {
			if n > 1 && (c > alike || c == alike && n > width) {
				width, alike = n, c
			}
		}
		const nearly = 0.8
		if float64(alike)*nearly > float64(best) {
			s.separator, s.width, best = separator, width, alike
		}
	}
}

var (
	withComma = regexp.MustCompile(`^[+-]?\d+,\d+([eE][+-]?\d+)?( ?[^\d\s.,]\S*)?$`)
	withPoint = regexp.MustCompile(`^[+-]?\d+\.\d+([eE][+-]?\d+)?( ?[^\d\s.,]\S*)?$`)
)

// sign finds the decimal sign.
func (s *shape) sign(a *Ask, sample []line) error {
	s.decimal = '.'
	if a.Decimal != "" {
		if a.Decimal == "comma" {
			s.decimal = ','
		}
		return nil
	}
	var commas, points, at int
	for _, l := range sample {
		row := cells(l.text, s.separator)
		if len(row) != s.width {
			continue
		}
		for _, cell := range row {
			switch {
			case withComma.MatchString(cell):
				commas++
				at = l.number
			case withPoint.MatchString(cell):
				points++
			}
		}
	}
	const clear = 10 // times as many as of the other sign
	switch {
	case commas > clear*points:
		s.decimal = ','
	case commas > 0 && points <= clear*commas:
		return a.fault(at, "", "numbers with a decimal comma and with a decimal point stand side by side", `want decimal = "point" or decimal = "comma" in the run`)
	}
	return nil
}

// head finds the heading and with it where each column stands; from is the place in the sample behind it.
func (s *shape) head(a *Ask, sample []line) (from int, err error) {
	s.index = make([]int, len(a.Columns))
	byName := false
	for i, c := range a.Columns {
		s.index[i] = c.Number - 1
		byName = byName || c.Number == 0
	}
	if !byName {
		return 0, nil
	}
	most, nearest := -1, 0
	for k, l := range sample {
		row := cells(l.text, s.separator)
		found := 0
		for i, c := range a.Columns {
			if c.Number == 0 {
				if at := slices.IndexFunc(row, func(h string) bool { return heads(h, c.Header) }); at >= 0 {
					s.index[i] = at
					found++
				}
			}
		}
		if found == a.named() {
			s.heading, s.above = row, sample[:k]
			return k + 1, a.twice(l.number, row)
		}
		if found > most || found == most && len(cells(sample[nearest].text, s.separator)) < s.width && len(row) == s.width {
			most, nearest = found, k
		}
	}
	return 0, a.unheaded(sample[nearest].number, cells(sample[nearest].text, s.separator))
}

// named counts the columns that are wanted by their heading.
func (a *Ask) named() (n int) {
	for _, c := range a.Columns {
		if c.Number == 0 {
			n++
		}
	}
	return n
}

// twice is the fault of a heading that more than one column bears.
func (a *Ask) twice(number int, row []string) error {
	for _, c := range a.Columns {
		if c.Number > 0 {
			continue
		}
		var at []int
		exact := 0
		for i, h := range row {
			if heads(h, c.Header) {
				at = append(at, i+1)
			}
			if plain(h) == plain(c.Header) {
				exact++
			}
		}
		if len(at) > 1 && exact != 1 {
			return a.fault(number, c.Header, fmt.Sprintf("columns %d and %d are both headed so", at[0], at[1]), fmt.Sprintf("want number = %d or %d in [column.%s] of the run", at[0], at[1], c.Name))
		}
	}
	return nil
}

// unheaded is the fault of a column that no heading names.
func (a *Ask) unheaded(at int, row []string) error {
	for _, c := range a.Columns {
		if c.Number > 0 || slices.ContainsFunc(row, func(h string) bool { return heads(h, c.Header) }) {
			continue
		}
		var names, without []string
		want := ""
		for _, h := range row {
			if h != "" {
				name, _, _, _, _ := unitInHeading(h, c.dim())
				names = append(names, h)
				if name != "" {
					without = append(without, name)
				}
			}
			if _, _, size := number([]byte(h), '.'); size > 0 && size == len(h) {
				want = "want the heading of a column, or number = … in [column." + c.Name + "] of the run"
			}
		}
		if near := tree.Nearest(c.Header, append(without, names...)); near != "" {
			want = "did you mean " + near
		} else if want == "" {
			want = "there are " + strings.Join(names[:min(len(names), 12)], ", ")
		}
		return a.fault(at, c.Header, "no column is headed so", want)
	}
	return a.fault(at, "", "the headings stand on several lines", "want number = … for each column of the run")
}

// begin finds the first row with numbers and, above it, a row of units.
func (s *shape) begin(a *Ask, text []byte, sample []line, from int) error {
	for i, c := range a.Columns {
		if s.index[i] >= s.width {
			return a.fault(sample[min(from, len(sample)-1)].number, "", fmt.Sprintf("the table has %d columns, and %s is to be number %d", s.width, c.Name, s.index[i]+1), "want a number within the table, or the column's heading")
		}
	}
	for k := from; k < len(sample); k++ {
		row := cells(sample[k].text, s.separator)
		if !s.isData(a, row) {
			continue
		}
		s.first = sample[k]
		above := sample[from:k]
		if s.heading == nil && k > 0 {
			s.headless(sample[:k])
			above = nil
		}
		for _, l := range above {
			if row := cells(l.text, s.separator); s.units == nil && s.areUnits(a, row) {
				s.units = row
				continue
			}
			s.above = append(s.above[:len(s.above):len(s.above)], l)
		}
		return nil
	}
	return s.noRows(a, sample, from)
}

// headless takes the nearest line above the table that is as wide for its heading, where none is named.
func (s *shape) headless(above []line) {
	for k := len(above) - 1; k >= 0; k-- {
		row := cells(above[k].text, s.separator)
		if len(row) != s.width {
			break
		}
		if s.heading != nil {
			s.units = s.heading
		}
		s.heading = row
		above = above[:k]
		if s.units != nil {
			break
		}
	}
	s.above = above
}

// areUnits reports whether a row below the heading has a unit for a column that is wanted.
func (s *shape) areUnits(a *Ask, row []string) bool {
	for i, c := range a.Columns {
		if c.Role == DayOnly || s.index[i] >= len(row) {
			continue
		}
		if _, ok, another := unitOf(row[s.index[i]], c.dim()); ok || another {
			return true
		}
	}
	return false
}

// isData reports whether a line of the sample is a row of the table: its stamp can be read, and one of
// the values at least.
func (s *shape) isData(a *Ask, row []string) bool {
	if len(row) < s.width {
		return false
	}
	numbers := 0
	for i, c := range a.Columns {
		cell := []byte(row[s.index[i]])
		_, _, size := number(cell, s.decimal)
		switch c.Role {
		case Value:
			if size > 0 {
				numbers++
			}
		default:
			if _, ok := readMoment(cell); !ok && (size == 0 || size < len(cell)) {
				return false
			}
		}
	}
	return numbers > 0
}

// noRows is the fault of a file without a row of the table.
func (s *shape) noRows(a *Ask, sample []line, from int) error {
	for _, l := range sample[from:] {
		row := cells(l.text, s.separator)
		if len(row) < s.width {
			continue
		}
		for i, c := range a.Columns {
			cell := row[s.index[i]]
			_, _, size := number([]byte(cell), s.decimal)
			if _, ok := readMoment([]byte(cell)); c.Role != Value && !ok && size == 0 {
				return a.fault(l.number, cell, "is no time, in the column of "+c.Name, `want 2024-05-31 10:00:00, 10:00:00, or a time elapsed as a number`)
			}
			if c.Role == Value && size == 0 && cell != "" {
				return a.fault(l.number, cell, "is text, in the column of "+c.Name, "want a column of numbers")
			}
		}
	}
	return a.fault(sample[len(sample)-1].number, "", "no row of numbers was found up to here", "want a table parted by commas, semicolons or tabs")
}
