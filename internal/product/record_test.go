package product

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

func row(cells ...string) (fields []Field) {
	for i := 0; i < len(cells); i += 2 {
		fields = append(fields, Field{cells[i], cells[i+1]})
	}
	return fields
}

func TestRecord(t *testing.T) {
	const header = "date,until,count,serial,batch,revision,step,result,basis,note\n"
	for _, c := range []struct {
		name, kind, file, before string
		cells                    []string
		after, note              string
	}{
		{"new file", "made", "made.csv", "", []string{"date", "2024-05-31", "count", "12", "basis", "booked"},
			header + "2024-05-31,,12,,,,,,booked,\n", ""},
		{"at the end", "made", "made.csv", "date,count\n2024-05-01,3\n", []string{"count", "4", "date", "2024-05-31"},
			"date,count\n2024-05-01,3\n2024-05-31,4\n", ""},
		{"other order and separator", "made", "made.csv", "count;date\r\n3;2024-05-01\r\n", []string{"date", "2024-05-31", "count", "4"},
			"count;date\r\n3;2024-05-01\r\n4;2024-05-31\r\n", ""},
		{"new column", "made", "made.csv", "date,count\n2024-05-01,3\n\n2024-05-02,4\n", []string{"date", "2024-05-31", "note", "µ"},
			"date,count,note\n2024-05-01,3,\n\n2024-05-02,4,\n2024-05-31,,µ\n", ""},
		{"empty cells add no column", "made", "made.csv", "date\n", []string{"date", "2024-05-31", "note", ""},
			"date\n2024-05-31\n", ""},
		{"what needs quotes", "made", "made.csv", "date,note\n", []string{"date", "2024-05-31", "note", "a, \"b\"\nc"},
			"date,note\n2024-05-31,\"a, \"\"b\"\"\nc\"\n", ""},
		{"semicolon in a file of semicolons", "made", "made.csv", "date;note\n", []string{"date", "2024-05-31", "note", "a;b,c"},
			"date;note\n2024-05-31;\"a;b,c\"\n", ""},
		{"whole line without end", "made", "made.csv", "date,count\n2024-05-01,3", []string{"date", "2024-05-31"},
			"date,count\n2024-05-01,3\n2024-05-31,\n", ""},
		{"header without end", "made", "made.csv", "date,count", []string{"date", "2024-05-31"},
			"date,count\n2024-05-31,\n", ""},
		{"torn line", "made", "made.csv", "date,count\n2024-05-01,3\n2024-05", []string{"date", "2024-05-31"},
			"date,count\n2024-05-01,3\n2024-05-31,\n", "line 3 of records/made.csv had no end and is no whole row; it was moved to records/made.torn"},
		{"torn in a quote", "made", "made.csv", "date,note\n2024-05-01,\"a", []string{"date", "2024-05-31"},
			"date,note\n2024-05-31,\n", "line 2 of records/made.csv had no end and is no whole row; it was moved to records/made.torn"},
		{"beside rows that are wrong", "made", "made.csv", "date,count\nyesterday,3\n1,2,3\n", []string{"date", "2024-05-31"},
			"date,count\nyesterday,3\n1,2,3\n2024-05-31,\n", ""},
		{"blank file", "made", "made.csv", "\n", []string{"date", "2024-05-31"}, header + "2024-05-31,,,,,,,,,\n", ""},
		{"byte order mark", "made", "made.csv", "\xef\xbb\xbfdate\n", []string{"date", "2024-05-31"}, "\xef\xbb\xbfdate\n2024-05-31\n", ""},
		{"a reading", "reading", "readings.csv", "", []string{"what", "setpoint.float", "value", "27.34 V", "date", "2024-05-31", "ambient", "18 degC"},
			"date,what,value,meter,serial,revision,ambient,charge_current,load_current,mistake,state,basis,note\n2024-05-31,setpoint.float,27.34 V,,,,18 degC,,,,,,\n", ""},
	} {
		dir := folder(t, map[string]string{"product.toml": bare12})
		if c.before != "" {
			dir = folder(t, map[string]string{"product.toml": bare12, "records/" + c.file: c.before})
		}
		got, err := Record(dir, c.kind, row(c.cells...))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if after := content(t, dir, "records/"+c.file); after != c.after || got.Note != c.note {
			t.Errorf("%s: %q, %q\nwant %q, %q", c.name, after, got.Note, c.after, c.note)
		}
		lines := strings.Split(content(t, dir, "records/"+c.file), "\n")
		if first := lines[got.Line-1]; !strings.Contains(first, "2024-05-31") {
			t.Errorf("%s: line %d is %q", c.name, got.Line, first)
		}
		if files, _ := filepath.Glob(filepath.Join(dir, "records", ".*")); len(files) > 0 || len(everything(t, dir)) == 0 {
			t.Errorf("%s: %v was left behind", c.name, files)
		}
	}
}

