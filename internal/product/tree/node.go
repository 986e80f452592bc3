package tree

import (
	"strings"
	"unicode/utf8"
)

// Kind is what a value is written as.
type Kind uint8

// The kinds of values. A CSV cell is a String.
const (
	Table Kind = iota
	Array
	String
	Integer
	Float
	Bool
	Date // 2024-05-31
	Time // any other date or time of TOML
)

// String says what a value of the kind is called in a message.
func (k Kind) String() string {
	return [...]string{"a table", "a list", "text", "a number", "a number", "true or false", "a date", "a time"}[k]
}

// form is how a table came to be, which decides what may be added to it.
type form uint8

const (
	implied form = iota // only named by a longer header
	header              // [name]
	dotted              // by a dotted key
	inline              // { … }
	root
)

// A Node is one value with its place, and for a table or a list what is in it.
// A Node is not changed once it is read.
type Node struct {
	Key      string // last part of its key; "" for a list's element and the root
	KeySpan  Span   // of the whole key as written there, dots included
	Kind     Kind
	Text     string // a string's content; else the value as written
	Span     Span   // of the value; of a table with a header, the header
	File     *File
	Path     string  // dotted key in its own file, where that is not the place it was put to
	Children []*Node // in the file's order
	form     form
	raw      bool // a string without quotes around it: a CSV cell
	body     int  // where the last line of a table with a header ends
	index    map[string]*Node
}

// Child returns the entry of a table; nil if there is none or n is nil.
func (n *Node) Child(key string) *Node {
	if n == nil || n.Kind != Table {
		return nil
	}
	if n.index != nil {
		return n.index[key]
	}
	for _, c := range n.Children {
		if c.Key == key {
			return c
		}
	}
	return nil
}

// At returns what stands under a dotted key; nil if there is nothing.
func (n *Node) At(parts []string) *Node {
	for _, part := range parts {
		n = n.Child(part)
	}
	return n
}

// Dotted reports whether a table was made by a dotted key and so stands for a part
// of a path rather than for a value.
func (n *Node) Dotted() bool { return n.Kind == Table && n.form == dotted }

const indexFrom = 12 // children from which a table is looked up by map

func (n *Node) append(c *Node) {
	n.Children = append(n.Children, c)
	switch {
	case n.index != nil:
		n.index[c.Key] = c
	case len(n.Children) == indexFrom:
		n.index = make(map[string]*Node, 2*indexFrom)
		for _, c := range n.Children {
			n.index[c.Key] = c
		}
	}
}

// With returns a copy of a table in which the entry of a key is child, at the place
// of the present one or at the end; a nil child takes the entry out.
func (n *Node) With(key string, child *Node) *Node {
	changed := *n
	changed.Children, changed.index = nil, nil
	placed := false
	for _, c := range n.Children {
		if c.Key == key {
			if c, placed = child, true; c == nil {
				continue
			}
		}
		changed.append(c)
	}
	if !placed && child != nil {
		changed.append(child)
	}
	return &changed
}

// Named returns n under another key.
func (n *Node) Named(key string) *Node {
	named := *n
	named.Key = key
	return &named
}

// Laid returns n under another key, for which path says where it really stands.
func (n *Node) Laid(key, path string) *Node {
	laid := n.Named(key)
	laid.Path = path
	return laid
}

// NewTable returns an empty table that no file holds yet; file is where it would stand.
func NewTable(key string, file *File) *Node {
	return &Node{Key: key, Kind: Table, File: file, form: implied}
}

// Fault returns an Error at the value.
func (n *Node) Fault(key, problem, want string) *Error {
	return n.File.Fault(n.Span, key, n.shown(), problem, want)
}

// FaultAtKey returns an Error at the key.
func (n *Node) FaultAtKey(key, problem, want string) *Error {
	return n.File.Fault(n.KeySpan, key, "", problem, want)
}

// FaultInside returns an Error at some characters of a string's content, column
// counted from 1.
func (n *Node) FaultInside(key string, column, width int, problem, want string) *Error {
	at := Span{n.offset(column - 1), n.offset(column - 1 + width)}
	if n.Kind != String || at.End <= at.Start {
		at = n.Span
	}
	if rest, whole := strings.CutPrefix(problem, `"`+n.Text+`"`); whole {
		problem = strings.TrimLeft(rest, ": ") // the value is shown already
	}
	return n.File.Fault(at, key, n.shown(), problem, want)
}

func (n *Node) shown() string {
	if n.Kind == Table || n.Kind == Array {
		return ""
	}
	return n.Text
}

// offset returns where a character of a string's content begins in the file.
func (n *Node) offset(character int) int {
	source := n.File.Data[n.Span.Start:n.Span.End]
	i, end := contentOf(source, n.raw)
	for ; character > 0 && i < end; character-- {
		i += sourceWidth(source[i:end], n.raw || source[0] == '\'')
	}
	return n.Span.Start + min(i, end)
}

// contentOf returns where a string's content lies in its source.
func contentOf(source []byte, raw bool) (start, end int) {
	quotes := 0
	for quotes < len(source) && quotes < 3 && (source[quotes] == '"' || source[quotes] == '\'') && source[quotes] == source[0] {
		quotes++
	}
	switch {
	case raw && quotes == 0:
		return 0, len(source)
	case quotes == 2: // empty
		return 1, 1
	case raw:
		quotes = 1
	}
	start, end = quotes, max(quotes, len(source)-quotes)
	if quotes == 3 && start < end && source[start] == '\n' {
		start++
	}
	return start, end
}

// sourceWidth returns how many bytes write the next character of a string.
func sourceWidth(source []byte, literal bool) int {
	if source[0] == '\\' && !literal && len(source) > 1 {
		width := map[byte]int{'x': 4, 'u': 6, 'U': 10}[source[1]]
		return min(max(width, 2), len(source))
	}
	if source[0] == '"' && len(source) > 1 && source[1] == '"' && literal {
		return 2 // a doubled quote in CSV
	}
	_, size := utf8.DecodeRune(source)
	return size
}
