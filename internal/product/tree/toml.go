package tree

import (
	"bytes"
	"errors"
	"regexp"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

const (
	maxDepth  = 16 // tables in tables, lists in lists
	maxSyntax = 20 // syntax errors of one file that are told; what follows is mostly their echo
)

// ReadTOML reads a file and returns its root table. Everything that is wrong with
// the text goes to faults: syntax, keys or tables that stand twice, tables in lists,
// nesting deeper than 16. What is right is in the root all the same.
func ReadTOML(f *File, faults *Faults) *Node {
	top := &Node{Kind: Table, File: f, form: root}
	if fault := f.CheckText(); fault != nil {
		faults.Add(fault)
		return top
	}
	r := reader{file: f, faults: faults, root: top, here: top}
	_, from := f.text()
	for range maxSyntax {
		next, again := r.run(from)
		if !again {
			break
		}
		from = next
	}
	return top
}

// reader builds the nodes of one file.
type reader struct {
	file   *File
	faults *Faults
	root   *Node
	here   *Node  // table of the header above
	above  string // that header, with a dot
	parser unstable.Parser
	base   int // offset of the bytes that the parser was given
	end    int // where the last whole expression ended
}

// run reads from an offset to the end or to a syntax error; then it returns where
// to go on, if there is a place.
func (r *reader) run(from int) (next int, again bool) {
	data := r.file.Data[from:len(r.file.Data):len(r.file.Data)]
	r.base, r.end = from, from
	r.parser.Reset(data)
	for r.parser.NextExpression() {
		switch e := r.parser.Expression(); e.Kind {
		case unstable.KeyValue:
			r.keyValue(r.here, e, 1)
			r.end = r.span(e.Raw).End
			r.here.body = r.endOfLine(r.end)
		case unstable.Table, unstable.ArrayTable:
			r.header(e)
		}
		if r.faults.Full(r.file.Name) {
			return 0, false
		}
	}
	var syntax *unstable.ParserError
	if !errors.As(r.parser.Error(), &syntax) {
		return 0, false
	}
	at := min(len(r.file.Data), r.base+max(0, cap(data)-cap(syntax.Highlight)))
	r.faults.Add(r.syntaxFault(syntax.Message, at, len(syntax.Highlight)))
	return r.resume(at)
}

// resumable are lines that look like the beginning of something new.
var resumable = regexp.MustCompile(`^[ \t]*(\[{1,2}[\w."' -]+\]{1,2}[ \t]*(#.*)?$|[\w.-]+[ \t]*=)`)

// resume returns the first line behind the broken expression that begins anew.
func (r *reader) resume(fault int) (next int, again bool) {
	line, _ := r.file.Position(r.end)
	if r.end > r.base {
		line++
	}
	for line <= len(r.file.starts) {
		text := strings.TrimSpace(r.file.Line(line))
		if text != "" && text[0] != '#' {
			break
		}
		line++
	}
	broken, _ := r.file.Position(fault)
	for line = max(line+1, broken); line <= len(r.file.starts); line++ {
		if resumable.MatchString(r.file.Line(line)) {
			return r.file.lineStart(line), true
		}
	}
	return 0, false
}

func (r *reader) span(raw unstable.Range) Span {
	start := r.base + int(raw.Offset)
	return Span{start, start + int(raw.Length)}
}

func (r *reader) endOfLine(offset int) int {
	if i := bytes.IndexByte(r.file.Data[offset:], '\n'); i >= 0 {
		return offset + i
	}
	return len(r.file.Data)
}

// key returns the parts of a dotted key and where they stand.
func (r *reader) key(e *unstable.Node) (parts []string, at Span) {
	for it := e.Key(); it.Next(); {
		part := r.span(it.Node().Raw)
		if len(parts) == 0 {
			at = part
		}
		at.End = part.End
		parts = append(parts, string(it.Node().Data))
	}
	return parts, at
}

// keyValue puts one entry into a table.
func (r *reader) keyValue(table *Node, e *unstable.Node, depth int) {
	parts, at := r.key(e)
	if len(parts)+depth > maxDepth {
		r.faults.Add(r.tooDeep(at))
		return
	}
	start := at.End + bytes.IndexByte(r.file.Data[at.End:], '=') + 1
	for r.file.Data[start] == ' ' || r.file.Data[start] == '\t' {
		start++
	}
	value := r.value(e.Value(), Span{start, r.span(e.Raw).End}, depth+len(parts))
	if value == nil {
		return
	}
	value.Key, value.KeySpan = parts[len(parts)-1], at
	for _, part := range parts[:len(parts)-1] {
		next := table.Child(part)
		if next == nil {
			next = &Node{Key: part, KeySpan: at, Kind: Table, Span: at, File: r.file, form: dotted}
			table.append(next)
		}
		if next.Kind != Table || next.form != dotted {
			r.faults.Add(r.twice(part, at, next))
			return
		}
		table = next
	}
	if first := table.Child(value.Key); first != nil {
		key := strings.Join(parts, ".")
		if depth == 1 {
			key = r.above + key
		}
		r.faults.Add(r.twice(key, at, first))
		return
	}
	table.append(value)
}

// value builds the node of a value; nil if it is too deep.
func (r *reader) value(v *unstable.Node, at Span, depth int) *Node {
	n := &Node{Span: at, File: r.file}
	switch v.Kind {
	case unstable.Array, unstable.InlineTable:
		if depth >= maxDepth {
			r.faults.Add(r.tooDeep(at))
			return nil
		}
		r.inside(n, v, at, depth)
		return n
	case unstable.String:
		n.Kind = String
	case unstable.Bool:
		n.Kind = Bool
	case unstable.Integer:
		n.Kind = Integer
	case unstable.Float:
		n.Kind = Float
	case unstable.LocalDate:
		n.Kind = Date
	default:
		n.Kind = Time
	}
	n.Text = string(v.Data)
	return n
}

// inside fills a list or a table in braces.
func (r *reader) inside(n *Node, v *unstable.Node, at Span, depth int) {
	n.Kind, n.form = Array, inline
	if v.Kind == unstable.InlineTable {
		n.Kind = Table
	}
	for it := v.Children(); it.Next(); {
		switch c := it.Node(); {
		case n.Kind == Table:
			r.keyValue(n, c, depth)
		case c.Raw.Length > 0:
			if element := r.value(c, r.span(c.Raw), depth+1); element != nil {
				n.Children = append(n.Children, element)
			}
		default: // a list in a list, whose place the parser does not tell
			if element := r.value(c, at, depth+1); element != nil {
				n.Children = append(n.Children, element)
			}
		}
	}
}

// header opens the table of a header line.
func (r *reader) header(e *unstable.Node) {
	parts, at := r.key(e)
	line := r.endOfLine(at.End)
	r.end = line
	table := &Node{KeySpan: at, Kind: Table, Span: at, File: r.file, form: header, body: line}
	table.Key = parts[len(parts)-1]
	r.above = strings.Join(parts, ".") + "."
	r.here = table // what stands below a wrong header is read but goes nowhere
	if e.Kind == unstable.ArrayTable {
		name := strings.Join(parts, ".")
		r.faults.Add(r.file.Fault(at, name, "", "lists of tables are not used here", "want ["+name+".NAME], each with its own name"))
		return
	}
	if len(parts) >= maxDepth {
		r.faults.Add(r.tooDeep(at))
		return
	}
	parent := r.holder(parts, at)
	if parent == nil {
		return
	}
	switch present := parent.Child(table.Key); {
	case present == nil:
		parent.append(table)
	case present.Kind == Table && present.form == implied:
		present.KeySpan, present.Span, present.form, present.body = at, at, header, line
		r.here = present
	default:
		r.faults.Add(r.twice(strings.Join(parts, "."), at, present))
		if present.Kind == Table && present.form != inline {
			r.here = present
		}
	}
}

// holder returns the table that a header's table is put into, nil if there can be none.
func (r *reader) holder(parts []string, at Span) *Node {
	parent := r.root
	for _, part := range parts[:len(parts)-1] {
		next := parent.Child(part)
		if next == nil {
			next = &Node{Key: part, KeySpan: at, Kind: Table, Span: at, File: r.file, form: implied}
			parent.append(next)
		}
		if next.Kind != Table || next.form == inline {
			r.faults.Add(r.twice(part, at, next))
			return nil
		}
		parent = next
	}
	return parent
}

func (r *reader) tooDeep(at Span) *Error {
	return r.file.Fault(at, "", "", "nested too deep", "at most "+strconv.Itoa(maxDepth)+" levels are accepted")
}

func (r *reader) twice(key string, at Span, first *Node) *Error {
	line, _ := r.file.Position(first.KeySpan.Start)
	return r.file.Fault(at, key, "", "stands twice", "the first is on line "+strconv.Itoa(line))
}
