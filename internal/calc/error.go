package calc

import (
	"fmt"
	"strconv"
	"strings"
)

// An Error is one fault in what was typed.
type Error struct {
	Key           string // "" if the fault is in no key
	Value         string // as typed
	Column, Width int    // of the fault in Value, in characters from 1; 0 for the whole of it
	Problem       string
	Want          string // what is accepted
	Hint          string // at most one remedy, such as the nearest known name
}

// Error returns `key: "value": problem; want` and, where a place is known, the value with
// a mark below it.
func (e *Error) Error() string {
	var b strings.Builder
	if e.Key != "" {
		b.WriteString(e.Key + ": ")
	}
	if e.Value != "" {
		b.WriteString(strconv.Quote(shorten(e.Value)) + ": ")
	}
	b.WriteString(e.Problem)
	for _, more := range []string{e.Want, e.Hint} {
		if more != "" {
			b.WriteString("; " + more)
		}
	}
	if e.Column > 0 && e.Column <= maxShown {
		fmt.Fprintf(&b, "\n    %s\n    %s%s", shorten(e.Value), strings.Repeat(" ", e.Column-1),
			strings.Repeat("^", max(1, min(e.Width, maxShown-e.Column+1))))
	}
	return b.String()
}

// maxShown is how many characters of a value an error repeats.
const maxShown = 200

// shorten keeps a message readable: one line, of bounded length, characters kept in place.
func shorten(s string) string {
	r := []rune(strings.Map(func(c rune) rune {
		if c < ' ' || c == 0x7f {
			return ' '
		}
		return c
	}, s))
	if len(r) > maxShown {
		return string(r[:maxShown-1]) + "…"
	}
	return string(r)
}

// Errors are all faults of one call.
type Errors []*Error

// Error returns each fault on lines of its own.
func (e Errors) Error() string {
	lines := make([]string, len(e))
	for i, fault := range e {
		lines[i] = fault.Error()
	}
	return strings.Join(lines, "\n")
}

// wrong returns the error of an input whose value cannot be computed with.
func wrong(key, problem, want string) error { return &Error{Key: key, Problem: problem, Want: want} }

// nearest returns the known name most like the typed one, as a hint, or "".
func nearest(typed string, known []string) string {
	best, least := "", (len(typed)+1)/3
	for _, k := range known {
		if strings.HasPrefix(k, typed) && (len(typed) > 2 || len(k) == len(typed)+1) {
			return "did you mean " + k
		}
		if d := distance(strings.ToLower(typed), k); d <= least {
			best, least = "did you mean "+k, d-1
		}
	}
	return best
}

// distance counts the letters to change, insert, leave out or swap with a neighbour
// to turn a into b (optimal string alignment).
func distance(a, b string) int {
	from, to := []rune(a), []rune(b)
	last, row := make([]int, len(to)+1), make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i := range from {
		next := make([]int, len(to)+1)
		next[0] = i + 1
		for j := range to {
			next[j+1] = min(row[j+1], next[j]) + 1
			if from[i] == to[j] {
				next[j+1] = min(next[j+1], row[j])
			} else {
				next[j+1] = min(next[j+1], row[j]+1)
			}
			if i > 0 && j > 0 && from[i] == to[j-1] && from[i-1] == to[j] {
				next[j+1] = min(next[j+1], last[j-1]+1)
			}
		}
		last, row = row, next
	}
	return row[len(to)]
}
