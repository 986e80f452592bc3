package product

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestValuesAreThoseOfTheFile(t *testing.T) {
	dir := copied(t)
	for _, c := range []struct{ file, key, source, text string }{
		{"product.toml", "sense.top", `"60 kΩ ±1 % ±100 ppm/K"`, "60 kΩ ±1 % ±100 ppm/K"},
		{"product.toml", "sense.bits", "10", "10"},
		{"product.toml", "circuit.w1.length", `"60 mm"`, "60 mm"},
		{"variants/gel.toml", `set."product.circuit.d1.part"`, `"sb5"`, "sb5"},
	} {
		values, err := Values(dir, c.file)
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, v := range values {
			if v.Key != c.key {
				continue
			}
			found = true
			line := strings.Split(content(t, dir, c.file), "\n")[v.Line-1]
			if v.Source != c.source || v.Text != c.text || v.File != c.file || !strings.Contains(line, c.source) {
				t.Errorf("%s = %+v, in the line %s", c.key, v, line)
			}
		}
		if !found {
			t.Errorf("%s: %s is not among the values", c.file, c.key)
		}
	}
	if values, err := Values(dir, "installations/nowhere.toml"); err != nil || len(values) > 0 {
		t.Errorf("of a file that is not there: %v, %v", values, err)
	}
	for _, file := range []string{"../product.toml", "records/sold.csv", "/etc/passwd", "variants/../../x.toml"} {
		if _, err := Values(dir, file); err == nil || !strings.Contains(err.Error(), "is no file that values are set in") {
			t.Errorf("%s: %v", file, err)
		}
	}
}

// Every value of the example files can be put back in its place, and nothing changes by it.
func TestValuesCanBePutBack(t *testing.T) {
	dir := copied(t)
	for _, file := range []string{"product.toml", "parts.toml", "promises.toml", "variants/gel.toml"} {
		before := content(t, dir, file)
		values, err := Values(dir, file)
		if err != nil || len(values) == 0 {
			t.Fatal(file, len(values), err)
		}
		for _, v := range values[:min(len(values), 25)] {
			if _, err := Replace(dir, file, v.Key, v.Source, v.Source); err != nil {
				t.Errorf("%s: %s: %v", file, v.Key, err)
			}
		}
		if content(t, dir, file) != before {
			t.Errorf("%s changed by putting its values back", file)
		}
	}
}

func TestReplaceKeepsWhatWasChangedElsewhere(t *testing.T) {
	dir := copied(t)
	const was = `"60 kΩ ±1 % ±100 ppm/K"`
	if _, err := Set(dir, "product.toml", "sense.top", "61 kΩ"); err != nil {
		t.Fatal(err)
	}
	all := everything(t, dir)
	_, err := Replace(dir, "product.toml", "sense.top", was, "68 kΩ")
	var moved *Moved
	if !errors.As(err, &moved) || moved.Was != was || moved.Is != `"61 kΩ"` || everything(t, dir) != all {
		t.Errorf("%v, %+v", err, moved)
	}
	if _, err := Replace(dir, "product.toml", "sense.leakage", "", "±50 nA"); err != nil && !errors.As(err, &moved) {
		t.Error(err)
	}
	if _, err := Replace(dir, "product.toml", "sense.bits", "", "12"); !errors.As(err, &moved) || moved.Is != "10" {
		t.Errorf("a value that was not there when it was seen: %v", err)
	}
	if _, err := Replace(dir, "product.toml", "sense.top", `"61 kΩ"`, "68 kΩ"); err != nil || !strings.Contains(content(t, dir, "product.toml"), `"68 kΩ"`) {
		t.Error(err)
	}
}

func TestReplaceByNothingTakesOut(t *testing.T) {
	dir := copied(t)
	before := content(t, dir, "product.toml")
	c, err := Replace(dir, "product.toml", "revision", `"B"`, "")
	if err != nil || strings.Contains(content(t, dir, "product.toml"), `revision        = "B"`) {
		t.Fatal(err)
	}
	if err := Undo(dir, c); err != nil || content(t, dir, "product.toml") != before {
		t.Errorf("undone: %v", err)
	}
}

func TestRedo(t *testing.T) {
	for _, c := range []struct{ file, key, was, text string }{
		{"product.toml", "sense.top", `"60 kΩ ±1 % ±100 ppm/K"`, "68 kΩ ±1 %"},
		{"product.toml", "revision", `"B"`, ""},
		{"installations/cabin.toml", "panel.tilt", "", "30°"}, // a new file
	} {
		dir := copied(t)
		before := everything(t, dir)
		change, err := Replace(dir, c.file, c.key, c.was, c.text)
		if err != nil {
			t.Fatal(c.key, err)
		}
		after := everything(t, dir)
		for range 2 {
			if err := Undo(dir, change); err != nil || everything(t, dir) != before {
				t.Errorf("%s: undone: %v", c.key, err)
			}
			if err := Redo(dir, change); err != nil || everything(t, dir) != after {
				t.Errorf("%s: done again: %v", c.key, err)
			}
		}
	}
}

// A value that was taken out leaves no bytes to be known by, so that any other change of the file stops its return.
func TestUndoOfARemovalRefusesAnotherFile(t *testing.T) {
	dir := copied(t)
	c, err := Unset(dir, "product.toml", "revision")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "product.toml")
	if err := os.WriteFile(path, []byte("# a line more\n"+content(t, dir, "product.toml")), 0o644); err != nil {
		t.Fatal(err)
	}
	all := everything(t, dir)
	if err := Undo(dir, c); err == nil || !strings.Contains(err.Error(), "changed since") || everything(t, dir) != all {
		t.Errorf("%v", err)
	}
}

func TestTryWritesNothing(t *testing.T) {
	dir := copied(t)
	all := everything(t, dir)
	folder, err := Try(dir, Setting{"product.toml", "sense.top", "68 kΩ ±1 %"}, Setting{"product.toml", "sense.bits", "12"})
	if err != nil {
		t.Fatal(err)
	}
	p, err := folder.Resolve("")
	if err != nil || p.Sense.Top.Text != "68 kΩ ±1 %" || p.Sense.Bits.N != 12 {
		t.Errorf("%v: %s, %d", err, p.Sense.Top.Text, p.Sense.Bits.N)
	}
	for _, s := range []Setting{
		{"product.toml", "sense.top", "68 V"}, {"product.toml", "sense.no", "1"}, {"../x.toml", "a", "1"},
	} {
		var faults Errors
		if _, err := Try(dir, s); !errors.As(err, &faults) {
			t.Errorf("%v: %v", s, err)
		}
	}
	if everything(t, dir) != all {
		t.Error("something was written")
	}
}
