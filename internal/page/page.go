// Package page holds one question's page as a value and renders it, for the browser, paper and the terminal.
// No wording of an answer lives here.
package page

import (
	"io"

	"hindwatt/internal/figure"
)

// Page is the answer to one of the maker's questions.
type Page struct {
	ID       string   // "setpoint": unique in a site; letters, digits and hyphens
	Question string   // "Does it stop at the right voltage?"
	Short    string   // "Right voltage?"
	Answer   []string // sentences; the first is the answer itself
	Figures  []Figure
	Inputs   []Input
	Tables   []Table
	Warnings []Note // doubt about this answer, each with its remedy
	Cautions []Note // what the engineering checks say
	Lacks    []Lack
	How      []Method
}

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
	Head  []string
	Align string     // one letter a column: l left, r right; missing letters are l
	Rows  [][]string // short rows are filled with empty cells
	Note  string
}

// Note is something to know, with what to do about it.
type Note struct {
	Text   string
	Remedy string // what would mend it; may be empty
	From   string // file:line or the equation it rests on; may be empty
}

// Lack is a value that is missing for a part of the answer.
type Lack struct {
	Key, File string
	Why       string // what it would answer
}

// Method is one step of how the answer was computed.
type Method struct {
	Text     string
	Equation string // plain Unicode; may be empty
	Source   string // may be empty
}

// Text writes the page for a terminal of width columns.
func (p Page) Text(w io.Writer, width int, style figure.TextStyle) error { return nil }
