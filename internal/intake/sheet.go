package intake

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// sheet is a table as it was found.
type sheet struct {
	file   string // "orders.xlsx"
	name   string // of the sheet; "" for CSV
	rows   []row
	epoch  int         // of day numbers: 1900 or 1904
	notes  []noted     // what its reading calls for saying
	merged map[int]int // how many merged cells over several rows stand in a column
	book   *book       // for formulas that nobody has computed; nil for CSV
}

// row is one row with something in it.
type row struct {
	number int // of the line in a CSV file, of the row in a sheet
	cells  []cell
	hidden bool
}

// cell is what stands in one cell.
type cell struct {
	text   string
	number bool    // a number of a spreadsheet: the point is the decimal sign
	form   *format // how the spreadsheet shows it; nil for CSV
	fault  string  // why there is no value: an error of the spreadsheet
	sum    bool    // a formula that nobody has computed
	filled bool    // it belongs to a merged cell whose value stands before it
	at     int     // column in characters, of a CSV file
}

func (r row) cell(i int) cell {
	if i < 0 || i >= len(r.cells) {
		return cell{}
	}
	return r.cells[i]
}

func (r row) empty() bool {
	for _, c := range r.cells {
		if c.text != "" || c.fault != "" || c.sum {
			return false
		}
	}
	return true
}

// place names a cell: "orders.csv:17:23" or "orders.xlsx: Orders!C17".
func (s *sheet) place(r row, column int) string {
	if s.name == "" {
		return fmt.Sprintf("%s:%d:%d", s.file, r.number, max(1, r.cell(column).at))
	}
	return fmt.Sprintf("%s: %s!%s%d", s.file, s.name, letters(column), r.number)
}

// rowPlace names a row: "orders.csv:17" or "orders.xlsx: Orders!17".
func (s *sheet) rowPlace(number int) string {
	if s.name == "" {
		return fmt.Sprintf("%s:%d", s.file, number)
	}
	return fmt.Sprintf("%s: %s!%d", s.file, s.name, number)
}

// called says which table of the file it is.
func (s *sheet) called() string {
	if s.name == "" {
		return s.file
	}
	return s.file + ", sheet " + s.name
}

// title is called within a sentence.
func (s *sheet) title() string {
	if s.name == "" {
		return s.file
	}
	return "sheet " + s.name + " of " + s.file
}

// letters names a column as spreadsheets do: A for 0, AA for 26.
func letters(column int) string {
	name := ""
	for n := column + 1; n > 0; n = (n - 1) / 26 {
		name = string(rune('A'+(n-1)%26)) + name
	}
	return name
}

// noted is something that the page says.
type noted struct{ text, remedy, from string }

func (s *sheet) note(text, remedy string) { s.notes = append(s.notes, noted{text, remedy, ""}) }

// blanks are characters that spreadsheets and web pages put for a space, or for nothing.
var blanks = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ", "\u2007", " ", "\ufeff", "", "\u200b", "", "\r\n", " ", "\n", " ", "\r", " ", "\t", " ")

// tidy takes the blanks around a text, and line ends and odd blanks within, for what they mean. What stands for nothing becomes nothing.
func tidy(text string) string {
	if clean(text) {
		return text
	}
	text = strings.TrimSpace(blanks.Replace(text))
	switch strings.ToLower(text) {
	case "-", "–", "—", "n/a", "#n/a":
		return ""
	}
	return text
}

// clean reports whether tidy would leave a text as it is, which is so for nearly every cell.
func clean(text string) bool {
	if len(text) < 5 {
		return text != "" && isAlnum(text)
	}
	for i := 0; i < len(text); i++ {
		if text[i] < ' ' || text[i] >= utf8.RuneSelf {
			return false
		}
	}
	return text[0] != ' ' && text[len(text)-1] != ' '
}

func isAlnum(text string) bool {
	for i := 0; i < len(text); i++ {
		c := text[i]
		if (c < '0' || c > '9') && (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') {
			return false
		}
	}
	return true
}

// short cuts a text for a message.
func short(text string, most int) string {
	runes := []rune(text)
	if len(runes) <= most {
		return text
	}
	return string(runes[:most-1]) + "…"
}
