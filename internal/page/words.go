package page

import (
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
