package intake

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// column is a column of the file, and what becomes of it.
type column struct {
	header string
	index  int
	unit   string  // that the header names
	to     *target // nil: it is left out
	from   int     // of a price in the bill of materials: from how many pieces
	drop   bool    // named by Without
	sure   bool    // named by Harmless
	given  bool    // named by Map
}

// called is the column's header, or its place as @3.
func (c column) called() string {
	if c.header == "" {
		return fmt.Sprintf("@%d", c.index+1)
	}
	return c.header
}

const headerRows = 40 // the header is looked for in so many rows

// findHeader returns the position of the header among the rows, -1 if the table has none: the row with the most headers that are known.
func findHeader(s *sheet, known []target, o Options) int {
	best, most := -1, 0
	for i, r := range s.rows[:min(len(s.rows), headerRows)] {
		score := 0
		for c := range r.cells {
			text := r.cell(c).text
			if match(text, known) != nil && !r.cells[c].number {
				score += 2
			}
			if mapped(o.Map, text) || listedIn(o.Without, text) || privateHeader(text, o.Kind) {
				score++
			}
			if slices.Contains(weakWords, folded(text)) {
				score++
			}
		}
		if score > most {
			best, most = i, score
		}
	}
	return best
}

func mapped(maps []string, header string) bool {
	for _, m := range maps {
		if _, of, ok := strings.Cut(m, "="); ok && header != "" && folded(of) == folded(header) {
			return true
		}
	}
	return false
}

func listedIn(list []string, header string) bool {
	return header != "" && slices.ContainsFunc(list, func(l string) bool { return l == header || folded(l) == folded(header) && folded(l) != "" })
}

// chosen reports whether a list names a column, by its header or as @3.
func chosen(list []string, header string, index int) bool {
	return listedIn(list, header) || slices.Contains(list, fmt.Sprintf("@%d", index+1))
}

// match returns the column that a header means, nil if none.
func match(header string, known []target) *target {
	base, _ := unitOf(header)
	for _, text := range []string{header, base} {
		f := folded(text)
		for i := range known {
			if f != "" && (f == folded(known[i].name) || slices.Contains(known[i].words, f)) {
				return &known[i]
			}
		}
	}
	return nil
}

// columnsOf matches the headers with the columns of the kind.
func columnsOf(s *sheet, head row, known []target, o Options) ([]column, error) {
	width := len(head.cells)
	for _, r := range s.rows {
		width = max(width, len(r.cells))
	}
	if o.NoHeader {
		head = row{}
	}
	columns := make([]column, width)
	for i := range columns {
		header := head.cell(i).text
		_, unit := unitOf(header)
		columns[i] = column{header: header, index: i, unit: unit, drop: chosen(o.Without, header, i), sure: chosen(o.Harmless, header, i)}
	}
	if err := mapGiven(s, columns, known, o); err != nil {
		return nil, err
	}
	if err := unitsGiven(known, o); err != nil {
		return nil, err
	}
	matchAll(s, columns, known, o)
	for _, w := range append(slices.Clone(o.Without), o.Harmless...) {
		if !slices.ContainsFunc(columns, func(c column) bool { return chosen([]string{w}, c.header, c.index) }) {
			return nil, fmt.Errorf("%s: there is no column %q; want one of: %s", s.called(), w, headersOf(columns))
		}
	}
	for _, u := range o.Units {
		name, unit, _ := strings.Cut(u, "=")
		for i := range columns {
			if columns[i].to != nil && columns[i].to.name == strings.TrimSpace(name) {
				columns[i].unit = unitWord(strings.TrimSpace(unit))
			}
		}
	}
	return columns, lacking(s, columns, known)
}

// matchAll gives the columns that Map does not name to what their headers mean.
func matchAll(s *sheet, columns []column, known []target, o Options) {
	taken := map[string]bool{}
	for _, c := range columns {
		if c.to != nil {
			taken[c.to.name] = true
		}
	}
	var doubles []string
	for i := range columns {
		c := &columns[i]
		if c.to != nil || c.drop || c.header == "" {
			continue
		}
		if from, ok := priceFrom(c.header); ok && o.Kind == "bom" {
			c.to, c.from = &target{name: "prices", is: aMoney}, from
			continue
		}
		to := meant(s, *c, known)
		if to == nil || privateHeader(c.header, o.Kind) && !c.sure {
			continue
		}
		if taken[to.name] {
			doubles = append(doubles, fmt.Sprintf("%q could be %s too, which stands elsewhere", c.header, to.name))
			continue
		}
		taken[to.name], c.to = true, to
	}
	for _, d := range doubles {
		s.note(d, "it is left out; choose with --map, or drop the other with --without")
	}
	if weak := weakColumns(columns); !taken["date"] && len(weak) == 1 {
		columns[weak[0]].to = columnNamed("date", known)
	}
	nearly(s, columns, known)
}

// meant returns what a header means; where it names an event, its cells tell whether it is the day or the count.
func meant(s *sheet, c column, known []target) *target {
	if !slices.Contains(eventWords, folded(c.header)) || columnNamed("count", known) == nil {
		return match(c.header, known)
	}
	for _, r := range s.rows {
		if one := r.cell(c.index); one.text != "" && one.text != c.header {
			if _, err := readDay(one.text, false); err == nil || one.form != nil && one.form.day {
				return columnNamed("date", known)
			}
			if one.text[0] >= '0' && one.text[0] <= '9' {
				return columnNamed("count", known)
			}
		}
	}
	return nil
}

func columnNamed(name string, known []target) *target {
	for i := range known {
		if known[i].name == name {
			return &known[i]
		}
	}
	return nil
}

func weakColumns(columns []column) (at []int) {
	for i, c := range columns {
		if c.to == nil && !c.drop && slices.Contains(weakWords, folded(c.header)) {
			at = append(at, i)
		}
	}
	return at
}

// priceFrom reads a header that holds a price from a number of pieces on: "price 100", "from 10", "100+", "@ 10 pcs", "price at 1".
func priceFrom(header string) (from int, ok bool) {
	base, _ := unitOf(header)
	digits := ""
	for _, field := range parted(base) {
		if strings.Trim(field, "0123456789") == "" {
			if digits != "" {
				return 0, false
			}
			digits = field
			continue
		}
		if !slices.Contains([]string{"price", "prices", "cost", "unit", "each", "from", "at", "for", "pcs", "pieces", "pc", "qty", "of"}, field) {
			return 0, false
		}
	}
	from, err := strconv.Atoi(digits)
	return from, err == nil && from > 0
}
