package product

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

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

// Records are complete up to the day that is written, else up to today; it cannot lie ahead.
func TestRecordsUntil(t *testing.T) {
	today := time.Date(2024, 7, 9, 0, 0, 0, 0, time.UTC)
	base := func(line string) (*Product, error) {
		f, err := Read(t.TempDir(), Today(today), With("product.toml", []byte("name = \"x\"\ncurrency = \"EUR\"\n"+line)))
		if err != nil {
			return nil, err
		}
		p, _ := f.Resolve("")
		return p, nil
	}
	for line, want := range map[string]string{"": "2024-07-09", "records_until = 2024-06-30": "2024-06-30"} {
		if p, err := base(line); err != nil || p.RecordsUntil().Format(time.DateOnly) != want {
			t.Errorf("%q: %v; want %s", line, err, want)
		}
	}
	if _, err := base("records_until = 2024-08-01"); err == nil || !strings.Contains(err.Error(), `product.toml:3:17: records_until: "2024-08-01": has not come yet; want 2024-07-09 or earlier`) {
		t.Errorf("%v; want the day refused", err)
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
