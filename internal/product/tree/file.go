package tree

import (
	"bytes"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A File is the text of one file of the folder.
type File struct {
	Name   string // with slashes, from the folder: "installations/cabin.toml"
	Data   []byte
	starts []int // offset of each line
}

// NewFile returns data as a file; data is not copied.
func NewFile(name string, data []byte) *File {
	f := &File{Name: name, Data: data, starts: make([]int, 1, 1+bytes.Count(data, []byte("\n")))}
	f.starts[0] = f0(data)
	for at := 0; ; {
		end := bytes.IndexByte(data[at:], '\n')
		if end < 0 {
			return f
		}
		at += end + 1
		f.starts = append(f.starts, at)
	}
}

const byteOrderMark = "\xef\xbb\xbf"

// f0 returns where the text begins, behind a byte order mark.
func f0(data []byte) int {
	if bytes.HasPrefix(data, []byte(byteOrderMark)) {
		return len(byteOrderMark)
	}
	return 0
}

// text returns the bytes behind a byte order mark and where they begin.
func (f *File) text() (data []byte, start int) {
	return f.Data[f.starts[0]:], f.starts[0]
}

// Position returns the line and the column of a byte, both from 1. An offset
// outside the file counts as its nearest end.
func (f *File) Position(offset int) (line, column int) {
	offset = min(max(offset, f.starts[0]), len(f.Data))
	line = f.LineAt(offset)
	return line, 1 + utf8.RuneCount(f.Data[f.starts[line-1]:offset])
}

// LineAt returns the line of a byte, as Position does.
func (f *File) LineAt(offset int) int {
	offset = max(offset, f.starts[0])
	return sort.Search(len(f.starts), func(i int) bool { return f.starts[i] > offset })
}

// Line returns a line's text without its end; "" if there is no such line.
func (f *File) Line(line int) string {
	if line < 1 || line > len(f.starts) {
		return ""
	}
	end := len(f.Data)
	if line < len(f.starts) {
		end = f.starts[line] - 1
	}
	return strings.TrimSuffix(string(f.Data[f.starts[line-1]:max(end, f.starts[line-1])]), "\r")
}

// lineStart returns the offset at which a line begins; the file's end behind the last.
func (f *File) lineStart(line int) int {
	if line > len(f.starts) {
		return len(f.Data)
	}
	return f.starts[line-1]
}

// Newline returns the line end that the file uses, "\n" if it has none.
func (f *File) Newline() string {
	if i := bytes.IndexByte(f.Data, '\n'); i > 0 && f.Data[i-1] == '\r' {
		return "\r\n"
	}
	return "\n"
}

// A Span is a range of bytes of a file, End excluded.
type Span struct{ Start, End int }

// CheckText returns the fault of a file that is no text in UTF-8, or nil.
func (f *File) CheckText() *Error {
	if bytes.HasPrefix(f.Data, []byte("\xff\xfe")) || bytes.HasPrefix(f.Data, []byte("\xfe\xff")) {
		return f.Fault(Span{0, 2}, "", "", "is UTF-16", "save it as UTF-8")
	}
	if utf8.Valid(f.Data) && bytes.IndexByte(f.Data, 0) < 0 {
		return nil
	}
	for i := 0; i < len(f.Data); {
		r, size := utf8.DecodeRune(f.Data[i:])
		switch {
		case r == 0:
			return f.Fault(Span{i, i + 1}, "", "", "there is a zero byte, so this is no text", "want a text file in UTF-8")
		case r == utf8.RuneError && size == 1:
			return f.Fault(Span{i, i + 1}, "", "", "a byte here is not UTF-8", "save the file as UTF-8")
		}
		i += size
	}
	return nil
}

// Fault returns an Error at a span of the file.
func (f *File) Fault(at Span, key, value, problem, want string) *Error {
	line, column := f.Position(at.Start)
	e := &Error{File: f.Name, Line: line, Column: column, Key: key, Value: value, Problem: problem, Want: want}
	e.Excerpt = f.Line(line)
	width := 1
	if at.End > at.Start {
		end := min(at.End, len(f.Data))
		if stop := bytes.IndexByte(f.Data[at.Start:end], '\n'); stop >= 0 {
			end = at.Start + stop
		}
		width = max(1, utf8.RuneCount(f.Data[at.Start:end]))
	}
	e.Width = width
	return e
}

// printable makes a text fit for a terminal: one line, no control characters.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t' || r == '\n' || r == '\r':
			return ' '
		case r == utf8.RuneError || !unicode.IsPrint(r):
			return '\uFFFD'
		}
		return r
	}, s)
}
