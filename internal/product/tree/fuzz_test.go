package tree

import (
	"bytes"
	"testing"
	"unicode/utf8"
)

// inPlace fails if a node does not lie within its file or its text is not what its
// bytes say.
func inPlace(t *testing.T, f *File, n *Node) {
	for _, c := range n.Children {
		if c.Span.Start < 0 || c.Span.Start > c.Span.End || c.Span.End > len(f.Data) {
			t.Fatalf("%q: %v", f.Data, c.Span)
		}
		source := f.Data[c.Span.Start:c.Span.End]
		if c.Kind != Table && c.Kind != Array && c.Kind != String && string(source) != c.Text {
			t.Fatalf("%q: %q is at %q", f.Data, c.Text, source)
		}
		e := c.FaultInside("k", utf8.RuneCountInString(c.Text), 1, "p", "w")
		if e.Line < 1 || e.Column < 1 || e.Column > utf8.RuneCountInString(e.Excerpt)+2 {
			t.Fatalf("%q: %s", f.Data, e.Detail())
		}
		_ = e.Detail()
		inPlace(t, f, c)
	}
}

func FuzzReadTOML(f *testing.F) {
	for _, seed := range []string{"a = 1\n[b]\nc = \"µ\\u00b5\"\n", "a.b = { c = [ 1, { d = 2 } ] }\r\n", "[[a]]\n", "a = '''\nx'''", "\xef\xbb\xbfa=1", "a = \"x\nb = [\n1,\n[c]\n", "a = 2024-13-99", "x = {}\nx.y = 1"} {
		f.Add([]byte(seed), "a.b", "[1]")
	}
	f.Fuzz(func(t *testing.T, data []byte, key, source string) {
		var faults Faults
		file := NewFile("f.toml", data)
		top := ReadTOML(file, &faults)
		inPlace(t, file, top)
		for _, e := range faults.List {
			if e.Line < 1 || e.Column < 1 {
				t.Fatalf("%q: %s", data, e.Error())
			}
			_ = e.Detail()
		}
		parts, err := ParseKey(key)
		if err != nil || len(faults.List) > 0 || !IsValue(source) {
			return
		}
		if edit, err := top.Put(parts, source); err == nil {
			changed := edit.Apply(file)
			var again Faults
			ReadTOML(NewFile("f.toml", changed), &again)
			if len(again.List) > 0 {
				t.Fatalf("%q, %q = %q: %q: %v", data, key, source, changed, again.List)
			}
			back := Edit{Span{edit.Start, edit.Start + len(edit.New)}, string(data[edit.Start:edit.End])}
			if got := back.Apply(NewFile("", changed)); !bytes.Equal(got, data) {
				t.Fatalf("%q came back as %q", data, got)
			}
		}
	})
}

func FuzzReadCSV(f *testing.F) {
	for _, seed := range []string{"a,b\n1,2\n", "a;b\r\n\"x\"\"y\";2", "\xef\xbb\xbfa\tb\n\"1\n2\"\t3\n", "a,b\n\"", "a,b\n1,2,3\n,\n"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var faults Faults
		file := NewFile("f.csv", data)
		rows := ReadCSV(file, &faults, &faults)
		var row Row
		for i := range rows.Len() {
			rows.Read(i, &row)
			inPlace(t, file, &row.Table)
		}
		at := 0
		for _, span := range rows.Spans {
			if span.Start < at || span.End < span.Start || span.End > len(data) {
				t.Fatalf("%q: %v", data, rows.Spans)
			}
			at = span.End
		}
		for _, e := range faults.List {
			_ = e.Detail()
		}
	})
}
