package product

import (
	"bytes"
	"reflect"

	"hindwatt/internal/product/tree"
)

const fence = "+++"

// decisions reads decisions/*.md: front matter in TOML between two lines +++, then text.
func (r *folderReader) decisions() {
	all := &r.folder.Decisions
	all.mark(nil, "decisions", "")
	all.items = map[string]*Decision{}
	for _, file := range r.list("decisions", ".md") {
		f := r.read(file, maxTOML)
		if f == nil {
			continue
		}
		one := r.decision(f)
		name := r.name(file, ".md")
		all.names, all.items[name] = append(all.names, name), one
	}
}

func (r *folderReader) decision(f *tree.File) *Decision {
	front, body, fault := frontMatter(f)
	r.faults.Add(fault)
	d := &decoder{faults: r.faults}
	one := &Decision{Body: body}
	n := tree.ReadTOML(tree.NewFile(f.Name, front), r.faults)
	d.table(n, reflect.ValueOf(one).Elem(), place{file: f.Name})
	r.pending = append(r.pending, d.names...)
	return one
}

// frontMatter returns the TOML of a file with blanks before it, so that its places
// are those of the file, and the text behind it.
func frontMatter(f *tree.File) (front []byte, body string, fault *Error) {
	if fault := f.CheckText(); fault != nil {
		return nil, "", fault
	}
	data := f.Data
	first, rest, _ := bytes.Cut(data, []byte("\n"))
	first = bytes.TrimPrefix(first, []byte("\xef\xbb\xbf"))
	if string(bytes.TrimRight(first, " \t\r")) != fence {
		return nil, string(data), nil
	}
	start := len(data) - len(rest)
	for at := start; at < len(data); {
		line, after, _ := bytes.Cut(data[at:], []byte("\n"))
		if string(bytes.TrimRight(line, " \t\r")) == fence {
			front = append(bytes.Repeat([]byte(" "), start-1), '\n') // for the first +++
			return append(front, data[start:at]...), string(bytes.TrimLeft(after, "\r\n")), nil
		}
		at = len(data) - len(after)
	}
	return nil, "", f.Fault(tree.Span{Start: 0, End: len(fence)}, "", "", "the front matter is not closed", "want a second line +++")
}
