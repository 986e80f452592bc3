package tree

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// An Error is one thing that is wrong in a folder: where, what, and what is accepted.
type Error struct {
	File          string // from the folder, "" for the folder itself
	Line, Column  int    // from 1, the column in characters; 0 where the whole file is meant
	Key           string // dotted: "sense.top"; "" if none is concerned
	Value         string // as found, without quotes; "" if none is concerned
	Problem, Want string
	Excerpt       string // the line, without its end
	Width         int    // characters to underline from Column on
}

const maxValueShown = 60 // characters

// Error returns `file:line:column: key: "value": what is wrong; what is accepted`.
func (e *Error) Error() string {
	var parts []string
	place := e.File
	if e.Line > 0 {
		place = fmt.Sprintf("%s:%d:%d", e.File, e.Line, e.Column)
	}
	if place != "" {
		parts = append(parts, printable(place))
	}
	if e.Key != "" {
		parts = append(parts, printable(e.Key))
	}
	if e.Value != "" {
		parts = append(parts, quoted(e.Value))
	}
	text := e.Problem
	if e.Want != "" {
		text += "; " + e.Want
	}
	return strings.Join(append(parts, text), ": ")
}

// quoted returns a value as a file would show it, shortened in the middle.
func quoted(s string) string {
	runes := []rune(printable(s))
	if len(runes) > maxValueShown {
		half := maxValueShown / 2
		s = string(runes[:half]) + " … " + string(runes[len(runes)-half:])
	} else {
		s = string(runes)
	}
	return `"` + s + `"`
}

const (
	excerptWidth  = 100 // characters of a line that are shown
	excerptBefore = 40  // of them, before the mark
)

// Detail returns Error and, below it, the line with the fault underlined.
func (e *Error) Detail() string {
	if e.Line == 0 || e.Excerpt == "" {
		return e.Error()
	}
	runes := []rune(printable(e.Excerpt))
	from := 0
	if len(runes) > excerptWidth {
		from = min(max(0, e.Column-1-excerptBefore), len(runes)-excerptWidth)
	}
	shown := runes[from:min(from+excerptWidth, len(runes))]
	start := min(max(0, e.Column-1-from), len(shown))
	width := max(1, min(e.Width, len(shown)-start))
	number := strconv.Itoa(e.Line)
	return fmt.Sprintf("%s\n   %s | %s\n   %s | %s%s", e.Error(),
		number, strings.TrimRight(string(shown), " "),
		strings.Repeat(" ", len(number)), strings.Repeat(" ", start), strings.Repeat("^", width))
}

// Errors are all faults of a folder, in the order of files, lines and columns.
type Errors []*Error

// MaxShown is how many errors Error and Detail print; the rest is counted.
const MaxShown = 50

// Error returns one line for each error.
func (es Errors) Error() string { return es.print((*Error).Error) }

// Detail returns each error with its underlined line.
func (es Errors) Detail() string { return es.print((*Error).Detail) }

func (es Errors) print(one func(*Error) string) string {
	var lines []string
	for _, e := range es[:min(len(es), MaxShown)] {
		lines = append(lines, one(e))
	}
	if more := len(es) - MaxShown; more > 0 {
		lines = append(lines, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(lines, "\n")
}

// Sorted returns the errors in order of place, each once.
func (es Errors) Sorted() Errors {
	sorted := slices.Clone(es)
	slices.SortStableFunc(sorted, func(a, b *Error) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column), cmp.Compare(a.Problem, b.Problem))
	})
	return slices.CompactFunc(sorted, func(a, b *Error) bool { return *a == *b })
}

// maxFaults is how many faults of one file are kept: beyond it a file is no
// product file with mistakes but something else.
const maxFaults = 1000

// Faults gathers errors while files are read.
type Faults struct {
	List Errors
	in   map[string]int
}

// Add keeps an error; nil is ignored. It returns false once the file has had its share.
func (fs *Faults) Add(e *Error) bool {
	if e == nil {
		return true
	}
	if fs.in == nil {
		fs.in = map[string]int{}
	}
	if fs.Full(e.File) {
		return false
	}
	fs.in[e.File]++
	fs.List = append(fs.List, e)
	return !fs.Full(e.File)
}

// Full reports whether a file has had its share of errors, so that looking for
// near names and the like can stop.
func (fs *Faults) Full(file string) bool { return fs.in[file] >= maxFaults }
