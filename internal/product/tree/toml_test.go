package tree

import (
	"fmt"
	"strings"
	"testing"
)

// dump writes a tree, one value a line, with line and column of key and value.
func dump(n *Node, path string, b *strings.Builder) {
	for i, c := range n.Children {
		key := c.Key
		if n.Kind == Array {
			key = fmt.Sprint(i + 1)
		}
		line, column := c.File.Position(c.Span.Start)
		fmt.Fprintf(b, "%s%s %s %q %d:%d %q\n", path, key, c.Kind, c.Text, line, column, c.File.Data[c.Span.Start:c.Span.End])
		dump(c, path+key+".", b)
	}
}

func TestReadTOML(t *testing.T) {
	const text = "# µ µ\n" +
		"name = \"Ω one\" # c\n" +
		"a.b = 1\n" +
		"[sense]\n" +
		"  top   = '120 kΩ'\n" +
		"lead = { length = \"1 m\", ends.x = 2.5 }\n" +
		"list = [ \"a\", { k = true } ]\n" +
		"[part.\"x y\"]\n" +
		"made = 2024-05-31\n"
	for _, variant := range []string{text, "\xef\xbb\xbf" + text, strings.ReplaceAll(text, "\n", "\r\n"), strings.TrimSuffix(text, "\n")} {
		var faults Faults
		var b strings.Builder
		dump(ReadTOML(NewFile("t.toml", []byte(variant)), &faults), "", &b)
		if len(faults.List) > 0 {
			t.Fatal(faults.List.Detail())
		}
		const want = `name text "Ω one" 2:8 "\"Ω one\""
a a table "" 3:1 "a.b"
a.b a number "1" 3:7 "1"
sense a table "" 4:2 "sense"
sense.top text "120 kΩ" 5:11 "'120 kΩ'"
sense.lead a table "" 6:8 "{ length = \"1 m\", ends.x = 2.5 }"
sense.lead.length text "1 m" 6:19 "\"1 m\""
sense.lead.ends a table "" 6:26 "ends.x"
sense.lead.ends.x a number "2.5" 6:35 "2.5"
sense.list a list "" 7:8 "[ \"a\", { k = true } ]"
sense.list.1 text "a" 7:10 "\"a\""
sense.list.2 a table "" 7:15 "{"
sense.list.2.k true or false "true" 7:21 "true"
part a table "" 8:2 "part.\"x y\""
part.x y a table "" 8:2 "part.\"x y\""
part.x y.made a date "2024-05-31" 9:8 "2024-05-31"
`
		if got := b.String(); got != want {
			t.Errorf("%q:\n%s\nwant\n%s", variant[:8], got, want)
		}
	}
}

func TestReadTOMLRefuses(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"duplicate key", "a = 1\n\nb = 2\na = 3\n", "t:4:1: a: stands twice; the first is on line 1"},
		{"duplicate table", "[a]\nx = 1\n[a]\n", "t:3:2: a: stands twice; the first is on line 1"},
		{"table over a value", "a = 1\n[a.b]\n", "t:2:2: a: stands twice; the first is on line 1"},
		{"dotted key into a table", "[a.b]\nx = 1\n[a]\nb.y = 1\n", "t:4:1: b: stands twice; the first is on line 1"},
		{"key into braces", "a = { x = 1 }\na.y = 2\n", "t:2:1: a: stands twice; the first is on line 1"},
		{"header into braces", "a = { x = 1 }\n[a.y]\n", "t:2:2: a: stands twice; the first is on line 1"},
		{"duplicate in braces", "a = { x = 1, x = 2 }\n", "t:1:14: x: stands twice; the first is on line 1"},
		{"list of tables", "[[a]]\nx = 1\n", "t:1:3: a: lists of tables are not used here; want [a.NAME], each with its own name"},
		{"zero byte", "a = 1\nµ\x00", "t:2:2: there is a zero byte, so this is no text; want a text file in UTF-8"},
		{"not UTF-8", "a = \"µ\xff\"\n", "t:1:7: a byte here is not UTF-8; save the file as UTF-8"},
		{"UTF-16", "\xff\xfea\x00", "t:1:1: is UTF-16; save it as UTF-8"},
		{"quantity without quotes", "µ = 1\n", "t:1:1: no key begins like this; want key = \"value\" or [table]"},
		{"unquoted quantity", "a = 27.3 V\n", "t:1:10: a quantity stands without quotes; want it in quotes, such as \"27.3 V\""},
		{"unquoted quantity, joined", "\"µ\" = 120kΩ\n", "t:1:10: a quantity stands without quotes; want it in quotes, such as \"27.3 V\""},
		{"unquoted word", "a = pwm\n", "t:1:5: text stands without quotes; want it in quotes, such as \"agm\""},
		{"unquoted word like true", "a = two\n", "t:1:5: text stands without quotes; want it in quotes, such as \"agm\""},
		{"no value", "a =\nb = 1\n", "t:1:4: there is no value; want one behind the =, such as \"27.3 V\""},
		{"no value at the end", "a = ", "t:1:4: there is no value; want one behind the =, such as \"27.3 V\""},
		{"no equals", "a\n", "t:1:2: there is no = behind the key; want key = \"value\""},
		{"open quote", "a = \"x\nb = 1\n", "t:1:7: the closing quote is missing; want it on the same line"},
		{"open list", "a = [ 1,\n", "t:1:9: the list is not closed; want ] at its end"},
		{"open braces", "a = { b = 1", "t:1:11: the table is not closed; want } at its end"},
		{"two entries on a line", "a = \"x\" b = 1\n", "t:1:9: something follows the value; want one entry a line, and # before a comment"},
		{"too deep", "a = " + strings.Repeat("[", 40) + strings.Repeat("]", 40) + "\n", "t:1:5: nested too deep; at most 16 levels are accepted"},
		{"deep key", strings.Repeat("a.", 30) + "b = 1\n", "t:1:1: nested too deep; at most 16 levels are accepted"},
		{"deep header", "[" + strings.Repeat("a.", 30) + "b]\n", "t:1:2: nested too deep; at most 16 levels are accepted"},
		{"very deep", "a = " + strings.Repeat("[", 200000), "t:1:10005: arrays and inline tables are nested more than the maximum of 10000 levels deep"},
		{"going on behind a fault", "a = x\nb = \"y\nc = 1\nc = 2\n", "t:1:5: text stands without quotes; want it in quotes, such as \"agm\"\n" +
			"t:2:7: the closing quote is missing; want it on the same line\nt:4:1: c: stands twice; the first is on line 3"},
		{"going on behind an open list", "a = [ \"x\",\n\"y\",\nb = 1\n[c]\nd = 1\nd = 2\n", "t:3:1: text stands without quotes; want it in quotes, such as \"agm\"\n" +
			"t:6:1: c.d: stands twice; the first is on line 5"},
	} {
		var faults Faults
		ReadTOML(NewFile("t", []byte(c.text)), &faults)
		if got := faults.List.Sorted().Error(); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
	}
}

