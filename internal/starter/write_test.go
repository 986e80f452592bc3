package starter

import (
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/pelletier/go-toml/v2"
)

var testDay = time.Date(2024, 5, 31, 0, 0, 0, 0, time.UTC)

// answerSets are the three ways to answer: all, nothing, ranges.
var answerSets = map[string]Answers{
	"all": {Price: "34 EUR", PartsCost: "9.80 EUR", Minutes: "35 min", SoldFrom: "2021-05", SoldUntil: "2023",
		Sold: "about 300", CameBack: "7", SpentOtherwise: "1200 EUR", Current: "5 A", Name: "Reed 5"},
	"none": {},
	"ranges": {Price: "30..40 EUR", PartsCost: "9..11 EUR", Minutes: "30..45", SoldFrom: "2021..2023",
		Sold: "250..350", CameBack: "5..10", SpentOtherwise: "1000..1500 EUR", Current: "8..20 A"},
}

// folder is what Write would write: each file's text by its path.
type folder map[string]string

// everyFolder makes the folder of each circuit, voltage and set of answers.
func everyFolder(t *testing.T, check func(t *testing.T, f folder, a Answers)) {
	circuits := []string{""}
	for _, c := range Circuits() {
		circuits = append(circuits, c.Name)
	}
	for _, circuit := range circuits {
		for _, voltage := range []string{"", "12 V", "24 V"} {
			for set, a := range answerSets {
				a.Circuit, a.Voltage = circuit, voltage
				t.Run(fmt.Sprintf("%s,%s,%s", circuit, voltage, set), func(t *testing.T) {
					check(t, folderOf(t, a), a)
				})
			}
		}
	}
}

func folderOf(t *testing.T, a Answers) folder {
	t.Helper()
	g, err := read(a, testDay)
	must(t, err)
	if g.name == "" {
		g.name = nameOf("reed-5")
	}
	files, err := render(g)
	must(t, err)
	f := folder{}
	for _, file := range files {
		f[file.path] = string(file.text)
	}
	return f
}

// toml reads a file and flattens it: "regulation.float" → "13.7 V".
func (f folder) toml(t *testing.T, path string) map[string]any {
	t.Helper()
	var tree map[string]any
	if err := toml.Unmarshal([]byte(f[path]), &tree); err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	flat := map[string]any{}
	var flatten func(prefix string, v any)
	flatten = func(prefix string, v any) {
		if table, ok := v.(map[string]any); ok {
			for k, v := range table {
				flatten(strings.TrimPrefix(prefix+"."+k, "."), v)
			}
			return
		}
		flat[prefix] = v
	}
	flatten("", tree)
	return flat
}

func TestAnswersLand(t *testing.T) {
	everyFolder(t, func(t *testing.T, f folder, a Answers) {
		product := f.toml(t, "product.toml")
		production := f.toml(t, "production.toml")
		volts := a.Voltage
		if volts == "" {
			volts = "12 V"
		}
		want := map[string]any{"product nominal_voltage": volts, "product regulation.switch": "series", "product current": "5 A", "product name": "reed-5"}
		if a.Circuit == "shunt" {
			want["product regulation.switch"] = "shunt"
		}
		var sold, returned, spent []string
		now := testDay.Format(day)
		switch {
		case a.Name != "":
			want["product name"] = "Reed 5"
			want["product currency"] = "EUR"
			want["production bom.parts.prices"] = "1:9.8 EUR"
			want["production step.make.minutes"] = "35 min"
			want["production work.price"] = "34 EUR"
			sold = []string{"2021-05-01", "2023-12-31", "300", "34 EUR", "remembered"}
			returned = []string{"2021-05-01", now, "7", "remembered"}
			spent = []string{"2021-05-01", "2023-12-31", "other", "1200 EUR", "remembered"}
		case a.Price != "":
			want["product current"] = "20 A"
			want["product currency"] = "EUR"
			want["production bom.parts.prices"] = "1:9..11 EUR"
			want["production step.make.minutes"] = "30..45 min"
			want["production work.price"] = "30..40 EUR"
			sold = []string{"2021-01-01", "2023-12-31", "250..350", "30..40 EUR", "remembered"}
			returned = []string{"2021-01-01", now, "5..10", "remembered"}
			spent = []string{"2021-01-01", "2023-12-31", "other", "1000..1500 EUR", "remembered"}
		default:
			for _, key := range []string{"bom.parts.prices", "step.make.minutes", "work.price"} {
				if v, ok := production[key]; ok {
					t.Errorf("production.toml: %s = %v, though nothing was answered", key, v)
				}
			}
			if v, ok := product["currency"]; ok {
				t.Errorf("product.toml: currency = %v, though nothing was answered", v)
			}
		}
		for key, v := range want {
			file, key, _ := strings.Cut(key, " ")
			got := product[key]
			if file == "production" {
				got = production[key]
			}
			if got != v {
				t.Errorf("%s.toml: %s = %v, want %v", file, key, got, v)
			}
		}
		if got := product["circuit.switch.role"]; (got != nil) != (a.Circuit != "") {
			t.Errorf("product.toml: circuit.switch.role = %v with circuit %q", got, a.Circuit)
		}
		for name, row := range map[string][]string{"sold": sold, "returned": returned, "spent": spent, "made": nil, "hours": nil, "readings": nil} {
			if got := f.row(t, name); !slices.Equal(got, row) {
				t.Errorf("records/%s.csv: %q, want %q", name, got, row)
			}
		}
	})
}

