package product

import (
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"
)

func content(t testing.TB, dir, file string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, file))
	if errors.Is(err, os.ErrNotExist) {
		return "(none)"
	}
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// everything returns all files of a folder, to see that nothing was written.
func everything(t testing.TB, dir string) string {
	t.Helper()
	var b strings.Builder
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			rel, _ := filepath.Rel(dir, path)
			b.WriteString("== " + rel + "\n" + content(t, dir, rel))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestSet(t *testing.T) {
	for _, c := range []struct{ file, key, text, old, new string }{
		{"product.toml", "sense.top", "68 kΩ ±1 %", `top          = "60 kΩ ±1 % ±100 ppm/K"`, `top          = "68 kΩ ±1 %"`},
		{"product.toml", "sense.top", `"68 kΩ ±1 %"`, `top          = "60 kΩ ±1 % ±100 ppm/K"`, `top          = "68 kΩ ±1 %"`},
		{"product.toml", "sense.bits", "12", "bits         = 10", "bits         = 12"},
		{"product.toml", "chemistry", `["agm", "gel"]`, `chemistry       = "flooded"        # one word, or a list`, `chemistry       = ["agm", "gel"]        # one word, or a list`},
		{"product.toml", "revision", "7", `revision        = "B"`, `revision        = "7"`},
		{"product.toml", "made_from", "2023-05-03", "made_from       = 2023-05-02", "made_from       = 2023-05-03"},
		{"product.toml", "circuit.w1.length", "70 mm", `length = "60 mm"`, `length = "70 mm"`},
		{"product.toml", "circuit.w1.role", "control", `area = "1.5 mm²" }`, `area = "1.5 mm²", role = "control" }`},
		{"product.toml", "enclosure.inner.filling", "air", "inside = \"case\"\n", "inside = \"case\"\nfilling = \"air\"\n"},
		{"product.toml", "enclosure.outer.shape", "box", "inside = \"case\"\n", "inside = \"case\"\n\n[enclosure.outer]\nshape = \"box\"\n"},
		{"promises.toml", "promise.touch.safety", "false", "safety     = true", "safety     = false"},
		{"variants/gel.toml", `set."product.circuit.d1.part"`, "sb10", `"product.circuit.d1.part" = "sb5"`, `"product.circuit.d1.part" = "sb10"`},
		{"variants/first.toml", `set.product.sense.bits`, "11", "product.sense.bits        = 12", "product.sense.bits        = 11"},
		{"bench/meters.toml", "meter.bench-1.voltage.digit", "2 mV", `digit = "1 mV"`, `digit = "2 mV"`},
		{"installations/hut.toml", "lead.panel.length", "5 m", `length = "4 m"`, `length = "5 m"`},
	} {
		dir := copied(t)
		before, all := content(t, dir, c.file), everything(t, dir)
		change, err := Set(dir, c.file, c.key, c.text)
		if err != nil {
			t.Errorf("%s: %v", c.key, err)
			continue
		}
		if want := strings.Replace(before, c.old, c.new, 1); content(t, dir, c.file) != want || want == before {
			t.Errorf("%s = %s: the file became\n%s", c.key, c.text, content(t, dir, c.file))
		}
		if err := Undo(dir, change); err != nil || everything(t, dir) != all {
			t.Errorf("%s: undone, %v, the folder is not as before", c.key, err)
		}
	}
}

func TestSetMakesFiles(t *testing.T) {
	dir := folder(t, map[string]string{"product.toml": bare12})
	all := everything(t, dir)
	change, err := Set(dir, "installations/cabin.toml", "panel.tilt", "30°")
	if err != nil {
		t.Fatal(err)
	}
	if got := content(t, dir, "installations/cabin.toml"); got != "[panel]\ntilt = \"30°\"\n" {
		t.Errorf("%q", got)
	}
	if err := Undo(dir, change); err != nil || everything(t, dir) != all {
		t.Errorf("%v\n%s", err, everything(t, dir))
	}
}

func TestSetRefuses(t *testing.T) {
	dir := copied(t)
	all := everything(t, dir)
	for _, c := range []struct{ file, key, text, want string }{
		{"product.toml", "sense.top", "60 kohn", `product.toml:37:20: sense.top: "60 kohn": unknown unit "kohn"; did you mean kohm`},
		{"product.toml", "sense.bits", "25", `product.toml:41:16: sense.bits: "25": out of range; want at least 1 and at most 24`},
		{"product.toml", "sense.botom", "1 kΩ", `product.toml:53:1: sense.botom: unknown key; did you mean bottom`},
		{"product.toml", "sense", "1", `product.toml: sense: sense is a table; want a key in it`},
		{"product.toml", "name.x", "1", `product.toml: name.x: name is text; want a table there`},
		{"product.toml", "circuit.d1.part", "sb11", `product.toml:83:15: circuit.d1.part: "sb11": there is no such part; did you mean sb10`},
		{"parts.toml", "part.sb10.kind", "fuse", "parts.toml:32:1: part.sb10.drops: unknown key; it is a key of a diode"},
		{"README.md", "x", "1", "README.md: is no file that values are set in; want one such as product.toml or variants/NAME.toml"},
		{"../product.toml", "x", "1", "../product.toml: is no file that values are set in; want one such as product.toml or variants/NAME.toml"},
		{"variants/../../x.toml", "x", "1", "../x.toml: is no file that values are set in; want one such as product.toml or variants/NAME.toml"},
		{"records/made.csv", "x", "1", "records/made.csv: is no file that values are set in; want one such as product.toml or variants/NAME.toml"},
		{"product.toml", "a = 1\nb", "1", `product.toml: "a = 1 b" is no key; want one such as sense.top`},
		{"product.toml", "sense.top", "\"60 kΩ\"\n[evil]", `product.toml:37:17: sense.top: ""60 kΩ" [evil]": `},
	} {
		_, err := Set(dir, c.file, c.key, c.text)
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s %s = %s:\n got %v\nwant %s", c.file, c.key, c.text, err, c.want)
		}
		if everything(t, dir) != all {
			t.Fatalf("%s %s = %s was refused, and the folder is not as before", c.file, c.key, c.text)
		}
	}
}

