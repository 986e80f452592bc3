package demo

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
)

// all returns every file of a folder by name with its bytes.
func all(t *testing.T, folder fs.FS) map[string]string {
	t.Helper()
	found := map[string]string{}
	err := fs.WalkDir(folder, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := fs.ReadFile(folder, name)
		found[name] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func write(t *testing.T, dir string) {
	t.Helper()
	if err := Write(dir); err != nil {
		t.Fatal(err)
	}
}

func TestWriteCopiesEveryFile(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "osier")
	write(t, dir)
	want, got := all(t, FS), all(t, os.DirFS(dir))
	if len(want) < 20 {
		t.Errorf("the example has %d files; want at least 20", len(want))
	}
	for name, data := range want {
		if got[name] != data {
			t.Errorf("%s is not as embedded", name)
		}
		info, err := os.Stat(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		if info.Mode().Perm() != 0o644 {
			t.Errorf("%s has mode %v, want 0644", name, info.Mode().Perm())
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d files written, want %d", len(got), len(want))
	}
}

func TestWriteIntoAnEmptyFolder(t *testing.T) {
	dir := t.TempDir()
	write(t, dir)
	if changed, err := Changed(dir); err != nil || len(changed) > 0 {
		t.Errorf("Changed = %v, %v; want none", changed, err)
	}
}

func TestWriteRefuses(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	foreign := t.TempDir()
	if err := os.WriteFile(filepath.Join(foreign, "README.md"), []byte("# My own\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	nameless := t.TempDir()
	if err := os.WriteFile(filepath.Join(nameless, "product.toml"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ dir, want string }{
		{file, "is a file; want a folder"},
		{foreign, "is not empty and not an example written before"},
		{nameless, "is not empty and not an example written before"},
	} {
		before := len(all(t, os.DirFS(filepath.Dir(c.dir))))
		err := Write(c.dir)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("Write(%s) = %v; want %q", c.dir, err, c.want)
		}
		if after := len(all(t, os.DirFS(filepath.Dir(c.dir)))); after != before {
			t.Errorf("Write(%s) left %d files; want the %d from before", c.dir, after, before)
		}
	}
}

func TestWriteAgainKeepsWhatWasChanged(t *testing.T) {
	dir := t.TempDir()
	write(t, dir)
	mine := []byte("name = \"Mine\"\n")
	if err := os.WriteFile(filepath.Join(dir, "product.toml"), mine, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(dir, "records", "sold.csv")); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "notes.txt"), mine, 0o600); err != nil {
		t.Fatal(err)
	}
	write(t, dir)
	if is, err := os.ReadFile(filepath.Join(dir, "product.toml")); err != nil || !bytes.Equal(is, mine) {
		t.Errorf("product.toml = %q, %v; want what the user wrote", is, err)
	}
	if _, err := os.Stat(filepath.Join(dir, "records", "sold.csv")); err != nil {
		t.Errorf("the missing file was not written again: %v", err)
	}
	changed, err := Changed(dir)
	if err != nil || !slices.Equal(changed, []string{"product.toml"}) {
		t.Errorf("Changed = %v, %v; want product.toml", changed, err)
	}
}

func TestWriteGoesOnAfterAStoppedRun(t *testing.T) {
	dir := t.TempDir()
	readme, err := fs.ReadFile(FS, marker)
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{marker: readme, ".product.toml.part": []byte("half")} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write(t, dir)
	if got, want := all(t, os.DirFS(dir)), all(t, FS); len(got) != len(want) || got["product.toml"] != want["product.toml"] {
		t.Errorf("%d files after going on, want the %d of the example and no part", len(got), len(want))
	}
}

func TestWriteStaysInside(t *testing.T) {
	dir, outside := t.TempDir(), t.TempDir()
	readme, err := fs.ReadFile(FS, marker)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, marker), readme, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(dir, "records")); err != nil {
		t.Skip("no symbolic links here:", err)
	}
	if err := Write(dir); err == nil {
		t.Error("Write through a link that leads outside: no error")
	}
	if n := len(all(t, os.DirFS(outside))); n > 0 {
		t.Errorf("%d files written outside", n)
	}
}

// What product.toml says of a part twice, for the sense chain and in parts.toml, is the
// same text.
func TestSenseChainAndPartsAgree(t *testing.T) {
	var main struct {
		Sense struct{ Top, Bottom, Reference string }
	}
	var parts struct {
		Part map[string]struct{ Resistance, Voltage any }
	}
	read(t, "product.toml", &main)
	read(t, "parts.toml", &parts)
	for part, want := range map[string]string{"r120k": main.Sense.Top, "r10k": main.Sense.Bottom} {
		if got := parts.Part[part].Resistance; got != want {
			t.Errorf("part.%s.resistance is %v, sense has %s", part, got, want)
		}
	}
	if got := parts.Part["ref25"].Voltage; got != main.Sense.Reference {
		t.Errorf("part.ref25.voltage is %v, sense.reference %s", got, main.Sense.Reference)
	}
}

// Whoever opens any file for the first time sees that it is invented.
func TestEveryFileSaysThatItIsInvented(t *testing.T) {
	for name, data := range all(t, FS) {
		head := data[:min(len(data), 500)]
		if filepath.Ext(name) != ".csv" && !strings.Contains(strings.ToLower(head), "invented") {
			t.Errorf("%s does not say near its top that it is invented", name)
		}
	}
}

func read(t *testing.T, name string, into any) {
	t.Helper()
	data, err := fs.ReadFile(FS, name)
	if err != nil {
		t.Fatal(err)
	}
	if err := toml.Unmarshal(data, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}
