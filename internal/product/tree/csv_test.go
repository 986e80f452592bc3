package tree

import (
	"fmt"
	"strings"
	"testing"
)

func cellsOf(text string) string {
	var faults Faults
	rows := ReadCSV(NewFile("t.csv", []byte(text)), &faults, &faults)
	var b strings.Builder
	var row Row
	for i := range rows.Len() {
		rows.Read(i, &row)
		for _, c := range row.Table.Children {
			line, column := c.File.Position(c.Span.Start)
			fmt.Fprintf(&b, "%s=%q@%d:%d ", c.Key, c.Text, line, column)
		}
		b.WriteByte('\n')
	}
	for _, e := range faults.List {
		fmt.Fprintln(&b, e)
	}
	return b.String()
}

func TestReadCSV(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"plain", "date,note\n2024-05-31,µ µ\n", "date=\"2024-05-31\"@2:1 note=\"µ µ\"@2:12 \n"},
		{"columns in characters", "a,b\nµΩ,x\n", "a=\"µΩ\"@2:1 b=\"x\"@2:4 \n"},
		{"empty cells are left out", "a,b,c\n,x,\n", "b=\"x\"@2:2 \n"},
		{"semicolons", "a;b\n1,5;x\n", "a=\"1,5\"@2:1 b=\"x\"@2:5 \n"},
		{"tabs", "a\tb\n1\t2\n", "a=\"1\"@2:1 b=\"2\"@2:3 \n"},
		{"line ends of another system", "a,b\r\n1,2\r\n", "a=\"1\"@2:1 b=\"2\"@2:3 \n"},
		{"byte order mark", "\xef\xbb\xbfa,b\n1,2\n", "a=\"1\"@2:1 b=\"2\"@2:3 \n"},
		{"quotes", "a,b\n\"x, \"\"y\"\"\",z\n", "a=\"x, \\\"y\\\"\"@2:1 b=\"z\"@2:12 \n"},
		{"line break in quotes", "a,b\n\"x\ny\",z\n1,2\n", "a=\"x\\ny\"@2:1 b=\"z\"@3:4 \na=\"1\"@4:1 b=\"2\"@4:3 \n"},
		{"blank lines", "a,b\n\n1,2\n  \n", "a=\"1\"@3:1 b=\"2\"@3:3 \n"},
		{"blanks around", "a , b\n 1 , 2\n", "a=\"1\"@2:2 b=\"2\"@2:6 \n"},
		{"no line end", "a,b\n1,2", "a=\"1\"@2:1 b=\"2\"@2:3 \n"},
		{"nothing", "", ""},
		{"header only", "a,b\n", ""},
		{"RFC 4180, 2.7", "aaa,bbb,ccc\n\"aaa\",\"b\"\"bb\",\"ccc\"\n", "aaa=\"aaa\"@2:1 bbb=\"b\\\"bb\"@2:7 ccc=\"ccc\"@2:15 \n"},

		{"too few", "a,b\n1\n2,3\n", "a=\"2\"@3:1 b=\"3\"@3:3 \nt.csv:2:1: the row has 1 cells; want 2 as in the header; an empty cell needs its separator too\n"},
		{"too many", "a,b\nµ,2,3\n", "t.csv:2:1: the row has 3 cells; want 2 as in the header; an empty cell needs its separator too\n"},
		{"stray quote", "a,b\nµ,5\" pipe\n3,4\n", "a=\"3\"@3:1 b=\"4\"@3:3 \nt.csv:2:4: a quote stands within a cell; want the whole cell in quotes and the quote doubled, such as \"5\"\" pipe\"\n"},
		{"behind a quote", "a,b\n\"x\"y,2\n3,4\n", "a=\"3\"@3:1 b=\"4\"@3:3 \nt.csv:2:4: something follows the closing quote; want a separator or the line's end\n"},
		{"open quote", "a,b\n1,\"x\n3,4\n", "a=\"3\"@3:1 b=\"4\"@3:3 \nt.csv:2:3: the closing quote is missing; want the cell to end in a quote\n"},
		{"column twice", "a,a\n1,2\n", "a=\"1\"@2:1 \nt.csv:1:3: \"a\": the column stands twice; want each once\n"},
		{"zero byte", "a,b\n1,\x00\n", "t.csv:2:3: there is a zero byte, so this is no text; want a text file in UTF-8\n"},
	} {
		if got := cellsOf(c.text); got != c.want {
			t.Errorf("%s:\n got %q\nwant %q", c.name, got, c.want)
		}
	}
}

func TestReadCSVEnd(t *testing.T) {
	for _, c := range []struct {
		text        string
		spans       int
		open, whole bool
	}{
		{"a,b\n", 1, false, true},
		{"a,b", 1, true, true},
		{"a,b\n1,2\n", 2, false, true},
		{"a,b\n1,2", 2, true, true},
		{"a,b\n1", 2, true, false},
		{"a,b\n1,2\n\"x", 3, true, false},
		{"a,b\n1,2\n\n", 2, false, true},
	} {
		var faults Faults
		rows := ReadCSV(NewFile("t", []byte(c.text)), &faults, &faults)
		if len(rows.Spans) != c.spans || rows.Open != c.open || rows.LastWhole != c.whole {
			t.Errorf("%q: %d spans, open %v, whole %v", c.text, len(rows.Spans), rows.Open, rows.LastWhole)
		}
	}
}
