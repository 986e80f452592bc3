package tree

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// An Edit replaces a span of a file by other bytes.
type Edit struct {
	Span
	New string
}

// Apply returns the file's bytes with the edit made; the file is not changed.
func (e Edit) Apply(f *File) []byte {
	changed := make([]byte, 0, len(f.Data)+len(e.New))
	changed = append(changed, f.Data[:e.Start]...)
	changed = append(changed, e.New...)
	return append(changed, f.Data[e.End:]...)
}

// ParseKey cuts a dotted key of TOML into its parts; quoted parts may hold dots.
func ParseKey(key string) (parts []string, err error) {
	n, err := single(key, "0")
	for ; err == nil; n = n.Children[0] {
		parts = append(parts, n.Key)
		if n.Kind != Table || len(n.Children) == 0 {
			return parts, nil
		}
	}
	return nil, fmt.Errorf("%s is no key; want one such as sense.top", quoted(key))
}

// IsValue reports whether a text is one value in TOML and nothing else.
func IsValue(source string) bool {
	n, err := single("x", source)
	return err == nil && n.Key == "x" && n.Span.End == len("x = ")+len(source)
}

// single reads one line of key and value.
func single(key, source string) (*Node, error) {
	var faults Faults
	top := ReadTOML(NewFile("", []byte(key+" = "+source)), &faults)
	if len(faults.List) > 0 {
		return nil, faults.List
	}
	if len(top.Children) != 1 || top.Children[0].form == header {
		return nil, fmt.Errorf("not one value")
	}
	return top.Children[0], nil
}

