package page

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Capital begins a sentence: its first letter is made a capital one.
func Capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + s[size:]
}

// And joins words: "a", "a and b", "a, b and c".
func And(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}