func TestUnset(t *testing.T) {
	dir := copied(t)
	all := everything(t, dir)
	var done []Change
	for _, c := range []struct{ file, key string }{
		{"product.toml", "sense.ageing"}, {"product.toml", "sense.lead.area"}, {"product.toml", "circuit.w1.length"},
		{"variants/gel.toml", `set."product.chemistry"`}, {"product.toml", "chemistry"}, {"promises.toml", "promise.float.conditions.ambient"}, {"variants/first.toml", "set.product.sense.bits"},
	} {
		change, err := Unset(dir, c.file, c.key)
		if err != nil {
			t.Fatal(err)
		}
		done = append(done, change)
	}
	if got := content(t, dir, "product.toml"); !strings.Contains(got, "cells           = 6") || !strings.Contains(got, "# one word, or a list\n") || strings.Contains(got, "ageing") {
		t.Error(got)
	}
	for i := len(done) - 1; i >= 0; i-- {
		if err := Undo(dir, done[i]); err != nil {
			t.Fatal(err)
		}
	}
	if everything(t, dir) != all {
		t.Error("the folder is not as before")
	}
	if _, err := Unset(dir, "parts.toml", "part.sb10.kind"); err == nil || everything(t, dir) != all {
		t.Errorf("a part without kind: %v", err)
	}
	if _, err := Unset(dir, "parts.toml", "part.sb10.kin"); err == nil || err.Error() != "parts.toml: part.sb10.kin: part.sb10.kin is not there" {
		t.Error(err)
	}
}

func TestUndoRefusesWhatChangedSince(t *testing.T) {
	dir := copied(t)
	change, err := Set(dir, "product.toml", "sense.bits", "12")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Set(dir, "product.toml", "sense.bits", "14"); err != nil {
		t.Fatal(err)
	}
	all := everything(t, dir)
	if err := Undo(dir, change); err == nil || err.Error() != "product.toml: sense.bits: has been changed since; want 12 there" {
		t.Error(err)
	}
	if everything(t, dir) != all {
		t.Error("the folder is not as before")
	}
	for _, bad := range []Change{{File: "../x", New: nil}, {File: "product.toml", Start: -1}, {File: "product.toml", Start: 1 << 40}} {
		if err := Undo(dir, bad); err == nil {
			t.Errorf("%v was undone", bad)
		}
	}
}

