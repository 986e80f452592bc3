package tree

import (
	"bytes"
	"strings"
	"unicode"
	"unicode/utf8"
)

// syntaxFault says in this program's words what the parser found.
func (r *reader) syntaxFault(message string, at, width int) *Error {
	data := r.file.Data
	if at == len(data) && at > 0 {
		at--
	}
	problem, want := message, ""
	lineStart := bytes.LastIndexByte(data[:at], '\n') + 1
	before := strings.TrimSpace(string(data[lineStart:at]))
	_, value, hasValue := strings.Cut(before, "=")
	value = strings.TrimSpace(value)
	switch {
	case strings.HasPrefix(message, "unexpected character") && startsWord(data[at:]),
		strings.HasPrefix(message, "expected keyword"):
		problem, want = "text stands without quotes", `want it in quotes, such as "agm"`
		width = wordWidth(data[at:])
	case strings.HasPrefix(message, "expected value, not end of input"),
		strings.HasPrefix(message, "unexpected character") && hasValue && value == "":
		problem, want = "there is no value", `want one behind the =, such as "27.3 V"`
	case message == "strings must be quoted",
		strings.HasPrefix(message, "expected newline") && startsNumber(value):
		problem, want = "a quantity stands without quotes", `want it in quotes, such as "27.3 V"`
	case strings.HasPrefix(message, "expected newline"):
		problem, want = "something follows the value", "want one entry a line, and # before a comment"
	case strings.HasPrefix(message, "expected '=' after key"):
		problem, want = "there is no = behind the key", `want key = "value"`
	case strings.Contains(message, "cannot have new lines"), strings.HasPrefix(message, "unterminated"):
		problem, want = "the closing quote is missing", "want it on the same line"
	case strings.HasPrefix(message, "invalid character at start of key"):
		problem, want = "no key begins like this", `want key = "value" or [table]`
	case message == "array is incomplete":
		problem, want = "the list is not closed", "want ] at its end"
	case message == "inline table is incomplete":
		problem, want = "the table is not closed", "want } at its end"
	}
	return r.file.Fault(Span{at, min(at+max(1, width), len(data))}, "", "", problem, want)
}

func startsWord(b []byte) bool {
	c, _ := utf8.DecodeRune(b)
	return unicode.IsLetter(c)
}

func wordWidth(b []byte) int {
	end := bytes.IndexFunc(b, func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) && c != '-' && c != '_' })
	if end < 0 {
		return len(b)
	}
	return end
}

func startsNumber(s string) bool {
	s = strings.TrimLeft(s, "+-")
	return s != "" && s[0] >= '0' && s[0] <= '9'
}
