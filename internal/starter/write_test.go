package starter

import (
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/pelletier/go-toml/v2"

	"hindwatt/internal/quantity"
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
		switch {
		case a.Name != "":
			want["product name"] = "Reed 5"
			want["product currency"] = "EUR"
			want["production bom.parts.prices"] = "1:9.8 EUR"
			want["production step.make.minutes"] = "35 min"
			want["production work.price"] = "34 EUR"
			sold = []string{"2021-05-01", "2023-12-31", "300", "34 EUR", "remembered"}
			returned = []string{"2021-05-01", "2023-12-31", "7", "remembered"}
			spent = []string{"2021-05-01", "2023-12-31", "other", "1200 EUR", "remembered"}
		case a.Price != "":
			want["product current"] = "20 A"
			want["product currency"] = "EUR"
			want["production bom.parts.prices"] = "1:9..11 EUR"
			want["production step.make.minutes"] = "30..45 min"
			want["production work.price"] = "30..40 EUR"
			sold = []string{"2021-01-01", "2023-12-31", "250..350", "30..40 EUR", "remembered"}
			returned = []string{"2021-01-01", "2023-12-31", "5..10", "remembered"}
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

// TestTypicalSaysWhy sees that every typical value has its reason, that all other values are
// answers or names, and that no template is left unfilled.
func TestTypicalSaysWhy(t *testing.T) {
	reason := regexp.MustCompile(`# typical: \S`)
	everyFolder(t, func(t *testing.T, f folder, a Answers) {
		for _, name := range names {
			text := f[name]
			if strings.Contains(text, "{{") || strings.Contains(text, "<no value>") {
				t.Errorf("%s: not filled", name)
			}
			if !strings.HasSuffix(text, "\n") || strings.HasSuffix(text, "\n\n") || strings.Contains(text, "\n\n\n") {
				t.Errorf("%s: blank lines are amiss", name)
			}
			for i, line := range strings.Split(text, "\n") {
				if strings.HasSuffix(name, ".toml") && strings.Contains(line, "# typical") && !reason.MatchString(line) {
					t.Errorf("%s:%d: typical, but why? %s", name, i+1, line)
				}
				if strings.TrimRight(line, " \t") != line || strings.Contains(line, "\t") {
					t.Errorf("%s:%d: stray space: %q", name, i+1, line)
				}
			}
		}
	})
}

// number returns a quantity of a flattened file.
func number(t *testing.T, file map[string]any, key string) quantity.Quantity {
	t.Helper()
	text, _ := file[key].(string)
	q, err := quantity.Parse(text)
	if err != nil {
		t.Fatalf("%s = %q: %v", key, file[key], err)
	}
	return q
}

// TestTypicalFits holds the typical values to the rules of the trade that a reader of the folder
// would be cautioned by. Sources beside the rules; "practice" is common practice without a source.
func TestTypicalFits(t *testing.T) {
	everyFolder(t, func(t *testing.T, f folder, a Answers) {
		product, parts := f.toml(t, "product.toml"), f.toml(t, "parts.toml")
		si := func(file map[string]any, key string) float64 { return number(t, file, key).Value }
		within := func(what string, v, low, high float64) {
			if !(v >= low && v <= high) {
				t.Errorf("%s = %g, want %g..%g", what, v, low, high)
			}
		}
		twelves := si(product, "nominal_voltage") / 12
		held, err := quantity.ParseHeld(product["regulation.absorption"].(string))
		if err != nil {
			t.Fatal(err)
		}
		limits := number(t, product, "regulation.compensation_limits")
		slope := si(product, "regulation.temperature_compensation")
		highest := held.Level.Value + slope*(limits.Low-298.15)
		lowest := si(product, "regulation.float") + slope*(limits.High-298.15)
		within("highest setpoint of 12 V", highest/twelves, 13.2, 15.2)                           // practice
		within("lowest setpoint of 12 V", lowest/twelves, 13.2, 15.2)                             // practice
		within("absorption of 12 V, agm", held.Level.Value/twelves, 14.0, 14.6)                   // practice; Sandia's charge controller guide of 1997, from memory, 14.0 to 14.2
		within("compensation a cell", slope/6/twelves, -0.005, -0.003)                            // quality standard for solar home systems, GTZ 2000
		within("disconnect of 12 V", si(product, "regulation.load_disconnect")/twelves, 10.8, 12) // practice
		if gap := si(product, "regulation.load_reconnect") - si(product, "regulation.load_disconnect"); gap < 0.8*twelves {
			t.Errorf("load reconnects %g V above its disconnection", gap)
		}
		scale := si(product, "sense.reference") * (1 + si(product, "sense.top")/si(product, "sense.bottom"))
		within("converter's full scale over the highest setpoint", scale/highest, 1.1, 1.4)
		for _, end := range []string{"top", "bottom"} {
			if product["sense."+end] != parts["part.divider-"+end+".resistance"] {
				t.Errorf("divider %s differs between product.toml and parts.toml", end)
			}
		}
		current := si(product, "current")
		within("fuse over current", si(parts, "part.fuse.rating")/current, 1.25, 2) // practice; ISO 8820-3 fuses carry 0.8 of their rating for good
		within("lead's drop", 2*si(product, "sense.lead.length")*0.0172e-6*current/si(product, "sense.lead.area"), 0, 0.01*12*twelves)

		within("Imp/Isc", si(parts, "part.panel.peak_current")/si(parts, "part.panel.short_circuit_current"), 0.85, 0.96) // practice
		within("Vmp/Voc", si(parts, "part.panel.peak_voltage")/si(parts, "part.panel.open_circuit_voltage"), 0.76, 0.86)  // practice
		power := si(parts, "part.panel.peak_power")
		within("fill factor", power/si(parts, "part.panel.short_circuit_current")/si(parts, "part.panel.open_circuit_voltage"), 0.60, 0.82)
		within("Pmax over Vmp Imp", power/si(parts, "part.panel.peak_voltage")/si(parts, "part.panel.peak_current"), 0.99, 1.01)
		within("current over 1.25 Isc", current/1.25/si(parts, "part.panel.short_circuit_current"), 0.999, 1.001) // NEC 690.8(A)
		within("C over Isc, h", si(parts, "part.battery.capacity")/3600/si(parts, "part.panel.short_circuit_current"), 5, 10.001)
		within("voltage coefficient, 1/K", si(parts, "part.panel.voltage_tempco")/si(parts, "part.panel.open_circuit_voltage"), -0.0040, -0.0025)

		// A panel wired wrong way round adds its cold open-circuit voltage, 1.12 of the label's at -10 °C, to the battery's.
		cold := 21.6 * 1.12 * twelves
		for key, v := range parts {
			if strings.HasSuffix(key, ".reverse_voltage") || strings.HasSuffix(key, ".drain_voltage") {
				if q := number(t, parts, key).Value; q < cold+14.4*twelves {
					t.Errorf("%s = %v, want %g V at least", key, v, cold+14.4*twelves)
				}
			}
		}
		if si(parts, "part.regulator.input_max") < cold {
			t.Errorf("regulator takes %v, a cold panel without battery gives %g V", parts["part.regulator.input_max"], cold)
		}
	})
}

// TestTwentyFourDoubles sees that a setpoint of 24 V is twice that of 12 V.
func TestTwentyFourDoubles(t *testing.T) {
	low, high := folderOf(t, Answers{Voltage: "12 V"}), folderOf(t, Answers{Voltage: "24 V"})
	a, b := low.toml(t, "product.toml"), high.toml(t, "product.toml")
	for key, want := range map[string]string{"absorption": "28.4 V for 2 h", "float": "27.4 V", "load_disconnect": "22.8 V",
		"load_reconnect": "25.2 V", "temperature_compensation": "-48 mV/K"} {
		if b["regulation."+key] != want || a["regulation."+key] == want {
			t.Errorf("%s: %v at 12 V, %v at 24 V, want %s", key, a["regulation."+key], b["regulation."+key], want)
		}
	}
	if b := high.toml(t, "promises.toml"); b["promise.float.within"] != "-0.4..0.4 V" {
		t.Errorf("promise float: within %v", b["promise.float.within"])
	}
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
