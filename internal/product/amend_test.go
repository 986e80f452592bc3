package product

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestCorrectAndTakeBack(t *testing.T) {
	const three = "date,count,note\n2024-05-01,3,\n2024-05-02,4,\"a, b\"\n2024-05-03,5,c\n"
	for _, c := range []struct {
		name, before string
		line         int
		was          string
		cells        []string // nil: the row is taken back
		after        string
	}{
		{"one cell", three, 3, `2024-05-02,4,"a, b"`, []string{"date", "2024-05-02", "count", "40", "note", "a, b"},
			"date,count,note\n2024-05-01,3,\n2024-05-02,40,\"a, b\"\n2024-05-03,5,c\n"},
		{"a cell made empty", three, 4, "2024-05-03,5,c", []string{"date", "2024-05-03"},
			"date,count,note\n2024-05-01,3,\n2024-05-02,4,\"a, b\"\n2024-05-03,,\n"},
		{"a new column", three, 2, "2024-05-01,3,", []string{"date", "2024-05-01", "count", "3", "basis", "booked"},
			"date,count,note,basis\n2024-05-01,3,,booked\n2024-05-02,4,\"a, b\",\n2024-05-03,5,c,\n"},
		{"what stays keeps its bytes", "date;count;note\r\n2024-05-01;\"3\";x\r\n\r\n", 2, `2024-05-01;"3";x`, []string{"date", "2024-05-01", "count", "3", "note", "y;z"},
			"date;count;note\r\n2024-05-01;\"3\";\"y;z\"\r\n\r\n"},
		{"the last line has no end", "date,count\n2024-05-01,3", 2, "2024-05-01,3", []string{"date", "2024-05-01", "count", "4"}, "date,count\n2024-05-01,4"},
		{"a row with too many cells", "date,count\n2024-05-01,3,9\n", 2, "2024-05-01,3,9", []string{"date", "2024-05-01", "count", "3"}, "date,count\n2024-05-01,3\n"},
		{"taken back", three, 3, `2024-05-02,4,"a, b"`, nil, "date,count,note\n2024-05-01,3,\n2024-05-03,5,c\n"},
		{"taken back, with its line end", "date\r\n2024-05-01\r\n2024-05-02\r\n", 2, "2024-05-01", nil, "date\r\n2024-05-02\r\n"},
		{"taken back, the last without end", "date\n2024-05-01\n2024-05-02", 3, "2024-05-02", nil, "date\n2024-05-01\n"},
		{"of several lines", "date,note\n2024-05-01,\"a\nb\"\n2024-05-02,c\n", 2, "2024-05-01,\"a\nb\"", nil, "date,note\n2024-05-02,c\n"},
	} {
		dir := folder(t, map[string]string{"product.toml": bare12, "records/made.csv": c.before})
		var done Change
		var err error
		if c.cells == nil {
			done, err = TakeBack(dir, "made", c.line, c.was)
		} else {
			done, err = Correct(dir, "made", c.line, c.was, row(c.cells...))
		}
		if after := content(t, dir, "records/made.csv"); err != nil || after != c.after {
			t.Errorf("%s: %v, %q\nwant %q", c.name, err, after, c.after)
			continue
		}
		if len(done.Old) > len(c.before) || !strings.HasSuffix(c.before[:done.Start], "\n") && done.Start > 0 {
			t.Errorf("%s: the change begins at byte %d with %q", c.name, done.Start, done.Old)
		}
		if err := Undo(dir, done); err != nil || content(t, dir, "records/made.csv") != c.before {
			t.Errorf("%s, undone: %v, %q", c.name, err, content(t, dir, "records/made.csv"))
		}
		if err := Redo(dir, done); err != nil || content(t, dir, "records/made.csv") != c.after {
			t.Errorf("%s, done again: %v, %q", c.name, err, content(t, dir, "records/made.csv"))
		}
	}
}

func TestAmendRefuses(t *testing.T) {
	const before = "date,count\n2024-05-01,3\n2024-05-02,4\n"
	dir := folder(t, map[string]string{"product.toml": bare12, "records/made.csv": before})
	var moved *Moved
	for _, c := range []struct {
		line int
		was  string
	}{{2, "2024-05-02,4"}, {3, "2024-05-02,5"}, {4, ""}, {1, "date,count"}, {0, ""}, {-1, ""}} {
		if _, err := Correct(dir, "made", c.line, c.was, row("date", "2024-05-03")); !errors.As(err, &moved) {
			t.Errorf("correcting line %d, %q: %v", c.line, c.was, err)
		}
		if _, err := TakeBack(dir, "made", c.line, c.was); !errors.As(err, &moved) {
			t.Errorf("taking back line %d, %q: %v", c.line, c.was, err)
		}
	}
	for _, cells := range [][]string{
		{"date", "tomorrow"},
		{"count", "3"},
		{"date", "2024-05-31", "amount", "3"},
		{"date", "2024-05-31", "count", "3 V"},
		{"date", "2024-05-31", "until", "2024-05-01"},
	} {
		_, err := Correct(dir, "made", 2, "2024-05-01,3", row(cells...))
		var faults Errors
		if !errors.As(err, &faults) {
			t.Errorf("%v: %v", cells, err)
			continue
		}
		_, asRecorded := Record(dir, "made", row(cells...))
		if asRecorded == nil || asRecorded.Error() != err.Error() {
			t.Errorf("%v: %q; recorded, it would be %q", cells, err, asRecorded)
		}
		if faults[0].Line != 0 || faults[0].File != "" {
			t.Errorf("%v: a row that stands nowhere is said to stand at %s:%d", cells, faults[0].File, faults[0].Line)
		}
	}
	if _, err := Correct(dir, "paid", 2, "", nil); err == nil {
		t.Error("no such kind: corrected")
	}
	if after := content(t, dir, "records/made.csv"); after != before {
		t.Errorf("refused, and written: %q", after)
	}
}

