package tree

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func put(t *testing.T, text, key, source string) string {
	t.Helper()
	var faults Faults
	f := NewFile("t", []byte(text))
	top := ReadTOML(f, &faults)
	if len(faults.List) > 0 {
		t.Fatal(faults.List)
	}
	parts, err := ParseKey(key)
	if err != nil {
		return err.Error()
	}
	e, err := top.Put(parts, source)
	if source == "" {
		e, err = top.Drop(parts)
	}
	if err != nil {
		return "error: " + err.Error()
	}
	return string(e.Apply(f))
}

func TestPutAndDrop(t *testing.T) {
	for _, c := range []struct{ name, text, key, source, want string }{
		{"a value", "# a\na = \"1 V\" # b\nc = 2\n", "a", `"2 V"`, "# a\na = \"2 V\" # b\nc = 2\n"},
		{"a value without line end", "a = 1", "a", "22", "a = 22"},
		{"in a table", "[s]\r\na = 1\r\nb = 2\r\n", "s.a", "[3]", "[s]\r\na = [3]\r\nb = 2\r\n"},
		{"in braces", "a = { b = 1, c = 2 }\n", "a.b", `"x"`, "a = { b = \"x\", c = 2 }\n"},
		{"braces as a whole", "a = { b = 1, c = 2 } # c\n", "a", `"none"`, "a = \"none\" # c\n"},
		{"behind a dotted key", "a.b = 1\n", "a.b", "2", "a.b = 2\n"},
		{"in a quoted key", "[set]\n\"x.y\" = 1\n", `set."x.y"`, "2", "[set]\n\"x.y\" = 2\n"},

		{"new at the top", "a = 1\n\n[s]\nb = 2\n", "c", "3", "a = 1\nc = 3\n\n[s]\nb = 2\n"},
		{"first at the top", "# head\n\n# of s\n[s]\nb = 2\n", "c", "3", "# head\n\nc = 3\n\n# of s\n[s]\nb = 2\n"},
		{"in an empty file", "", "c", "3", "c = 3\n"},
		{"in a file of comments", "# x", "c", "3", "# x\nc = 3\n"},
		{"at the end of a table", "[s]\n  b = 2 # c\n\n[t]\nd = 4\n", "s.c", "3", "[s]\n  b = 2 # c\n  c = 3\n\n[t]\nd = 4\n"},
		{"at the end of a table, other line ends", "[s]\r\nb = 2\r\n[t]\r\n", "s.c", "3", "[s]\r\nb = 2\r\nc = 3\r\n[t]\r\n"},
		{"in an empty table", "[s]\n[t]\n", "s.c", "3", "[s]\nc = 3\n[t]\n"},
		{"at the end of the last table", "[s]\nb = 2", "s.c", "3", "[s]\nb = 2\nc = 3"},
		{"in a new table", "a = 1", "s.c", "3", "a = 1\n\n[s]\nc = 3\n"},
		{"in a new table of a table", "[s]\na = 1\n", "s.t.c", "3", "[s]\na = 1\n\n[s.t]\nc = 3\n"},
		{"in a table that is only implied", "[s.t]\na = 1\n", "s.c", "3", "[s.t]\na = 1\n\n[s]\nc = 3\n"},
		{"new in braces", "a = { b = 1 }\n", "a.c", "3", "a = { b = 1, c = 3 }\n"},
		{"new in empty braces", "a = {}\n", "a.c", "3", "a = { c = 3 }\n"},
		{"new in braces, dotted", "a = { b.x = 1, d = 2 }\n", "a.b.c", "3", "a = { b.x = 1, d = 2, b.c = 3 }\n"},
		{"new beside a dotted key", "a.b = 1\n[s]\n", "a.c", "3", "a.b = 1\na.c = 3\n[s]\n"},
		{"new beside a dotted key in a table", "[s]\na.b = 1\n[t]\n", "s.a.c", "3", "[s]\na.b = 1\na.c = 3\n[t]\n"},
		{"a name that needs quotes", "[set]\n", `set."product.x"`, "3", "[set]\n\"product.x\" = 3\n"},
		{"a header is no value", "[s]\na = 1\n", "s", "3", "error: s is a table; want a key in it"},
		{"a value is no table", "a = 1\n", "a.b", "3", "error: a is a number; want a table there"},
		{"no key", "a = 1\n", "a b", "3", `"a b" is no key; want one such as sense.top`},
		{"no key either", "a = 1\n", "", "3", `"" is no key; want one such as sense.top`},
		{"a key that breaks out", "a = 1\n", "x = 1\ny", "3", `"x = 1 y" is no key; want one such as sense.top`},

		{"drop a line", "a = 1\nb = 2\nc = 3\n", "b", "", "a = 1\nc = 3\n"},
		{"drop the last line", "a = 1\nb = 2", "b", "", "a = 1\n"},
		{"drop lines", "a = [\n1,\n]\nb = 2\n", "a", "", "b = 2\n"},
		{"keep a comment", "  a = 1 # why\n", "a", "", "  # why\n"},
		{"drop first of braces", "a = { b = 1, c = 2 }\n", "a.b", "", "a = { c = 2 }\n"},
		{"drop last of braces", "a = { b = 1, c = 2 }\n", "a.c", "", "a = { b = 1 }\n"},
		{"drop all of braces", "a = { b = 1 }\n", "a.b", "", "a = {  }\n"},
		{"drop braces", "a = { b = 1 }\nc = 2\n", "a", "", "c = 2\n"},
		{"drop a table", "[s]\na = 1\n", "s", "", "error: s is a table; want a key in it"},
		{"drop nothing", "a = 1\n", "s.b", "", "error: s is not there"},
	} {
		got := put(t, c.text, c.key, c.source)
		if got != c.want {
			t.Errorf("%s:\n got %q\nwant %q", c.name, got, c.want)
		}
	}
}

