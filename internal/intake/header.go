package intake

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"hindwatt/internal/product/tree"
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
		to := match(c.header, known)
		if from, ok := priceFrom(c.header); ok && o.Kind == "bom" {
			c.to, c.from = &target{name: "prices", is: aMoney}, from
			continue
		}
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
	for _, w := range append(slices.Clone(o.Without), o.Harmless...) {
		if !slices.ContainsFunc(columns, func(c column) bool { return chosen([]string{w}, c.header, c.index) }) {
			return nil, fmt.Errorf("%s: there is no column %q; want one of: %s", s.called(), w, headersOf(columns))
		}
	}
	return columns, lacking(s, columns, known)
}

// mapGiven carries out what Map says: "column=header", or "column=@3" for the third column of the file.
func mapGiven(s *sheet, columns []column, known []target, o Options) error {
	for _, m := range o.Map {
		name, header, ok := strings.Cut(m, "=")
		name, header = strings.TrimSpace(name), strings.TrimSpace(header)
		if !ok || name == "" || header == "" {
			return fmt.Errorf("--map %q: want column=header, such as \"date=Order date\", or column=@3 for the third column", m)
		}
		to := slices.IndexFunc(known, func(t target) bool { return t.name == name })
		if to < 0 {
			return fmt.Errorf("--map %q: there is no column %q of %s; want one of: %s", m, name, o.Kind, namesOf(known))
		}
		at := -1
		if n, err := strconv.Atoi(strings.TrimPrefix(header, "@")); err == nil && header[0] == '@' {
			at = n - 1
			if at < 0 || at >= len(columns) {
				return fmt.Errorf("--map %q: the table has %d columns; want @1 to @%d", m, len(columns), len(columns))
			}
		} else {
			for i, c := range columns {
				if folded(c.header) != folded(header) || c.header == "" {
					continue
				}
				if at >= 0 {
					return fmt.Errorf("--map %q: two columns are called so; want @%d or @%d", m, at+1, i+1)
				}
				at = i
			}
		}
		switch {
		case at < 0:
			return fmt.Errorf("--map %q: %s has no column %q; want one of: %s", m, s.called(), header, headersOf(columns))
		case columns[at].drop:
			return fmt.Errorf("--map %q: --without drops that column; want one of the two", m)
		case columns[at].to != nil:
			return fmt.Errorf("--map %q: the column is %s already; want each once", m, columns[at].to.name)
		}
		for _, c := range columns {
			if c.given && c.to.name == name {
				return fmt.Errorf("--map %q: %s is given already; want each once", m, name)
			}
		}
		columns[at].to, columns[at].given = &known[to], true
	}
	return nil
}

// lacking reports columns that every row needs and the table does not have, with headers that are spelt nearly so.
func lacking(s *sheet, columns []column, known []target) error {
	for _, t := range known {
		if !t.needed || slices.ContainsFunc(columns, func(c column) bool { return c.to != nil && c.to.name == t.name }) {
			continue
		}
		hint := fmt.Sprintf("want --map \"%s=HEADER\", with one of: %s", t.name, headersOf(columns))
		for _, c := range columns {
			if c.to == nil && near(c.header, t) {
				hint = fmt.Sprintf("did you mean --map \"%s=%s\"?", t.name, c.header)
				break
			}
		}
		return fmt.Errorf("%s: no column is known as %s; %s", s.called(), t.name, hint)
	}
	return nil
}

// near reports whether a header is spelt nearly like a word for the column, or holds it.
func near(header string, t target) bool {
	f := folded(header)
	known := append(slices.Clone(t.words), folded(t.name))
	holds := slices.ContainsFunc(known, func(w string) bool { return len(w) >= 4 && strings.Contains(f, w) })
	return holds || tree.Nearest(f, known) != ""
}

func namesOf(known []target) string {
	var names []string
	for _, t := range known {
		names = append(names, t.name)
	}
	return strings.Join(names, ", ")
}

func headersOf(columns []column) string {
	var all []string
	for i, c := range columns {
		switch {
		case c.header == "":
			all = append(all, fmt.Sprintf("@%d", i+1))
		default:
			all = append(all, fmt.Sprintf("%q", short(c.header, 40)))
		}
	}
	if len(all) > 24 {
		return strings.Join(all[:24], ", ") + ", …"
	}
	return strings.Join(all, ", ")
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