func TestLastWritten(t *testing.T) {
	dir := folder(t, map[string]string{"product.toml": bare12, "records/made.csv": "date,count\n2024-05-01,3\n\n2024-05-02\n2024-05-03,5\n"})
	last, total, err := LastWritten(dir, "made", 2)
	if err != nil || total != 3 || len(last) != 2 {
		t.Fatal(last, total, err)
	}
	if last[0].Line != 5 || last[0].Source != "2024-05-03,5" || len(last[0].Fields) != 2 || last[0].Fields[1] != (Field{"count", "5"}) {
		t.Errorf("the last: %+v", last[0])
	}
	if last[1].Line != 4 || last[1].Source != "2024-05-02" || last[1].Fields != nil {
		t.Errorf("one that cannot be cut: %+v", last[1])
	}
	if last, total, err := LastWritten(dir, "sold", 3); last != nil || total != 0 || err != nil {
		t.Error(last, total, err)
	}
}

// What was recorded can be taken back as long as it stands there, whatever was recorded behind it.
func TestRecordIsUndone(t *testing.T) {
	for name, before := range map[string]string{"a new file": "", "a new column": "date\n2024-05-01\n", "a torn end": "date,note\n2024-05-01,a\n2024-0", "no end": "date,note\n2024-05-01,a"} {
		dir := folder(t, map[string]string{"product.toml": bare12})
		if before != "" {
			dir = folder(t, map[string]string{"product.toml": bare12, "records/made.csv": before})
		}
		done, err := Record(dir, "made", row("date", "2024-05-31", "note", "b"))
		if err != nil {
			t.Fatal(name, err)
		}
		written := content(t, dir, "records/made.csv")
		if err := Undo(dir, done.Change); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		want := before
		if want == "" {
			want = "(none)"
		}
		if after := content(t, dir, "records/made.csv"); after != want {
			t.Errorf("%s: %q, want %q", name, after, want)
		}
		if err := Redo(dir, done.Change); err != nil || content(t, dir, "records/made.csv") != written {
			t.Errorf("%s, again: %v", name, err)
		}
		if _, err := Record(dir, "made", row("date", "2024-06-01", "note", "c")); err != nil {
			t.Fatal(err)
		}
		if err := Undo(dir, done.Change); before != "" && (err != nil || !strings.Contains(content(t, dir, "records/made.csv"), "2024-06-01")) {
			t.Errorf("%s, with a row behind it: %v", name, err)
		}
	}
}

func TestAddRun(t *testing.T) {
	dir := folder(t, map[string]string{"product.toml": bare12, "bench/old.csv": "x\n"})
	const description = "kind = \"curve\"\ndate = 2024-05-31\n"
	before := everything(t, dir)
	for _, name := range []string{"", "..", "a/b", `a\b`, "a b", "meters", "NUL", "com1", "a.toml", "old", "-> x", strings.Repeat("a", 200), "a\x00"} {
		if _, err := AddRun(dir, name, description, []byte("t,V\n0,1\n")); err == nil {
			t.Errorf("a run %q was written", name)
		}
	}
	if _, err := AddRun(dir, "fresh", "kind = \"nothing\"\n", nil); err == nil {
		t.Error("a description that is wrong was written")
	}
	if after := everything(t, dir); after != before {
		t.Errorf("refused, and written:\n%s", after)
	}
	done, err := AddRun(dir, "fresh", description, []byte("t,V\n0,1\n"))
	if err != nil || len(done) != 2 || content(t, dir, "bench/fresh.toml") != description || content(t, dir, "bench/fresh.csv") != "t,V\n0,1\n" {
		t.Fatal(done, err)
	}
	for i := len(done) - 1; i >= 0; i-- {
		if err := Undo(dir, done[i]); err != nil {
			t.Error(err)
		}
	}
	if after := everything(t, dir); after != before {
		t.Errorf("undone, the folder is\n%s", after)
	}
	for _, c := range done {
		if err := Redo(dir, c); err != nil {
			t.Error(err)
		}
	}
	if _, err := Read(dir); err != nil || content(t, dir, "bench/fresh.csv") != "t,V\n0,1\n" {
		t.Error(err)
	}
}

func TestAddRunBehindALink(t *testing.T) {
	outside := t.TempDir()
	dir := folder(t, map[string]string{"product.toml": bare12})
	if err := os.Symlink(outside, filepath.Join(dir, "bench")); err != nil {
		t.Skip("no symbolic links here:", err)
	}
	if _, err := AddRun(dir, "fresh", "kind = \"curve\"\n", []byte("x\n")); err == nil {
		t.Error("a run was written outside")
	}
	if left, _ := os.ReadDir(outside); len(left) > 0 {
		t.Error("files outside:", left)
	}
}