func TestFaultsAreCapped(t *testing.T) {
	text := "a = 1\n" + strings.Repeat("a = 1\n", 3000)
	var faults Faults
	ReadTOML(NewFile("t", []byte(text)), &faults)
	if len(faults.List) != maxFaults {
		t.Errorf("%d faults kept, want %d", len(faults.List), maxFaults)
	}
	lines := strings.Split(faults.List.Error(), "\n")
	if last := lines[len(lines)-1]; len(lines) != MaxShown+1 || last != "and 950 more" {
		t.Errorf("%d lines, the last %q", len(lines), last)
	}
}

func TestDetailUnderlines(t *testing.T) {
	f := NewFile("site.toml", []byte("# 1\nµ = \"ΩΩ 13,8V\"\t# tab\n"))
	n := &Node{Kind: String, Text: "ΩΩ 13,8V", Span: Span{9, 21}, File: f}
	for _, c := range []struct {
		e    *Error
		want string
	}{
		{n.Fault("battery.float", "not a number", "want a voltage such as 13.8 V"),
			"site.toml:2:5: battery.float: \"ΩΩ 13,8V\": not a number; want a voltage such as 13.8 V\n" +
				"   2 | µ = \"ΩΩ 13,8V\" # tab\n" +
				"     |     ^^^^^^^^^^"},
		{n.FaultInside("battery.float", 4, 5, "not a number", ""),
			"site.toml:2:9: battery.float: \"ΩΩ 13,8V\": not a number\n" +
				"   2 | µ = \"ΩΩ 13,8V\" # tab\n" +
				"     |         ^^^^^"},
		{&Error{File: "x.toml", Problem: "is 50 MB", Want: "at most 16 MB are read"}, "x.toml: is 50 MB; at most 16 MB are read"},
		{NewFile("l", []byte(strings.Repeat("x", 300))).Fault(Span{200, 210}, "", "", "long", ""),
			"l:1:201: long\n   1 | " + strings.Repeat("x", 100) + "\n     | " + strings.Repeat(" ", 40) + "^^^^^^^^^^"},
		{NewFile("e", []byte("a\x1b[31m")).Fault(Span{1, 2}, "", "\x1b[31m", "escape", ""),
			"e:1:2: \"\uFFFD[31m\": escape\n   1 | a\uFFFD[31m\n     |  ^"},
	} {
		if got := c.e.Detail(); got != c.want {
			t.Errorf("got\n%s\nwant\n%s", got, c.want)
		}
	}
}

func TestColumnsInsideStrings(t *testing.T) {
	for _, c := range []struct {
		source string
		column int // within the content
		want   int // in the line
	}{
		{`"abc"`, 3, 9},
		{`"µbc"`, 3, 9},
		{`"\u00b5bc"`, 3, 14},
		{`"\"bc"`, 2, 9},
		{`'\bc'`, 3, 9},
		{`"""abc"""`, 2, 10},
		{`""`, 1, 6}, // nothing inside: the whole
	} {
		var faults Faults
		top := ReadTOML(NewFile("t", []byte("kk = "+c.source+"\n")), &faults)
		if e := top.Child("kk").FaultInside("", c.column, 1, "", ""); e.Column != c.want {
			t.Errorf("%s: character %d is at column %d, want %d", c.source, c.column, e.Column, c.want)
		}
	}
}

func TestNearest(t *testing.T) {
	known := []string{"top", "bottom", "reference", "load_disconnect", "bits"}
	for name, want := range map[string]string{
		"tpo": "top", "botom": "bottom", "refrence": "reference", "load-disconnect": "load_disconnect",
		"Bits": "bits", "frequency": "", "x": "", "to": "", "bit": "bits", strings.Repeat("x", 1000): "",
	} {
		if got := Nearest(name, known); got != want {
			t.Errorf("%.20s: %q, want %q", name, got, want)
		}
	}
}