func TestSetKeepsModeAndLinks(t *testing.T) {
	dir := folder(t, map[string]string{"product.toml": "-> files/real.toml", "files/real.toml": bare12})
	real := filepath.Join(dir, "files/real.toml")
	if err := os.Chmod(real, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Set(dir, "product.toml", "name", "linked"); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(real)
	if err != nil || info.Mode().Perm() != 0o600 || content(t, dir, "files/real.toml") != "name = \"linked\"\n" {
		t.Errorf("%v %v %q", err, info.Mode(), content(t, dir, "files/real.toml"))
	}
	if to, err := os.Readlink(filepath.Join(dir, "product.toml")); err != nil || to != "files/real.toml" {
		t.Errorf("%v %v", to, err)
	}
}

// few makes rapid draw 25 cases in place of 100, where each writes to the disk.
func few(t *testing.T) {
	checks := flag.Lookup("rapid.checks")
	if checks.Value.String() != checks.DefValue {
		return // asked for on the command line
	}
	if err := checks.Value.Set("25"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = checks.Value.Set(checks.DefValue) })
}

// Whatever is set, one after the other, undoing all of it gives the same bytes, and
// each step leaves a folder without fault.
func TestSetAndUndoInTurn(t *testing.T) {
	base := copied(t)
	choices := []struct{ file, key, text string }{
		{"product.toml", "sense.top", "68 kΩ"}, {"product.toml", "sense.top", "70 kΩ ±1 %"}, {"product.toml", "sense.bits", "12"},
		{"product.toml", "summary", "µ \"quoted\" \\ # no comment"}, {"product.toml", "enclosure.case.copper", "35 µm"},
		{"product.toml", "enclosure.fresh.shape", "tube"}, {"product.toml", "circuit.f1.role", "fuse"},
		{"product.toml", "circuit.w1.gate", ""}, {"parts.toml", "part.sb10.note", "x"}, {"parts.toml", "part.new-1.kind", "lamp"},
		{"promises.toml", "promise.float.conditions.age", "3 years"}, {"production.toml", "rates.CHF", "1.05 EUR"},
		{"variants/gel.toml", "why", "0"}, {"variants/new.toml", `set."product.sense.bits"`, "9"}, {"installations/hut.toml", "load.radio.from", "08:00"},
		{"bench/meters.toml", "meter.bench-2.note", "new"},
	}
	few(t)
	rapid.Check(t, func(rt *rapid.T) {
		before := everything(t, base)
		var done []Change
		for range rapid.IntRange(1, 4).Draw(rt, "steps") {
			c := rapid.SampledFrom(choices).Draw(rt, "choice")
			set := func() (Change, error) { return Set(base, c.file, c.key, c.text) }
			if rapid.IntRange(0, 3).Draw(rt, "unset") == 0 {
				set = func() (Change, error) { return Unset(base, c.file, c.key) }
			}
			was := content(t, base, c.file)
			change, err := set()
			if err != nil {
				if content(t, base, c.file) != was {
					rt.Fatalf("%v was refused, and the file is not as before", c)
				}
				continue
			}
			if _, err := Read(base); err != nil {
				rt.Fatalf("%v: %v", c, err)
			}
			now := content(t, base, c.file)
			if was == "(none)" {
				was = ""
			}
			if now[:change.Start] != was[:change.Start] || now[change.Start+len(change.New):] != was[change.Start+len(change.Old):] {
				rt.Fatalf("%v changed more than its span", c)
			}
			done = append(done, change)
		}
		for i := len(done) - 1; i >= 0; i-- {
			if err := Undo(base, done[i]); err != nil {
				rt.Fatal(err)
			}
		}
		if everything(t, base) != before {
			rt.Fatal("the folder is not as before")
		}
	})
}

// Two writers of one file: none of the changes is lost.
func TestSetAtOnce(t *testing.T) {
	dir := copied(t)
	var wait sync.WaitGroup
	for i, key := range []string{"sense.bits", "sense.top", "sense.bottom", "cells", "name", "summary"} {
		wait.Add(1)
		go func() {
			defer wait.Done()
			text := []string{"12", "70 kΩ", "11 kΩ", "7", "x", "y"}[i]
			if _, err := Set(dir, "product.toml", key, text); err != nil {
				t.Error(err)
			}
		}()
	}
	wait.Wait()
	f, err := Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	p, _ := f.Resolve("")
	if p.Sense.Bits.N != 12 || p.Sense.Top.Value != 70e3 || p.Sense.Bottom.Value != 11e3 || p.Cells.N != 7 || p.Name.Text != "x" || p.Summary.Text != "y" {
		t.Error(content(t, dir, "product.toml"))
	}
}