func TestTornLinesAreKept(t *testing.T) {
	dir := folder(t, map[string]string{"product.toml": bare12})
	file := filepath.Join(dir, "records/made.csv")
	for _, torn := range []string{"2024-0", "2024-05-02,µ"} {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte("date,count,note\n"+torn), 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := Record(dir, "made", row("date", "2024-05-31")); err != nil {
			t.Fatal(err)
		}
	}
	want := "# from the end of made.csv, which had no line end\n2024-0\n# from the end of made.csv, which had no line end\n2024-05-02,µ\n"
	if got := content(t, dir, "records/made.torn"); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestRecordRefuses(t *testing.T) {
	dir := copied(t)
	all := everything(t, dir)
	for _, c := range []struct {
		kind  string
		cells []string
		want  string
	}{
		{"mad", row0("date", "2024-05-31"), `"mad": there is no such kind of record; did you mean made`},
		{"made", nil, "date: is missing; want such as date=2024-05-31"},
		{"reading", nil, `date, what, value: are missing; want such as date=2024-05-31 what=setpoint.float value="27.34 V"`},
		{"spent", row0("date", "2024-05-31"), `kind, amount: are missing; want such as kind=tools amount="12.50 EUR"`},
		{"hours", row0("kind", ""), `date, kind, time: are missing; want such as date=2024-05-31 kind=making time="3 h"`},
		{"reading", row0("date", "31.5.2024", "what", "setpoint.float", "valeu", "27.3 V", "meter", "bench-2", "ambient", "18", "serial", "x", "serial", "y"),
			`valeu: unknown column; did you mean value
serial: stands twice; want each once
date: "31.5.2024": is no date; want a date such as 2024-05-31
ambient: "18": no unit; want a temperature such as 25 °C
value: is missing; want such as value="27.34 V"
meter: "bench-2": there is no such meter; did you mean bench-1`},
		{"made", row0("date", "31.5.2024", "until", "2024-05-30", "serial", "A-0001", "count", "µ3"),
			`date: "31.5.2024": is no date; want a date such as 2024-05-31
count: "µ3": does not start with a number; want a number such as 12, or 10..15`},
		{"made", row0("count", "3"), "date: is missing; want such as date=2024-05-31"},
		{"made", row0("date", "31.5.2024"), `date: "31.5.2024": is no date; want a date such as 2024-05-31`},
		{"made", row0("date", "2024-05-31", "coutn", "3"), "coutn: unknown column; did you mean count"},
		{"made", row0("date", "2024-05-31", "count", "3", "count", "4"), "count: stands twice; want each once"},
		{"made", row0("date", "2024-05-31", "count", "-3"), `count: "-3": out of range; want at least 0 and at most 1e9`},
		{"made", row0("date", "2024-05-31", "count", "µ3"), `count: "µ3": does not start with a number; want a number such as 12, or 10..15`},
		{"made", row0("date", "2024-05-31", "count", "2", "serial", "A-0001"), `count: "2": a serial stands for one unit; want 1, or no serial`},
		{"made", row0("date", "2024-05-31", "until", "2024-05-30"), `until: "2024-05-30": is before date; want 2024-05-31 or later`},
		{"made", row0("date", "2024-05-31", "revision", "C"), `revision: "C": there is no such revision; want A or B`},
		{"made", row0("date", "2024-05-31", "step", "sodler"), `step: "sodler": there is no such step; did you mean solder`},
		{"made", row0("date", "2024-05-31", "result", "ok"), `result: "ok": unknown word; want pass, rework or scrap`},
		{"made", row0("date", "2024-05-31", "note", "a\x00b"), "note: is no text; want UTF-8"},
		{"made", row0("date", "2024-05-31", "note", "a\xff"), "note: is no text; want UTF-8"},
		{"sold", row0("date", "2024-05-31", "price", "34"), `price: "34": no unit; want a sum of money such as 34 EUR`},
		{"sold", row0("date", "2024-05-31", "price", "34 CHF"), `price: "34 CHF": has no rate into EUR; want [rates] CHF = "… EUR" in production.toml`},
		{"sold", row0("date", "2024-05-31", "price", "34 V"), `price: "34 V": is a voltage; want a sum of money such as 34 EUR`},
		{"spent", row0("date", "2024-05-31", "amount", "3 EUR"), "kind: is missing; want such as kind=tools"},
		{"hours", row0("date", "2024-05-31", "kind", "making", "time", "3 hh"), `time: "3 hh": unknown unit "hh"; want a time such as 2 h`},
		{"reading", row0("date", "2024-05-31", "what", "setpoint.float", "value", "27.3 A"), `value: "27.3 A": is a current; want a voltage such as 27.3 V`},
		{"reading", row0("date", "2024-05-31", "what", "setpoint.float", "value", "27.3 V", "meter", "bench-2"), `meter: "bench-2": there is no such meter; did you mean bench-1`},
	} {
		_, err := Record(dir, c.kind, row(c.cells...))
		if err == nil || err.Error() != c.want {
			t.Errorf("%s %q:\n got %v\nwant %s", c.kind, c.cells, err, c.want)
		}
		if everything(t, dir) != all {
			t.Fatalf("%s %q was refused, and the folder is not as before", c.kind, c.cells)
		}
	}
	if _, err := Record(dir, "made"); err == nil || err.Error() != "date: is missing; want such as date=2024-05-31" || everything(t, dir) != all {
		t.Error(err)
	}
	// All rows or none.
	if _, err := Record(dir, "made", row("date", "2024-05-31"), row("date", "never")); err == nil || everything(t, dir) != all {
		t.Error(err)
	}
}

func row0(cells ...string) []string { return cells }

// Many writers at once: every row that was acknowledged is there, once, and none other.
func TestRecordAtOnce(t *testing.T) {
	dir := folder(t, map[string]string{"product.toml": bare12})
	const writers, each = 4, 12
	var wait sync.WaitGroup
	for w := range writers {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := range each {
				if _, err := Record(dir, "made", row("date", "2024-05-31", "note", fmt.Sprintf("%d-%d", w, i))); err != nil {
					t.Error(err)
				}
			}
		}()
	}
	wait.Wait()
	f, err := Read(dir)
	if err != nil || len(f.RecordErrors) > 0 {
		t.Fatal(err, f.RecordErrors)
	}
	seen := map[string]int{}
	for _, m := range f.Records.Made {
		seen[m.Note.Text]++
	}
	if len(seen) != writers*each || len(f.Records.Made) != writers*each {
		t.Errorf("%d rows, %d of them different, want %d", len(f.Records.Made), len(seen), writers*each)
	}
}

// Columns come in the order of the document.
func TestColumns(t *testing.T) {
	names, needed := Columns("spent")
	if strings.Join(names, " ") != "date until kind amount basis note" || !needed["amount"] || needed["note"] {
		t.Error(names, needed)
	}
	if names, _ := Columns("x"); names != nil {
		t.Error(names)
	}
	if got := strings.Join(RecordKinds(), " "); got != "made sold returned spent hours reading" {
		t.Error(got)
	}
}