// document draws a file of TOML without fault.
func document(t *rapid.T) string {
	value := rapid.SampledFrom([]string{`"27.3 V"`, `"µ \" x"`, "12", "0.5", "true", "[1, 2]", "{ x = 1, y = \"a\" }", "2024-05-31", "'lit'", "[\n 1, # c\n]"})
	line := func(key string) string {
		return rapid.SampledFrom([]string{"", "  ", "\t"}).Draw(t, "indent") + key + " = " + value.Draw(t, "value") +
			rapid.SampledFrom([]string{"", " # comment µ", "  "}).Draw(t, "tail") + "\n"
	}
	filler := rapid.SampledFrom([]string{"", "\n", "# [x] not = a table\n", "\n\n# µ\n"})
	var b strings.Builder
	for _, key := range rapid.SampledFrom([][]string{{}, {"a"}, {"a", "b.c", "b.d"}}).Draw(t, "root") {
		b.WriteString(filler.Draw(t, "filler") + line(key))
	}
	for _, table := range rapid.SampledFrom([][]string{{}, {"s"}, {"s", "t.u"}, {"t.u", "s", "t"}}).Draw(t, "tables") {
		b.WriteString(filler.Draw(t, "filler") + "[" + table + "]\n")
		for _, key := range rapid.SampledFrom([][]string{{}, {"k"}, {"k", "l", "m.n"}}).Draw(t, "keys") {
			b.WriteString(line(key) + filler.Draw(t, "filler"))
		}
	}
	text := b.String()
	if rapid.Bool().Draw(t, "no line end") {
		text = strings.TrimRight(text, "\n")
	}
	if rapid.Bool().Draw(t, "CRLF") {
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	if rapid.Bool().Draw(t, "byte order mark") {
		text = "\xef\xbb\xbf" + text
	}
	return text
}

// An edit changes its span only, what was put is read back, everything else stays as
// it was, and the edit turned round gives the same bytes.
func TestEditsAreLocal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := NewFile("t", []byte(document(t)))
		var faults Faults
		top := ReadTOML(f, &faults)
		if len(faults.List) > 0 {
			t.Fatalf("%q: %v", f.Data, faults.List)
		}
		parts := strings.Split(rapid.SampledFrom([]string{"a", "b.c", "b.new", "new", "s.k", "s.new", "s.m.n", "s.m.new", "t.new", "t.u.k", "t.u.new", "t.v.w", "n.e.w", "a.x", "s.k.new"}).Draw(t, "key"), ".")
		drop := rapid.Bool().Draw(t, "drop")
		source := rapid.SampledFrom([]string{`"1 V"`, "7", "[ 1 ]", "{ q = 1 }"}).Draw(t, "source")
		e, err := top.Put(parts, source)
		if drop {
			e, err = top.Drop(parts)
		}
		if err != nil {
			t.Skip(err)
		}
		edited := NewFile("t", e.Apply(f))
		after := ReadTOML(edited, &faults)
		if len(faults.List) > 0 {
			t.Fatalf("%q became %q: %v", f.Data, edited.Data, faults.List)
		}
		n := after
		for _, part := range parts {
			n = n.Child(part)
		}
		if drop != (n == nil) {
			t.Fatalf("%q became %q", f.Data, edited.Data)
		}
		if !drop && string(edited.Data[n.Span.Start:n.Span.End]) != source {
			t.Fatalf("%q became %q", f.Data, edited.Data)
		}
		key := strings.Join(parts, ".")
		if got, want := leaves(after, key), leaves(top, key); got != want {
			t.Fatalf("%q became %q:\n%s\nbefore\n%s", f.Data, edited.Data, got, want)
		}
		back := Edit{Span{e.Start, e.Start + len(e.New)}, string(f.Data[e.Start:e.End])}
		if got := back.Apply(edited); string(got) != string(f.Data) {
			t.Fatalf("%q came back as %q", f.Data, got)
		}
	})
}

// leaves lists every value but those at and below one key.
func leaves(top *Node, but string) string {
	var b strings.Builder
	var walk func(n *Node, path string)
	walk = func(n *Node, path string) {
		if path == but {
			return
		}
		if n.Kind != Table {
			b.WriteString(path + "=" + string(n.File.Data[n.Span.Start:n.Span.End]) + "\n")
		}
		for _, c := range n.Children {
			if n.Kind == Table {
				walk(c, strings.TrimPrefix(path+"."+c.Key, "."))
			}
		}
	}
	walk(top, "")
	return b.String()
}

func TestQuote(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "s")
		n, err := single("x", Quote(s))
		if err != nil || n.Text != s {
			t.Fatalf("%q came back as %v, %v", s, n, err)
		}
	})
}

func TestIsValue(t *testing.T) {
	for source, want := range map[string]bool{
		`"x"`: true, "1": true, "[1]": true, "{ a = 1 }": true, "true": true, "2024-05-31": true, "'''x\ny'''": true,
		"": false, "27.3 V": false, "1 # c": false, "1\ny = 2": false, "1\n[y]": false, "x": false, `"x`: false,
	} {
		if got := IsValue(source); got != want {
			t.Errorf("%q: %v", source, got)
		}
	}
}