// row returns the cells of the only row that are not empty, or nil.
func (f folder) row(t *testing.T, name string) []string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(f["records/"+name+".csv"])).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) == 0 { // no such file: an empty one would say that there was none
		if name != "returned" {
			t.Errorf("there is no records/%s.csv", name)
		}
		return nil
	}
	if len(rows) > 2 {
		t.Errorf("records/%s.csv has %d rows", name, len(rows)-1)
	}
	var cells []string
	for _, row := range rows[1:] {
		for _, cell := range row {
			if cell != "" {
				cells = append(cells, cell)
			}
		}
	}
	return cells
}

// listing returns every path under dir with its text.
func listing(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			all[path] = "folder"
			return err
		}
		if d.Type()&os.ModeSymlink != 0 {
			all[path], err = os.Readlink(path)
			return err
		}
		text, err := os.ReadFile(path)
		all[path] = string(text)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestWriteRefuses(t *testing.T) {
	root := t.TempDir()
	full, plain, link := filepath.Join(root, "full"), filepath.Join(root, "plain"), filepath.Join(root, "link")
	must(t, os.Mkdir(full, 0o777))
	must(t, os.WriteFile(filepath.Join(full, "notes.txt"), []byte("mine"), 0o666))
	must(t, os.WriteFile(plain, []byte("mine"), 0o666))
	must(t, os.Symlink(filepath.Join(root, "nowhere"), link))
	before := listing(t, root)
	for _, c := range []struct {
		dir, want string
		answers   Answers
	}{
		{full, "full: not empty: it holds notes.txt; want a new or an empty folder", Answers{}},
		{plain, "plain: a file; want a new or an empty folder", Answers{}},
		{link, "link: a link to nothing; want a new or an empty folder", Answers{}},
		{filepath.Join(root, "a", "b"), "there is no folder " + filepath.Join(root, "a") + " to put it in; make that first", Answers{}},
		{filepath.Join(plain, "b"), "not a directory", Answers{}},
		{filepath.Join(root, "new"), `--price "abc": `, Answers{Price: "abc"}},
	} {
		r, err := Write(c.dir, c.answers)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("Write(%s) = %v, want an error with %q", c.dir, err, c.want)
		}
		if r.Dir != "" || r.Files != nil {
			t.Errorf("Write(%s) reports %+v", c.dir, r)
		}
	}
	if after := listing(t, root); !equal(before, after) {
		t.Errorf("something was touched:\n%v\n%v", before, after)
	}
}

func equal(a, b map[string]string) bool {
	for k, v := range a {
		if b[k] != v {
			return false
		}
	}
	return len(a) == len(b)
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// TestWriteIntoEmpty sees that an empty folder is filled and stays the same folder, so that it may
// be somebody's working folder, and that nothing is left beside it.
func TestWriteIntoEmpty(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "empty")
	must(t, os.Mkdir(dir, 0o777))
	before, err := os.Stat(dir)
	must(t, err)
	report, err := Write(dir, Answers{})
	must(t, err)
	after, err := os.Stat(dir)
	must(t, err)
	if !os.SameFile(before, after) {
		t.Error("the folder was replaced")
	}
	fresh := filepath.Join(root, "fresh")
	_, err = Write(fresh, Answers{})
	must(t, err)
	for path := range listing(t, root) {
		if strings.Contains(path, ".hindwatt-new-") {
			t.Errorf("left behind: %s", path)
		}
	}
	for _, f := range report.Files {
		for _, d := range []string{dir, fresh} {
			if _, err := os.Stat(filepath.Join(d, filepath.FromSlash(f))); err != nil {
				t.Error(err)
			}
		}
	}
	info, err := os.Stat(fresh)
	must(t, err)
	if info.Mode() != before.Mode() {
		t.Errorf("mode %v, want that of any new folder, %v", info.Mode(), before.Mode())
	}
}

// TestFillMovesBack sees that a file which appears meanwhile is not overwritten and undoes the rest.
func TestFillMovesBack(t *testing.T) {
	root := t.TempDir()
	dir, folder := filepath.Join(root, "dir"), filepath.Join(root, "folder")
	must(t, os.Mkdir(dir, 0o777))
	must(t, writeAll(folder, []file{{"a.toml", []byte("a")}, {"product.toml", []byte("ours")}, {"records/z.csv", []byte("z")}}))
	must(t, os.WriteFile(filepath.Join(dir, "product.toml"), []byte("theirs"), 0o666))
	if err := fill(dir, folder); err == nil || !strings.Contains(err.Error(), "somebody else just put it there") {
		t.Errorf("fill = %v", err)
	}
	want := map[string]string{dir: "folder", filepath.Join(dir, "product.toml"): "theirs"}
	if got := listing(t, dir); !equal(got, want) {
		t.Errorf("the folder holds %v", got)
	}
}

func TestWriteJoinsErrors(t *testing.T) {
	_, err := Write(filepath.Join(t.TempDir(), "x"), Answers{Price: "x", Voltage: "13 V"})
	var one *AnswerError
	if !errors.As(err, &one) || strings.Count(err.Error(), "\n") != 1 {
		t.Errorf("want both bad answers, have %v", err)
	}
}