// Quote writes a text as a string of TOML.
func Quote(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

var bareKey = regexp.MustCompile(`^[A-Za-z0-9_-]+$`)

// KeyPart writes one part of a dotted key, in quotes where it needs them.
func KeyPart(part string) string {
	if bareKey.MatchString(part) {
		return part
	}
	return Quote(part)
}

func keySource(parts []string) string {
	written := make([]string, len(parts))
	for i, part := range parts {
		written[i] = KeyPart(part)
	}
	return strings.Join(written, ".")
}

// Put returns the edit that gives a key its value, written in TOML. A key that is
// there has just its value's bytes replaced; one that is not comes at the end of its
// table, and a table that is not there at the end of the file.
//
//	top    the root of a file that was read without fault
//	parts  of the dotted key, at least one
func (top *Node) Put(parts []string, source string) (Edit, error) {
	table, owner, ownerDepth := top, top, 0
	depth := 0
	for ; depth < len(parts); depth++ {
		next := table.Child(parts[depth])
		if next == nil {
			break
		}
		last := depth == len(parts)-1
		switch {
		case last && next.Kind == Table && next.form != inline:
			return Edit{}, fmt.Errorf("%s is a table; want a key in it", keySource(parts))
		case last:
			return Edit{next.Span, source}, nil
		case next.Kind != Table:
			return Edit{}, fmt.Errorf("%s is %s; want a table there", keySource(parts[:depth+1]), next.Kind)
		}
		if table = next; next.form != dotted {
			owner, ownerDepth = next, depth+1
		}
	}
	line := keySource(parts[ownerDepth:]) + " = " + source
	switch {
	case owner.form == inline:
		return owner.insideBraces(line), nil
	case owner.form != implied && (table.form == dotted || depth == len(parts)-1):
		return owner.below(line), nil
	}
	return top.atEnd(parts, source), nil
}

// insideBraces adds an entry before the closing brace of { … }.
func (n *Node) insideBraces(entry string) Edit {
	closing := n.Span.End - 1
	entries := n.entries()
	if len(entries) == 0 {
		return Edit{Span{closing, closing}, " " + entry + " "}
	}
	at := entries[len(entries)-1].Span.End
	return Edit{Span{at, at}, ", " + entry}
}

// below adds a line at the end of a table with a header, or of the root.
func (n *Node) below(line string) Edit {
	data, newline := n.File.Data, n.File.Newline()
	if n.body == 0 {
		return n.aboveHeaders(line + newline)
	}
	at := n.body
	if at > 0 && at < len(data) && data[at-1] == '\r' {
		at--
	}
	return Edit{Span{at, at}, newline + n.indent() + line}
}

// indent returns the blanks before the last entry.
func (n *Node) indent() string {
	if len(n.Children) == 0 {
		return ""
	}
	for i := len(n.Children) - 1; i >= 0; i-- {
		c := n.Children[i]
		if c.Kind == Table && (c.form == header || c.form == implied) {
			continue
		}
		start := bytes.LastIndexByte(n.File.Data[:c.KeySpan.Start], '\n') + 1
		blanks := string(n.File.Data[start:c.KeySpan.Start])
		if strings.TrimLeft(blanks, " \t") == "" {
			return blanks
		}
	}
	return ""
}

// aboveHeaders adds a first key to a file, before the comment above its first table.
func (n *Node) aboveHeaders(line string) Edit {
	f := n.File
	if len(n.Children) == 0 {
		if len(f.Data) > f.starts[0] && f.Data[len(f.Data)-1] != '\n' {
			line = f.Newline() + line
		}
		return Edit{Span{len(f.Data), len(f.Data)}, line}
	}
	first := len(f.Data)
	for _, c := range n.Children {
		first = min(first, c.firstByte())
	}
	number, _ := f.Position(first)
	for number > 1 && strings.HasPrefix(strings.TrimSpace(f.Line(number-1)), "#") {
		number--
	}
	at := f.lineStart(number)
	return Edit{Span{at, at}, line + f.Newline()}
}

func (n *Node) firstByte() int {
	first := n.KeySpan.Start
	for _, c := range n.Children {
		first = min(first, c.firstByte())
	}
	return first
}

// atEnd adds a table with one entry at the end of the file.
func (top *Node) atEnd(parts []string, source string) Edit {
	f, last := top.File, len(parts)-1
	newline := f.Newline()
	text := "[" + keySource(parts[:last]) + "]" + newline + keySource(parts[last:]) + " = " + source + newline
	if len(f.Data) > f.starts[0] {
		text = newline + text
		if f.Data[len(f.Data)-1] != '\n' {
			text = newline + text
		}
	}
	return Edit{Span{len(f.Data), len(f.Data)}, text}
}

// Drop returns the edit that takes a key and its value out; a comment behind it stays.
func (top *Node) Drop(parts []string) (Edit, error) {
	var braces *Node // the innermost { … } that holds the key
	n := top
	for i, part := range parts {
		if n.form == inline {
			braces = n
		}
		next := n.Child(part)
		if next == nil {
			return Edit{}, fmt.Errorf("%s is not there", keySource(parts[:i+1]))
		}
		n = next
	}
	switch {
	case n == top || n.Kind == Table && n.form != inline:
		return Edit{}, fmt.Errorf("%s is a table; want a key in it", keySource(parts))
	case braces != nil:
		return braces.without(n), nil
	}
	return n.outOfLine(), nil
}

// outOfLine drops the lines of an entry, or what stands before a comment.
func (n *Node) outOfLine() Edit {
	data := n.File.Data
	start := bytes.LastIndexByte(data[:n.KeySpan.Start], '\n') + 1
	start = max(start, n.File.starts[0])
	end := n.Span.End
	for end < len(data) && (data[end] == ' ' || data[end] == '\t') {
		end++
	}
	if end < len(data) && data[end] == '#' {
		return Edit{Span{n.KeySpan.Start, end}, ""}
	}
	if i := bytes.IndexByte(data[end:], '\n'); i >= 0 {
		return Edit{Span{start, end + i + 1}, ""}
	}
	return Edit{Span{start, len(data)}, ""}
}

// without drops an entry of { … } with the comma that parted it from its neighbour.
func (n *Node) without(entry *Node) Edit {
	entries := n.entries()
	for i, e := range entries {
		switch {
		case e != entry:
		case i > 0:
			return Edit{Span{entries[i-1].Span.End, e.Span.End}, ""}
		case len(entries) > 1:
			return Edit{Span{e.KeySpan.Start, entries[1].KeySpan.Start}, ""}
		}
	}
	return Edit{Span{entry.KeySpan.Start, entry.Span.End}, ""}
}

// entries returns what stands in { … }, dotted keys too, in the file's order.
func (n *Node) entries() (all []*Node) {
	for _, c := range n.Children {
		if c.Dotted() {
			all = append(all, c.entries()...)
		} else {
			all = append(all, c)
		}
	}
	slices.SortFunc(all, func(a, b *Node) int { return a.Span.Start - b.Span.Start })
	return all
}
