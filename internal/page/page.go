// Package page holds the answer to one of the maker's questions as a value, and renders it: how is it shown?
//
// Page is the answer to one question, Promise a promise with its verdict, Site all that one dossier page prints. HTML gives one file that
// needs no network and no script, and prints; Text gives lines of a terminal. No wording of an answer lives here, and no number is
// computed here: everything arrives worded and formatted from the studies and from package promise.
package page

import "hindwatt/internal/figure"

// Page is the answer to one of the maker's questions.
type Page struct {
	ID       string   // "setpoint": unique in a site; begins with a letter; letters, digits and hyphens
	Question string   // "Does it stop at the right voltage?"
	Short    string   // "Right voltage?", for the list of pages
	Answer   []string // sentences or paragraphs; the first is the answer itself
	Figures  []Figure
	Inputs   []Input
	Tables   []Table
	Warnings []Note // doubt about this answer, each with its remedy
	Cautions []Note // what the engineering checks say
	Lacks    []Lack
	How      []Method
}

// ManyInputs reports whether the inputs are too many to stand beside the figures.
func (p Page) ManyInputs() bool { return len(p.Inputs) > 5*(len(p.Figures)+1) }

// Figure is a plot with the sentence below it.
type Figure struct {
	Plot    figure.Plot
	Caption string
}

// Input is one value that the answer was computed from.
type Input struct {
	Name string // "sense.reference"
	Text string // as written: "2.5 V ±0.4 % ±50 ppm/K"
	From string // "product.toml:12"; "default" where nothing is written
	Note string // what it means here; may be empty
}

// Table is a table of formatted cells.
type Table struct {
	Title string
	Head  []string   // as many as there are columns
	Align string     // one letter a column: l left, r right; missing letters are l
	Rows  [][]string // short rows are filled with empty cells
	Note  string     // said below; may be empty
}

// right reports whether column i stands to the right.
func (t Table) right(i int) bool { return i < len(t.Align) && t.Align[i] == 'r' }

// cells returns a row with one cell a column.
func (t Table) cells(row []string) []string {
	out := make([]string, len(t.Head))
	copy(out, row)
	return out
}

// Note is something to know, with what to do about it.
type Note struct {
	Text   string
	Remedy string // what would mend it; may be empty
	From   string // file:line, or the equation it rests on; may be empty
}

// Lack is a value that is missing for a part of the answer.
type Lack struct {
	Key, File string
	Why       string // what it would answer; may be empty
}

// Method is one step of how the answer was computed.
type Method struct {
	Text     string
	Equation string // plain Unicode; may be empty
	Source   string // may be empty
}
