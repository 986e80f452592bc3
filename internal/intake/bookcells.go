package intake

import (
	"encoding/xml"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// escaped is how a character that XML cannot hold is written (18.18.80, ST_Xstring).
var escaped = regexp.MustCompile(`_x([0-9A-Fa-f]{4})_`)

func unescaped(text string) string {
	if !strings.Contains(text, "_x") {
		return text
	}
	return escaped.ReplaceAllStringFunc(text, func(s string) string {
		n, _ := strconv.ParseUint(s[2:6], 16, 32)
		if n < ' ' {
			return " "
		}
		return string(rune(n))
	})
}

// gatherer gathers the cells of a sheet while its part is read (18.3.1).
type gatherer struct {
	book  *book
	sheet *sheet

	row         row
	column      int
	kind        string // of the cell: s, str, inlineStr, b, e, d, n
	style       int
	formula     bool
	value       strings.Builder
	text        strings.Builder // of the formula
	formulating bool
	into        bool // text belongs to the value
	spoken      int
	width       int // of the row before: the next is likely as wide
	cells       int

	hiddenRows, hiddenColumns, formulas int
	merges                              []area
}

// area is a rectangle of cells; rows as numbered, columns from 0.
type area struct{ top, left, bottom, right int }

// cells reads the cells of a sheet, and says what is hidden, merged and computed in it.
func (b *book) cells(chosen bookSheet, s *sheet) error {
	g := &gatherer{book: b, sheet: s}
	err := b.tokens(chosen.part, func(token xml.Token) error {
		switch e := token.(type) {
		case xml.StartElement:
			return g.start(e)
		case xml.EndElement:
			return g.end(e.Name.Local)
		case xml.CharData:
			switch {
			case g.formulating:
				return gather(&g.text, e)
			case g.into && g.spoken == 0:
				return gather(&g.value, e)
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	if err := g.fill(); err != nil {
		return err
	}
	g.tell(chosen)
	return nil
}

func (g *gatherer) start(e xml.StartElement) error {
	switch e.Name.Local {
	case "col":
		if shut(attr(e, "hidden")) {
			g.hiddenColumns++
		}
	case "row":
		n := g.row.number + 1
		if r := attr(e, "r"); r != "" {
			n, _ = strconv.Atoi(r)
		}
		if n <= g.row.number || n > mostRows {
			return fmt.Errorf("row %q is out of order; save the workbook anew", attr(e, "r"))
		}
		g.row = row{number: n, hidden: shut(attr(e, "hidden"))}
		g.column = -1
	case "c":
		return g.startCell(e)
	case "f":
		g.formula, g.formulating = true, true
		g.text.Reset()
	case "v", "t":
		g.into = true
	case "rPh":
		g.spoken++
	case "mergeCell":
		from, to, _ := strings.Cut(attr(e, "ref"), ":")
		left, top, ok1 := cellAt(from)
		right, bottom, ok2 := cellAt(to)
		if ok1 && ok2 && len(g.merges) < mostMerges {
			g.merges = append(g.merges, area{top, left, bottom, right})
		}
	}
	return nil
}

func shut(hidden string) bool { return hidden == "1" || hidden == "true" }

func (g *gatherer) startCell(e xml.StartElement) error {
	g.column++
	if r := attr(e, "r"); r != "" {
		column, _, ok := cellAt(r)
		if !ok || column < g.column {
			return fmt.Errorf("cell %q is out of order; save the workbook anew", r)
		}
		g.column = column
	}
	g.kind, g.formula = attr(e, "t"), false
	g.style, _ = strconv.Atoi(attr(e, "s"))
	g.value.Reset()
	return nil
}

// cellAt reads "C17" as column 2, row 17.
func cellAt(ref string) (column, row int, ok bool) {
	i := 0
	for i < len(ref) && ref[i] >= 'A' && ref[i] <= 'Z' && i < 4 {
		column = column*26 + int(ref[i]-'A') + 1
		i++
	}
	row, err := strconv.Atoi(ref[i:])
	return column - 1, row, err == nil && i > 0 && row > 0
}

func (g *gatherer) end(name string) error {
	switch name {
	case "f":
		g.formulating = false
		g.book.summed.see(g.column, g.row.number, g.text.String())
	case "v", "t":
		g.into = false
	case "rPh":
		g.spoken--
	case "c":
		return g.endCell()
	case "row":
		if !g.row.empty() {
			g.sheet.rows = append(g.sheet.rows, g.row)
			if g.row.hidden {
				g.hiddenRows++
			}
			g.row = row{number: g.row.number}
		}
	}
	return nil
}

func (g *gatherer) endCell() error {
	c := g.cell()
	if g.column < 0 || c.text == "" && c.fault == "" && !c.sum {
		return nil
	}
	if g.cells += g.column + 1 - len(g.row.cells); g.column >= mostColumns || g.cells > mostCells {
		return tooLarge()
	}
	if g.formula && !c.sum {
		g.formulas++
	}
	if g.column >= cap(g.row.cells) {
		g.row.cells = slices.Grow(g.row.cells, max(g.column+1, g.width)-len(g.row.cells))
	}
	g.row.cells = g.row.cells[:g.column+1] // Grow leaves zeros
	g.row.cells[g.column] = c
	g.width = g.column + 1
	return nil
}

func tooLarge() error {
	return fmt.Errorf("the table is too large; at most %d columns and %d cells are read", mostColumns, mostCells)
}

// cell returns what stands in the cell that ends here.
func (g *gatherer) cell() cell {
	raw := g.value.String()
	c := cell{}
	if g.style >= 0 && g.style < len(g.book.formats) {
		c.form = g.book.formats[g.style]
	}
	switch g.kind {
	case "s":
		if n, err := strconv.Atoi(raw); err == nil && n >= 0 && n < len(g.book.shared) {
			c.text = g.book.shared[n]
		}
	case "e":
		if raw != "#N/A" {
			c.fault = "is the error " + raw + " of the spreadsheet"
		}
	case "b":
		c.text = map[string]string{"1": "yes", "0": "no"}[raw]
	case "str", "inlineStr", "d":
		c.text = tidy(unescaped(raw))
	default:
		v, err := strconv.ParseFloat(raw, 64)
		if err != nil {
			c.text = tidy(raw)
			break
		}
		c.number = true
		c.text = plainNumber(v)
	}
	c.sum = g.formula && raw == ""
	return c
}

// plainNumber writes a spreadsheet's number with the 15 digits that it is good for, without an exponent.
func plainNumber(v float64) string {
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 15, 64), 64)
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

// fill marks the cells behind the first of a merged area with its value.
func (g *gatherer) fill() error {
	all := g.sheet.rows
	for _, a := range g.merges {
		first, there := slices.BinarySearchFunc(all, a.top, func(r row, n int) int { return r.number - n })
		if !there || a.bottom == a.top || a.left >= mostColumns {
			continue // a merge within one row is a heading, or nothing
		}
		value := all[first].cell(a.left)
		if value.text == "" {
			continue
		}
		g.sheet.merged[a.left]++
		for i := first + 1; i < len(all) && all[i].number <= a.bottom; i++ {
			if g.cells += max(1, a.left+1-len(all[i].cells)); g.cells > mostCells {
				return tooLarge()
			}
			all[i].put(a.left, value)
		}
	}
	return nil
}

func (r *row) put(column int, c cell) {
	for len(r.cells) <= column {
		r.cells = append(r.cells, cell{})
	}
	if r.cells[column].text == "" {
		c.filled = true
		r.cells[column] = c
	}
}

func (g *gatherer) tell(chosen bookSheet) {
	s := g.sheet
	if chosen.hidden {
		s.note("the sheet is hidden", "it was read since it was asked for")
	} else if hidden := g.book.hidden(); len(hidden) > 0 {
		s.note(fmt.Sprintf("not read, since hidden: %s %s", agree(len(hidden), "the sheet", "the sheets"), someOf(hidden)), "name one with --sheet if it is wanted")
	}
	if n := g.hiddenRows; n > 0 {
		s.note(agree(n, "1 hidden row of the sheet, such as a filter leaves, is read like the others", fmt.Sprintf("%d hidden rows of the sheet, such as a filter leaves, are read like the others", n)),
			"delete in the workbook what is not wanted")
	}
	if n := g.hiddenColumns; n > 0 {
		s.note(agree(n, "1 hidden column of the sheet is read like the others", fmt.Sprintf("%d hidden columns of the sheet are read like the others", n)), "")
	}
	if n := g.formulas; n > 0 {
		s.note(agree(n, "of 1 formula the value is taken that the spreadsheet saved", fmt.Sprintf("of %d formulas the values are taken that the spreadsheet saved", n)), "")
	}
}

// mergesIn says what becomes of merged cells in the columns that are taken.
func (s *sheet) mergesIn(columns []column) {
	n := 0
	for _, c := range columns {
		if c.to != nil {
			n += s.merged[c.index]
		}
	}
	if n > 0 {
		s.note(agree(n, "1 merged cell spans several rows", fmt.Sprintf("%d merged cells span several rows", n)),
			"in days, names and words each of the rows gets the value; in numbers and money only the first, or it would count twice")
	}
}

func (b *book) hidden() (names []string) {
	for _, s := range b.sheets {
		if s.hidden {
			names = append(names, s.name)
		}
	}
	return names
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return strconv.Itoa(n) + " " + word + "s"
}
