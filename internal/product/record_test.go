package product

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
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
			"date,what,value,meter,serial,revision,ambient,charge_current,load_current,basis,note\n2024-05-31,setpoint.float,27.34 V,,,,18 degC,,,,\n", ""},
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

// Rows that are wrong are reported with their place, and the others count.
func TestRecordErrors(t *testing.T) {
	f := readAlder(t, With("records/made.csv", []byte("date,result,count,note,step\n"+
		"2024-05-31,,3,µ,solder\n2024-05-32,,µx,µ,\n,,4,,\n2024-06-01,,5,,sodler\n1,2\n\"2024\n2024-06-02,,6,,\n")),
		With("records/hours.csv", []byte("date,kind,time\n2024-05-31,making,3 h\n")))
	want := `records/made.csv:3:1: date: "2024-05-32": is no date; want a date such as 2024-05-31
records/made.csv:3:13: count: "µx": does not start with a number; want a number such as 12, or 10..15
records/made.csv:4:1: date: is missing; want such as date=2024-05-31
records/made.csv:5:16: step: "sodler": there is no such step; did you mean solder
records/made.csv:6:1: the row has 2 cells; want 5 as in the header; an empty cell needs its separator too
records/made.csv:7:1: the closing quote is missing; want the cell to end in a quote`
	if got := f.RecordErrors.Error(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if made := f.Records.Made; len(made) != 2 || made[0].Count.Value != 3 || made[1].Count.Value != 6 || len(f.Records.Hours) != 1 {
		t.Errorf("%d rows made", len(made))
	}
}

// A file of records that cannot be read whole fails the folder, as any other file does.
func TestReadRefusesRecords(t *testing.T) {
	for _, c := range []struct{ name, file, content, want string }{
		{"50 MB", "records/made.csv", strings.Repeat("2024-05-01\n", 50<<20/11), "records/made.csv: is 50 MB; at most 32 MB are read"},
		{"zero byte", "records/made.csv", "date\n2024-05-01\n\x00", "records/made.csv:3:1: there is a zero byte, so this is no text; want a text file in UTF-8"},
		{"not UTF-8", "records/returned.csv", "date,note\n2024-05-01,\xe4\n", "records/returned.csv:2:12: a byte here is not UTF-8; save the file as UTF-8"},
		{"UTF-16", "records/sold.csv", "\xff\xfed\x00", "records/sold.csv:1:1: is UTF-16; save it as UTF-8"},
		{"link out", "records/made.csv", "-> ../../../../../../../../etc/passwd", "records/made.csv: leads out of the folder; want a file within the folder"},
		{"link to nothing", "records/made.csv", "-> nothing.csv", "records/made.csv: is a symbolic link that leads nowhere; want a file"},
		{"folder for a file", "records/made.csv/", "", "records/made.csv: is no plain file; want a file"},
		{"file for the folder", "records", "x", "records: is no folder; want a folder"},
		{"folder linked out", "records", "-> /", "records: leads out of the folder; want a folder within the folder"},
		{"unknown column", "records/made.csv", "date,coutn\n2024-05-01,3\n", "records/made.csv:1:6: \"coutn\": unknown column; did you mean count"},
		{"column twice", "records/made.csv", "date,note,note\n", "records/made.csv:1:11: \"note\": the column stands twice; want each once"},
		{"column missing", "records/sold.csv", "count\n3\n", "records/sold.csv:1:1: there is no column date; want it in the header"},
		{"header with a quote", "records/sold.csv", "date,co\"unt\n", "records/sold.csv:1:8: a quote stands within a cell; want the whole cell in quotes and the quote doubled, such as \"5\"\" pipe\""},
		{"rows of another kind", "records/hours.csv", "date,kind,time\n" + strings.Repeat("2024-05-01,making,34 EUR\n", 1200), "records/hours.csv: too many of its rows are wrong, such as line 1001; want date, until, kind, time, count, step, basis or note in the columns of the header"},
	} {
		f, err := Read(folder(t, map[string]string{"product.toml": bare12, c.file: c.content}))
		if f != nil || err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
	// Together with what is wrong elsewhere.
	_, err := Read(folder(t, map[string]string{"product.toml": "nam = \"x\"\n", "records/made.csv": "date,coutn\n", "records/hours.csv": "date,kind,time\nnever,x,1 h\n"}))
	const want = "product.toml:1:1: nam: unknown key; did you mean name\nrecords/made.csv:1:6: \"coutn\": unknown column; did you mean count"
	if err == nil || err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
}

// A slip of the pen must not become a record: the day is that of the clock, UTC.
func TestRecordsOutOfReach(t *testing.T) {
	today := Today(time.Date(2024, 5, 31, 23, 0, 0, 0, time.UTC))
	for _, c := range []struct {
		kind  string
		cells []string
		want  string // "" if it is accepted
	}{
		{"made", row0("date", "2024-05-31"), ""},
		{"made", row0("date", "2024-06-01"), ""}, // where it is tomorrow already
		{"made", row0("date", "2024-06-02"), `date: "2024-06-02": has not come yet; want 2024-05-31 or earlier`},
		{"made", row0("date", "2024-05-01", "until", "2042-05-31"), `until: "2042-05-31": has not come yet; want 2024-05-31 or earlier`},
		{"made", row0("date", "1970-01-01"), ""},
		{"made", row0("date", "1969-12-31"), `date: "1969-12-31": is too long ago; want 1970 or later`},
		{"made", row0("date", "2024-05-31", "count", "1000000000"), ""},
		{"made", row0("date", "2024-05-31", "count", "1000000001"), `count: "1000000001": out of range; want at least 0 and at most 1e9`},
		{"spent", row0("date", "2024-05-31", "kind", "x", "amount", "-1000000000000 EUR"), ""},
		{"spent", row0("date", "2024-05-31", "kind", "x", "amount", "1000000000001 EUR"), `amount: "1000000000001 EUR": out of range; want at least -1e12 and at most 1e12`},
		{"hours", row0("date", "2024-05-31", "kind", "x", "time", "1000 years"), ""},
		{"hours", row0("date", "2024-05-31", "kind", "x", "time", "1001 years"), `time: "1001 years": out of range; want at least 0 and at most 1000 years`},
		{"returned", row0("date", "2024-05-31", "minutes", "1e9 h"), `minutes: "1e9 h": out of range; want at least 0 and at most 1000 years`},
		{"reading", row0("date", "2024-05-31", "what", "setpoint.float", "value", "-1 MV"), ""},
		{"reading", row0("date", "2024-05-31", "what", "setpoint.float", "value", "1e7 V"), `value: "1e7 V": out of range; want at most 1e6 V`},
		{"reading", row0("date", "2024-05-31", "what", "setpoint.float", "value", "-1e300 V"), `value: "-1e300 V": out of range; want at most 1e6 V`},
		{"reading", row0("date", "2024-05-31", "what", "setpoint.float", "value", "27 V..2.8e6 V"), `value: "27 V..2.8e6 V": out of range; want at most 1e6 V`},
		{"reading", row0("date", "2024-05-31", "what", "charge.battery", "value", "300 Ah"), ""},
		{"reading", row0("date", "2024-05-31", "what", "x", "value", "2e6 kWh"), `value: "2e6 kWh": out of range; want at most 1e6 kWh`},
		{"reading", row0("date", "2024-05-31", "what", "x", "value", "5e9"), `value: "5e9": out of range; want at most 1e9`},
		{"reading", row0("date", "2024-05-31", "what", "x", "value", "5 V", "load_current", "2e6 A"), `load_current: "2e6 A": out of range; want at least 0 and at most 1e6 A`},
	} {
		dir := folder(t, map[string]string{"product.toml": bare12})
		_, err := record(dir, kindOf(c.kind), [][]Field{row(c.cells...)}, today)
		if got := fmt.Sprint(err); got != c.want && (err != nil || c.want != "") {
			t.Errorf("%q:\n got %v\nwant %s", c.cells, err, c.want)
		}
	}
	// In a file they are rows that are wrong.
	f := readAlder(t, today, With("records/made.csv", []byte("date,count\n2024-06-02,3\n2024-05-30,4\n1066-10-14,5\n")))
	const want = "records/made.csv:2:1: date: \"2024-06-02\": has not come yet; want 2024-05-31 or earlier\nrecords/made.csv:4:1: date: \"1066-10-14\": is no date; want a date such as 2024-05-31"
	if got := f.RecordErrors.Error(); got != want || len(f.Records.Made) != 1 {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	// And the clock is the machine's where nothing else is said.
	tomorrow, later := time.Now().UTC().AddDate(0, 0, 1).Format(time.DateOnly), time.Now().UTC().AddDate(0, 0, 3).Format(time.DateOnly)
	f = readAlder(t, With("records/made.csv", []byte("date\n"+tomorrow+"\n"+later+"\n")))
	if len(f.Records.Made) != 1 || len(f.RecordErrors) != 1 {
		t.Error(f.RecordErrors)
	}
}

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
