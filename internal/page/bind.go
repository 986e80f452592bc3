package page

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"hindwatt/internal/quantity"
)

// bind keeps numbers and their units on one line: the space between them becomes one that does not break.
func bind(s string) string {
	words := strings.Split(s, " ")
	var b strings.Builder
	for i, w := range words {
		if i > 0 {
			if number(words[i-1]) && unit(w) {
				b.WriteString("\u00a0")
			} else {
				b.WriteByte(' ')
			}
		}
		b.WriteString(w)
	}
	return b.String()
}

// number reports whether a word ends like a number.
func number(w string) bool { return w != "" && w[len(w)-1] >= '0' && w[len(w)-1] <= '9' }

// unit reports whether a word, without the punctuation around it, is a unit.
func unit(w string) bool {
	_, _, ok := quantity.UnitDimension(strings.TrimRight(w, ".,;:)!?"))
	return ok
}

// sentence ends a text with a full stop where it has no end yet, so that another sentence can follow.
func sentence(s string) string {
	if s == "" || strings.ContainsRune(".!?:", rune(s[len(s)-1])) {
		return s
	}
	return s + "."
}

// opening begins a text with a capital, unless its first word looks like a name (d1, bench-2).
func opening(s string) string {
	first, _, _ := strings.Cut(s, " ")
	if s == "" || strings.ContainsFunc(first, func(r rune) bool { return !unicode.IsLetter(r) }) {
		return s
	}
	r, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[size:]
}
